"""Close-ups: what is easily put in wrong, right and wrong side by side."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from buildalong.board import Layout
from buildalong.circuit import Circuit, Part
from buildalong.drawing import _palette as palette
from buildalong.drawing import _text
from buildalong.drawing._frame import PITCH, Point, View
from buildalong.drawing._ground import MARK, draw_ground
from buildalong.drawing._labels import Obstacles, Tag, place
from buildalong.drawing._look import look_of
from buildalong.drawing._palette import NetColour, Tone
from buildalong.drawing._pen import Pen
from buildalong.drawing._picture import Picture
from buildalong.drawing._scene import Scene
from buildalong.drawing._slips import misplaced, without_bridge
from buildalong.drawing._svg import Svg, number, path
from buildalong.drawing._wires import Rect, draw_flexible, draw_formed
from buildalong.drawing._words import leg_words, placed_words
from buildalong.drawing.bodies import Body, draw_body
from buildalong.parts import Slip

__all__ = ["bridge_closeup", "closeup"]

WIDE, GUTTER, HEAD, GAP = 240.0, 32.0, 36.0, 8.0
"""Width of one panel, room for row numbers in it, room for its heading, between and around panels."""
MOST_TALL = 300.0
"""Height of a window at most; a longer part is shown smaller."""
LARGEST = 1.7
"""Enlargement at most."""
SPARE = 1.7
"""Pitches shown around the holes."""
RIGHT, WRONG = "Right", "Wrong"
BRIDGE_TITLE = "the gap in the rail"
BRIDGE_RIGHT = "A wire joins the two halves of the rail."
BRIDGE_WRONG = "The gap in the middle of the rail is not bridged, so its other half is dead."


@dataclass(frozen=True)
class _Panel:
    """One of the two boards: what stands on it, and the words for it."""

    good: bool
    scene: Scene
    part: Part | None
    tinted: bool


def closeup(
    circuit: Circuit, layout: Layout, part: str, slip: Slip, *, view: View = "top", tone: Tone = palette.PLAIN
) -> Picture | None:
    """Show a part as it stands in ``layout`` beside the same part put in wrong.

    ``slip`` is one of the part type's slips; None where it moves no lead of the part.
    """
    item = circuit.by_id[part]
    wrong = misplaced(item, layout, slip.kind)
    if wrong is None:
        return None
    alone = Circuit((item,))
    # Only the part itself is shown: what stands around it would hide what matters.
    layouts = [replace(each, holes={part: each.holes[part]}, wires=()) for each in (layout, wrong)]
    holes = [hole for each in layouts for hole in each.holes[part]]
    words = (placed_words(item, layout), slip.sentence)
    return _pair(f"{RIGHT} and wrong: {part}", alone, layouts, item, holes, words, view, tone)


def bridge_closeup(
    circuit: Circuit, layout: Layout, wire: int, *, view: View = "top", tone: Tone = palette.PLAIN
) -> Picture | None:
    """Show a wire that joins the two halves of a rail beside the gap left open; None for other wires."""
    if without_bridge(layout, wire) is None:
        return None
    link = layout.wires[wire]
    layouts = [replace(layout, holes={}, wires=wires) for wires in ((link,), ())]
    words = (BRIDGE_RIGHT, BRIDGE_WRONG)
    holes = [link.start, link.end]
    return _pair(f"{RIGHT} and wrong: {BRIDGE_TITLE}", circuit, layouts, None, holes, words, view, tone)


def _pair(
    title: str, circuit: Circuit, layouts: Sequence[Layout], part: Part | None, holes: Sequence[str],
    words: tuple[str, str], view: View, tone: Tone,
) -> Picture:  # fmt: skip
    board = layouts[0].board
    ys = [board.holes[hole][1] for hole in holes]
    rows = (max(1, math.floor(min(ys)) - 4), min(board.rows, math.ceil(max(ys)) + 4))
    panels = [
        _Panel(good, Scene(circuit, each, view, rows), part, _strips_matter(part, layouts))
        for good, each in zip((True, False), layouts, strict=True)
    ]
    window = _window(panels, holes)
    scale = min((WIDE - GUTTER) / (window[2] - window[0]), MOST_TALL / (window[3] - window[1]), LARGEST)
    tall = (window[3] - window[1]) * scale
    lines = _text.wrap(words[1], MARK, 2 * WIDE + GAP - 8)
    width = 2 * WIDE + 3 * GAP
    height = HEAD + MARK + 8 + tall + 14 + len(lines) * MARK * 1.25 + GAP
    alt = f"{RIGHT}: {words[0].removesuffix('.')}. {WRONG}: {words[1]}"
    svg = Svg(width, height, title=title, alt=alt, background=palette.PAPER, tone=tone)
    for index, panel in enumerate(panels):
        left = GAP + index * (WIDE + GAP)
        shown = (window[2] - window[0]) * scale
        x = left + GUTTER + (WIDE - GUTTER - shown) / 2
        _heading(svg, panel, left)
        _draw(svg, panel, window, scale, (x, HEAD + MARK + 8))
    for index, line in enumerate(lines):
        y = HEAD + MARK + 8 + tall + 14 + (index + 0.8) * MARK * 1.25
        svg.text(GAP + 4, y, line, MARK, fill=palette.INK)
    return svg.picture()


def _strips_matter(part: Part | None, layouts: Sequence[Layout]) -> bool:
    """Whether the mistake is that leads share a strip, or that legs of one piece bridge two."""
    if part is None:
        return False
    counts = {len({each.board.strip_of[hole] for hole in each.holes[part.id]}) for each in layouts}
    several = len(part.type.leg_terminals) > len(part.type.terminals)
    return len(counts) > 1 or several


def _tints(panel: _Panel) -> dict[str, NetColour]:
    """A colour for each strip in which the part stands, where strips are what matters."""
    if not panel.tinted or panel.part is None:
        return {}
    layout = panel.scene.layout
    strips = dict.fromkeys(layout.board.strip_of[hole] for hole in layout.holes[panel.part.id])
    return dict(zip(strips, (palette.NETS[0], palette.NETS[1]) * len(strips), strict=False))


def _window(panels: Sequence[_Panel], holes: Sequence[str]) -> Rect:
    """The rectangle in user units that both panels show: holes and bodies with some room around."""
    frame = panels[0].scene.frame
    points = [frame.hole(hole) for hole in holes]
    left, top = min(x for x, _ in points), min(y for _, y in points)
    right, bottom = max(x for x, _ in points), max(y for _, y in points)
    for panel in panels:
        for part in panel.scene.on_board:
            x0, y0, x1, y1 = panel.scene.body_rect(part)
            left, top = min(left, x0 + PITCH), min(top, y0 + PITCH * 0.8)
            right, bottom = max(right, x1 - PITCH), max(bottom, y1 - PITCH * 0.8)
    room = SPARE * PITCH
    left, top, right, bottom = left - room, top - room, right + room, bottom + room
    # Wide enough for words beside the holes.
    lacking = max(0.0, 6.4 * PITCH - (right - left)) / 2
    edge = frame.rectangle
    left, right = left - lacking, right + lacking
    return left, max(top, edge[1] - 6), right, min(bottom, edge[3] + 6)


def _heading(svg: Svg, panel: _Panel, left: float) -> None:
    """A tick in a disc or a cross in a square, and the word."""
    colour = palette.RIGHT if panel.good else palette.WRONG
    x, y = left + 14, 20.0
    strokes: tuple[tuple[Point, ...], ...]
    if panel.good:
        svg.circle(x, y, 12, fill=colour)
        strokes = (((x - 6, y), (x - 2, y + 5), (x + 6.5, y - 5)),)
    else:
        svg.rect(x - 11.5, y - 11.5, 23, 23, rx=3, fill=colour)
        strokes = (((x - 6, y - 6), (x + 6, y + 6)), ((x - 6, y + 6), (x + 6, y - 6)))
    for points in strokes:
        svg.polyline(
            points, fill="none", stroke="#FFFFFF", stroke_width=3.4, stroke_linecap="round",
            stroke_linejoin="round",
        )  # fmt: skip
    svg.text(x + 20, y + 7.5, RIGHT if panel.good else WRONG, 23, style="bold", fill=colour)


def _draw(svg: Svg, panel: _Panel, window: Rect, scale: float, at: Point) -> None:
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
            draw_ground(svg, frame, scene.used, _tints(panel))
            _contents(svg, panel, window)
    _marks(svg, panel, shown, placed)
    _labels(svg, panel, shown, placed, scale)
    svg.rect(
        shown[0], shown[1], shown[2] - shown[0], shown[3] - shown[1], rx=8, fill="none",
        stroke=palette.RIGHT if panel.good else palette.WRONG, stroke_width=3.2,
        stroke_dasharray=None if panel.good else "10 6",
    )  # fmt: skip


def _contents(svg: Svg, panel: _Panel, window: Rect) -> None:
    scene, pen = panel.scene, Pen(svg)
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


def _joined(pen: Pen, scene: Scene, part: Part) -> None:
    """A dashed line between legs that are one piece inside."""
    by_terminal: dict[str, list[Point]] = {}
    for hole, terminal in zip(scene.layout.holes[part.id], part.type.leg_terminals, strict=True):
        by_terminal.setdefault(terminal, []).append(scene.frame.hole(hole))
    for points in by_terminal.values():
        if len(points) > 1:
            data = path("M", points[0], *(bit for p in points[1:] for bit in ("L", p)))
            for colour, thick in (("#FFFFFF", 6.0), (palette.INK, 2.6)):
                pen.svg.path(data, fill="none", stroke=colour, stroke_width=thick, stroke_dasharray="9 5")


def _leads_from_outside(pen: Pen, scene: Scene, part: Part, window: Rect) -> None:
    """The leads of a part beside the board, coming in over its nearest edge."""
    x0, _, x1, _ = scene.frame.rectangle
    holes = scene.layout.holes[part.id]
    right = scene.frame.hole(holes[0])[0] > (x0 + x1) / 2
    heights = sorted(scene.frame.hole(hole)[1] for hole in holes)
    for hole, terminal in zip(holes, part.type.terminals, strict=True):
        x, y = scene.frame.hole(hole)
        index = heights.index(y)
        colour = {"positive": "red", "negative": "black"}.get(terminal.role, "grey")
        far = (window[2] + 30 if right else window[0] - 30, y + (index * 2 - 1) * 14)
        draw_flexible(pen, [(far[0] + (x - far[0]) * t / 8, far[1] + (y - far[1]) * t / 8) for t in range(9)],
                      colour, bare_start=False)  # fmt: skip


def _marks(svg: Svg, panel: _Panel, shown: Rect, placed: Callable[[Point], Point]) -> None:
    """Row numbers left of the window, column letters above it (the other way round on a turned board)."""
    frame, board = panel.scene.frame, panel.scene.frame.board
    lines = [(str(row), frame.point(0.0, row)) for row in range(1, board.rows + 1)]
    columns = [(letter, frame.hole(f"{letter}1")) for letter in "abcdefghij"]
    columns += [(rail[1].replace("-", "−"), frame.point(x, 1)) for rail, x in _rail_columns(panel)]
    across, down = (lines, columns) if frame.view == "turned" else (columns, lines)
    for text, point in across:
        x, _ = placed(point)
        if shown[0] + 12 < x < shown[2] - 12:
            svg.text(x, shown[1] - 7, text, MARK, anchor="middle", style="bold", fill=palette.INK_SOFT)
    for text, point in down:
        _, y = placed(point)
        if shown[1] + 7 < y < shown[3] - 7:
            svg.text(shown[0] - 6, y + 0.334 * MARK, text, MARK, anchor="end", fill=palette.INK_SOFT)


def _rail_columns(panel: _Panel) -> list[tuple[str, float]]:
    board = panel.scene.frame.board
    return [(rail, board.holes[f"{rail}1"][0]) for rail in board.rails]


def _labels(svg: Svg, panel: _Panel, shown: Rect, placed: Callable[[Point], Point], scale: float) -> None:
    """What stands in each hole, where it matters which lead that is."""
    part, scene = panel.part, panel.scene
    if part is None:
        return
    obstacles = Obstacles((shown[0] + 4, shown[1] + 4, shown[2] - 4, shown[3] - 4))
    tags: list[Tag] = []
    for hole, word in zip(scene.layout.holes[part.id], leg_words(part), strict=True):
        x, y = placed(scene.frame.hole(hole))
        half = 8 * scale
        obstacles.never.append((x - half, y - half, x + half, y + half))
        if word:
            tags.append(Tag(f"leg {hole}", (word,), MARK, (x - half, y - half, x + half, y + half)))
    for item in scene.on_board:
        x0, y0, x1, y1 = scene.body_rect(item)
        (a, b), (c, d) = placed((x0, y0)), placed((x1, y1))
        obstacles.never.append((a, b, c, d))
        obstacles.bodies.append((a, b, c, d))
    colour = palette.RIGHT if panel.good else palette.WRONG
    for label in place(tags, obstacles):
        x0, y0, x1, y1 = label.rect
        if label.leader:
            svg.line(*label.leader[0], *label.leader[1], stroke=colour, stroke_width=1.8)
        svg.rect(x0, y0, x1 - x0, y1 - y0, rx=4, fill=palette.TAG)
        svg.text((x0 + x1) / 2, (y0 + y1) / 2 + 0.334 * MARK, label.text, MARK, anchor="middle", style="bold",
                 fill=colour)  # fmt: skip
