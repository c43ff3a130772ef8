"""Symbols from the catalogue's data, in every position in which they may stand.

A symbol is data: primitives in user units about its origin, terminals in cells.  From it come the
variants: turned, mirrored, with the label on one side or another.  A variant knows which points
of the grid it keeps wires away from.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from buildalong.drawing import _text
from buildalong.drawing._text import Anchor, Box
from buildalong.drawing.schematic._layout import CELL, GAP, Label, Stroke

__all__ = ["DOWN", "LEFT", "RIGHT", "UP", "Side", "Variant", "drawn_variants", "moved", "primitives"]

UP, RIGHT, DOWN, LEFT = range(4)
"""Directions; a turn of 90° clockwise adds one."""

REF, VALUE, SMALL, TINY = 13.0, 12.0, 12.0, 12.0
"""Sizes of text: reference, value, pin name, pin number."""
NEAR = 4.0
"""Distance of a label from its own symbol, user units."""
LINE = 15.0
"""From the baseline of the reference to that of the value."""

Side = Literal["right", "left", "above", "below", "above left", "above right"]


@dataclass(frozen=True, slots=True)
class Variant:
    """A symbol in one position about its origin.

    ``terminals``: name -> (x, y in cells, direction in which its wire leaves); ``rects`` are the
    rectangles (body, then labels) that must stay apart from those of others; ``blocked`` are the
    points of the grid where no wire may pass; ``cost`` is how little we like the position.
    """

    terminals: tuple[tuple[str, int, int, int], ...]
    leads: tuple[Stroke, ...]
    strokes: tuple[Stroke, ...]
    body: Box
    labels: tuple[Label, ...]
    rects: tuple[Box, ...]
    blocked: tuple[tuple[int, int], ...]
    turn: int
    mirror: bool
    side: str
    cost: float = 0.0


def primitives(symbol: Mapping[str, Any], standard: str) -> tuple[list[list[Any]], list[list[Any]]]:
    """Leads and strokes of a drawn symbol under a standard ("iec" or "ieee")."""
    form = symbol.get("forms", {}).get(symbol.get("form", ""), {})
    table = {**symbol, **symbol.get(standard, {}), **form, **form.get(standard, {})}
    leads = [["line", *lead] for lead in table.get("leads", [])]
    return leads, [*table.get("draw", []), *table.get("arrows", [])]


def _turned(x: float, y: float, turn: int, mirror: bool) -> tuple[float, float]:
    if mirror:
        x = -x
    for _ in range(turn):
        x, y = -y, x
    return x, y


def moved(stroke: Stroke, dx: float, dy: float) -> Stroke:
    """The stroke shifted by (dx, dy) user units."""
    at = list(stroke.at)
    count = 2 if stroke.kind in ("circle", "ring", "arc", "text") else len(at)
    for i in range(0, count, 2):
        at[i] += dx
        at[i + 1] += dy
    return Stroke(stroke.kind, tuple(at), stroke.text)


def _stroke(row: Sequence[Any], turn: int, mirror: bool) -> Stroke:
    kind = str(row[0])
    if kind == "text":
        return Stroke(kind, _turned(row[1], row[2], turn, mirror), str(row[3]))
    figures = [float(v) for v in row[1:]]
    if kind in ("circle", "ring"):
        return Stroke(kind, (*_turned(figures[0], figures[1], turn, mirror), figures[2]))
    if kind == "arc":
        x, y = _turned(figures[0], figures[1], turn, mirror)
        first, last = figures[3], figures[4]
        if mirror:
            first, last = 180 - last, 180 - first
        return Stroke(kind, (x, y, figures[2], first + 90 * turn, last + 90 * turn))
    points = [_turned(figures[i], figures[i + 1], turn, mirror) for i in range(0, len(figures), 2)]
    if kind in ("rect", "block"):
        (x1, y1), (x2, y2) = points
        return Stroke(kind, (min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2)))
    return Stroke(kind, tuple(v for p in points for v in p))


def _extent(stroke: Stroke) -> Box:
    at = stroke.at
    if stroke.kind in ("circle", "ring"):
        return at[0] - at[2], at[1] - at[2], at[0] + at[2], at[1] + at[2]
    if stroke.kind == "arc":
        angles = [at[3] + (at[4] - at[3]) * i / 24 for i in range(25)]
        xs = [at[0] + at[2] * math.cos(math.radians(a)) for a in angles]
        ys = [at[1] + at[2] * math.sin(math.radians(a)) for a in angles]
        return min(xs), min(ys), max(xs), max(ys)
    return min(at[::2]), min(at[1::2]), max(at[::2]), max(at[1::2])


def around(boxes: Iterable[Box]) -> Box:
    """The rectangle around rectangles."""
    rows = list(boxes)
    return min(b[0] for b in rows), min(b[1] for b in rows), max(b[2] for b in rows), max(b[3] for b in rows)


def inside(box: Box, gap: float) -> list[tuple[int, int]]:
    """Grid points strictly inside the rectangle grown by ``gap``."""
    left, top, right, bottom = box[0] - gap, box[1] - gap, box[2] + gap, box[3] + gap
    xs = range(math.floor(left / CELL) + 1, math.ceil(right / CELL))
    ys = range(math.floor(top / CELL) + 1, math.ceil(bottom / CELL))
    return [(x, y) for y in ys for x in xs]


def _labels(ref: str, value: str, body: Box, side: Side) -> tuple[Label, ...]:
    left, top, right, bottom = body
    if side in ("right", "left"):
        x = right + NEAR if side == "right" else left - NEAR
        anchor: Anchor = "start" if side == "right" else "end"
        if not value:
            return (Label(ref, x, (top + bottom) / 2 + REF * 0.334, REF, anchor, "bold", "ref"),)
        # Two lines whose capitals are centred on the body's middle.
        middle = (top + bottom) / 2
        first = middle - (LINE + 0.668 * (REF - VALUE)) / 2 + 0.334 * REF
        return (
            Label(ref, x, first, REF, anchor, "bold", "ref"),
            Label(value, x, first + LINE, VALUE, anchor, "regular", "value"),
        )
    baseline = bottom + NEAR + 0.668 * REF if side == "below" else top - NEAR
    across = _text.width(ref, REF, "bold") + (5 + _text.width(value, VALUE) if value else 0)
    start = (left + right) / 2 - across / 2
    if side == "above left":
        start = left - NEAR - across
    elif side == "above right":
        start = right + NEAR
    out = [Label(ref, start, baseline, REF, "start", "bold", "ref")]
    if value:
        out.append(
            Label(
                value,
                start + across - _text.width(value, VALUE),
                baseline,
                VALUE,
                "start",
                "regular",
                "value",
            )
        )
    return tuple(out)


def drawn_variants(
    symbol: Mapping[str, Any], standard: str, ref: str, value: str,
    turns: Iterable[tuple[int, bool, Side, float]], room: str = "",
) -> tuple[Variant, ...]:  # fmt: skip
    """Variants of a drawn symbol: one for each (turn, mirrored, side of the label, cost).

    ``room`` is a wording of the value: so much room its label keeps.
    """
    leads, draw = primitives(symbol, standard)
    # Room is kept for the larger of both standards' symbols: a circuit is arranged alike under both.
    both = [row for either in ("iec", "ieee") for row in primitives(symbol, either)[1]]
    out = []
    for turn, mirror, side, cost in turns:
        lead_strokes = tuple(_stroke(row, turn, mirror) for row in leads)
        strokes = tuple(_stroke(row, turn, mirror) for row in draw)
        body = around(_extent(_stroke(row, turn, mirror)) for row in both)
        terminals = []
        for name, (x, y) in symbol["terminals"].items():
            tx, ty = _turned(x, y, turn, mirror)
            terminals.append((name, round(tx), round(ty), _leaving(round(tx), round(ty), lead_strokes)))
        # The label keeps to the solid middle where a side mark (plus sign, arrows) stands off-centre.
        middle = _label_room(body, side, turn)
        labels = _labels(ref, value, middle, side)
        boxes = [around(label.box for label in _labels(ref, room or value, middle, side))] if labels else []
        corners = {(x, y) for _, x, y, _ in terminals}
        near = _shrunk(body, terminals)
        blocked = set(inside(near, 0.0))
        for box in boxes:
            blocked.update(inside(box, GAP - 0.01))
        blocked -= corners
        out.append(
            Variant(
                tuple(terminals), lead_strokes, strokes, body, labels, (body, *boxes),
                tuple(sorted(blocked)), turn, mirror, side, cost,
            )
        )  # fmt: skip
    return tuple(out)


def _label_room(body: Box, side: Side, turn: int) -> Box:
    """The body as the label sees it: centred on the line of its leads."""
    left, top, right, bottom = body
    if side in ("right", "left") and turn % 2 == 0:
        return left, -1.0, right, 1.0
    if side in ("above left", "above right"):
        return -8.0, NEAR - 9.0, 8.0, 8.0
    if side in ("above", "below") and turn % 2 == 1:
        return -1.0, top, 1.0, bottom
    return body


def _shrunk(body: Box, terminals: Sequence[tuple[str, int, int, int]]) -> Box:
    """The body grown by the gap, but not over the ends of its own leads."""
    left, top, right, bottom = body[0] - GAP, body[1] - GAP, body[2] + GAP, body[3] + GAP
    for _, x, y, way in terminals:
        if way == UP:
            top = max(top, y * CELL)
        elif way == DOWN:
            bottom = min(bottom, y * CELL)
        elif way == LEFT:
            left = max(left, x * CELL)
        else:
            right = min(right, x * CELL)
    return left, top, right, bottom


def _leaving(x: int, y: int, leads: Sequence[Stroke]) -> int:
    """Direction in which a wire goes on from a lead's end."""
    for lead in leads:
        x1, y1, x2, y2 = lead.at
        if abs(x1 - x * CELL) + abs(y1 - y * CELL) > 0.1:
            x1, y1, x2, y2 = x2, y2, x1, y1
        if abs(x1 - x * CELL) + abs(y1 - y * CELL) < 0.1:
            if abs(x1 - x2) < 0.1:
                return UP if y1 < y2 else DOWN
            return LEFT if x1 < x2 else RIGHT
    raise ValueError(f"no lead ends at ({x}, {y})")
