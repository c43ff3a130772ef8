"""Labels over wires, numbers over wires, and cells beside the board."""

import pytest

from buildalong.board import Layout, board
from buildalong.circuit import Circuit, Part
from buildalong.drawing import _palette as palette
from buildalong.drawing import board_picture
from buildalong.drawing._labels import Placed, Tag
from buildalong.drawing._marks import Mark, PlacedMark, draw_mark
from buildalong.drawing._svg import Svg
from buildalong.drawing._written import write_label
from buildalong.parts import catalogue

from ._measure import Sheet

SVG = "{http://www.w3.org/2000/svg}"


def plates(svg: Svg) -> list[dict[str, str]]:
    return [dict(e.attrib) for e in Sheet(svg.picture().svg).root.iter(f"{SVG}rect") if "rx" in e.attrib]


@pytest.mark.parametrize(("y", "edged"), [(20.0, True), (45.0, False)])
def test_a_label_over_a_wire_has_an_edge(y: float, edged: bool) -> None:
    svg = Svg(100, 50, title="", alt="", background=None)
    label = Placed(Tag("part R1", ("R1",), 14, (0, 0, 1, 1)), "R1", (30, 10, 70, 30))
    write_label(svg, label, fill=palette.INK, over=[((0.0, y), (100.0, y))])
    (plate,) = plates(svg)
    assert (plate.get("stroke") == palette.INK_SOFT) == edged


def test_a_row_number_over_a_wire_has_an_edge() -> None:
    svg = Svg(100, 50, title="", alt="", background=None)
    mark = Mark("7", 7, False, ((50.0, 25.0),), (0.0, 25.0))
    draw_mark(svg, PlacedMark(mark, (50.0, 25.0), plate=True), False)
    (plate,) = plates(svg)
    assert palette.contrast(plate["stroke"], palette.BOARD) >= 3  # WCAG 2.2, 1.4.11


@pytest.mark.parametrize("count", [2, 4])
@pytest.mark.parametrize("holes", [("L+20", "L-21"), ("R+20", "R-21"), ("L+21", "L-20"), ("R+21", "R-20")])
def test_the_outer_cells_show_the_poles_of_the_leads(count: int, holes: tuple[str, str]) -> None:
    """Of cells side by side in series both free poles look one way: to the leads, plus to plus."""
    part = Part("BT1", catalogue()["supply-aa"], ("PLUS", "0V"), settings=(("count", count),))
    circuit = Circuit((part,))
    drawn = board_picture(circuit, Layout(board("400"), {"BT1": holes}), labels=False)
    rects = [e.attrib for e in Sheet(drawn.svg).root.iter(f"{SVG}rect")]
    noses = [a for a in rects if a.get("fill") == palette.METAL and a.get("width") == "6"]
    assert len(noses) == count
    xs = [float(a["x"]) for a in sorted(noses, key=lambda a: float(a["y"]))]
    leads_right = holes[0][0] == "L"
    plus_above = int(holes[0][2:]) < int(holes[1][2:])
    first_is_plus = (xs[0] > xs[1]) == leads_right
    assert first_is_plus == plus_above
    assert (xs[-1] > xs[0]) == (xs[1] > xs[0])
