"""Close-ups: the wrong one is what the slip says, the right one is the layout's own, both are readable."""

import math
import re
from dataclasses import replace
from itertools import combinations, pairwise

import pytest

from buildalong.board import Layout, Wire, board
from buildalong.build.steps import make_steps
from buildalong.circuit import Circuit, Part
from buildalong.drawing import (
    HIGH_CONTRAST,
    PLAIN,
    Picture,
    bridge_closeup,
    closeup,
    missing_characters,
    net_colours,
    shown_slips,
)
from buildalong.drawing import _palette as palette
from buildalong.drawing._closeup import _tints
from buildalong.drawing._frame import View
from buildalong.drawing._look import look_of
from buildalong.drawing._scene import Scene
from buildalong.drawing._slip_words import slip_words
from buildalong.drawing._slips import misplaced
from buildalong.drawing._words import leg_words
from buildalong.parts import Slip, catalogue
from buildalong.publish._closeups import closeups_of

from ._demo import BOARDS, DEMOS, circuit_of, layout_of
from ._measure import SVG, Sheet, crosses, overlap

SHOWN = [
    (name, part.id, slip.kind)
    for name in DEMOS
    for part in circuit_of(name).parts
    for slip in (shown_slips(part, layout_of(name)) if part.id in layout_of(name).holes else ())
]


def shown(name: str, part: str, kind: str) -> tuple[Picture, Slip]:
    """The close-up of a slip of a demo."""
    circuit = circuit_of(name)
    slip = next(s for s in circuit.by_id[part].type.slips if s.kind == kind)
    picture = closeup(circuit, layout_of(name), part, slip)
    assert picture is not None
    return picture, slip


def one(kind: str, holes: tuple[str, ...], value: float | None = None) -> tuple[Part, Layout]:
    part_type = catalogue()[kind]
    nets = tuple(f"N{index}" for index in range(len(part_type.terminals)))
    return Part("X1", part_type, nets, value), Layout(board("400"), {"X1": holes})


# Pins of a DIP count anticlockwise from the notch (JEDEC practice; TI SLFS022): turned by half a turn
# pin 1 stands where pin n/2 + 1 belongs.  Legs 1 and 2 of a tact switch's side are joined (Omron B3F).
DIP8 = ("e5", "e6", "e7", "e8", "f8", "f7", "f6", "f5")
WRONG = [
    ("led-red", None, ("a3", "a4"), "reversed", ("a4", "a3")),
    ("electrolytic", 1e-5, ("a3", "a4"), "reversed", ("a4", "a3")),
    ("diode-1n4148", None, ("c3", "c6"), "reversed", ("c6", "c3")),
    ("timer-555", None, DIP8, "reversed", (*DIP8[4:], *DIP8[:4])),
    ("timer-555", None, DIP8, "off-by-one", ("e4", "e5", "e6", "e7", "f7", "f6", "f5", "f4")),
    ("timer-555", None, DIP8[4:] + DIP8[:4], "off-by-one", ("f9", "f8", "f7", "f6", "e6", "e7", "e8", "e9")),
    ("npn-bc547", None, ("b3", "b4", "b5"), "leg-order", ("b5", "b4", "b3")),
    ("push-button", None, ("e3", "f3", "e5", "f5"), "rotated", ("e3", "e5", "f3", "f5")),
    ("resistor", 330.0, ("c7", "c11"), "one-strip", ("a7", "e7")),
    ("resistor", 330.0, ("c7", "c11"), "wrong-decade", None),
    ("timer-555", None, DIP8, "swapped-pins", None),
]


@pytest.mark.parametrize(("kind", "value", "holes", "slip", "wrong"), WRONG)
def test_what_each_slip_does(
    kind: str, value: float | None, holes: tuple[str, ...], slip: str, wrong: tuple[str, ...] | None
) -> None:
    """A slip moves the leads as its sentence says; one that moves none gives no close-up."""
    part, layout = one(kind, holes, value)
    found = misplaced(part, layout, slip)
    assert (found.holes["X1"] if found else None) == wrong
    entry = next(s for s in part.type.slips if s.kind == slip)
    assert (closeup(Circuit((part,)), layout, "X1", entry) is None) == (wrong is None)


# JEDEC practice for the IC's rows; the stripe of an electrolytic capacitor and the flat of an LED's rim are
# at minus (common practice).  Legs down and flat face towards you a BC547's are C, B, E from left to right
# (its data sheet): with C in row 3 and E in row 5 you stand at column a.
PLACED_WORDS = [
    ("timer-555", DIP8, "off-by-one", "in rows 4 to 7 instead of 5 to 8,"),
    ("timer-555", DIP8[4:] + DIP8[:4], "off-by-one", "in rows 6 to 9 instead of 5 to 8,"),
    ("electrolytic", ("a3", "a4"), "reversed", "the stripe belongs at hole a4."),
    ("electrolytic", ("L+3", "L-4"), "reversed", "the stripe belongs at hole 4 of the left minus rail."),
    ("led-red", ("a3", "a4"), "reversed", "the flat edge belongs at hole a4, the longer lead in hole a3."),
    ("npn-bc547", ("b3", "b4", "b5"), "leg-order", "the flat face must look to column a."),
    ("npn-bc547", ("b5", "b4", "b3"), "leg-order", "the flat face must look to column j."),
    ("diode-1n4148", ("c3", "c6"), "reversed", "The stripe is at the wrong end,"),
]


@pytest.mark.parametrize(("kind", "holes", "slip", "said"), PLACED_WORDS)
def test_a_slip_is_said_with_its_places(kind: str, holes: tuple[str, ...], slip: str, said: str) -> None:
    """What is said below the picture names the rows, holes and the side seen in it."""
    part, layout = one(kind, holes, 1e-5 if kind == "electrolytic" else None)
    entry = next(s for s in part.type.slips if s.kind == slip)
    picture = closeup(Circuit((part,)), layout, "X1", entry)
    assert picture is not None
    assert said in picture.alt.partition("Wrong: ")[2]


def test_for_a_left_hand_the_rail_is_named_as_it_lies() -> None:
    """Turned by half a turn the left minus rail is at the right."""
    part, layout = one("electrolytic", ("L+3", "L-4"), 1e-5)
    picture = closeup(Circuit((part,)), layout, "X1", part.type.slips[0], view="half-turned")
    assert picture is not None
    assert "the stripe belongs at hole 4 of the right minus rail." in picture.alt


@pytest.mark.parametrize(("first", "way"), [(2, 1), (3, -1), (17, -1), (20, -1)])
@pytest.mark.parametrize("turned", [False, True])
def test_the_ring_where_pin_1_belongs_is_far_from_its_label(first: int, way: int, turned: bool) -> None:
    """An IC a row off stands off towards pin 1, where the board has a row for its label; else the other way.

    Its label stands beyond pin 1, so what belongs there is ringed at the other end of the body.
    """
    rows = (*range(first, first + 8), *reversed(range(first, first + 8)))
    holes = tuple(f"{'e' if n < 8 else 'f'}{31 - row if turned else row}" for n, row in enumerate(rows))
    part, layout = one("counter-4017", holes)
    found = misplaced(part, layout, "off-by-one")
    assert found is not None
    moved = int(found.holes["X1"][0][1:]) - int(holes[0][1:])
    assert moved == (-way if turned else way)


def test_strips_bear_the_colours_of_the_contacts() -> None:
    """Joined legs stand in strips of one colour; turned, each joined pair bridges two (Omron B3F)."""
    part, layout = one("push-button", ("e3", "f3", "e5", "f5"))
    colours = net_colours(Circuit((part,)))
    tints = _tints(part, [layout, replace(layout, holes={"X1": ("e3", "e5", "f3", "f5")})], colours)
    colour = {hole: tints[layout.board.strip_of[hole]] for hole in layout.holes["X1"]}
    assert colour["e3"] == colour["f3"] != colour["e5"] == colour["f5"]
    lamp, there = one("led-red", ("a3", "a4"))
    assert _tints(lamp, [there, there], colours) == {}


def test_strips_have_the_colours_of_their_nets() -> None:
    """A strip has one colour on the board and in a close-up, a rail too: one assignment of colours."""
    circuit, layout = circuit_of("dusk-light"), layout_of("dusk-light")
    railed = 0
    for part in circuit.parts:
        for slip in shown_slips(part, layout):
            if slip.kind != "one-strip":
                continue
            colours = net_colours(circuit, layout)
            wrong = misplaced(part, layout, slip.kind)
            assert wrong is not None
            tints = _tints(part, [layout, wrong], colours)
            for hole, net in zip(layout.holes[part.id], part.nets, strict=True):
                assert net is not None
                assert tints[layout.board.strip_of[hole]] == colours[net]
                if hole[0] in "LR":
                    railed += 1
                    picture = closeup(circuit, layout, part.id, slip)
                    assert picture is not None
                    assert picture.svg.count(f'stroke="{colours[net].hex}" stroke-width="17"') == 2
    assert railed


def test_a_turned_button_joins_what_it_should_switch() -> None:
    """Turned by 90°, legs of one piece stand in different rows (common practice); as built, in one."""
    part, layout = one("push-button", ("e3", "f3", "e5", "f5"))
    wrong = misplaced(part, layout, "rotated")
    assert wrong is not None
    for each, rows in ((layout, 1), (wrong, 2)):
        first = [h for h, t in zip(each.holes["X1"], part.type.leg_terminals, strict=True) if t == "1"]
        assert len({each.board.row_of(hole) for hole in first}) == rows


@pytest.mark.parametrize(("name", "part", "kind"), SHOWN)
def test_every_closeup_of_the_demos_is_readable(name: str, part: str, kind: str) -> None:
    """Right and wrong are said in words and signs; texts stay inside and apart; 20 units at least."""
    picture, slip = shown(name, part, kind)
    assert missing_characters(picture) == ()
    assert picture.smallest_text >= 20
    assert picture.print_width() <= 82
    assert picture.alt.startswith("Right: ")
    circuit, layout = circuit_of(name), layout_of(name)
    wrong = misplaced(circuit.by_id[part], layout, kind)
    assert wrong is not None
    assert picture.alt.endswith(f"Wrong: {slip_words(circuit.by_id[part], layout, wrong, slip)}")
    sheet = Sheet(picture.svg)
    words = [t.text for t in sheet.texts]
    assert words.count("Right") == words.count("Wrong") == 1
    x0, y0, x1, y1 = sheet.frame
    for text in sheet.texts:
        assert x0 <= text.box[0] <= text.box[2] <= x1, text
        assert y0 <= text.box[1] <= text.box[3] <= y1, text
    for a, b in combinations(sheet.texts, 2):
        assert not overlap(a.box, b.box), (a.text, b.text)


@pytest.mark.parametrize(("name", "part", "kind"), SHOWN)
def test_labels_of_a_closeup_keep_clear(name: str, part: str, kind: str) -> None:
    """Each label stands inside the frame with room around it, and over no hole in use."""
    picture, _ = shown(name, part, kind)
    sheet = Sheet(picture.svg)
    rects = [e.attrib for e in sheet.root.iter() if e.tag.endswith("rect")]
    frames = [
        tuple(float(a[key]) for key in ("x", "y", "width", "height"))
        for a in rects
        if a.get("stroke-width") == "3.2"
    ]
    assert len(frames) == 2
    dots = [c for c in sheet.circles if c.r < 9 and c.fill == palette.METAL]
    for text in sheet.texts:
        if text.fill not in (palette.RIGHT, palette.WRONG) or text.text in ("Right", "Wrong"):
            continue
        if text.box[1] > frames[0][1] + frames[0][3]:
            continue  # the sentence below
        x, y, wide, high = next(f for f in frames if f[0] < text.box[0] < f[0] + f[2])
        assert x + 6 <= text.box[0] <= text.box[2] <= x + wide - 6, text
        assert y + 4 <= text.box[1] <= text.box[3] <= y + high - 4, text
        for dot in dots:
            assert not overlap(text.box, (dot.x - dot.r, dot.y - dot.r, dot.x + dot.r, dot.y + dot.r)), text


LINE = r'<line x1="([-\d.]+)" y1="([-\d.]+)" x2="([-\d.]+)" y2="([-\d.]+)" stroke="#\w+" stroke-width="2.2"/>'
PLATE = r'<rect x="([-\d.]+)" y="([-\d.]+)" width="([\d.]+)" height="([\d.]+)" rx="4" fill="#\w+"/>'
WINDOW = r'<g clip-path="[^"]+">\s*<g transform="translate\(([-\d.]+) ([-\d.]+)\) scale\(([\d.]+)\)">'


Line = tuple[tuple[float, float], tuple[float, float]]


def leaders_of(picture: Picture) -> list[Line]:
    """The leaders of a close-up, from the label to the hole."""
    return [((a, b), (c, d)) for a, b, c, d in (map(float, line) for line in re.findall(LINE, picture.svg))]


def off(point: tuple[float, float], line: Line) -> float:
    """Distance of a point from a line with two ends."""
    (x1, y1), (x2, y2) = line
    along = ((point[0] - x1) * (x2 - x1) + (point[1] - y1) * (y2 - y1)) / ((x2 - x1) ** 2 + (y2 - y1) ** 2)
    along = min(max(along, 0.0), 1.0)
    return math.hypot(point[0] - x1 - along * (x2 - x1), point[1] - y1 - along * (y2 - y1))


@pytest.mark.parametrize(("name", "part", "kind"), SHOWN)
def test_leaders_of_a_closeup_are_seen_and_lead_to_one_hole(name: str, part: str, kind: str) -> None:
    """Ten units of each leader are seen (ISO 128-2, from memory: leader lines are not crossed by others).

    And on its way to its own hole it runs over none that a learner could take for it.
    """
    picture, _ = shown(name, part, kind)
    frame = Scene(circuit_of(name), layout_of(name), "top", (1, 1)).frame
    windows = [tuple(map(float, found)) for found in re.findall(WINDOW, picture.svg)]
    assert len(windows) == 2
    plates = [(x, y, x + w, y + h) for x, y, w, h in (map(float, p) for p in re.findall(PLATE, picture.svg))]
    middle, leaders = picture.width / 2, re.findall(LINE, picture.svg)
    assert len(leaders) == len(plates)
    for x1, y1, x2, y2 in (map(float, line) for line in leaders):
        assert math.hypot(x2 - x1, y2 - y1) >= 10
        left, top, scale = windows[x2 > middle]
        for point in map(frame.hole, layout_of(name).board.holes):
            x, y = left + scale * point[0], top + scale * point[1]
            hidden = any(a - 1 < x < c + 1 and b - 1 < y < d + 1 for a, b, c, d in plates)
            if math.hypot(x2 - x, y2 - y) < 7 * scale or hidden:
                continue  # its own, or below a label
            assert off((x, y), ((x1, y1), (x2, y2))) > 5 * scale, (x, y)


@pytest.mark.parametrize(
    "holes", [("a44", "a43"), ("a43", "a44"), ("c9", "c10"), ("e5", "e8"), ("j20", "j19")]
)
def test_no_leader_covers_the_minus_on_a_can(holes: tuple[str, str]) -> None:
    """It is the very thing to look at, on both boards (minus signs on a can's stripe: common practice)."""
    part, _ = one("electrolytic", holes, 1e-5)
    picture = closeup(Circuit((part,)), Layout(board("830"), {"X1": holes}), "X1", part.type.slips[0])
    assert picture is not None
    edge = look_of(part.type).edge
    signs = [line for width, stroke, line in Sheet(picture.svg).lines if (width, stroke) == ("3.2", edge)]
    assert len(signs) == 2
    for (x0, y0), (x1, y1) in signs:
        for share in (0.0, 0.25, 0.5, 0.75, 1.0):
            point = (x0 + (x1 - x0) * share, y0 + (y1 - y0) * share)
            assert all(off(point, line) > 3 for line in leaders_of(picture))


def test_where_there_is_room_leaders_are_level() -> None:
    """Beside a can in column a nothing stands: both its names are at the height of their leads."""
    part, _ = one("electrolytic", ("a44", "a43"), 1e-5)
    layout = Layout(board("830"), {"X1": ("a44", "a43")})
    picture = closeup(Circuit((part,)), layout, "X1", part.type.slips[0])
    assert picture is not None
    assert len(leaders_of(picture)) == 4
    assert all(abs(start[1] - end[1]) < 1 for start, end in leaders_of(picture))


@pytest.mark.parametrize("kind", ["timer-555", "comparator-lm393", "counter-4017"])
@pytest.mark.parametrize("first", [2, 9, 43])
def test_a_leader_keeps_off_the_place_where_the_part_belongs(kind: str, first: int) -> None:
    """It runs through no ring around a free hole, nor over the dashed outline or along it."""
    rows = range(first, first + len(catalogue()[kind].terminals) // 2)
    holes = (*(f"e{row}" for row in rows), *(f"f{row}" for row in reversed(rows)))
    part, _ = one(kind, holes)
    slip = next(s for s in part.type.slips if s.kind == "off-by-one")
    picture = closeup(Circuit((part,)), Layout(board("830"), {"X1": holes}), "X1", slip)
    assert picture is not None
    sheet = Sheet(picture.svg)
    left, top, scale = map(float, re.findall(WINDOW, picture.svg)[1])
    (line,) = (line for line in leaders_of(picture) if line[1][0] > picture.width / 2)
    rings = [c for c in sheet.circles if c.stroke == palette.RIGHT and c.fill == "none" and c.x > 200]
    assert len(rings) == 2  # that of the key apart
    assert all(off((ring.x, ring.y), line) > ring.r + 1 for ring in rings)
    (box,) = (e.attrib for e in sheet.root.iter(f"{SVG}rect") if e.get("stroke-dasharray") == "8 5")
    x, y, wide, high = (float(box[key]) for key in ("x", "y", "width", "height"))
    corners = [(x, y), (x + wide, y), (x + wide, y + high), (x, y + high), (x, y)]
    for side in pairwise([(left + scale * a, top + scale * b) for a, b in corners]):
        assert not crosses(line, side)
        assert all(off(end, side) > 2 for end in line)


def test_signs_differ_in_shape_and_line() -> None:
    """A tick in a disc with a full frame, a cross in a square with a dashed one (WCAG 2.2, 1.4.1)."""
    part, layout = one("led-red", ("a3", "a4"))
    picture = closeup(Circuit((part,)), layout, "X1", part.type.slips[0])
    assert picture is not None
    frames = [
        e
        for e in Sheet(picture.svg).root.iter()
        if e.tag.endswith("rect") and e.attrib.get("stroke-width") == "3.2"
    ]
    assert [e.attrib.get("stroke-dasharray") for e in frames] == [None, "10 6"]
    assert [e.attrib["stroke"] for e in frames] == [palette.RIGHT, palette.WRONG]


@pytest.mark.parametrize("tone", [PLAIN, HIGH_CONTRAST], ids=lambda tone: tone.name)
def test_words_of_right_and_wrong_have_contrast(tone: palette.Tone) -> None:
    """4.5:1 on the page and on labels (WCAG 2.2, 1.4.3)."""
    for colour in (palette.RIGHT, palette.WRONG):
        for ground in (palette.PAPER, palette.TAG, palette.BOARD):
            assert palette.contrast(tone.colour(colour), tone.colour(ground)) >= 4.5


def test_the_gap_of_a_split_rail() -> None:
    """A wire over the gap of a split rail has a close-up without it; any other wire has none."""
    layout = Layout(board("830-split"), {}, (Wire("L+25", "L+26", "red"), Wire("L+1", "a1", "red")))
    picture = bridge_closeup(Circuit(()), layout, 0)
    assert picture is not None
    assert "not bridged" in picture.alt
    assert bridge_closeup(Circuit(()), layout, 1) is None


@pytest.mark.parametrize(("name", "part", "kind"), SHOWN)
def test_holes_of_rails_are_named_as_elsewhere(name: str, part: str, kind: str) -> None:
    """No 'R-5', which reads as a resistor: '− rail, 5' beside the lead and in the words."""
    picture, _ = shown(name, part, kind)
    assert re.search(r"\b[LR][+-]\d", picture.svg) is None
    texts = [text.text for text in Sheet(picture.svg).texts]
    for hole in layout_of(name).holes[part]:
        if hole[0] in "LR":
            sign = {"+": "+", "-": "−"}[hole[1]]
            assert any(text.endswith(f"{sign} rail, {hole[2:]}") for text in texts), (hole, texts)
            assert f"{sign} rail, {hole[2:]}" in picture.alt


def test_the_sentence_has_the_colour_of_the_wrong_one() -> None:
    picture, _ = shown("lighthouse", "DS1", "reversed")
    assert re.search(rf'fill="{palette.WRONG}"[^>]*>It stands the wrong way', picture.svg)


def test_the_right_place_is_shown_where_the_part_stands_elsewhere() -> None:
    """A row too far: the wrong board shows the right rows as an outline with a key; legs name their holes."""
    part, layout = one("timer-555", DIP8)
    slip = next(s for s in part.type.slips if s.kind == "off-by-one")
    assert "up or down" in slip.sentence
    picture = closeup(Circuit((part,)), layout, "X1", slip)
    assert picture is not None
    root = Sheet(picture.svg).root
    boxes = root.iter(f"{SVG}rect")
    dashed = [e.attrib for e in boxes if e.attrib.get("stroke-dasharray") == "8 5"]
    assert len(dashed) == 1
    # Ten units to the millimetre, rows 2.54 mm apart from row 1 on; it belongs on rows 5 to 8.
    middle = float(dashed[0]["y"]) + float(dashed[0]["height"]) / 2
    assert middle == pytest.approx(((5 + 8) / 2 - 1) * 25.4, abs=0.1)
    words = [text.text for text in Sheet(picture.svg).texts]
    assert {"here it belongs", "pin 1 in e5", "pin 1 in e4"} <= set(words)
    # Rings round the holes of row 8, which nothing stands in, and in the key.
    assert picture.svg.count('r="7.5"') == 2 + 1


def test_what_is_joined_inside_has_a_key() -> None:
    part, layout = one("push-button", ("e3", "f3", "e5", "f5"))
    slip = next(s for s in part.type.slips if s.kind == "rotated")
    picture = closeup(Circuit((part,)), layout, "X1", slip)
    assert picture is not None
    assert "always joined inside the part" in [text.text for text in Sheet(picture.svg).texts]
    assert picture.svg.count('stroke-dasharray="9 5"') == 2 * 2 + 1  # a line a pair, and the key's


@pytest.mark.parametrize("kind", ["push-button"])
@pytest.mark.parametrize("slip", ["rotated"])
def test_what_is_joined_inside_is_drawn_inside(kind: str, slip: str) -> None:
    """On both boards the line from leg to leg runs within the body; outside it would be a wire.

    What "1" and "2" at its legs are is said: beside an IC they would be pins.
    """
    part, layout = one(kind, ("e3", "f3", "e5", "f5"))
    picture = closeup(Circuit((part,)), layout, "X1", next(s for s in part.type.slips if s.kind == slip))
    assert picture is not None
    sheet, (left, top, right, bottom) = Sheet(picture.svg), Scene(Circuit((part,)), layout, "top",
                                                                  (1, 12)).body_rect(part)  # fmt: skip
    joins = [e.attrib["d"] for e in sheet.root.iter(f"{SVG}path") if e.get("stroke-dasharray") == "9 5"]
    assert len(joins) == 4
    for data in joins:
        places = [float(figure) for figure in re.findall(r"-?[\d.]+", data)]
        assert all(left < x < right for x in places[::2])
        assert all(top < y < bottom for y in places[1::2])
    words = [text.text for text in sheet.texts]
    assert "1, 2" in words
    assert "first contact and second contact" in words


def test_a_contact_of_two_legs_is_named_once() -> None:
    """A button's contact has two legs (Omron B3F): "first contact in e3 and f3"."""
    part, layout = one("push-button", ("e3", "f3", "e5", "f5"))
    picture = closeup(Circuit((part,)), layout, "X1", part.type.slips[0])
    assert picture is not None
    assert "first contact in e3 and f3, second contact in e5 and f5" in picture.alt


def plates_of(picture: Picture) -> list[tuple[float, float, float, float]]:
    """The grounds of labels: left, top, right, bottom."""
    found = (map(float, plate) for plate in re.findall(PLATE, picture.svg))
    return [(x, y, x + w, y + h) for x, y, w, h in found]


@pytest.mark.parametrize(("name", "part", "kind"), SHOWN)
def test_labels_stand_alike_on_both_boards(name: str, part: str, kind: str) -> None:
    """What is compared is set out alike (Tufte, The visual display, small multiples; from memory).

    Where the same holes are named on both, each label's leader runs alike, and none but the word differs.
    """
    picture, _ = shown(name, part, kind)
    item, right, wrong = circuit_of(name).by_id[part], layout_of(name), misplaced(
        circuit_of(name).by_id[part], layout_of(name), kind)  # fmt: skip
    assert wrong is not None
    told = [{hole for hole, word in zip(layout.holes[part], leg_words(item), strict=True)
             if word or hole[0] in "LR"} for layout in (right, wrong)]  # fmt: skip
    windows = [tuple(map(float, found)) for found in re.findall(WINDOW, picture.svg)]
    alike: list[set[tuple[int, ...]]] = [set(), set()]
    for (x0, y0), (x1, y1) in leaders_of(picture):
        board = x1 > picture.width / 2
        left = windows[board][0]
        alike[board].add((round(x0 - left), round(y0), round(x1 - left), round(y1)))
    assert [len(lines) for lines in alike] == [len(holes) for holes in told]
    assert alike[0] == alike[1] or told[0] != told[1]
    assert [text.text for text in Sheet(picture.svg).texts].count(part) == 2


LAMPS = [(column, row, step) for column in "abcdefghij" for row in (1, 14, 29) for step in (1, 2)]


@pytest.mark.parametrize("turned", [False, True])
@pytest.mark.parametrize(("column", "row", "step"), LAMPS)
def test_nothing_lies_on_the_flat_side_of_a_lamp(column: str, row: int, step: int, turned: bool) -> None:
    """The flat marks the cathode (common practice): no leader, no label touches it, wherever it stands."""
    holes = (f"{column}{row}", f"{column}{row + step if row + step < 31 else row - step}")
    part, layout = one("led-red", holes[::-1] if turned else holes)
    picture = closeup(Circuit((part,)), layout, "X1", part.type.slips[0])
    wrong = misplaced(part, layout, "reversed")
    assert picture is not None
    assert wrong is not None
    windows = [tuple(map(float, found)) for found in re.findall(WINDOW, picture.svg)]
    rim, seen = part.type.body.length * 5, 0
    for (left, top, scale), stands in zip(windows, (layout, wrong), strict=True):
        pose = Scene(Circuit((part,)), stands, "top", (1, 30)).poses["X1"]
        for share in (-0.5, -0.25, 0.0, 0.25, 0.5):
            x, y = pose.place((rim * 0.86, rim * share))
            if any(math.dist((x, y), leg) < 7 for leg in map(pose.place, pose.legs)):
                continue  # here a lead comes out
            at = left + scale * x, top + scale * y
            seen += 1
            assert all(off(at, line) > 3 for line in leaders_of(picture)), share
            assert not any(a < at[0] < c and b < at[1] < d for a, b, c, d in plates_of(picture))
    assert seen >= 8


RAILED = [
    (name, part.id)
    for name in BOARDS
    for part in circuit_of(name).parts
    if any(hole[0] in "LR" for hole in layout_of(name).holes.get(part.id, ()))
    and shown_slips(part, layout_of(name))
]


@pytest.mark.parametrize(("name", "part"), RAILED)
@pytest.mark.parametrize("view", ["top", "half-turned"])
def test_numbers_stand_where_they_do_on_the_board(name: str, part: str, view: View) -> None:
    """At the edge, upright, are numbers of rows, each in line with its row; bold those of holes in strips.

    Numbers of a rail's holes are italic, between its two lines of holes and beside their own, as in pictures
    of steps; the one that is two holes at most from what matters is there, unless the other lead hides it.
    """
    circuit, layout = circuit_of(name), layout_of(name)
    picture = closeup(circuit, layout, part, shown_slips(circuit.by_id[part], layout)[0], view=view)
    assert picture is not None
    sheet, frame = Sheet(picture.svg), Scene(circuit, layout, view, (1, 1)).frame
    windows = [tuple(map(float, found)) for found in re.findall(WINDOW, picture.svg)]
    edges = [e.attrib for e in sheet.root.iter(f"{SVG}rect") if e.get("stroke-width") == "3.2"]
    holes = layout.board.holes
    bold, of_rail = set(), set()
    upright = [text for text in sheet.texts if text.text.isdigit() and not text.italic]
    rows = any(text.box[2] < float(edges[0]["x"]) for text in upright)
    # where only rails are seen, numbers of rows would seem to count their holes
    assert rows == any(text.text in set("abcdefghij") for text in sheet.texts)
    for text in sheet.texts:
        if not text.text.isdigit() or text.fill in (palette.RIGHT, palette.WRONG):
            continue
        at = (text.box[0] + text.box[2]) / 2, (text.box[1] + text.box[3]) / 2
        side = at[0] > picture.width / 2
        left, top, scale = windows[side]
        if text.italic:
            x, y = frame.place((at[0] - left) / scale, (at[1] - top) / scale)
            one = "L" if x < 5 else "R"
            (plus, row), (minus, _) = (holes[f"{one}{sign}{text.text}"] for sign in "+-")
            assert x == pytest.approx((plus + minus) / 2, abs=0.05)
            assert row < y < row + 1
            of_rail.add((one, int(text.text)))
        else:
            assert text.box[2] < float(edges[side]["x"])
            assert at[1] == pytest.approx(top + scale * frame.hole(f"a{text.text}")[1], abs=2)
            if text.bold and not side:
                bold.add(text.text)
    assert bold == {hole[1:] for hole in layout.holes[part] if hole[0] not in "LR"}
    for hole in (hole for hole in layout.holes[part] if hole[0] in "LR"):
        fifth = 5 * round(int(hole[2:]) / 5)
        if 5 <= fifth < layout.board.rail_holes:
            place = holes[f"{hole[:2]}{fifth}"][1] + 0.5
            hidden = any(abs(holes[other][1] - place) < 1 for other in layout.holes[part])
            assert hidden or (hole[0], fifth) in of_rail, hole


@pytest.mark.parametrize("view", ["top", "half-turned"])
@pytest.mark.parametrize(
    ("kind", "size", "on"),
    [("supply-9v", "830", ("L+38", "L-39")), ("supply-9v", "400", ("R+12", "R-11")),
     ("electrolytic", "400", ("L+8", "L-8"))],
)  # fmt: skip
def test_holes_by_which_one_counts_along_a_rail_are_seen(
    kind: str, size: str, on: tuple[str, str], view: View
) -> None:
    """From the nearest number to a lead's hole no word lies on a hole of its rail, and none counts rows."""
    part, layout = one(kind, on, 1e-5 if kind == "electrolytic" else None)
    layout = Layout(board(size), layout.holes)
    slip = next(s for s in part.type.slips if s.kind == "reversed")
    picture = closeup(Circuit((part,)), layout, "X1", slip, view=view)
    assert picture is not None
    frame = Scene(Circuit((part,)), layout, view, (1, 1)).frame
    texts = Sheet(picture.svg).texts
    assert not any(text.text.isdigit() and not text.italic for text in texts)
    boxes = [text.box for text in texts if " rail, " in text.text]
    assert len(boxes) == 4
    for left, top, scale in (tuple(map(float, found)) for found in re.findall(WINDOW, picture.svg)):
        for hole in on:
            number, fifth = int(hole[2:]), 5 * round(int(hole[2:]) / 5)
            for each in range(min(number, fifth), max(number, fifth) + 1):
                x, y = frame.hole(f"{hole[:2]}{each}")
                x, y, half = left + x * scale, top + y * scale, 4 * scale
                assert not any(overlap(box, (x - half, y - half, x + half, y + half)) for box in boxes), each


@pytest.mark.parametrize(("name", "lamps"), [("runway-lights", 1), ("level-crossing", 2)])
def test_like_parts_that_face_the_same_way_have_one_closeup(name: str, lamps: int) -> None:
    """Ten lamps with their cathodes below have one among the steps; two that face differently have two."""
    circuit, layout = circuit_of(name), layout_of(name)
    shown = closeups_of(circuit, make_steps(circuit, layout))
    told = [picture.alt for pictures in shown.values() for picture in pictures]
    assert sum(re.search(r"LED\)", alt) is not None for alt in told) == lamps
