"""Row numbers and column letters, where parts and wires leave room for them."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from buildalong.drawing import _palette as palette
from buildalong.drawing import _text
from buildalong.drawing._extent import WIDEST, extent, widened
from buildalong.drawing._frame import Frame, Point
from buildalong.drawing._ground import MARK
from buildalong.drawing._labels import Placed
from buildalong.drawing._scene import Scene
from buildalong.drawing._svg import Svg
from buildalong.drawing._wires import THICK, Rect, near

__all__ = [
    "Mark", "PlacedMark", "counted", "draw_mark", "guides", "ink", "marks", "placed_marks", "rail_numbers",
    "rail_places", "runs_over", "shared", "torn_marks", "whole_marks", "write_rail_number",
]  # fmt: skip


OUTSIDE = (0.62, 1.5, 2.4)
"""From the edge of the board to a mark that stands off it, pitches; the next where one is taken."""
TALL = 30
"""Of so many rows, each fifth has its number at both sides: on the way across the eye would lose it."""
HAIR = 1.2
"""Between a number and a wire, at least."""
RING = 11.3
"""Half the size of the ring around a hole in which something new stands."""


@dataclass(frozen=True)
class Mark:
    """A row number or column letter: the centres where it may stand, the usual one first.

    ``outside`` are its places off the board, for a row or column that has no room on it.
    """

    text: str
    row: int
    bold: bool
    places: tuple[Point, ...]
    outside: tuple[Point, ...]
    half: str = ""
    """Of a number: the columns beside which it stands."""


@dataclass(frozen=True)
class PlacedMark:
    """A mark at its place; ``plate``: upon a plate, for a wire or a body is there."""

    mark: Mark
    at: Point
    plate: bool = False


def placed_marks(scene: Scene) -> tuple[PlacedMark, ...]:
    """Every mark that finds a free place; one of a row's or column's two stands outside where neither does.

    So do both of each fifth row where many rows are shown.  Where that would make the picture too wide, a
    number is squeezed in where it hides nothing; it has a plate where even that has no room.
    """
    bodies = [rect for part in scene.on_board for rect in scene.body_pieces(part)]
    bodies += [beside.rect for beside in scene.beside]
    sides = {beside.side for beside in scene.beside}
    shown = extent(scene, ())
    out: list[PlacedMark] = []
    hidden: list[tuple[float, PlacedMark]] = []
    for mark in marks(scene.frame):
        if _alone(scene, mark):
            out.append(PlacedMark(mark, mark.places[0]))
            continue
        covered = [sum(shared(ink(PlacedMark(mark, at)), body) for body in bodies) for at in mark.places]
        least = min(covered)
        best = [at for at, area in zip(mark.places, covered, strict=True) if area == least]
        clear = [at for at in best if _off_lines(scene, at)]
        if clear and not least:
            out.append(PlacedMark(mark, clear[0]))
        else:
            hidden.append((round(least, 3), PlacedMark(mark, (clear or best)[0], plate=True)))
    seen = {placed.mark.text for placed in out}
    used = _halves_in_use(scene)
    tall = (scene.frame.last or scene.frame.board.rows) - scene.frame.first >= TALL
    # The side of the hole comes first, then one where something lies beside the board: it is wide already.
    order = sorted(hidden, key=lambda item: (
        not used & {(item[1].mark.row, item[1].mark.half)}, _side(scene.frame, item[1].mark) not in sides
    ))  # fmt: skip
    for way in ("beside", "squeezed", "wider"):
        for _, placed in order:
            mark = placed.mark
            if mark.text in seen and not (way == "beside" and tall and mark.row and mark.bold):
                continue
            if way == "squeezed":
                free = [each for each in _squeezed(scene.frame, mark) if _off_wires(scene, ink(each))]
            else:
                free = [each for each in _outside(mark) if _off_lines(scene, each.at)]
                free = [each for each in free if way == "wider" or _fits(shown, each)]
            free = [each for each in free if not any(shared(ink(each), body) for body in bodies)]
            if free:
                out.append(free[0])
                shown = widened(shown, [ink(free[0])])
                seen.add(mark.text)
    for _, placed in sorted(hidden, key=lambda item: item[0]):
        if placed.mark.text not in seen:
            out.append(placed)
            seen.add(placed.mark.text)
    return tuple(out)


def _halves_in_use(scene: Scene) -> set[tuple[int, str]]:
    """The rows with the columns of the half in which one of their holes is in use."""
    halves = ("abcde", "fghij")
    return {(int(hole[1:]), half) for hole in scene.used for half in halves if hole[0] in half}


def _alone(scene: Scene, mark: Mark) -> bool:
    """Whether nothing is drawn where a letter stands: before a torn edge parts and wires are cut off."""
    left, top, right, bottom = scene.frame.kept
    x, y = mark.places[0]
    kept = left < x < right and top < y < bottom
    leads = [lead for beside in scene.beside for lead in beside.leads]
    return scene.frame.sliced and not mark.row and not kept and all(near((x, y), lead) > 15 for lead in leads)


def _side(frame: Frame, mark: Mark) -> str:
    """At which side of the board a mark stands outside."""
    left, top, right, _ = frame.rectangle
    x, y = mark.outside[0]
    return "left" if x < left else "right" if x > right else "top" if y < top else "bottom"


def whole_marks(
    scene: Scene, found: Sequence[PlacedMark], labels: Sequence[Placed], ringed: Iterable[str]
) -> tuple[PlacedMark, ...]:
    """The marks without those that a label, leader, lead or ring cuts, where their row has a whole one.

    Where it has none, its number stands elsewhere at one of its sides, or beside the board; so does that of a
    ringed hole, at the hole's side, if there is room.
    """
    holes = list(ringed)
    lost = _cut(scene, found, labels, holes)
    whole = {placed.mark.text for placed in found if placed not in lost}
    out = [placed for placed in found if placed not in lost or placed.mark.text not in whole]
    taken = [rect for part in scene.on_board for rect in scene.body_pieces(part)]
    taken += [part.rect for part in scene.beside]

    def elsewhere(sides: Sequence[Mark], needed: bool) -> list[PlacedMark]:
        moved = [PlacedMark(mark, at) for mark in sides for at in mark.places]
        moved += [each for mark in sides for each in _outside(mark)]
        cut = _cut(scene, moved, labels, holes)
        shown = widened(extent(scene, ()), [*(label.rect for label in labels), *map(ink, out)])
        free = [each for each in moved if each not in cut and _off_lines(scene, each.at)]
        free = [each for each in free if not any(shared(ink(each), rect) for rect in taken)]
        free = [each for each in free if not any(_led_to(scene, each, hole) for hole in holes)]
        return [each for each in free if _fits(shown, each)] or (free if needed else [])

    numbers = [mark for mark in marks(scene.frame) if mark.row]
    used = {row for row, _ in _halves_in_use(scene)}
    for row in dict.fromkeys(placed.mark.row for placed in out if placed in lost and placed.mark.row):
        free = elsewhere([mark for mark in numbers if mark.row == row], needed=row in used)
        if free:
            out = [placed for placed in out if placed.mark.row != row]
            out.append(free[0])
    told = {(placed.mark.row, placed.mark.half) for placed in out}
    ends = [mark for mark in numbers if any(h[0] in mark.half and h[1:] == mark.text for h in holes)]
    for mark in ends:  # counted from the other side, a hole is far off
        if (mark.row, mark.half) not in told:
            out += elsewhere([mark], needed=False)[:1]
    return tuple(out)


def _outside(mark: Mark) -> Iterator[PlacedMark]:
    """A mark at each of its places off the board, the nearest first."""
    return (PlacedMark(mark, at) for at in mark.outside)


def _squeezed(frame: Frame, mark: Mark) -> Iterator[PlacedMark]:
    """A number everywhere between the rail and the first hole of its row, the usual places first."""
    if mark.row and frame.board.rail_holes:
        x, outward = (0.0, -1) if "a" in mark.half else (11.0, 1)
        for step in sorted((n / 20 for n in range(10, 36)), key=lambda step: abs(step - 1.05)):
            yield PlacedMark(mark, frame.point(x + outward * step, mark.row))


def _off_wires(scene: Scene, box: Rect) -> bool:
    """Whether no wire or lead comes nearer to letters than a hair."""
    room = THICK / 2 + HAIR
    wider = (box[0] - room, box[1] - room, box[2] + room, box[3] + room)
    return not any(runs_over(piece, wider) for line in scene.lines for piece in pairwise(line))


def _led_to(scene: Scene, placed: PlacedMark, hole: str) -> bool:
    """Whether its dotted line runs into this hole of a rail, of which the number of a row says nothing."""
    at = scene.frame.hole(hole)
    return hole[0] in "LR" and any(near(at, line) < RING for line in guides(scene, [placed]))


def _fits(shown: Rect, placed: PlacedMark) -> bool:
    """Whether a picture that shows so much stays narrow enough for a small page with one more mark."""
    left, _, right, _ = widened(shown, [ink(placed)])
    return right - left <= max(WIDEST, shown[2] - shown[0])


def _off_lines(scene: Scene, at: Point) -> bool:
    """Whether no wire or lead lies where a mark is to stand."""
    return all(near(at, line) > 15 for line in scene.lines)


def torn_marks(
    scene: Scene, found: Sequence[PlacedMark], labels: Sequence[Placed], ringed: Iterable[str]
) -> frozenset[str]:
    """The numbers and letters of which none is left whole."""
    lost = _cut(scene, found, labels, ringed)
    return frozenset({p.mark.text for p in lost} - {p.mark.text for p in found if p not in lost})


def _cut(
    scene: Scene, found: Sequence[PlacedMark], labels: Sequence[Placed], ringed: Iterable[str]
) -> set[PlacedMark]:
    """The marks that a label, leader, lead or ring cuts."""
    rects = [label.rect for label in labels]
    rects += [(x - RING, y - RING, x + RING, y + RING) for x, y in map(scene.frame.hole, ringed)]
    lines = [label.leader for label in labels if label.leader]
    legs = [
        ((pose.x, pose.y), pose.place(leg))
        for pose in (scene.poses[part.id] for part in scene.on_board)
        for leg in pose.legs
    ]

    def cut(placed: PlacedMark) -> bool:
        box = ink(placed)
        over = lines if _alone(scene, placed.mark) else [*lines, *legs]
        return any(shared(box, rect) for rect in rects) or any(runs_over(line, box) for line in over)

    return {placed for placed in found if cut(placed)}


def runs_over(line: tuple[Point, Point], rect: Rect) -> bool:
    """Whether a straight line runs over a rectangle, looked at every few units."""
    (x0, y0), (x1, y1) = line
    steps = max(1, math.ceil(math.dist(*line) / 3))
    shares = (step / steps for step in range(steps + 1))
    return any(
        rect[0] < x0 + (x1 - x0) * t < rect[2] and rect[1] < y0 + (y1 - y0) * t < rect[3] for t in shares
    )


def ink(placed: PlacedMark) -> Rect:
    """The rectangle of a mark's letters."""
    x, y = placed.at
    half = _text.width(placed.mark.text, MARK, "bold") / 2
    return x - half, y - 7, x + half, y + 7


def draw_mark(svg: Svg, placed: PlacedMark, strong: bool) -> None:
    """Write a mark; a strong one is bold and in the accent colour."""
    mark, (x, y) = placed.mark, placed.at
    if placed.plate:
        wide = max(18.0, _text.width(mark.text, MARK, "bold") + 5)
        svg.rect(
            x - wide / 2, y - 9, wide, 18, rx=3, fill=palette.BOARD, stroke=palette.INK_SOFT, stroke_width=1.2
        )  # with an edge, so that what is under it is seen to go on
    svg.text(
        x, y + (0.334 if mark.row else 0.27) * MARK, mark.text, MARK, anchor="middle",
        style="bold" if mark.bold or strong else "regular",
        fill=palette.ACCENT if strong else palette.INK_SOFT,
    )  # fmt: skip


def guides(scene: Scene, found: Iterable[PlacedMark]) -> Iterator[tuple[Point, Point]]:
    """From each number beside the board to its row, past the holes of the rails, which count otherwise."""
    frame = scene.frame
    for placed in found:
        if placed.mark.row and placed.at in placed.mark.outside:
            (x, y), (_, _, right, bottom) = placed.at, ink(placed)
            ends = [frame.hole(f"{letter}{placed.mark.row}") for letter in "aj"]
            to = min(ends, key=lambda end: math.dist(end, placed.at))
            if frame.view == "turned":
                yield (x, y + math.copysign(bottom - y + 4, to[1] - y)), to
            else:
                yield (x + math.copysign(right - x + 4, to[0] - x), y), to


def rail_places(frame: Frame) -> Iterator[tuple[str, int, Point]]:
    """Side, number and place of every fifth number of the rails, beside its hole in the gap between both."""
    board = frame.board
    beside = 0.78 if frame.view == "turned" else 0.58
    for side in "LR" if board.rail_holes else "":
        for number in range(5, board.rail_holes, 5):  # below the last one stands the rail's sign
            (x0, y), (x1, _) = (board.holes[f"{side}{sign}{number}"] for sign in "+-")
            if frame.first <= y and y + beside <= (frame.last or board.rows):
                yield side, number, frame.point((x0 + x1) / 2, y + beside)


def counted(frame: Frame, holes: Collection[str]) -> list[Rect]:
    """The rail number next to each of these holes: from it one counts."""
    out = []
    for hole in (hole for hole in holes if hole[0] in "LR"):
        near_by = [
            (abs(int(hole[2:]) - number), at) for side, number, at in rail_places(frame) if side == hole[0]
        ]
        if near_by:
            _, (x, y) = min(near_by)
            out.append((x - 11, y - 7, x + 11, y + 7))
    return out


def rail_numbers(scene: Scene, labels: Sequence[Placed]) -> Iterator[tuple[str, Point]]:
    """Every fifth number of the rails where nothing covers it."""
    taken = [label.rect for label in labels]
    taken += [rect for part in scene.on_board for rect in scene.body_pieces(part)]
    lines = [*scene.lines, *(label.leader for label in labels if label.leader)]
    for _, number, at in rail_places(scene.frame):
        box = (at[0] - 11, at[1] - 7, at[0] + 11, at[1] + 7)
        if not any(shared(box, rect) for rect in taken) and all(near(at, line) > 18 for line in lines):
            yield str(number), at


def write_rail_number(svg: Svg, number: str, at: Point, plate: bool) -> None:
    """Write the number of a rail; on a plate where the rails are tinted."""
    x, y = at
    if plate:
        wide = _text.width(number, MARK, "italic") + 4
        svg.rect(x - wide / 2, y - 8, wide, 16, rx=3, fill=palette.BOARD)
    svg.text(x, y + 0.334 * MARK, number, MARK, anchor="middle", style="italic", fill=palette.INK_QUIET)


def marks(frame: Frame) -> Iterator[Mark]:
    """Row numbers on both sides of the board, column letters at both ends; each fifth row is bold."""
    railed = bool(frame.board.rail_holes)
    last = frame.last or frame.board.rows
    least, first_edge, most, last_edge = frame.edges
    for row in range(frame.first, last + 1):
        for outward, x, edge, half in ((-1, 0.0, least, "abcde"), (1, 11.0, most, "fghij")):
            steps = (1.05, 1.78, 0.45) if railed else (0.79, 0.9, 0.45)
            places = tuple(frame.point(x + outward * step, row) for step in steps)
            outside = tuple(frame.point(edge + outward * off, row) for off in OUTSIDE)
            yield Mark(str(row), row, row % 5 == 0 or row == 1, places, outside, half)
    for letter in "abcdefghij":
        x = frame.board.holes[f"{letter}1"][0]
        ends = ((-1, frame.first, first_edge), (1, last, last_edge))
        for (outward, y, edge), nearest in zip(ends, frame.letters, strict=True):
            away = (nearest, nearest + 0.5) if railed else (nearest,)
            places = tuple(frame.point(x, y + outward * step) for step in away)
            yield Mark(letter, 0, True, places, (frame.point(x, edge + outward * OUTSIDE[0]),))


def shared(a: Rect, b: Rect) -> float:
    """The area that two rectangles share."""
    return max(0.0, min(a[2], b[2]) - max(a[0], b[0])) * max(0.0, min(a[3], b[3]) - max(a[1], b[1]))
