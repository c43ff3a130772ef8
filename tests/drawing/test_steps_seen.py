"""What is new in the picture of a step is told from what was there, and nothing is drawn over its letters."""

import re

import numpy as np
import pytest
from fontTools.ttLib import TTFont

from buildalong.board import Layout, Wire, board, hole_name
from buildalong.build import make_steps
from buildalong.circuit import Circuit
from buildalong.drawing import _palette as palette
from buildalong.drawing import board_picture, rows_in_use
from buildalong.drawing._frame import Frame
from buildalong.drawing._ground import MARK
from buildalong.lesson import load
from buildalong.publish._pictures import crop_of_steps, step_picture
from buildalong.publish._variant import Variant

from ._demo import BOARDS, EXAMPLES, circuit_of, layout_of
from ._measure import FONTS, Sheet, Text
from .test_print import pixels

RINGS = re.compile(rf'<circle [^>]*stroke="(?:{palette.ACCENT}|{palette.TAG})"[^>]*/>')
FRESH = re.compile(r'<g class="fresh">(?:(?!<g class="fresh">).)*?</g>\s*</g>', re.DOTALL)

CROSSED = Layout(
    board("830"), {}, (Wire("a10", "j10", "white"), Wire("c8", "c12", "grey"), Wire("g9", "g40", "black"))
)


def casings(svg: str) -> list[float]:
    """The widths of the insulations in the order in which they are drawn [user units]."""
    found = re.findall(r'<path d="[^"]*" fill="none" stroke="[^"]*" stroke-width="([\d.]+)"', svg)
    widths = [float(width) for width in found][-6:]  # of each wire the casing and what lies in it
    return widths[::2]


@pytest.mark.parametrize("new", [0, 1])
def test_the_new_wire_lies_on_top(new: int) -> None:
    """The old ones are no thicker than three quarters of it: colour alone does not tell them from it."""
    drawn = casings(board_picture(Circuit(()), CROSSED, new_wires=(new,)).svg)
    assert len(drawn) == 3
    assert max(drawn[:-1]) <= 0.75 * drawn[-1]


def inked(text: Text) -> tuple[float, float]:
    """Top and bottom of the ink of a bold letter on the board, by the outline in the font file."""
    file = TTFont(FONTS / "AtkinsonHyperlegible-Bold.ttf")
    glyph = file["glyf"][file.getBestCmap()[ord(text.text)]]
    scale = MARK / file["head"].unitsPerEm
    return text.box[3] - glyph.yMax * scale, text.box[3] - glyph.yMin * scale


def test_wires_end_before_the_letters_of_a_torn_edge() -> None:
    """A wire that goes on beyond the rows shown ends 3 units before the dots and tails of all ten letters."""
    picture = board_picture(Circuit(()), CROSSED, new_wires=(1,), crop="new")
    sheet = Sheet(picture.svg)
    letters = [text for text in sheet.texts if text.text in tuple("abcdefghij")]
    assert sorted(text.text for text in letters) == sorted("abcdefghij" * 2)
    (clip,) = re.findall(r'<clipPath[^>]*>\s*<polygon points="([^"]*)"', picture.svg)
    places = [tuple(map(float, pair.split(","))) for pair in clip.split()]
    y, end = min(y for _, y in places), max(y for _, y in places)
    height = end - y
    rows = [float(text.box[1] + text.box[3]) / 2 for text in sheet.texts if text.text in ("6", "20")]
    assert all(inked(text)[1] + 3 <= y or y + height + 3 <= inked(text)[0] for text in letters)
    assert all(y < row < y + height for row in rows)
    ground = next(each for each in re.findall(r'<polygon points="([^"]*)"', picture.svg) if each != clip)
    edges = [float(pair.split(",")[1]) for pair in ground.split()]
    inner = sorted(set(edges))[1], sorted(set(edges))[-2]  # the teeth of both edges, where they are deepest
    assert all(inner[0] + 2 <= inked(text)[0] and inked(text)[1] + 2 <= inner[1] for text in letters)


def test_wires_that_go_on_end_in_points() -> None:
    """The outline that cuts them has a tooth in each column: no wire seems to end there, as in a hole."""
    picture = board_picture(Circuit(()), CROSSED, new_wires=(1,), crop="new")
    (clip,) = re.findall(r'<clipPath[^>]*>\s*<polygon points="([^"]*)"', picture.svg)
    places = [tuple(map(float, pair.split(","))) for pair in clip.split()]
    columns = [254.0 / 10 * n for n in (*range(5), *range(7, 12))]
    for end in (min(y for _, y in places), max(y for _, y in places)):
        tips = [x for x, y in places if y == end]
        for column in columns:
            assert min(abs(x - column) for x in tips) < 0.01
            beside = [y for x, y in places if abs(abs(x - column) - 6.35) < 0.01 and abs(y - end) < 20]
            assert len(beside) == 2
            assert all(abs(y - end) > 5 for y in beside)


@pytest.mark.parametrize("reach", [47.5, 48.0])
def test_a_wire_that_bends_beyond_its_holes_leaves_the_letters_alone(reach: float) -> None:
    """The row in which it lies is shown, too, below it all ten letters."""
    low = Wire("b47", "h46", "blue", path=((2.0, reach), (9.0, reach)))
    layout = Layout(board("830"), {}, (Wire("e6", "e44", "grey"), low))
    for crop, new in (("new", (0,)), ("auto", ())):
        assert rows_in_use(layout)[1] == 48
        picture = board_picture(Circuit(()), layout, new_wires=new, crop=crop)
        texts = [text.text for text in Sheet(picture.svg).texts]
        assert "48" in texts
        assert sorted(each for each in texts if each in tuple("abcdefghij")) == sorted("abcdefghij" * 2)


def test_no_step_on_a_long_board_hides_a_letter() -> None:
    """Around each wire of the runway lights in turn, all ten letters stand at both ends of what is shown."""
    circuit, layout = circuit_of("runway-lights"), layout_of("runway-lights-830-formed")
    for new in range(len(layout.wires)):
        picture = board_picture(circuit, layout, new_wires=(new,), crop="new", labels=False)
        letters = [text.text for text in Sheet(picture.svg).texts if text.text in tuple("abcdefghij")]
        assert sorted(letters) == sorted("abcdefghij" * 2), new


def test_a_ring_has_a_light_rim() -> None:
    """A ring upon a red lamp stands out by what lies around it with 3:1 (WCAG 2.2, 1.4.11)."""
    picture = board_picture(circuit_of("mailbox-flag"), layout_of("mailbox-flag"), new_parts=("DS1",))
    circles = Sheet(picture.svg).circles
    rings = {(c.x, c.y) for c in circles if c.stroke == palette.ACCENT}
    rims = {(c.x, c.y) for c in circles if c.stroke == palette.TAG}
    assert rings
    assert rings <= rims
    assert palette.contrast(palette.ACCENT, palette.TAG) >= 3


@pytest.mark.parametrize("name", ["cupboard-light", "mailbox-flag"])
def test_what_a_test_presses_is_shown(name: str) -> None:
    """A button that the text of a test names is among what the picture shows in full colour."""
    for step in make_steps(circuit_of(name), layout_of(name)):
        if step.kind == "test":
            named = {part.id for part in circuit_of(name).parts if part.type.family == "button"}
            assert {part for part in named if part in step.text} <= set(step.shows)


def hidden(name: str, part: str) -> float:
    """Share of a new part, its leads too, that the rings around its holes hide, in pixels."""
    picture = board_picture(circuit_of(name), layout_of(name), new_parts=(part,), labels=False)
    bare = RINGS.sub("", picture.svg)
    without = FRESH.sub(lambda found: "" if "translate" in found[0] else found[0], bare)
    assert len(bare) < len(picture.svg)
    assert len(without) < len(bare)
    ringed, drawn, empty = (
        pixels(svg, picture.width, picture.height) for svg in (picture.svg, bare, without)
    )
    body = (drawn != empty).any(axis=2)
    return float((np.abs(ringed - drawn).max(axis=2) > 60)[body].mean())


@pytest.mark.parametrize(
    ("name", "part", "most"),
    [("dusk-light", "R5", 0.01), ("runway-lights", "C2", 0.01), ("runway-lights", "U2", 0.01),
     ("runway-lights", "DS4", 0.06), ("runway-lights", "C3", 0.2)],
)  # fmt: skip
def test_rings_hide_no_part(name: str, part: str, most: float) -> None:
    """Beside a body rings lie under the part; upon it they go round the lead only, on the least body too."""
    assert hidden(name, part) <= most


def test_a_new_formed_wire_lies_over_an_old_flexible_one() -> None:
    """What a step brings is on top, whatever lies over it when all is built."""
    old, new = Wire("a10", "j10", "blue", "flexible"), Wire("g8", "g14", "green")
    svg = board_picture(Circuit(()), Layout(board("400"), {}, (old, new)), new_wires=(1,)).svg
    blue, green = (palette.wire_colour(name) for name in ("blue", "green"))
    muted = palette.PLAIN.muted_wire(blue, palette.BOARD)
    assert svg.rindex(f'stroke="{muted}"') < svg.index(f'stroke="{green}"')


def test_a_step_that_brings_nothing_shows_the_whole_board() -> None:
    """A test says to compare the board with the picture: on a long board too every hole in use is there."""
    circuit, layout = circuit_of("runway-lights"), layout_of("runway-lights-830-formed")
    crop = crop_of_steps(layout)
    assert crop == "new"
    steps = make_steps(circuit, layout, trials=load(EXAMPLES / "runway-lights").trials)
    still = [step for step in steps if not step.parts and not step.wires]
    assert {step.kind for step in still} == {"test", "check"}
    for step in still:
        _, top, _, bottom = Sheet(step_picture(circuit, step, crop, Variant()).svg).frame
        for hole, _ in step.after.used():
            assert top < Frame(layout.board).hole(hole)[1] < bottom, (step.title, hole)


def test_a_step_that_asks_to_compare_is_in_full_colour() -> None:
    """At a test and at the last check every wire has its own colour, and the supply's holes are named."""
    circuit, layout = circuit_of("dusk-light"), layout_of("dusk-light-400-formed")
    steps = make_steps(circuit, layout, trials=load(EXAMPLES / "dusk-light").trials)
    still = [step for step in steps if not step.parts and not step.wires]
    assert [step.kind for step in still] == ["test", "check"]
    for step in still:
        svg = step_picture(circuit, step, crop_of_steps(layout), Variant()).svg
        assert all(f'stroke="{palette.wire_colour(wire.colour)}"' in svg for wire in layout.wires)
        sheet = Sheet(svg)
        rings = [c for c in sheet.circles if c.stroke == palette.ACCENT]
        named = {text.text for text in sheet.texts}
        assert len(rings) == (2 if step.kind == "test" else 0)
        assert step.kind == "check" or {hole_name(hole) for hole in layout.holes["BT1"]} <= named


@pytest.mark.parametrize("name", [name for name in BOARDS if name.startswith(("dusk", "level", "runway"))])
def test_the_row_to_which_a_notch_looks_is_in_the_picture(name: str) -> None:
    """Whatever a step calls the row towards which a part is turned, its number stands in the picture."""
    circuit, layout = circuit_of(name), layout_of(name)
    for step in make_steps(circuit, layout):
        towards = re.search(r"towards row (\d+)", step.text)
        if towards:
            sheet = Sheet(step_picture(circuit, step, crop_of_steps(layout), Variant()).svg)
            assert towards[1] in {text.text for text in sheet.texts}, step.text


def test_a_ring_at_the_corner_of_a_round_body_is_a_large_one() -> None:
    """Beside a lamp's rim nothing lies over a hole, though the square around the lamp reaches it."""
    lamp = circuit_of("mailbox-flag").by_id["DS1"]
    layout = Layout(board("400"), {"DS1": ("b15", "b17")}, (Wire("a15", "L+12", "red"),))
    for parts, wires, radius in (((), (0,), 10.0), (("DS1",), (), 4.8)):
        picture = board_picture(Circuit((lamp,)), layout, new_parts=parts, new_wires=wires)
        rings = [c for c in Sheet(picture.svg).circles if c.stroke == palette.ACCENT]
        assert [c.r for c in rings] == [radius, radius]
