"""The tilted view: true to size along each direction, every part on it, its texts readable."""

import math
from itertools import combinations

import pytest

from buildalong.board import Layout, board
from buildalong.circuit import Circuit, Part
from buildalong.drawing import HIGH_CONTRAST, missing_characters, tilted_picture
from buildalong.drawing._frame import Pose
from buildalong.drawing._look import look_of
from buildalong.drawing._svg import Svg
from buildalong.drawing._tilt import ELEVATION, YAW, Solids, circle, depth, hull, project, rectangle
from buildalong.parts import catalogue

from ._demo import DEMOS, circuit_of, every_part, layout_of
from ._measure import Sheet, overlap


def test_projection_is_an_orthographic_axonometry() -> None:
    """The squares of the three foreshortenings add up to 2 (Gauss's theorem of axonometry; ISO 5456-3)."""
    axes = [project(1, 0, 0), project(0, 1, 0), project(0, 0, 1)]
    assert sum(x * x + y * y for x, y in axes) == pytest.approx(2)
    # Gauss: the axes as complex numbers, squared, add up to zero.
    assert abs(sum(complex(x, -y) ** 2 for x, y in axes)) < 1e-9
    assert axes[2] == pytest.approx((0, -math.cos(math.radians(ELEVATION))))


def test_a_circle_of_the_plan_is_an_ellipse_of_full_width() -> None:
    """The long axis of a level circle is its diameter, the short one that times sin(elevation)."""
    points = [project(*p) for p in circle(0, 0, 10)]
    wide = max(x for x, _ in points) - min(x for x, _ in points)
    high = max(y for _, y in points) - min(y for _, y in points)
    assert wide == pytest.approx(20, rel=0.01)
    assert high == pytest.approx(20 * math.sin(math.radians(ELEVATION)), rel=0.01)


def test_nearer_is_drawn_later() -> None:
    """What is nearer to the eye stands lower on the page."""
    far, near = (0.0, 0.0), (0.0, 100.0)
    assert depth(*near) > depth(*far)
    assert project(*near)[1] > project(*far)[1]
    assert YAW > 0
    assert depth(100, 0) > depth(0, 0)


def test_hull_holds_every_point() -> None:
    """The hull of a square with points inside is the square."""
    square = [(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)]
    assert sorted(hull([*square, (1.0, 2.0), (2.0, 2.0)])) == sorted(square)


@pytest.mark.parametrize("kind", ["electrolytic", "led-red", "timer-555", "push-button"])
def test_bodies_have_their_true_height(kind: str) -> None:
    """From the board to the top a body rises by its height and its stand (sizes: the data sheets)."""
    part_type = catalogue()[kind]
    part = next(p for p in every_part() if p.type.id == kind)
    holes = {"timer-555": ("e5", "e6", "e7", "e8", "f8", "f7", "f6", "f5"),
             "push-button": ("e3", "f3", "e5", "f5")}.get(kind, ("a3", "a4"))  # fmt: skip
    from buildalong.drawing._scene import Scene
    from buildalong.drawing.bodies._solid import draw_solid

    layout = Layout(board("400"), {"X1": holes})
    pose = Scene(Circuit((part,)), layout, "top", (1, 12)).poses["X1"]
    solids = Solids(Svg(10, 10, title="t", alt="t"), pose, [])
    draw_solid(solids, part, look_of(part_type), pose.legs)
    top = min(y for _, y in solids.marks)
    tall = (part_type.body.height + look_of(part_type).stand) * 10
    # The highest point on the page is the far rim of the top.
    reach = max(part_type.body.length, part_type.body.width) * 10
    flat = project(pose.x, pose.y)[1]
    rise = tall * math.cos(math.radians(ELEVATION))
    assert flat - rise - reach <= top <= flat - rise + 1


def test_a_box_shows_three_faces() -> None:
    """A prism over a rectangle is drawn with its two near sides and its top."""
    svg = Svg(10, 10, title="t", alt="t")
    Solids(svg, Pose(0, 0, 0, ()), []).prism(rectangle(0, 0, 5, 5), 0, 5, "#808080", "#000000")
    assert svg.picture().svg.count("<polygon") == 3


@pytest.mark.parametrize("name", DEMOS)
@pytest.mark.parametrize("view", ["top", "half-turned"])
def test_every_part_is_named_and_nothing_collides(name: str, view: str) -> None:
    """Each part is named; labels stay inside and apart; nine points on an A4 page; heights are told."""
    circuit, layout = circuit_of(name), layout_of(name)
    picture = tilted_picture(circuit, layout, view=view)  # type: ignore[arg-type]
    assert missing_characters(picture) == ()
    assert picture.print_width() <= 176
    sheet = Sheet(picture.svg)
    named = [t for t in sheet.texts if t.text.split()[0] in layout.holes]
    assert {t.text.split()[0] for t in named} == set(layout.holes)
    x0, y0, x1, y1 = sheet.frame
    for text in sheet.texts:
        assert x0 <= text.box[0] <= text.box[2] <= x1, text
        assert y0 <= text.box[1] <= text.box[3] <= y1, text
    for one, other in combinations(named, 2):
        assert not overlap(one.box, other.box), (one.text, other.text)
    for part in circuit.parts:
        if part.type.body.kind != "off-board":
            assert f"{part.id} {round(part.type.body.height + look_of(part.type).stand)} mm" in picture.alt


@pytest.mark.parametrize("shown", every_part(), ids=lambda p: p.type.id)
def test_every_type_of_the_catalogue_has_a_solid(shown: Part) -> None:
    """Each type that stands on a board is drawn, in both tones, and the same bytes come again."""
    from buildalong.drawing.bodies import _solid

    body = shown.type.body
    if body.kind == "off-board":
        return
    assert body.shape in _solid._SHAPES
    where = board("830")
    if body.legs:
        column = {0: "e", 3: "f", 1: "d", 2: "c"} if body.straddles else {0: "b", 1: "c", 2: "d", 3: "e"}
        holes = tuple(f"{column[leg.at[0]]}{5 + leg.at[1]}" for leg in body.legs)
    else:
        holes = tuple(f"b{5 + i * body.ideal_span}" for i in range(len(shown.type.terminals)))
    layout = Layout(where, {"X1": holes})
    pictures = [tilted_picture(Circuit((shown,)), layout, tone=HIGH_CONTRAST).svg for _ in range(2)]
    assert pictures[0] == pictures[1]
    assert "#FFFDF7" not in pictures[0]
