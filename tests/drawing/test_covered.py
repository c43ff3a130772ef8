"""What the names of parts on a board cover: signs, letters, numbers, leads, bends and ends of wires."""

import math
from functools import cache
from itertools import pairwise

from buildalong.drawing import _palette as palette
from buildalong.drawing import rows_in_use, tilted_picture
from buildalong.drawing._frame import PITCH
from buildalong.drawing._scene import Scene

from ._demo import BOARDS, circuit_of, drawn, layout_of
from ._leaders import Rect, clip, corners, labels_of, outlines, rail_numbers
from ._measure import SVG, Point, Sheet, overlap
from .test_board import ROW_MARKS, picture


@cache
def sheet_of(name: str) -> Sheet:
    """The finished board."""
    return Sheet(picture(name).svg)


def scene_of(name: str) -> Scene:
    """What stands on it, and where."""
    return Scene(circuit_of(name), layout_of(name), "top", rows_in_use(layout_of(name)))


@cache
def plates(name: str) -> tuple[tuple[str, Rect], ...]:
    """Each part with the plate of its name."""
    found = labels_of(sheet_of(name), set(layout_of(name).holes))
    return tuple((part, plate) for part, _, plate in found)


def signs(sheet: Sheet) -> set[Rect]:
    """The + and − at the ends of the rails."""
    found = set()
    for a in (e.attrib for e in sheet.root.iter(f"{SVG}line") if e.get("stroke-width") == "3"):
        if a["stroke"] in (palette.PLUS_RAIL, palette.MINUS_RAIL) and a["y1"] == a["y2"]:
            x, y = (float(a["x1"]) + float(a["x2"])) / 2, float(a["y1"])
            found.add((x - 7, y - 7, x + 7, y + 7))
    return found


def lost_marks(name: str) -> list[str]:
    """The letters and the numbers of rows in use that the names of parts drove away."""
    used = {hole[1:] for hole, _ in layout_of(name).used() if hole[0] not in "LR"} | set("abcdefghij")
    bare = Sheet(picture(name, labels=False).svg)
    left = {(text.text, text.box) for text in sheet_of(name).texts}
    marks = [t for t in bare.texts if t.text in ROW_MARKS & used and t.fill != palette.INK_QUIET]
    return [text.text for text in marks if (text.text, text.box) not in left]


def test_few_names_cover_what_holes_are_counted_by() -> None:
    """A builder finds a hole by the sign of its rail, its letter, its number (common practice)."""
    covered = [
        (name, part, "sign") for name in BOARDS for part, plate in plates(name)
        for sign in signs(sheet_of(name)) if overlap(plate, sign)
    ]  # fmt: skip
    lost = [(name, mark) for name in BOARDS for mark in lost_marks(name)]
    assert not covered, covered
    assert len(lost) <= 16, lost


def leads(name: str) -> list[tuple[str, tuple[Point, Point]]]:
    """Each part with the stretches of its leads that are in sight beside its body."""
    scene, found = scene_of(name), []
    bodies = outlines(scene)
    for part in scene.on_board:
        pose = scene.poses[part.id]
        for end in map(pose.place, pose.legs):
            whole = math.dist((pose.x, pose.y), end)
            inside = clip(((pose.x, pose.y), end), bodies[part.id])
            if whole > inside:
                t = inside / whole
                start = (pose.x + (end[0] - pose.x) * t, pose.y + (end[1] - pose.y) * t)
                found.append((part.id, (start, end)))
    return found


def turns(name: str) -> list[tuple[Point, Point]]:
    """Of each solid wire: a third of a pitch before and after each bend, and a pitch before each end."""
    found = []
    wires = zip(layout_of(name).wires, scene_of(name).lines, strict=False)
    for line in (line for wire, line in wires if wire.style != "flexible"):
        for number, (a, b) in enumerate(pairwise(line)):
            for here, there, inner in ((a, b, number > 0), (b, a, number < len(line) - 2)):
                t = min(1.0, PITCH * (0.33 if inner else 1.0) / (math.dist(here, there) or 1.0))
                found.append((here, (here[0] + (there[0] - here[0]) * t, here[1] + (there[1] - here[1]) * t)))
    return found


def hidden(name: str) -> list[tuple[str, str]]:
    """The parts whose names lie on a lead of another or on the bend or end of a wire, with what they hide."""
    found = []
    for part, plate in plates(name):
        over = [other for other, lead in leads(name) if other != part and clip(lead, corners(plate)) > 2]
        over += ["wire"] if any(clip(turn, corners(plate)) > 2 for turn in turns(name)) else []
        found += [(part, what) for what in over]
    return found


def test_few_names_hide_a_lead_or_the_bend_of_a_wire() -> None:
    """A plate there makes two of one, or names the wrong one (common practice)."""
    found = [(name, *each) for name in BOARDS for each in hidden(name)]
    assert len(found) <= 2, found


def over_wires(name: str) -> list[str]:
    """The parts whose names lie on a wire."""
    lines = [piece for line in scene_of(name).lines for piece in pairwise(line)]
    return [part for part, plate in plates(name) if any(clip(p, corners(plate)) > 2 for p in lines)]


def test_few_names_lie_over_wires() -> None:
    """A wire that goes under a plate seems cut in two (common practice)."""
    found = [(name, part) for name in BOARDS for part in over_wires(name)]
    assert len(found) <= 6, found


def lost_rail_numbers(name: str) -> set[tuple[str, int]]:
    """Side and number of the rails that something goes into, which the names of parts drove away."""
    sides = {hole[0] for hole, _ in layout_of(name).used() if hole[0] in "LR"}
    bare = Sheet(picture(name, labels=False).svg)
    frame = scene_of(name).frame
    return rail_numbers(bare, frame, sides) - rail_numbers(sheet_of(name), frame, sides)


def test_few_names_cover_the_numbers_of_rails_in_use() -> None:
    """By them a hole of a rail is counted, one hole in each five has none above it (common practice)."""
    lost = [(name, *number) for name in BOARDS for number in lost_rail_numbers(name)]
    assert len(lost) <= 2, lost


def test_a_name_over_a_wire_has_a_leader() -> None:
    """Without one it would seem to name the wire (common practice)."""
    seen = 0
    for name in BOARDS:
        for part, leader, plate in labels_of(sheet_of(name), set(layout_of(name).holes)):
            lines = [line for line in scene_of(name).lines for line in pairwise(line)]
            if part in scene_of(name).poses and any(clip(line, corners(plate)) > 2 for line in lines):
                seen += 1
                assert leader, (name, part)
    assert seen


def test_plates_as_white_as_the_board_have_an_edge() -> None:
    """A plate without an edge, of the board's own colour, seems to cut its rails and strips."""
    tone = palette.HIGH_CONTRAST
    assert tone.colour(palette.TAG) == tone.colour(palette.BOARD)
    for name in BOARDS:
        for shown in (drawn(name, tone=tone), drawn(name, tilted_picture, tone=tone)):
            rects = [e for e in Sheet(shown.svg).root.iter(f"{SVG}rect") if e.get("rx") == "4"]
            plates = [e for e in rects if e.get("fill") == tone.colour(palette.TAG)]
            assert plates
            assert all(e.get("stroke") for e in plates)
