"""The labels of a close-up: which lead stands in which hole, between the rows or level with it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

from buildalong.drawing import _palette as palette
from buildalong.drawing import _text
from buildalong.drawing._closeup_window import EDGE, SEEN, Pane, Panel, leads_from_outside
from buildalong.drawing._frame import PITCH, Point
from buildalong.drawing._ground import MARK
from buildalong.drawing._label_field import Obstacles
from buildalong.drawing._labels import PAD_X, PAD_Y, Tag, place
from buildalong.drawing._obstacles import pieces
from buildalong.drawing._svg import Svg
from buildalong.drawing._wires import Rect, near
from buildalong.drawing._words import leg_in_hole, leg_words

__all__ = ["Labelled", "draw_labels"]

HALF, RING, DASHED, PRINTED, LEAD = 6.5, 13.0, 6.0, 4.5, 8.0
"""So far off a hole, a ring, an outline, a printed sign and a lead a leader keeps, units of the board."""
TIP = 6.0
"""From the middle of a hole to the tip of a leader, units of the board."""
STEP, INSET = 3.0, 6.0
"""From one place on a label where its leader may begin to the next, and from its corners: user units."""
SLANT, LEVEL = 0.5, 12.0
"""What a leader costs besides its length for each unit by which it is neither level nor upright; what a level
one costs less."""
ACROSS, ALONG = (0.0, 0.25, 0.55, 1.0, 1.5), (0.0, 0.5, 1.0, 1.5, 2.0)
"""From the hole to the near end of a label, and to the middle of its line: pitches."""

Shunned = tuple[Point, float]
"""A place that no leader may come nearer to than this."""


@dataclass(frozen=True)
class Labelled:
    """One of the boards of a close-up, its place on the page, and the numbers on it that stay in sight."""

    panel: Panel
    pane: Pane
    numbers: Sequence[Rect] = ()

    @property
    def words(self) -> dict[str, str]:
        """What is said of each hole in which the part stands; "" where any lead may stand there."""
        part, layout = self.panel.part, self.panel.scene.layout
        out: dict[str, str] = {}
        if part is None:
            return out
        for hole, leg in zip(layout.holes.get(part.id, ()), leg_words(part), strict=False):
            named = leg_in_hole(leg, hole)
            out[hole] = named if hole[0] in "LR" or (leg and self.panel.named) else leg
        return out

    def beside(self, pane: Pane) -> Labelled:
        """The same as if it stood in another place on the page."""
        dx, dy = pane.at[0] - self.pane.at[0], pane.at[1] - self.pane.at[1]
        numbers = [(a + dx, b + dy, c + dx, d + dy) for a, b, c, d in self.numbers]
        return Labelled(self.panel, pane, numbers)


def draw_labels(svg: Svg, boards: Sequence[Labelled]) -> None:
    """Tell what stands in each hole, where it matters which lead that is.

    Where both boards tell of the same holes, labels have the same places on both: so they are compared.
    """
    told = [{hole for hole, word in board.words.items() if word} for board in boards]
    alike = all(holes == told[0] for holes in told)
    for group in [boards] if alike else [[board] for board in boards]:
        _draw_alike(svg, group)


def _draw_alike(svg: Svg, boards: Sequence[Labelled]) -> None:
    """Labels at places that serve all these boards, each with the words of its own."""
    pane, scale = boards[0].pane, boards[0].pane.scale
    over = [board.beside(pane) for board in boards]
    shunned = list(dict.fromkeys(at for board in over for at in _shunned(board.panel, pane)))
    obstacles = _obstacles(over)
    tags = []
    for hole in boards[0].words:
        words = (board.words.get(hole, "") for board in boards)
        longest = max(words, key=lambda word: _text.width(word, MARK, "bold"))
        if longest:
            at = pane.point(boards[0].panel.scene.frame.hole(hole))
            around = _square(at, HALF * scale)
            upon = tuple(_places(at, longest, shunned, scale, obstacles.limits))
            tags.append(Tag(hole, (longest,), MARK, around, upon=upon, pointed=True))
    for label in place(tags, obstacles):
        around = label.tag.around
        end = ((around[0] + around[2]) / 2, (around[1] + around[3]) / 2)
        start = _start(label.rect, end, shunned, scale) or _nearest(label.rect, end)
        share = TIP * scale / math.dist(start, end)
        tip = (end[0] + (start[0] - end[0]) * share, end[1] + (start[1] - end[1]) * share)
        for board in boards:
            dx, dy = board.pane.at[0] - pane.at[0], board.pane.at[1] - pane.at[1]
            line = ((start[0] + dx, start[1] + dy), (tip[0] + dx, tip[1] + dy))
            x0, y0, x1, y1 = label.rect
            _write(svg, board, label.tag.key, (x0 + dx, y0 + dy, x1 + dx, y1 + dy), line)


def _write(svg: Svg, board: Labelled, hole: str, rect: Rect, line: tuple[Point, Point]) -> None:
    """The word of a board at the place for the longest; a shorter one ends where the leader begins."""
    word, (start, tip) = board.words[hole], line
    colour = palette.RIGHT if board.panel.good else palette.WRONG
    wide = _text.width(word, MARK, "bold") + 2 * PAD_X
    x0, y0, x1, y1 = rect
    level = start[0] in (x0, x1) and y0 < start[1] < y1
    room = 0.0 if level else INSET
    middle = min(max((x0 + x1) / 2, start[0] + room - wide / 2), start[0] - room + wide / 2)
    for ink, thick in ((palette.TAG, 5.4), (colour, 2.2)):
        svg.line(*start, *tip, stroke=ink, stroke_width=thick)
    svg.rect(middle - wide / 2, y0, wide, y1 - y0, rx=4, fill=palette.TAG)
    base = (y0 + y1) / 2 + 0.334 * MARK
    svg.text(middle, base, word, MARK, anchor="middle", style="bold", fill=colour)


def _square(at: Point, half: float) -> Rect:
    return at[0] - half, at[1] - half, at[0] + half, at[1] + half


def _obstacles(boards: Sequence[Labelled]) -> Obstacles:
    """What a label must keep off on each of some boards that lie one over the other."""
    pane, frame, scale = boards[0].pane, boards[0].panel.scene.frame, boards[0].pane.scale
    left, top, right, bottom = pane.shown
    out = Obstacles((left + EDGE, top + 4, right - EDGE, bottom - 4))
    rails = {hole[0] for board in boards for hole in board.words if hole[0] in "LR"}
    for hole in frame.board.holes:
        # Along the rail where a lead stands one counts the holes.
        kind = out.much if hole[0] in rails else out.some
        kind.append(_square(pane.point(frame.hole(hole)), 5 * scale))
    for board in boards:
        panel, scene = board.panel, board.panel.scene
        for hole, word in board.words.items():
            out.never.append(_square(pane.point(frame.hole(hole)), HALF * scale + SEEN * bool(word)))
        out.never += board.numbers
        if panel.place:
            for hole in panel.place.used.keys() - scene.used.keys():
                out.never.append(_square(pane.point(frame.hole(hole)), RING * scale))
            for item in panel.place.on_board:
                a, b, c, d = pane.rect(panel.place.body_rect(item))
                out.much += [(a, b - 3, c, b + 9), (a, d - 9, c, d + 3)]
        for _, line in leads_from_outside(scene, pane.window):
            out.much += pieces(pane.line(line), 6 * scale)
        for item in scene.on_board:
            out.bodies += [("", pane.rect(rect)) for rect in scene.body_pieces(item)]
    out.never, out.much = list(dict.fromkeys(out.never)), list(dict.fromkeys(out.much))
    out.bodies = list(dict.fromkeys(out.bodies))
    return out


def _shunned(panel: Panel, pane: Pane) -> list[Shunned]:
    """What a leader keeps off: other holes, signs, the flat side, leads, the part's outline elsewhere."""
    scene, scale = panel.scene, pane.scale
    out = [(pane.point(scene.frame.hole(hole)), HALF * scale) for hole in scene.frame.board.holes]
    for item in scene.on_board:
        signs = (*scene.minus_signs(item), *scene.flat_side(item))
        out += [(pane.point(at), PRINTED * scale) for at in signs]
    for _, line in leads_from_outside(scene, pane.window):
        # Where it leaves its hole a leader is near it whatever its way.
        out += _along(pane.line(line), LEAD * scale)
    if panel.place:
        for hole in panel.place.used.keys() - scene.used.keys():
            out.append((pane.point(scene.frame.hole(hole)), RING * scale))
        for item in panel.place.on_board:
            x0, y0, x1, y1 = panel.place.body_rect(item)
            corners = ((x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0))
            out += _along(pane.line(corners), DASHED * scale)
    return out


def _along(line: Sequence[Point], far: float) -> list[Shunned]:
    """Places along a line."""
    return [(((x0 + x1) / 2, (y0 + y1) / 2), far) for x0, y0, x1, y1 in pieces(line, 0.0)]


def _places(at: Point, word: str, shunned: Sequence[Shunned], scale: float, limits: Rect) -> list[Point]:
    """Centres for a label whose leader is clear, between the rows or level with the hole; nearest first."""
    wide, high = _text.width(word, MARK, "bold") + 2 * PAD_X, 0.72 * MARK + 2 * PAD_Y
    found: list[tuple[float, Point]] = []
    left, top = limits[0] + wide / 2, limits[1] + high / 2
    right, bottom = limits[2] - wide / 2, limits[3] - high / 2
    beside = [side * (wide / 2 + far * PITCH * scale) for far in ACROSS for side in (1, -1)]
    xs = [min(max(at[0] + dx, left), right) for dx in (0.0, wide / 4, -wide / 4, *beside)]
    ys = [min(max(at[1] + side * far * PITCH * scale, top), bottom) for far in ALONG for side in (-1, 1)]
    for x, y in product(dict.fromkeys(xs), dict.fromkeys(ys)):
        rect = (x - wide / 2, y - high / 2, x + wide / 2, y + high / 2)
        start = _start(rect, at, shunned, scale)
        if start:
            found.append((_length(start, at), (x, y)))
    return [centre for _, centre in sorted(found, key=lambda each: round(each[0], 3))]


def _length(start: Point, end: Point) -> float:
    """What a leader costs: its length, and how far it slants; less if it is level, for one reads along."""
    dx, dy = abs(start[0] - end[0]), abs(start[1] - end[1])
    return math.hypot(dx, dy) + SLANT * min(dx, dy) - LEVEL * (dy < 0.01)


def _start(rect: Rect, end: Point, shunned: Sequence[Shunned], scale: float) -> Point | None:
    """Where on the edge of a label its leader may begin: it is seen, and runs over nothing it must not."""
    x0, y0, x1, y1 = rect
    close = [
        (at, far)
        for at, far in shunned
        if math.dist(at, end) > far and not (x0 < at[0] < x1 and y0 < at[1] < y1)
        and min(x0, end[0]) - far < at[0] < max(x1, end[0]) + far
        and min(y0, end[1]) - far < at[1] < max(y1, end[1]) + far
    ]  # fmt: skip
    xs = [x0 + INSET + STEP * n for n in range(int((x1 - x0 - 2 * INSET) / STEP) + 1)]
    xs.append(min(max(end[0], x0 + INSET), x1 - INSET))
    middle = (y0 + y1) / 2
    starts = [(x, y0 if end[1] < y0 else y1) for x in xs if not y0 <= end[1] <= y1]
    starts += [(x0 if end[0] < x0 else x1, middle)] if not x0 <= end[0] <= x1 else []
    starts = [start for start in starts if math.dist(start, end) >= TIP * scale + 2 * SEEN]
    for start in sorted(starts, key=lambda start: round(_length(start, end), 3)):
        if all(near(at, (start, end)) > far for at, far in close):
            return start
    return None


def _nearest(rect: Rect, end: Point) -> Point:
    """The place of a label that is nearest to the end of its leader."""
    return min(max(end[0], rect[0] + INSET), rect[2] - INSET), min(max(end[1], rect[1]), rect[3])
