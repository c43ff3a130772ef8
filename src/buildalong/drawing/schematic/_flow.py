"""Where the number of a current may stand beside a lead, with the arrow that shows its way."""

from __future__ import annotations

from collections.abc import Iterator

from buildalong.circuit import Part
from buildalong.drawing import _text
from buildalong.drawing.schematic._beside import Line, lead_at
from buildalong.drawing.schematic._check import free_for
from buildalong.drawing.schematic._layout import CELL, Label, Point, SchematicLayout, Stroke, Symbol
from buildalong.drawing.schematic._mistaken import mistaken
from buildalong.drawing.schematic._shape import SMALL

__all__ = ["current_places", "turned"]

OFF = 4.0
"""Distance of a number from its wire or lead, user units."""
OVER = 6.0
"""By how much a number may stand out past the end of its wire, user units."""
OTHER_SIDE = 5.0
"""So much further may a number stand on the side of its part's texts rather than on the other."""
HEAD, HALF = 6.5, 3.2
"""Length and half the breadth of an arrow's head."""


def current_places(
    layout: SchematicLayout, part: Part, terminal: str, text: str
) -> Iterator[tuple[Label, Stroke]]:
    """Free places for a current's number, nearest first, each with the arrow of a current that flows in."""
    names = [terminal] if len(part.nets) > 2 else [t.name for t in part.type.terminals]
    dots = set(layout.dots)
    found: list[tuple[float, Label, Symbol, Stroke]] = []
    for symbol in layout.symbols:
        for pin, point in symbol.terminals if symbol.part == part.id else ():
            lead = lead_at(symbol, point.x * CELL, point.y * CELL) if pin.terminal in names else None
            if lead is None:
                continue
            # What flows into the first terminal flows out of the other.
            arrow = _arrow(lead, pin.terminal == terminal, joint=point in dots)
            away = 15.0 * (point in dots) + 0.5 * (pin.terminal != terminal)
            room = _straight_on(layout, point, lead)
            found += [(away + further, label, symbol, arrow) for further, label in _along(text, lead, room)]
    free = [place for place in found if free_for(layout, place[1], place[2])]
    free.sort(
        key=lambda place: (mistaken(layout, place[1], place[2]), place[0] + _beyond(place[1], place[2]))
    )
    yield from ((label, arrow) for _, label, _, arrow in free)


def _beyond(label: Label, symbol: Symbol) -> float:
    """The price of a place on the other side of an upright part than its own texts."""
    texts = [text.box for text in symbol.labels if text.role == "ref"]
    middle = (symbol.body[0] + symbol.body[2]) / 2
    left, _, right, _ = label.box
    return sum(
        OTHER_SIDE for box in texts if (left > middle and box[2] < middle) or (right < middle < box[0])
    )


def _outward(lead: Line) -> tuple[int, int]:
    """The direction from a symbol along its lead, as steps of -1, 0 or 1."""
    x, y, inner_x, inner_y = lead
    return (x > inner_x + 0.5) - (x < inner_x - 0.5), (y > inner_y + 0.5) - (y < inner_y - 0.5)


def _straight_on(layout: SchematicLayout, point: Point, lead: Line) -> float:
    """How far a wire goes on straight from a lead's end before it meets a dot or turns, user units."""
    dx, dy = _outward(lead)
    dots, cells = set(layout.dots), 0
    while point not in dots:
        after = Point(point.x + dx, point.y + dy)
        if not any(wire.covers(point) and wire.covers(after) for wire in layout.segments):
            break
        point, cells = after, cells + 1
    return cells * CELL


def _along(text: str, lead: Line, room: float) -> Iterator[tuple[float, Label]]:
    """Places beside a lead and beside the wire that goes straight on from it, each with its distance.

    A number past the end of that wire would be read as another wire's.
    """
    x, y, inner_x, inner_y = lead
    tall, wide = _text.CAP_HEIGHT * SMALL, _text.width(text, SMALL, "regular")
    dx, dy = _outward(lead)
    last = abs(x - inner_x) + abs(y - inner_y) + room + OVER
    for further in (0.0, 3.0, 6.0, 9.0, 12.0, 16.0, 20.0, 25.0, 30.0, 36.0):
        if dy:
            middle = (y + inner_y) / 2 + dy * further + tall / 2
            if abs(y - inner_y) / 2 + further + tall / 2 > last:
                return
            yield further, Label(text, x + OFF + 2, middle, SMALL, "start", "regular", "amps")
            yield further, Label(text, x - OFF - 2, middle, SMALL, "end", "regular", "amps")
        else:
            if abs(x - inner_x) / 2 + further + wide - 4 > last:
                return
            centre = (x + inner_x) / 2 + dx * (further + wide / 2 - 4)
            yield further, Label(text, centre, y - OFF - 1, SMALL, "middle", "regular", "amps")
            yield further, Label(text, centre, y + OFF + 1 + tall, SMALL, "middle", "regular", "amps")


def _arrow(lead: Line, inward: bool, *, joint: bool) -> Stroke:
    """An arrow's head on a lead: at its outer end, or close to the body where a dot is in its way."""
    x, y, inner_x, inner_y = lead
    length = max(abs(inner_x - x) + abs(inner_y - y), 1e-6)
    dx, dy = (inner_x - x) / length, (inner_y - y) / length
    at = length - HEAD / 2 - 0.5 if joint else min(HEAD / 2 + 0.5, length / 2)
    cx, cy = x + dx * at, y + dy * at
    if not inward:
        dx, dy = -dx, -dy
    tail = (cx - dx * HEAD / 2, cy - dy * HEAD / 2)
    tip, side = (cx + dx * HEAD / 2, cy + dy * HEAD / 2), (dy * HALF, dx * HALF)
    return Stroke(
        "polygon", (*tip, tail[0] - side[0], tail[1] + side[1], tail[0] + side[0], tail[1] - side[1])
    )


def turned(arrow: Stroke) -> Stroke:
    """The same arrow's head pointing the other way, at the same place."""
    tip_x, tip_y, a, b, c, d = arrow.at
    middle = ((tip_x + (a + c) / 2) / 2, (tip_y + (b + d) / 2) / 2)
    return Stroke(
        arrow.kind,
        tuple(2 * middle[i % 2] - value for i, value in enumerate(arrow.at)),
    )
