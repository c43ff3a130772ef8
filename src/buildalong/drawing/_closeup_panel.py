"""One of the two boards of a close-up: a window on the board with marks and labels."""

from __future__ import annotations

from collections.abc import Container

from buildalong.circuit import Part
from buildalong.drawing import _palette as palette
from buildalong.drawing import _text
from buildalong.drawing._closeup_key import DASH, JOIN, OUTLINE, RIM, RING
from buildalong.drawing._closeup_window import Pane, Panel, leads_from_outside
from buildalong.drawing._frame import Point
from buildalong.drawing._ground import MARK, draw_ground
from buildalong.drawing._look import look_of
from buildalong.drawing._marks import rail_places, shared, write_rail_number
from buildalong.drawing._pen import Pen
from buildalong.drawing._scene import Scene
from buildalong.drawing._svg import Svg, number, path
from buildalong.drawing._wires import THICK, Rect, draw_flexible, draw_formed, near
from buildalong.drawing.bodies import Body, draw_body

__all__ = ["draw_panel"]

LINE = 0.95
"""Numbers of rows stand apart by so much of their size at least."""
WITHIN = 7.0
"""So far within the outline of a body runs what joins its legs."""
INSIDE = 5.0
"""A number of a rail keeps so far from the frame."""


def draw_panel(svg: Svg, panel: Panel, pane: Pane) -> list[Rect]:
    """The window of one board and its marks beside it; returns where numbers of rails stand on it."""
    scene, window, scale = panel.scene, pane.window, pane.scale
    left, top, right, bottom = pane.shown
    clip = f"part{int(left)}"
    with svg.group("clipPath", id=svg.id(clip)):
        svg.rect(left, top, right - left, bottom - top, rx=8)
    with svg.group(clip_path=svg.ref(clip)):
        x, y = left - window[0] * scale, top - window[1] * scale
        with svg.group(transform=f"translate({number(x)} {number(y)}) scale({number(scale)})"):
            draw_ground(svg, scene.frame, scene.used, panel.tints)
            _contents(svg, panel, window)
    _marks(svg, panel, pane)
    numbers = _rail_numbers(svg, panel, pane)
    svg.rect(
        left, top, right - left, bottom - top, rx=8, fill="none",
        stroke=palette.RIGHT if panel.good else palette.WRONG, stroke_width=3.2,
        stroke_dasharray=None if panel.good else "10 6",
    )  # fmt: skip
    return numbers


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
    for colour, line in leads_from_outside(scene, window):
        draw_flexible(pen, line, colour, bare_start=False)


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
            svg.circle(x, y, RING, fill="none", stroke=palette.RIGHT, stroke_width=RIM)


def _joined(pen: Pen, scene: Scene, part: Part) -> None:
    """A dashed line between legs that are one piece, within the body: outside it would look like a wire."""
    left, top, right, bottom = scene.body_rect(part)
    by_terminal: dict[str, list[Point]] = {}
    for hole, terminal in zip(scene.layout.holes[part.id], part.type.leg_terminals, strict=True):
        x, y = scene.frame.hole(hole)
        inner = min(max(x, left + WITHIN), right - WITHIN), min(max(y, top + WITHIN), bottom - WITHIN)
        by_terminal.setdefault(terminal, []).append(inner)
    for points in by_terminal.values():
        if len(points) > 1:
            data = path("M", points[0], *(bit for p in points[1:] for bit in ("L", p)))
            for colour, thick, dash in JOIN:
                pen.svg.path(data, fill="none", stroke=colour, stroke_width=thick, stroke_dasharray=dash)


def _marks(svg: Svg, panel: Panel, pane: Pane) -> None:
    """Row numbers beside the window, column letters above it (the other way round on a turned board)."""
    frame, (left, top, right, bottom) = panel.scene.frame, pane.shown
    board = frame.board
    letters = "" if _of_rails(panel) else "abcdefghij"
    columns = [(letter, frame.hole(f"{letter}1"), False) for letter in letters]
    for rail in board.rails:
        columns.append((rail[1].replace("-", "−"), frame.point(board.holes[f"{rail}1"][0], 1), False))
    rows = _numbers(panel, pane)
    across, down = (rows, columns) if frame.view == "turned" else (columns, rows)
    for text, point, _ in across:
        x, _ = pane.point(point)
        if left + 12 < x < right - 12:
            svg.text(x, top - 7, text, MARK, anchor="middle", style="bold", fill=palette.INK_SOFT)
    for text, point, used in down:
        _, y = pane.point(point)
        if top + 7 < y < bottom - 7:
            svg.text(
                left - 6, y + 0.334 * MARK, text, MARK, anchor="end", style="bold" if used else "regular",
                fill=palette.INK if used else palette.INK_SOFT,
            )  # fmt: skip


def _numbers(panel: Panel, pane: Pane) -> list[tuple[str, Point, bool]]:
    """The numbers of rows, their places, and whether something stands in a strip there.

    Where they stand too close for all, those of holes in use come first; where only rails matter, or are
    seen, whose holes count otherwise, there are none.
    """
    if _of_rails(panel):
        return []
    frame, turned = panel.scene.frame, panel.scene.frame.view == "turned"
    ends = pane.shown[1::2] if turned else pane.shown[::2]
    if not any(ends[0] < pane.point(frame.hole(f"{letter}1"))[turned] < ends[1] for letter in "abcdefghij"):
        return []
    own = [hole for hole in panel.holes if hole[0] not in "LR"]
    first = {int(hole[1:]) for hole in own}
    used = {int(hole[1:]) for hole in own if hole in panel.scene.used}
    along = 0 if turned else 1
    kept: dict[int, Point] = {}
    for each in sorted(range(1, frame.board.rows + 1), key=lambda each: each not in first):
        at = frame.point(0.0, each)
        apart = (abs(pane.point(at)[along] - pane.point(other)[along]) for other in kept.values())
        if all(far >= LINE * MARK for far in apart):
            kept[each] = at
    return [(str(each), at, each in used) for each, at in sorted(kept.items())]


def _of_rails(panel: Panel) -> bool:
    """Whether all holes that matter are those of rails, beside which numbers of rows would mislead."""
    return bool(panel.holes) and all(hole[0] in "LR" for hole in panel.holes)


def _rail_numbers(svg: Svg, panel: Panel, pane: Pane) -> list[Rect]:
    """Every fifth number of the rails, between them as in other pictures, where nothing lies upon it.

    Returns where they stand.
    """
    scene, (left, top, right, bottom) = panel.scene, pane.shown
    bodies = [pane.rect(rect) for part in scene.on_board for rect in scene.body_pieces(part)]
    lines = [pane.line(line) for line in scene.lines[: len(scene.layout.wires)]]
    lines += [pane.line(line) for _, line in leads_from_outside(scene, pane.window)]
    out: list[Rect] = []
    for _, of_rail, at in rail_places(scene.frame):
        text, (x, y) = str(of_rail), pane.point(at)
        half = _text.width(text, MARK, "italic") / 2
        box = (x - half, y - 7, x + half, y + 7)
        if not (left + INSIDE < box[0] and box[2] < right - INSIDE):
            continue
        if not (top + INSIDE < box[1] and box[3] < bottom - INSIDE):
            continue
        free = all(near((x, y), line) > half + THICK / 2 * pane.scale for line in lines)
        if free and not any(shared(box, body) for body in bodies):
            write_rail_number(svg, text, (x, y), plate=bool(panel.tints))
            out.append(box)
    return out
