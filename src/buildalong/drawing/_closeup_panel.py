"""One of the two boards of a close-up: a window on the board with marks and labels."""

from __future__ import annotations

import math
from collections.abc import Callable, Container, Iterable, Mapping, Sequence
from dataclasses import dataclass

from buildalong.board import hole_name
from buildalong.circuit import Part
from buildalong.drawing import _palette as palette
from buildalong.drawing import _text
from buildalong.drawing._closeup_key import DASH, JOIN, JOIN_DASH, OUTLINE
from buildalong.drawing._frame import PITCH, Point
from buildalong.drawing._ground import MARK, draw_ground
from buildalong.drawing._label_field import Obstacles
from buildalong.drawing._labels import PAD_X, Tag, place
from buildalong.drawing._look import look_of
from buildalong.drawing._obstacles import pieces
from buildalong.drawing._palette import NetColour
from buildalong.drawing._pen import Pen
from buildalong.drawing._scene import Scene
from buildalong.drawing._svg import Svg, number, path
from buildalong.drawing._text import Anchor
from buildalong.drawing._wires import Rect, draw_flexible, draw_formed, near
from buildalong.drawing._words import LEG_IN_HOLE, leg_words
from buildalong.drawing.bodies import Body, draw_body
from buildalong.drawing.bodies._beside import lead_colour
from buildalong.words import say

__all__ = ["Panel", "draw_panel", "window_of"]

LINE = 0.95
"""Numbers of rows stand apart by so much of their size at least."""
SPARE = (1.7, 1.3)
"""Pitches shown around holes and bodies: sideways, and along the rows, where labels stand."""
LEAST = (6.4, 4.4)
"""Pitches shown at least, wide enough for words beside the holes, and room for one above and below."""

SEEN = 5.0
"""So much of a leader is seen at least between a label and the hole that it names: user units."""
STEP = 3.0
"""From one place on a label where its leader may begin to the next: user units."""
MORE = 2.0
"""Pitches shown more along the rows where a rail's hole is named, which takes longer words."""


@dataclass(frozen=True)
class Panel:
    """One of the two boards: what stands on it, the words for it, and the colours of its strips.

    ``place`` is where the part belongs, if it stands elsewhere: its outline is drawn.  ``holes`` are those
    that matter on either board: they are numbered first.  With ``named`` labels name the hole too.
    """

    good: bool
    scene: Scene
    part: Part | None
    tints: Mapping[str, NetColour]
    place: Scene | None = None
    holes: tuple[str, ...] = ()
    named: bool = False

    @property
    def sides(self) -> tuple[str, str]:
        """What is numbered left and right of the window: "rows", the holes of a rail "L" or "R", or nothing.

        On a turned board the first is above the window.
        """
        view = self.scene.frame.view
        named = {hole[0] if hole[0] in "LR" else "rows" for hole in self.holes}
        left = "L" if "L" in named else "rows" if "rows" in named else ""
        right = "R" if "R" in named else "rows" if left == "L" and "rows" in named else ""
        if view == "turned":
            return left or right, ""
        return (right, left) if view == "half-turned" and right else (left, right)


def window_of(panels: Sequence[Panel], holes: Sequence[str]) -> Rect:
    """The rectangle in user units that both panels show: holes and bodies with some room around."""
    frame = panels[0].scene.frame
    points = [frame.hole(hole) for hole in holes]
    left, top = min(x for x, _ in points), min(y for _, y in points)
    right, bottom = max(x for x, _ in points), max(y for _, y in points)
    for panel in panels:
        for part in (scene := panel.scene).on_board:
            x0, y0, x1, y1 = scene.body_rect(part)
            left, top = min(left, x0 + PITCH), min(top, y0 + PITCH * 0.8)
            right, bottom = max(right, x1 - PITCH), max(bottom, y1 - PITCH * 0.8)
    across, along = (pitches * PITCH for pitches in SPARE)
    left, top, right, bottom = left - across, top - along, right + across, bottom + along
    least = (LEAST[0], LEAST[1] + MORE * any(hole[0] in "LR" for hole in holes))
    wide, high = (
        max(0.0, pitches * PITCH - shown) / 2
        for pitches, shown in zip(least, (right - left, bottom - top), strict=True)
    )
    edge = frame.rectangle
    left, top, right, bottom = left - wide, top - high, right + wide, bottom + high
    # Its sides run between the holes, and not upon the line of a rail.
    (x0, y0), (x1, y1) = sorted((frame.place(left, top), frame.place(right, bottom)))
    ends = ((_beside(x0, -1), _beside(y0)), (_beside(x1, 1), _beside(y1)))
    left, top, right, bottom = _around(frame.point(*end) for end in ends)
    return left, max(top, edge[1] - 6), right, min(bottom, edge[3] + 6)


def _beside(place: float, outward: int = 0) -> float:
    """The nearest place between two holes [pitches]; beyond the columns a little outwards."""
    middle = math.floor(place) + 0.5
    return middle if 0 < middle < 11 else middle + outward * 0.27


def _around(points: Iterable[Point]) -> Rect:
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def draw_panel(svg: Svg, panel: Panel, window: Rect, scale: float, at: Point) -> None:
    """The window of one board at ``at``, its marks beside it, its labels on it."""
    scene, frame = panel.scene, panel.scene.frame
    shown: Rect = (
        at[0],
        at[1],
        at[0] + (window[2] - window[0]) * scale,
        at[1] + (window[3] - window[1]) * scale,
    )
    clip = f"part{int(at[0])}"

    def placed(point: Point) -> Point:
        return at[0] + (point[0] - window[0]) * scale, at[1] + (point[1] - window[1]) * scale

    with svg.group("clipPath", id=svg.id(clip)):
        svg.rect(shown[0], shown[1], shown[2] - shown[0], shown[3] - shown[1], rx=8)
    with svg.group(clip_path=svg.ref(clip)):
        x, y = at[0] - window[0] * scale, at[1] - window[1] * scale
        with svg.group(transform=f"translate({number(x)} {number(y)}) scale({number(scale)})"):
            draw_ground(svg, frame, scene.used, panel.tints)
            _contents(svg, panel, window)
    _marks(svg, panel, shown, placed)
    _labels(svg, panel, window, shown, placed, scale)
    svg.rect(
        shown[0], shown[1], shown[2] - shown[0], shown[3] - shown[1], rx=8, fill="none",
        stroke=palette.RIGHT if panel.good else palette.WRONG, stroke_width=3.2,
        stroke_dasharray=None if panel.good else "10 6",
    )  # fmt: skip


def _contents(svg: Svg, panel: Panel, window: Rect) -> None:
    scene, pen = panel.scene, Pen(svg)
    if panel.place:
        _outlined(svg, panel.place, scene.used)
    for part in scene.on_board:
        pose = scene.poses[part.id]
        with pen.body(pose) as local:
            draw_body(Body(local, part, look_of(part.type), pose.legs, named=False))
        _joined(pen, scene, part)
    for wire, run in zip(scene.layout.wires, scene.runs, strict=True):
        if wire.style == "flexible":
            draw_flexible(pen, run, wire.colour)
        else:
            draw_formed(pen, scene.frame, run, wire.colour)
    for part in scene.circuit.parts:
        if part.type.body.kind == "off-board" and part.id in scene.layout.holes:
            _leads_from_outside(pen, scene, part, window)


def _outlined(svg: Svg, scene: Scene, taken: Container[str]) -> None:
    """Where a part belongs: the outline of its body, dashed, its holes ringed unless taken."""
    for part in scene.on_board:
        # A little smaller than life, so that its long sides are hidden by the part beside it.
        left, top, right, bottom = scene.body_rect(part)
        left, top, right, bottom = left + 4, top + 4, right - 4, bottom - 4
        for ink, thick, dash in ((palette.TAG, 5.6, None), (palette.RIGHT, OUTLINE, DASH)):
            svg.rect(
                left, top, right - left, bottom - top, rx=4, fill="none", stroke=ink, stroke_width=thick,
                stroke_dasharray=dash,
            )  # fmt: skip
        for hole in (hole for hole in scene.used if hole not in taken):
            x, y = scene.frame.hole(hole)
            svg.circle(x, y, 7.5, fill="none", stroke=palette.RIGHT, stroke_width=2.2)


def _joined(pen: Pen, scene: Scene, part: Part) -> None:
    """A dashed line between legs that are one piece inside."""
    by_terminal: dict[str, list[Point]] = {}
    for hole, terminal in zip(scene.layout.holes[part.id], part.type.leg_terminals, strict=True):
        by_terminal.setdefault(terminal, []).append(scene.frame.hole(hole))
    for points in by_terminal.values():
        if len(points) > 1:
            data = path("M", points[0], *(bit for p in points[1:] for bit in ("L", p)))
            for colour, thick in JOIN:
                pen.svg.path(data, fill="none", stroke=colour, stroke_width=thick, stroke_dasharray=JOIN_DASH)


def _leads_from_outside(pen: Pen, scene: Scene, part: Part, window: Rect) -> None:
    """The leads of a part beside the board, coming in over its nearest edge."""
    for terminal, line in zip(part.type.terminals, _outside(scene, part, window), strict=True):
        draw_flexible(pen, line, lead_colour(terminal.role), bare_start=False)


def _outside(scene: Scene, part: Part, window: Rect) -> list[list[Point]]:
    """Where those leads run, from beyond the window to their holes."""
    x0, _, x1, _ = scene.frame.rectangle
    points = [scene.frame.hole(hole) for hole in scene.layout.holes[part.id]]
    right = points[0][0] > (x0 + x1) / 2
    heights = sorted(y for _, y in points)
    lines = []
    for x, y in points:
        far = (window[2] + 30 if right else window[0] - 30, y + (heights.index(y) * 2 - 1) * 14)
        lines.append([(far[0] + (x - far[0]) * t / 8, far[1] + (y - far[1]) * t / 8) for t in range(9)])
    return lines


def _marks(svg: Svg, panel: Panel, shown: Rect, placed: Callable[[Point], Point]) -> None:
    """Numbers beside the window, column letters above it (the other way round on a turned board)."""
    frame = panel.scene.frame
    columns = [(letter, frame.hole(f"{letter}1"), False) for letter in "abcdefghij"]
    columns += [(rail[1].replace("-", "−"), frame.point(x, 1), False) for rail, x in _rail_columns(panel)]
    sides = [_numbers(panel, what, placed) for what in panel.sides]
    across, down = (sides[0], [columns]) if frame.view == "turned" else (columns, sides)
    for text, point, _ in across:
        x, _ = placed(point)
        if shown[0] + 12 < x < shown[2] - 12:
            svg.text(x, shown[1] - 7, text, MARK, anchor="middle", style="bold", fill=palette.INK_SOFT)
    edges: tuple[tuple[float, Anchor], ...] = ((shown[0] - 6, "end"), (shown[2] + 6, "start"))
    for numbers, (x, anchor) in zip(down, edges, strict=False):
        for text, point, used in numbers:
            _, y = placed(point)
            if shown[1] + 7 < y < shown[3] - 7:
                svg.text(
                    x, y + 0.334 * MARK, text, MARK, anchor=anchor, style="bold" if used else "regular",
                    fill=palette.INK if used else palette.INK_SOFT,
                )  # fmt: skip


def _numbers(panel: Panel, what: str, placed: Callable[[Point], Point]) -> list[tuple[str, Point, bool]]:
    """The numbers of rows or of a rail's holes, their places, and whether something stands there.

    Where they stand too close for all, those of holes in use come first.
    """
    frame, board = panel.scene.frame, panel.scene.frame.board
    if not what:
        return []
    count = board.rows if what == "rows" else board.rail_holes
    own = [hole for hole in panel.holes if (hole[0] not in "LR" if what == "rows" else hole[0] == what)]
    first = [int(hole[1:] if what == "rows" else hole[2:]) for hole in own]
    used = {each for each, hole in zip(first, own, strict=True) if hole in panel.scene.used}
    along = 0 if frame.view == "turned" else 1
    kept: dict[int, Point] = {}
    for each in sorted(range(1, count + 1), key=lambda each: each not in first):
        at = frame.point(0.0, each) if what == "rows" else frame.hole(f"{what}+{each}")
        if all(abs(placed(at)[along] - placed(other)[along]) >= LINE * MARK for other in kept.values()):
            kept[each] = at
    return [(str(each), at, each in used) for each, at in sorted(kept.items())]


def _rail_columns(panel: Panel) -> list[tuple[str, float]]:
    board = panel.scene.frame.board
    return [(rail, board.holes[f"{rail}1"][0]) for rail in board.rails]


def _labels(
    svg: Svg, panel: Panel, window: Rect, shown: Rect, placed: Callable[[Point], Point], scale: float
) -> None:
    """What stands in each hole, where it matters which lead that is: between the rows, with a pointer."""
    part, scene = panel.part, panel.scene
    if part is None:
        return
    obstacles = Obstacles((shown[0] + 7, shown[1] + 4, shown[2] - 7, shown[3] - 4))
    tags: list[Tag] = []
    half = 6.5 * scale
    for hole, leg in zip(scene.layout.holes.get(part.id, ()), leg_words(part), strict=False):
        word = leg
        if hole[0] in "LR" or (leg and panel.named):
            word = say(LEG_IN_HOLE, leg=leg, hole=hole_name(hole)) if leg else hole_name(hole)
        x, y = placed(scene.frame.hole(hole))
        obstacles.never.append(
            (x - half, y - half - SEEN * bool(word), x + half, y + half + SEEN * bool(word))
        )
        if word:
            around = (x - half, y - half, x + half, y + half)
            tags.append(Tag(f"leg {hole}", (word,), MARK, around, upon=_between(x, y, word, scale)))
    if panel.place:
        for hole in (hole for hole in panel.place.used if hole not in scene.used):
            x, y = placed(scene.frame.hole(hole))
            obstacles.never.append((x - 8.6 * scale, y - 8.6 * scale, x + 8.6 * scale, y + 8.6 * scale))
        for item in panel.place.on_board:
            rect = panel.place.body_rect(item)
            (a, b), (c, d) = placed(rect[:2]), placed(rect[2:])
            obstacles.much += [(a, b - 3, c, b + 9), (a, d - 9, c, d + 3)]
    holes = {hole: placed(scene.frame.hole(hole)) for hole in scene.frame.board.holes}
    for x, y in holes.values():
        obstacles.some.append((x - 5 * scale, y - 5 * scale, x + 5 * scale, y + 5 * scale))
    if part.type.body.kind == "off-board" and part.id in scene.layout.holes:
        for line in _outside(scene, part, window):
            obstacles.much += pieces([placed(point) for point in line], 6 * scale)
    for item in scene.on_board:
        for rect in scene.body_pieces(item):
            (a, b), (c, d) = placed(rect[:2]), placed(rect[2:])
            obstacles.bodies.append(("", (a, b, c, d)))
    colour = palette.RIGHT if panel.good else palette.WRONG
    for label in place(tags, obstacles):
        x0, y0, x1, y1 = label.rect
        x, y = (
            (label.tag.around[0] + label.tag.around[2]) / 2,
            (label.tag.around[1] + label.tag.around[3]) / 2,
        )
        start = _clear(label.rect, (x, y), holes.values(), 6.5 * scale)
        away = math.dist(start, (x, y))
        tip = (x + (start[0] - x) * 6 * scale / away, y + (start[1] - y) * 6 * scale / away)
        for ink, thick in ((palette.TAG, 5.4), (colour, 2.2)):
            svg.line(*start, *tip, stroke=ink, stroke_width=thick)
        svg.rect(x0, y0, x1 - x0, y1 - y0, rx=4, fill=palette.TAG)
        svg.text((x0 + x1) / 2, (y0 + y1) / 2 + 0.334 * MARK, label.text, MARK, anchor="middle", style="bold",
                 fill=colour)  # fmt: skip


def _clear(rect: Rect, end: Point, holes: Iterable[Point], half: float) -> Point:
    """Where on a label its leader begins: nearest to its end, but on the way it runs over no other hole."""
    x0, y0, x1, y1 = rect
    x, y = end
    nearest, level = min(max(x, x0 + 6), x1 - 6), min(max(y, y0), y1)
    close = [
        hole
        for hole in holes
        if math.dist(hole, end) > half
        and min(y, level) - half < hole[1] < max(y, level) + half
        and not (x0 < hole[0] < x1 and y0 < hole[1] < y1)
    ]
    starts = [nearest + side * STEP * turn for turn in range(int((x1 - x0) / STEP)) for side in (1, -1)]
    for start in (start for start in starts if x0 + 6 <= start <= x1 - 6):
        if all(near(hole, ((start, level), end)) > half for hole in close):
            return start, level
    return nearest, level


def _between(x: float, y: float, word: str, scale: float) -> tuple[Point, ...]:
    """Centres between the rows above and below a hole: over it, beside it, further; the nearest first."""
    wide = _text.width(word, MARK, "bold") + 2 * PAD_X
    across = [0.0, *(side * (wide / 2 + far * scale) for far in (0.0, 6.0, 14.0, 25.4) for side in (1, -1))]
    along = [side * pitches * PITCH * scale for pitches in (0.5, 1.0, 1.5, 2.0) for side in (-1, 1)]
    away = [(max(0.0, abs(dx) - wide / 2) + abs(dy), dx, dy) for dx in across for dy in along]
    return tuple((x + dx, y + dy) for _, dx, dy in sorted(away, key=lambda place: round(place[0], 3)))
