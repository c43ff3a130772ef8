"""The tilted view: true to size along each direction, every part on it, its texts readable."""

import math
import re
from functools import cache
from itertools import combinations, pairwise, product

import pytest

from buildalong.board import Layout, Wire, board
from buildalong.circuit import Circuit, Part
from buildalong.drawing import HIGH_CONTRAST, PLAIN, board_picture, missing_characters, tilted_picture
from buildalong.drawing import _palette as palette
from buildalong.drawing._frame import Pose, View
from buildalong.drawing._hidden import DASH
from buildalong.drawing._look import look_of
from buildalong.drawing._scene import Scene, rows_in_use
from buildalong.drawing._strands import Block, block_of
from buildalong.drawing._svg import Svg
from buildalong.drawing._tilt import (
    ELEVATION,
    FROM_THE_LEFT,
    FROM_THE_RIGHT,
    YAW,
    Eye,
    Solids,
    circle,
    hull,
    rectangle,
    within,
)  # fmt: skip
from buildalong.drawing._tilted import _Tilted, eye_for
from buildalong.drawing._words import UNSEEN, hole_name
from buildalong.parts import catalogue

from ._demo import BOARDS, DEMOS, circuit_of, drawn, every_part, layout_of
from ._leaders import clip, corners, faults, holds, labels_of
from ._measure import SVG, Sheet, overlap
from .test_print import pixels


@cache
def sheet_of(name: str) -> Sheet:
    """A board from above and aside, as it is drawn."""
    return Sheet(drawn(name, tilted_picture, view="top").svg)


def test_projection_is_an_orthographic_axonometry() -> None:
    """The squares of the three foreshortenings add up to 2 (Gauss's theorem of axonometry; ISO 5456-3)."""
    axes = [FROM_THE_RIGHT.project(1, 0, 0), FROM_THE_RIGHT.project(0, 1, 0), FROM_THE_RIGHT.project(0, 0, 1)]
    assert sum(x * x + y * y for x, y in axes) == pytest.approx(2)
    # Gauss: the axes as complex numbers, squared, add up to zero.
    assert abs(sum(complex(x, -y) ** 2 for x, y in axes)) < 1e-9
    assert axes[2] == pytest.approx((0, -math.cos(math.radians(ELEVATION))))


def test_a_circle_of_the_plan_is_an_ellipse_of_full_width() -> None:
    """The long axis of a level circle is its diameter, the short one that times sin(elevation)."""
    points = [FROM_THE_RIGHT.project(*p) for p in circle(0, 0, 10)]
    wide = max(x for x, _ in points) - min(x for x, _ in points)
    high = max(y for _, y in points) - min(y for _, y in points)
    assert wide == pytest.approx(20, rel=0.01)
    assert high == pytest.approx(20 * math.sin(math.radians(ELEVATION)), rel=0.01)


def test_nearer_is_drawn_later() -> None:
    """What is nearer to the eye stands lower on the page."""
    far, near = (0.0, 0.0), (0.0, 100.0)
    assert FROM_THE_RIGHT.depth(*near) > FROM_THE_RIGHT.depth(*far)
    assert FROM_THE_RIGHT.project(*near)[1] > FROM_THE_RIGHT.project(*far)[1]
    assert YAW > 0
    assert FROM_THE_RIGHT.depth(100, 0) > FROM_THE_RIGHT.depth(0, 0)


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
    from buildalong.drawing.bodies._solid import draw_solid

    layout = Layout(board("400"), {"X1": holes})
    pose = Scene(Circuit((part,)), layout, "top", (1, 12)).poses["X1"]
    solids = Solids(Svg(10, 10, title="t", alt="t"), pose, [])
    draw_solid(solids, part, look_of(part_type), pose.legs)
    top = min(y for _, y in solids.marks)
    tall = (part_type.body.height + look_of(part_type).stand) * 10
    # The highest point on the page is the far rim of the top.
    reach = max(part_type.body.length, part_type.body.width) * 10
    flat = FROM_THE_RIGHT.project(pose.x, pose.y)[1]
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
    picture = drawn(name, tilted_picture, view=view)
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


# Seen at 50 degrees a can of 11 mm hides 11 mm / tan(50°) = 9 mm of the board behind it: three rows.
HOLES = {"behind": ("b9", "b8"), "before": ("b14", "b15")}


@pytest.mark.parametrize("where", HOLES)
def test_a_part_hides_the_lead_behind_it_and_no_other(where: str) -> None:
    """No place of a can nearer to the eye is red like the lead; a lead before the can ends in its hole."""
    kinds = catalogue()
    supply = Part("BT1", kinds["supply-9v"], ("PLUS", "0V"))
    circuit = Circuit((supply, Part("C1", kinds["electrolytic"], ("PLUS", "0V"), 1e-4)))
    layout = Layout(board("400"), {"BT1": HOLES[where], "C1": ("b11", "b12")})
    picture = tilted_picture(circuit, layout, labels=False)
    left, top, *_ = Sheet(picture.svg).frame
    seen = pixels(picture.svg, picture.width, picture.height).astype(float)
    scale = seen.shape[1] / picture.width

    def apart(place: tuple[float, float], colour: str) -> float:
        x, y = (int((place[0] - left) * scale), int((place[1] - top) * scale))
        return max(abs(seen[y, x, i] - int(colour[2 * i + 1 : 2 * i + 3], 16)) for i in range(3))

    scene = Scene(circuit, layout, "top", (1, 30))
    eye, pose, body = eye_for(scene), scene.poses["C1"], kinds["electrolytic"].body
    reach, stand = body.length * 3.5, look_of(kinds["electrolytic"]).stand * 10
    middle = [
        eye.project(pose.x + dx, pose.y + dy, stand + share * body.height * 10)
        for dx in (-reach, 0, reach) for dy in (-reach, 0, reach) for share in (0.2, 0.5, 0.8, 1.0)
    ]  # fmt: skip
    red = palette.wire_colour("red")
    assert all(apart(place, red) > 40 for place in middle)
    hole = scene.frame.hole(HOLES[where][0])
    bare = any(apart(eye.project(*hole, z), palette.METAL) < 12 for z in (1.0, 2.0, 3.0, 4.0))
    assert bare is (where == "before")


@pytest.mark.parametrize("turn", [0, 37, 90])
def test_what_is_hidden_is_what_the_eye_meets_first(turn: int) -> None:
    """A block hides a place where a walk from there to the eye, step by step, comes into it."""
    block = Block(Pose(100, 50, turn, ()), (-30, -12, 30, 12), 20, 90)
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    found = []
    for x, y, z in product(range(0, 220, 13), range(-120, 160, 11), (3.0, 55.0, 120.0)):
        if math.dist((x, y), (100, 50)) < 36 and z < 95:
            continue  # in it, or at its rim
        within = {-1: False, 1: False}  # of a block a little smaller, and a little larger: steps miss corners
        for step in range(300):
            px, py, pz = (a + b * step for a, b in zip((x, y, z), FROM_THE_RIGHT.way, strict=True))
            across = (px - 100) * cos + (py - 50) * sin, (py - 50) * cos - (px - 100) * sin
            for more in within:
                inside = abs(across[0]) < 30 + more and abs(across[1]) < 12 + more
                within[more] |= inside and 20 - more < pz < 90 + more
        assert FROM_THE_RIGHT.project(px, py, pz) == pytest.approx(FROM_THE_RIGHT.project(x, y, z), abs=1e-6)
        if within[-1] is within[1]:
            found.append(within[1])
            assert block.hides((x, y, z)) is within[1], (x, y, z)
    assert 10 < sum(found) < len(found) - 10


@pytest.mark.parametrize("name", DEMOS)
def test_every_lead_in_sight_ends_bare_in_its_hole(name: str) -> None:
    """Right above the hole of a wire stands the metal of its end, unless a part stands before it."""
    circuit, layout = circuit_of(name), layout_of(name)
    picture = tilted_picture(circuit, layout, labels=False)
    left, top, *_ = Sheet(picture.svg).frame
    seen = pixels(picture.svg, picture.width, picture.height).astype(int)
    scale = seen.shape[1] / picture.width
    scene = Scene(circuit, layout, "top", rows_in_use(layout))
    eye = eye_for(scene)
    blocks = [block_of(part, scene.poses[part.id], scene.own_rect(part), eye) for part in scene.on_board]
    metal = [int(palette.METAL[i : i + 2], 16) for i in (1, 3, 5)]
    ends = [hole for wire in layout.wires for hole in (wire.start, wire.end)]
    ends += [hole for beside in scene.beside for hole in layout.holes[beside.part.id]]
    places = [scene.frame.hole(hole) for hole in ends]
    clear = [at for at in places if not any(block.hides((*at, z)) for block in blocks for z in (0.0, 12.0))]
    assert len(clear) >= len(ends) / 2

    def bare(at: tuple[float, float]) -> bool:
        spots = (eye.project(*at, z) for z in range(1, 11))
        found = [seen[int((y - top) * scale), int((x - left) * scale)] for x, y in spots]
        return any(abs(colour - metal).max() < 12 for colour in found)

    assert [at for at in clear if not bare(at)] == []


@pytest.mark.parametrize("name", BOARDS)
def test_labels_lie_on_no_part_and_lead_to_their_own(name: str) -> None:
    """No label lies on another part; a leader ends within the outline of its own (ISO 128-22).

    What stands wholly behind another part has no leader; its label says so, and it is so.
    """
    circuit, layout = circuit_of(name), layout_of(name)
    scene = Scene(circuit, layout, "top", rows_in_use(layout))
    tilted = _Tilted(scene, PLAIN, eye_for(scene))
    tilted._contents(Svg(1, 1, title="", alt=""))
    bodies = {part: hull(points) for part, points in tilted.stands.items() if part}
    sheet = sheet_of(name)
    assert behind_in(sheet) == {}  # as the boards are seen now
    assert faults(sheet, bodies) == []


def behind_in(sheet: Sheet) -> dict[str, str]:
    """Parts whose labels say that they stand behind another, and that other."""
    return dict(re.findall(r"(\w+)[^()|]* \(behind (\w+)\)", "|".join(text.text for text in sheet.texts)))


def test_what_stands_wholly_behind_another_part_is_named_there() -> None:
    """No leader can end on it: its label says behind what it stands, and so it is; its outline is dashed."""
    kinds = catalogue()
    cans = [Part(f"C{n}", kinds["electrolytic"], ("PLUS", "0V"), 1e-3) for n in (1, 2, 3)]
    circuit = Circuit((*cans, Part("D1", kinds["diode-1n4148"], ("PLUS", "0V"))))
    places = {"C1": ("c13", "c14"), "C2": ("e13", "e14"), "C3": ("g13", "g14"), "D1": ("d10", "d13")}
    layout = Layout(board("400"), places)
    scene = Scene(circuit, layout, "top", rows_in_use(layout))
    tilted = _Tilted(scene, PLAIN, eye_for(scene))
    tilted._contents(Svg(1, 1, title="", alt=""))
    sheet = Sheet(tilted_picture(circuit, layout).svg)
    assert behind_in(sheet) == {"D1": "C2"}
    body, can = hull(tilted.stands["D1"]), hull(tilted.stands["C2"])
    edge = [((1 - t) * a[0] + t * b[0], (1 - t) * a[1] + t * b[1])
            for a, b in pairwise((*body, body[0])) for t in (0.0, 0.3, 0.6)]  # fmt: skip
    assert sum(holds(can, at) for at in edge) >= 0.8 * len(edge)
    dashed = [at for line in dashes_of(sheet) for at in line]
    assert sum(abs(within(body, [at])[0]) < 0.5 for at in dashed) > 8


@pytest.mark.parametrize("view", ["top", "half-turned"])
@pytest.mark.parametrize("name", BOARDS)
def test_where_the_supply_goes_in_is_seen_or_named(name: str, view: View) -> None:
    """The end of each lead of the supply is in sight over its hole, or the name of the hole stands there."""
    circuit, layout = circuit_of(name), layout_of(name)
    scene = Scene(circuit, layout, view, rows_in_use(layout))
    eye = eye_for(scene)
    blocks = [block_of(part, scene.poses[part.id], scene.own_rect(part), eye) for part in scene.on_board]
    words = {text.text for text in Sheet(drawn(name, tilted_picture, view=view).svg).texts}
    for beside in scene.beside:
        for hole in layout.holes[beside.part.id]:
            at = scene.frame.hole(hole)
            seen = [z for z in range(1, 16) if not any(block.hides((*at, z)) for block in blocks)]
            assert len(seen) >= 6 or hole_name(hole) in words, hole


@pytest.mark.parametrize(
    ("hole", "eye"), [("a10", FROM_THE_LEFT), ("d10", FROM_THE_RIGHT), ("a2", FROM_THE_RIGHT)]
)
def test_the_board_is_seen_from_the_side_that_hides_no_supply(hole: str, eye: Eye) -> None:
    """A lead that goes in left behind a tall can is seen from the left, right behind it from the right."""
    kinds = catalogue()
    supply = Part("BT1", kinds["supply-9v"], ("PLUS", "0V"))
    can = Part("C1", kinds["electrolytic"], ("PLUS", "0V"), 1e-5)
    layout = Layout(board("400"), {"BT1": (hole, "a20"), "C1": ("c12", "c13")})
    assert eye_for(Scene(Circuit((supply, can)), layout, "top", (1, 30))) == eye


@pytest.mark.parametrize("name", BOARDS)
def test_no_letter_or_number_is_cut_by_a_label(name: str) -> None:
    """A cut number is another number: it is left out (common practice); a leader cuts none either.

    Names of holes are as dark as all labels: red beside a lead would tell that it is the one of plus.
    """
    circuit, layout = circuit_of(name), layout_of(name)
    sheet = sheet_of(name)
    texts = [text for text in sheet.texts if text.fill == palette.INK_SOFT]
    labels = list(labels_of(sheet, set(layout.holes)))
    assert texts
    assert [t.text for t in texts if any(overlap(t.box, plate, 1.0) for _, _, plate in labels)] == []
    leaders = [leader for _, leader, _ in labels if leader]
    assert [t.text for t in texts if any(clip(each, corners(t.box)) > 1 for each in leaders)] == []
    holes = {hole_name(hole) for beside in circuit.parts if beside.type.family == "supply"
             for hole in layout.holes[beside.id]}  # fmt: skip
    assert all(text.fill == palette.INK for text in sheet.texts if text.text in holes)


Places = list[tuple[float, float]]


def dashes_of(sheet: Sheet) -> list[Places]:
    """The dashed lines of a picture, the key's too."""
    lines = [e.attrib for e in sheet.root.iter(f"{SVG}polyline") if e.get("stroke-dasharray") == DASH]
    places = [[float(figure) for figure in line["points"].replace(",", " ").split()] for line in lines]
    return [list(zip(each[::2], each[1::2], strict=True)) for each in places]


@cache
def tilted_of(name: str) -> _Tilted:
    """A board from above and aside without its labels."""
    scene = Scene(circuit_of(name), layout_of(name), "top", rows_in_use(layout_of(name)))
    tilted = _Tilted(scene, PLAIN, eye_for(scene))
    tilted._contents(Svg(1, 1, title="", alt=""))
    return tilted


@pytest.mark.parametrize("name", BOARDS)
def test_what_is_hidden_is_dashed(name: str) -> None:
    """Hidden edges are dashed (ISO 128-2): to the hole of a formed wire before which a part stands.

    So is the outline of a part of which hardly anything is in sight; a key tells it, and only where it is so.
    """
    tilted, layout = tilted_of(name), layout_of(name)
    sheet = sheet_of(name)
    dashes = dashes_of(sheet)
    bodies = {part: hull(points) for part, points in tilted.stands.items() if part in tilted.order}
    ends = [place for line in dashes for place in (line[0], line[-1])]
    lost = 0
    for wire in layout.wires:
        for hole in (wire.start, wire.end) if wire.style != "flexible" else ():
            x, y = tilted.scene.frame.hole(hole)
            tip, base = (tilted.eye.project(x, y, z) for z in (12.0, 0.0))
            if any(all(within(body, [at])[0] > 9 for at in (tip, base)) for body in bodies.values()):
                lost += 1
                assert any(math.dist(base, end) < 1 for end in ends), (wire, hole)
    order = list(tilted.order)
    for rank, part in enumerate(order):
        x0, x1 = min(x for x, _ in bodies[part]), max(x for x, _ in bodies[part])
        y0, y1 = min(y for _, y in bodies[part]), max(y for _, y in bodies[part])
        grid = [
            (x0 + (x1 - x0) * u / 12, y0 + (y1 - y0) * v / 12) for u, v in product(range(1, 12), repeat=2)
        ]
        inner = [at for at in grid if within(bodies[part], [at])[0] > 0]
        fronts = [bodies[other] for other in order[rank + 1 :]]
        shown = sum(not any(within(front, [at])[0] > 0 for front in fronts) for at in inner) / len(inner)
        rim = [at for line in dashes for at in line if abs(within(bodies[part], [at])[0]) < 0.5]
        if shown < 0.4:
            lost += 1
            assert len(rim) > 8, part
    on, off = map(float, DASH.split())
    for line in dashes:  # one dash alone does not read as a line
        assert sum(math.dist(a, b) for a, b in pairwise(line)) >= 2 * on + off
    told = [text for text in sheet.texts if text.text == UNSEEN]
    assert len(told) == bool(dashes)
    assert bool(dashes) or not lost


def test_holes_of_wires_are_hidden_on_many_boards() -> None:
    """Without any the test above would prove nothing."""
    found = [len(dashes_of(sheet_of(n))) for n in BOARDS]
    assert sum(count > 2 for count in found) >= len(BOARDS) / 2


@pytest.mark.parametrize(("wire", "eye"), [(("a9", "b9"), FROM_THE_LEFT), (("d9", "e9"), FROM_THE_RIGHT)])
def test_the_board_is_seen_from_the_side_that_shows_more(wire: tuple[str, str], eye: Eye) -> None:
    """A wire left behind a tall can is seen from the left, one right behind it from the right."""
    can = Part("C1", catalogue()["electrolytic"], ("PLUS", "0V"), 1e-5)
    layout = Layout(board("400"), {"C1": ("c12", "c13")}, (Wire(*wire, "red"),))
    assert eye_for(Scene(Circuit((can,)), layout, "top", (1, 30))) == eye


@pytest.mark.parametrize("name", BOARDS)
def test_rows_are_counted_from_some_number(name: str) -> None:
    """Each board has three row numbers at least, no two of one side nearer than four rows.

    Where each fifth is hidden others stand; numbers closer together would be clutter (our choice).
    """
    tilted = tilted_of(name)
    sheet = sheet_of(name)
    found = [text for text in sheet.texts if text.text.isdigit() and text.fill == palette.INK_SOFT]
    assert len(found) >= 3
    sides: dict[bool, list[int]] = {False: [], True: []}
    for text in found:
        middle = tilted.eye.project(*tilted.scene.frame.point(5.5, int(text.text)))
        sides[text.box[0] > middle[0]].append(int(text.text))
    for rows in sides.values():
        assert all(abs(a - b) >= 4 for a, b in combinations(rows, 2))


def test_rows_of_all_boards_have_numbers() -> None:
    """Over the demos' boards there are more than the fifths alone, of which parts and wires hide a third."""
    texts = [text for n in BOARDS for text in sheet_of(n).texts]
    numbers = [int(text.text) for text in texts if text.text.isdigit() and text.fill == palette.INK_SOFT]
    assert len(numbers) >= 110
    assert sum(number % 5 != 0 and number != 1 for number in numbers) >= 40


@pytest.mark.parametrize("holes", [("c12", "c13"), ("c13", "c12"), ("b12", "e12"), ("e12", "b12")])
@pytest.mark.parametrize("view", ["top", "half-turned"])
def test_the_minus_of_a_can_is_seen_from_any_side(holes: tuple[str, str], view: View) -> None:
    """A can bears its minus sign at the minus lead (common practice), also where its stripe faces away."""
    can = Part("C1", catalogue()["electrolytic"], ("PLUS", "0V"), 1e-5)
    layout = Layout(board("400"), {"C1": holes})
    picture = tilted_picture(Circuit((can,)), layout, view=view)
    edge = look_of(can.type).edge
    signs = [line for width, stroke, line in Sheet(picture.svg).lines if (width, stroke) == ("3", edge)]
    assert len(signs) in (1, 2)
    scene = Scene(Circuit((can,)), layout, view, (1, 30))
    plus, minus = (eye_for(scene).project(*scene.frame.hole(hole), 100.0) for hole in holes)
    for (x0, y0), (x1, y1) in signs:
        assert y0 == pytest.approx(y1)  # level, as a minus is written
        middle = ((x0 + x1) / 2, (y0 + y1) / 2)
        if len(signs) == 1:  # on the top, on the side of the minus lead
            assert math.dist(middle, minus) < math.dist(middle, plus)


@pytest.mark.parametrize("tone", [PLAIN, HIGH_CONTRAST], ids=lambda tone: tone.name)
def test_a_white_wire_has_the_outline_that_it_has_from_above(tone: palette.Tone) -> None:
    """A white wire on a white board is told by its outline alone: as wide and dark in both pictures."""
    layout = Layout(board("400"), {}, (Wire("b5", "b12", "white"),))
    above = board_picture(Circuit(()), layout, tone=tone, muted=False)
    rims = []
    for picture in (tilted_picture(Circuit(()), layout, tone=tone), above):
        strokes = [(e.get("stroke"), float(e.get("stroke-width", 0))) for e in Sheet(picture.svg).root.iter()]
        white = next(n for n, (ink, _) in enumerate(strokes) if ink == palette.wire_colour("white"))
        rims.append((strokes[white - 1], strokes[white]))
    assert rims[0] == rims[1]
    (casing, thick), (_, inner) = rims[0]
    assert casing is not None
    assert palette.contrast(casing, tone.colour(palette.BOARD)) >= 3
    assert thick - inner >= 5


def test_labels_lie_on_no_lead_and_no_hole_in_use() -> None:
    """A lead under a label seems to end there, and a hole in use is what one looks for (our choice).

    Over 20 boards with 230 labels one lies on a lead, one on a hole in use: parts stand close there.
    """
    on_leads, on_holes, count = 0, 0, 0
    for name in BOARDS:
        tilted, layout = tilted_of(name), layout_of(name)
        sheet = sheet_of(name)
        leads = [pair for lines in tilted.leads.values() for line in lines for pair in pairwise(line)]
        holes = [tilted.eye.project(*tilted.scene.frame.hole(hole)) for hole in tilted.scene.used]
        for _, _, plate in labels_of(sheet, set(layout.holes)):
            count += 1
            on_leads += any(clip(pair, corners(plate)) > 2 for pair in leads)
            on_holes += any(plate[0] < x < plate[2] and plate[1] < y < plate[3] for x, y in holes)
    assert count == 230
    assert (on_leads, on_holes) <= (1, 1)
    assert on_holes <= 1


# A 16-pin body is 19.3 mm long (TI SLFS022 and others): eleven characters of 2.5 mm find room along it.
CHIP = (*(f"e{row}" for row in range(8, 16)), *(f"f{row}" for row in range(15, 7, -1)))


@pytest.mark.parametrize("holes", [CHIP, (*CHIP[8:], *CHIP[:8])], ids=["notch above", "notch below"])
@pytest.mark.parametrize(
    "lamps", [{}, {"DS1": ("e16", "e17"), "DS2": ("f16", "f17")}], ids=["free", "hidden"]
)
def test_a_long_ic_bears_its_name(holes: tuple[str, ...], lamps: dict[str, tuple[str, ...]]) -> None:
    """Within its upper face, as large as the other texts; where lamps hide that it has a label instead."""
    kinds = catalogue()
    chip = kinds["counter-4017"]
    parts = [Part("U2", chip, tuple(f"N{n}" for n in range(16)))]
    parts += [Part(name, kinds["led-red"], ("N1", "N2")) for name in lamps]
    layout = Layout(board("400"), {"U2": holes, **lamps})
    circuit = Circuit(tuple(parts))
    picture = tilted_picture(circuit, layout)
    sheet, scene = Sheet(picture.svg), Scene(circuit, layout, "top", rows_in_use(layout))
    (text,) = (text for text in sheet.texts if text.text.startswith("U2"))
    assert text.text == "U2 CD4017BE"
    assert picture.smallest_text >= 19.9
    assert bool(list(labels_of(sheet, {"U2"}))) is bool(lamps)
    if not lamps:
        eye, pose = eye_for(scene), scene.poses["U2"]
        half, long = chip.body.width * 5, chip.body.length * 5
        face = [(-half, -long), (half, -long), (half, long), (-half, long)]
        outline = hull(eye.project(*pose.place(corner), chip.body.height * 10) for corner in face)
        middle = ((text.box[0] + text.box[2]) / 2, (text.box[1] + text.box[3]) / 2)
        assert within(outline, [middle])[0] > 20
        assert text.box[1] > min(y for _, y in outline)
        assert text.box[3] < max(y for _, y in outline)
        assert text.fill == look_of(chip).print
