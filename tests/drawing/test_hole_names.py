"""Names of holes: beside the hole, in the hole's own row."""

from collections.abc import Iterator
from functools import cache
from itertools import pairwise

import pytest

from buildalong.board import Layout
from buildalong.build import make_steps
from buildalong.build.steps import Step
from buildalong.drawing import _palette as palette
from buildalong.drawing import board_picture
from buildalong.drawing._frame import PITCH, Frame
from buildalong.drawing._scene import Scene
from buildalong.publish._closeups import new_wires
from buildalong.publish._pictures import crop_of_steps, step_picture
from buildalong.publish._variant import Variant
from once import once

from ._demo import BOARDS, DEMOS, circuit_of, drawn, layout_of
from ._leaders import Rect, clip, corners, labels_of, rail_numbers
from ._measure import Sheet, Text, overlap

MIDDLE = (0.0, 11 * PITCH)
"""From the row numbers at the left to those at the right [user units]."""


@cache
def steps(name: str) -> tuple[Step, ...]:
    """The steps of a demo that bring something; of the longest each third."""
    bring = [step for step in make_steps(circuit_of(name), layout_of(name)) if step.parts or step.wires]
    return tuple(bring[:: 3 if name == "runway-lights" else 1])


@cache
def pictures(name: str) -> tuple[tuple[Layout, Sheet], ...]:
    """Their pictures, with what is built then."""
    circuit, crop = circuit_of(name), crop_of_steps(layout_of(name))
    svgs = once(f"steps-{name}", lambda: [step_picture(circuit, s, crop, Variant()).svg for s in steps(name)])
    return tuple((step.after, Sheet(svg)) for step, svg in zip(steps(name), svgs, strict=True))


def named(layout: Layout, sheet: Sheet) -> Iterator[tuple[Text, str]]:
    """Each name of a hole in the middle of the board, with its hole."""
    for text in sheet.texts:
        hole = text.text.split()[0]
        if text.fill == palette.ACCENT and hole in layout.board.holes and hole[0] not in "LR":
            yield text, hole


def names(name: str) -> Iterator[tuple[Layout, Text, str]]:
    """The same in all pictures of a demo."""
    for layout, sheet in pictures(name):
        for text, hole in named(layout, sheet):
            yield layout, text, hole


def outside(text: Text, hole: str) -> bool:
    """Whether a name's middle lies a quarter of a pitch and more from its row."""
    return abs((text.box[1] + text.box[3]) / 2 - (int(hole[1:]) - 1) * PITCH) > PITCH / 4


def has_room(layout: Layout, name: str, hole: str, box: Rect) -> bool:
    """Whether a name of this size has room beside its hole: no other hole in use, no body, no wire."""
    scene = Scene(circuit_of(name), layout, "top", (1, layout.board.rows))
    x, y = scene.frame.hole(hole)
    others = [scene.frame.hole(other) for other, _ in layout.used() if other != hole]
    wide, high = box[2] - box[0] + 8, (box[3] - box[1] + 8) / 2
    for left in (x + 14, x - 14 - wide):
        place = (left, y - high, left + wide, y + high)
        taken = any(left - 7 < u < left + wide + 7 and abs(v - y) < high for u, v in others)
        taken |= any(overlap(place, rect) for part in scene.on_board for rect in scene.body_pieces(part))
        if not taken and all(clip(p, corners(place)) < 1 for line in scene.lines for p in pairwise(line)):
            return True
    return False


def led_over_another(layout: Layout, sheet: Sheet, hole: str) -> bool:
    """Whether the leader of a name runs over another hole in use, which it would seem to name."""
    frame = Frame(layout.board)
    leader = next((leader for named, leader, _ in labels_of(sheet, {hole}) if named == hole), None)
    others = (frame.hole(other) for other, _ in layout.used() if other != hole)
    return leader is not None and any(
        clip(leader, corners((x - 7, y - 7, x + 7, y + 7))) > 1 for x, y in others
    )


def of_hole(name: str) -> Iterator[tuple[str, bool, bool]]:
    """Each name of a hole: whether it stands in another row, and whether it is led over another hole."""
    for layout, sheet in pictures(name):
        for text, hole in named(layout, sheet):
            yield text.text, outside(text, hole), led_over_another(layout, sheet, hole)


def test_a_hole_whose_row_has_room_is_named_in_it() -> None:
    """One reads along the row (common practice)."""
    away = [
        (name, text.text) for name in DEMOS for layout, text, hole in names(name)
        if outside(text, hole) and has_room(layout, name, hole, text.box)
    ]  # fmt: skip
    assert not away, away


@pytest.mark.parametrize("name", DEMOS)
def test_most_holes_are_named_in_their_own_rows(name: str) -> None:
    """At most 2 names in 5 stand in another for want of room, or are led over another hole in use."""
    found = list(of_hole(name))
    away = [text for text, off, over in found if off or over]
    assert found
    assert len(away) <= 0.4 * len(found), away


def test_few_names_of_holes_are_led_over_another() -> None:
    """A leader through another hole in use names that one (two readers put a wire there)."""
    found = [each for name in DEMOS for each in of_hole(name)]
    assert sum(over for _, _, over in found) <= len(found) / 40
    assert sum(off or over for _, off, over in found) <= len(found) / 6


def test_a_name_lies_across_no_side_of_the_board() -> None:
    """The name of a rail's hole lies on the board or beside it: of all demos at most 1 in 10 does not."""
    found, across = 0, []
    for name in DEMOS:
        left, _, right, _ = Frame(layout_of(name).board).rectangle
        for _, sheet in pictures(name):
            rails = [text for text in sheet.texts if text.fill == palette.ACCENT and " rail, " in text.text]
            found += len(rails)
            across += [t.text for t in rails if any(t.box[0] < x < t.box[2] for x in (left, right))]
    assert found > 10
    assert len(across) <= found / 10, across


@pytest.mark.parametrize("name", DEMOS)
def test_a_name_in_another_row_is_not_read_as_that_rows(name: str) -> None:
    """It stands neither beside that row's number, nor right at another hole in use."""
    for layout, text, hole in names(name):
        if not outside(text, hole):
            continue
        used = {hole: layout.board.holes[hole] for hole, _ in layout.used()}
        x0, y0, x1, y1 = text.box
        assert x1 > MIDDLE[0], text.text
        assert x0 < MIDDLE[1], text.text
        for other, (x, y) in used.items():
            if other != hole:
                dx = max(x0 - x * PITCH, x * PITCH - x1, 0.0)
                dy = max(y0 - (y - 1) * PITCH, (y - 1) * PITCH - y1, 0.0)
                assert max(dx, dy) > 8, (text.text, other)


@pytest.mark.parametrize("name", BOARDS)
def test_the_name_of_a_rails_hole_lies_on_no_other_of_its_number(name: str) -> None:
    """Upon the − rail, right beside its hole, "+ rail, 38" names hole 38 of the − rail."""
    layout = layout_of(name)
    frame = Frame(layout.board)
    for part in (part for part, holes in layout.holes.items() if any(hole[0] in "LR" for hole in holes)):
        sheet = Sheet(drawn(name, new_parts=(part,), crop="auto").svg)
        for text in (t for t in sheet.texts if t.fill == palette.ACCENT and " rail, " in t.text):
            other = f"{'-' if text.text[0] == '+' else '+'}{text.text.split()[2]}"
            for x, y in (frame.hole(f"{side}{other}") for side in "LR"):
                assert not overlap(text.box, (x - 5, y - 5, x + 5, y + 5)), (part, text.text)


def test_labels_hide_no_number_from_which_a_rails_hole_is_counted() -> None:
    """The next number of a rail beside a new hole is seen, unless a part or a wire lies there."""
    found, lost = 0, []
    for name in DEMOS:
        for step, (layout, sheet) in zip(steps(name), pictures(name), strict=True):
            frame, wires = Frame(layout.board), new_wires(step)
            ends = [hole for part in step.parts for hole in layout.holes[part]]
            ends += [hole for wire in wires for hole in (layout.wires[wire].start, layout.wires[wire].end)]
            bare = board_picture(
                circuit_of(name), layout, new_parts=step.parts, new_wires=wires,
                labels=False, highlight_holes=False, crop=crop_of_steps(layout_of(name)),
            )  # fmt: skip
            for hole in (hole for hole in ends if hole[0] in "LR"):
                numbers = rail_numbers(Sheet(bare.svg), frame, {hole[0]})
                if numbers:
                    found += 1
                    nearest = min(numbers, key=lambda each: abs(each[1] - int(hole[2:])))
                    if nearest not in rail_numbers(sheet, frame, {hole[0]}):
                        lost.append((name, step.number, hole, nearest))
    assert found > 10
    assert not lost, lost


def over_old_wires(name: str) -> tuple[int, list[tuple[int, str]], list[tuple[int, str]]]:
    """How many labels steps have; which, by step, lie over a wire of an earlier one; which over its bend."""
    seen = 0
    over: list[tuple[int, str]] = []
    bent: list[tuple[int, str]] = []
    for step, (layout, sheet) in zip(steps(name), pictures(name), strict=True):
        lines = Scene(circuit_of(name), layout, "top", (1, layout.board.rows)).lines
        old = [line for at, line in enumerate(lines[: len(layout.wires)]) if at not in new_wires(step)]
        for said, _, plate in labels_of(sheet, {*layout.holes, *layout.board.holes}):
            seen += 1
            if any(clip(p, corners(plate)) > 2 for line in old for p in pairwise(line)):
                over.append((step.number, said))
            x0, y0, x1, y1 = plate
            turns = [p for line in old if len(line) < 8 for p in line[1:-1]]  # a flexible one has more
            if any(x0 - 8 < x < x1 + 8 and y0 - 8 < y < y1 + 8 for x, y in turns):
                bent.append((step.number, said))
    return seen, over, bent


def test_few_labels_of_a_step_lie_over_what_was_there() -> None:
    """A wire of an earlier step under a plate seems cut in two, above all at its bend (common practice)."""
    counts = [over_old_wires(name) for name in DEMOS]
    over = [(name, *each) for name, (_, found, _) in zip(DEMOS, counts, strict=True) for each in found]
    bent = [(name, *each) for name, (_, _, found) in zip(DEMOS, counts, strict=True) for each in found]
    assert sum(seen for seen, _, _ in counts) > 300
    assert len(over) <= 25, over
    assert len(bent) <= 6, bent
