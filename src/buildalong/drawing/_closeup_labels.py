"""The labels of a close-up: which lead stands in which hole, between the rows or level with it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import product

from buildalong.board import hole_name
from buildalong.drawing import _palette as palette
from buildalong.drawing import _text
from buildalong.drawing._closeup_window import Pane, Panel, leads_from_outside
from buildalong.drawing._frame import PITCH, Point
from buildalong.drawing._ground import MARK
from buildalong.drawing._label_field import Obstacles
from buildalong.drawing._labels import PAD_X, PAD_Y, Tag, place
from buildalong.drawing._obstacles import pieces
from buildalong.drawing._svg import Svg
from buildalong.drawing._wires import Rect, near
from buildalong.drawing._words import LEG_IN_HOLE, leg_words
from buildalong.words import say

__all__ = ["draw_labels"]

HALF, RING, DASHED, PRINTED, LEAD = 6.5, 9.5, 6.0, 4.5, 8.0
"""So far off a hole, a ring, an outline, a printed sign and a lead a leader keeps, units of the board."""
TIP = 6.0
"""From the middle of a hole to the tip of a leader, units of the board."""
SEEN = 5.0
"""So much of a leader is seen at least between a label and the hole that it names: user units."""
STEP, INSET = 3.0, 6.0
"""From one place on a label where its leader may begin to the next, and from its corners: user units."""
SLANT, LEVEL = 0.5, 12.0
"""What a leader costs besides its length for each unit by which it is neither level nor upright; what a level
one costs less."""
ACROSS, ALONG = (0.0, 0.25, 0.55, 1.0, 1.5), (0.0, 0.5, 1.0, 1.5, 2.0)
"""From the hole to the near end of a label, and to the middle of its line: pitches."""

Shunned = tuple[Point, float]
"""A place that no leader may come nearer to than this."""


def draw_labels(svg: Svg, panel: Panel, pane: Pane, numbers: Sequence[Rect]) -> None:
    """Tell what stands in each hole, where it matters which lead that is; ``numbers`` are kept in sight."""
    part, scene = panel.part, panel.scene
    if part is None:
        return
    words = {}
    for hole, leg in zip(scene.layout.holes.get(part.id, ()), leg_words(part), strict=False):
        named = say(LEG_IN_HOLE, leg=leg, hole=hole_name(hole)) if leg else hole_name(hole)
        words[hole] = named if hole[0] in "LR" or (leg and panel.named) else leg
    shunned, obstacles = _shunned(panel, pane), _obstacles(panel, pane, words, numbers)
    tags = []
    for hole, word in words.items():
        if word:
            at = pane.point(scene.frame.hole(hole))
            around = _square(at, HALF * pane.scale)
            upon = tuple(_places(at, word, shunned, pane.scale, obstacles.limits))
            tags.append(Tag(f"leg {hole}", (word,), MARK, around, upon=upon, pointed=True))
    colour = palette.RIGHT if panel.good else palette.WRONG
    for label in place(tags, obstacles):
        x0, y0, x1, y1 = label.rect
        around = label.tag.around
        end = ((around[0] + around[2]) / 2, (around[1] + around[3]) / 2)
        start = _start(label.rect, end, shunned, pane.scale) or _nearest(label.rect, end)
        away = math.dist(start, end)
        share = TIP * pane.scale / away
        tip = (end[0] + (start[0] - end[0]) * share, end[1] + (start[1] - end[1]) * share)
        for ink, thick in ((palette.TAG, 5.4), (colour, 2.2)):
            svg.line(*start, *tip, stroke=ink, stroke_width=thick)
        svg.rect(x0, y0, x1 - x0, y1 - y0, rx=4, fill=palette.TAG)
        svg.text((x0 + x1) / 2, (y0 + y1) / 2 + 0.334 * MARK, label.text, MARK, anchor="middle", style="bold",
                 fill=colour)  # fmt: skip


def _square(at: Point, half: float) -> Rect:
    return at[0] - half, at[1] - half, at[0] + half, at[1] + half


def _obstacles(panel: Panel, pane: Pane, words: dict[str, str], numbers: Sequence[Rect]) -> Obstacles:
    """What a label must keep off."""
    scene, scale = panel.scene, pane.scale
    left, top, right, bottom = pane.shown
    out = Obstacles((left + 7, top + 4, right - 7, bottom - 4))
    for hole, word in words.items():
        out.never.append(_square(pane.point(scene.frame.hole(hole)), HALF * scale + SEEN * bool(word)))
    out.never += numbers
    if panel.place:
        for hole in panel.place.used.keys() - scene.used.keys():
            out.never.append(_square(pane.point(scene.frame.hole(hole)), RING * scale))
        for item in panel.place.on_board:
            a, b, c, d = pane.rect(panel.place.body_rect(item))
            out.much += [(a, b - 3, c, b + 9), (a, d - 9, c, d + 3)]
    for hole in scene.frame.board.holes:
        out.some.append(_square(pane.point(scene.frame.hole(hole)), 5 * scale))
    for _, line in leads_from_outside(scene, pane.window):
        out.much += pieces(pane.line(line), 6 * scale)
    for item in scene.on_board:
        out.bodies += [("", pane.rect(rect)) for rect in scene.body_pieces(item)]
    return out


def _shunned(panel: Panel, pane: Pane) -> list[Shunned]:
    """What a leader keeps off: other holes, signs printed on the part, leads, its outline elsewhere."""
    scene, scale = panel.scene, pane.scale
    out = [(pane.point(scene.frame.hole(hole)), HALF * scale) for hole in scene.frame.board.holes]
    for item in scene.on_board:
        out += [(pane.point(at), PRINTED * scale) for at in scene.minus_signs(item)]
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
