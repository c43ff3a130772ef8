"""Integrated circuits: boxes with pins by function, and triangles for comparators."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise

from buildalong.drawing import _text
from buildalong.drawing._text import Anchor, Box
from buildalong.drawing.schematic._layout import CELL, GAP, Label, Stroke
from buildalong.drawing.schematic._shape import (
    DOWN,
    LEFT,
    REF,
    RIGHT,
    SMALL,
    TINY,
    UP,
    VALUE,
    Variant,
    inside,
)

__all__ = ["BoxPin", "BoxSpec", "box_variant", "cross", "triangle_variants"]

NAME_IN = 5.0
"""From the edge of the box to a pin's name, user units."""
NUMBER_OFF = 3.0
TITLE_HIGH, CLEAR = 26.0, 8.0
"""Height of a box's title, and how far it keeps from names above, below and on the side it avoids."""
EDGE, HALF_EDGE = 7.0, 4.0
"""Depth and half the height of the mark of an input that acts on an edge (IEC 60617-12, from memory)."""
FEW = 3
"""On a side with so few pins there is always a free place for the title."""
CROSS = 3.5
"""Half the size of the cross at a pin left open."""


@dataclass(frozen=True, slots=True)
class BoxPin:
    """A pin of a box: its terminal, printed name and number, its side, whether it is left open.

    ``edge``: it acts on a rising edge and bears a triangle inside the box, at its left or right side.
    """

    terminal: str
    name: str
    number: str
    side: int
    open: bool = False
    edge: bool = False


@dataclass(frozen=True, slots=True)
class BoxSpec:
    """A box: pins in reading order, width and least height in cells, and what is written inside."""

    ref: str
    value: str
    pins: tuple[BoxPin, ...]
    width: int
    height: int

    @staticmethod
    def of(ref: str, value: str, pins: Sequence[BoxPin], room: str) -> BoxSpec:
        """Find the size: pins two cells apart, room for every name and for the label in the middle.

        ``room`` is the wording of the value that must find room.
        """
        count = [sum(p.side == side for p in pins) for side in range(4)]
        names = [
            max((_text.width(p.name, SMALL) for p in pins if p.side == s), default=0.0) for s in range(4)
        ]
        middle = max(_text.width(ref, REF, "bold"), _text.width(room, VALUE))
        sides = [names[s] + NAME_IN + 9.0 if count[s] else 9.0 for s in (LEFT, RIGHT)]
        # The title stands clear of the names on the side with fewer pins, where there is a free place.
        apart = max(max(sides) + 9.0 + middle, sum(sides))
        needed = apart if min(count[LEFT], count[RIGHT]) <= FEW else sum(sides) + middle
        width = max(int(-(-needed // CELL)), 2 * max(count[UP], count[DOWN]), 4)
        along = [_along([p for p in pins if p.side == side]) for side in (LEFT, RIGHT)]
        return BoxSpec(ref, value, tuple(pins), width, max([2, *(max(s, default=0) for s in along)]) + 4)

    def start(self) -> tuple[int, ...]:
        """A first position for every pin along its side: two cells apart, pins left open only one."""
        along = [_along([p for p in self.pins if p.side == side]) for side in range(4)]
        rows = [iter(places) for places in along]
        lead = [
            2 if s in (LEFT, RIGHT) else max(1, (self.width - max(along[s], default=0)) // 2)
            for s in range(4)
        ]
        return tuple(lead[pin.side] + next(rows[pin.side]) for pin in self.pins)

    def at(self, pin: BoxPin, position: int, height: int) -> tuple[int, int]:
        """End of the pin's lead, in cells from the box's upper left corner."""
        return {
            UP: (position, -1), DOWN: (position, height + 1),
            LEFT: (-1, position), RIGHT: (self.width + 1, position),
        }[pin.side]  # fmt: skip


def _along(pins: Sequence[BoxPin]) -> list[int]:
    """Cells from the first pin of a side to each: two from one to the next, one where both are open."""
    return list(accumulate([1 if a.open and b.open else 2 for a, b in pairwise(pins)], initial=0))[
        : len(pins)
    ]


def box_variant(spec: BoxSpec, positions: Sequence[int], height: int) -> Variant:
    """Draw a box of a height with its pins at positions; the origin is its upper left corner."""
    w, h = spec.width * CELL, height * CELL
    leads, strokes, labels, terminals = [], [Stroke("rect", (0.0, 0.0, w, h))], [], []
    for pin, position in zip(spec.pins, positions, strict=True):
        x, y = spec.at(pin, position, height)
        terminals.append((pin.terminal, x, y, pin.side))
        px, py, q = x * CELL, y * CELL, position * CELL
        if pin.side in (LEFT, RIGHT):
            edge, sign = (0.0, -1) if pin.side == LEFT else (w, 1)
            leads.append(Stroke("line", (px, py, edge, q)))
            anchor: Anchor = "end" if pin.side == LEFT else "start"
            labels.append(
                Label(
                    pin.number, edge + sign * (NUMBER_OFF - 1), q - NUMBER_OFF, TINY, anchor, "regular", "pin"
                )
            )
            inner: Anchor = "start" if pin.side == LEFT else "end"
            labels.append(
                Label(
                    pin.name, edge - sign * (NAME_IN + EDGE * pin.edge), q + 0.334 * SMALL, SMALL, inner,
                    "regular", "name",
                )
            )  # fmt: skip
            if pin.edge:
                tip = edge - sign * EDGE
                strokes.append(Stroke("polyline", (edge, q - HALF_EDGE, tip, q, edge, q + HALF_EDGE)))
        else:
            edge = 0.0 if pin.side == UP else h
            leads.append(Stroke("line", (px, py, q, edge)))
            number_y = -NUMBER_OFF if pin.side == UP else h + NUMBER_OFF + 0.668 * TINY
            labels.append(Label(pin.number, q + NUMBER_OFF, number_y, TINY, "start", "regular", "pin"))
            name_y = NAME_IN + 0.668 * SMALL if pin.side == UP else h - NAME_IN
            labels.append(Label(pin.name, q, name_y, SMALL, "middle", "regular", "name"))
        if pin.open:
            strokes += cross(px, py)
    labels = [label for label in labels if label.text]
    middle, centre = _title_at(spec, positions, height)
    top = centre + (0.334 * REF if not spec.value else -3.0)
    labels.append(Label(spec.ref, middle, top, REF, "middle", "bold", "ref"))
    if spec.value:
        labels.append(Label(spec.value, middle, top + 15.0, VALUE, "middle", "regular", "value"))
    blocked = {(x, y) for x in range(spec.width + 1) for y in range(height + 1)}
    rects = [(0.0, 0.0, w, h)]
    return Variant(
        tuple(terminals), tuple(leads), tuple(strokes), (0.0, 0.0, w, h), tuple(labels), tuple(rects),
        tuple(sorted(blocked)), 0, False, "inside", 0.4 * (height - spec.height),
    )  # fmt: skip


def _title_at(spec: BoxSpec, positions: Sequence[int], height: int) -> tuple[float, float]:
    """Middle of the title: between the names of both sides, or clear of those on the side with fewer."""
    w, h = spec.width * CELL, height * CELL
    names = {s: [p for p in spec.pins if p.side == s and p.name] for s in range(4)}
    wide = {
        s: max((_text.width(p.name, SMALL) + NAME_IN for p in names[s]), default=0.0) for s in (LEFT, RIGHT)
    }
    words = max(_text.width(spec.ref, REF, "bold"), _text.width(spec.value, VALUE))
    if wide[LEFT] + words + wide[RIGHT] + 4 * CLEAR <= w:
        return (wide[LEFT] + w - wide[RIGHT]) / 2, h / 2
    few = LEFT if len(names[LEFT]) <= len(names[RIGHT]) else RIGHT
    full = RIGHT if few == LEFT else LEFT
    rows = [q * CELL for pin, q in zip(spec.pins, positions, strict=True) if pin.side == few and pin.name]
    keep = TITLE_HIGH / 2 + 0.334 * SMALL + CLEAR
    ends = [TITLE_HIGH / 2 + CLEAR + (NAME_IN + 0.668 * SMALL if names[s] else 0.0) for s in (UP, DOWN)]
    free = [h / 2, ends[0], h - ends[1], *(row + sign * keep for row in rows for sign in (-1, 1))]
    fits = [
        y for y in free if ends[0] <= y <= h - ends[1] and all(abs(y - row) >= keep - 1e-6 for row in rows)
    ]
    clear = wide[full] / 2 if full == LEFT else -wide[full] / 2
    return w / 2 + clear, min(fits or [h / 2], key=lambda y: (abs(y - h / 2), y))


def cross(x: float, y: float) -> list[Stroke]:
    """The sign of a lead that is left open, about its end."""
    return [
        Stroke("line", (x - CROSS, y - CROSS, x + CROSS, y + CROSS)),
        Stroke("line", (x - CROSS, y + CROSS, x + CROSS, y - CROSS)),
    ]


@dataclass(frozen=True, slots=True)
class Triangle:
    """One comparator: terminals and numbers of its output, inputs and (at one of them) supply."""

    ref: str
    value: str
    output: tuple[str, str]
    minus: tuple[str, str]
    plus: tuple[str, str]
    supply: tuple[str, str] | None
    ground: tuple[str, str] | None
    open_output: bool
    rail: str
    """What must find room at the supply pin's own supply mark, "" without one."""


def triangle_variants(unit: Triangle) -> tuple[Variant, ...]:
    """A comparator with its plus or its minus input above; one at rest is small."""
    if unit.open_output and unit.supply is None:
        return (_resting(unit),)
    return tuple(
        _pointing_right(unit, plus_up, below) for plus_up in (False, True) for below in (True, False)
    )


HALF, SMALL_HALF = 35.0, 20.0
"""Half the height of the triangle at its inputs; half that of one not in use: user units."""


def _sign(x: float, y: float, plus: bool, half: float = 4.0) -> list[Stroke]:
    level = [Stroke("line", (x - half, y, x + half, y))]
    return [*level, Stroke("line", (x, y - half, x, y + half))] if plus else level


def _pointing_right(unit: Triangle, plus_up: bool, below: bool) -> Variant:
    upper, lower = (unit.plus, unit.minus) if plus_up else (unit.minus, unit.plus)
    up = 1 if plus_up else -1
    terminals = [(unit.output[0], 3, 0, RIGHT), (unit.minus[0], -3, up, LEFT), (unit.plus[0], -3, -up, LEFT)]
    leads = [
        Stroke("line", (34, 0, 60, 0)),
        Stroke("line", (-60, -20, -34, -20)),
        Stroke("line", (-60, 20, -34, 20)),
    ]
    strokes = [Stroke("outline", (-34, -HALF, -34, HALF, 34, 0))]
    strokes += _sign(-25, -20, plus_up) + _sign(-25, 20, not plus_up)
    labels = [
        Label(upper[1], -38, -23, TINY, "end", "regular", "pin"),
        Label(lower[1], -38, 17, TINY, "end", "regular", "pin"),
        Label(unit.output[1], 40, -3, TINY, "start", "regular", "pin"),
    ]
    rects = [(-34.0, -HALF, 34.0, HALF)]
    if unit.supply is not None and unit.ground is not None:
        terminals += [(unit.supply[0], 0, -2, UP), (unit.ground[0], 0, 2, DOWN)]
        leads += [Stroke("line", (0, -40, 0, -17.5)), Stroke("line", (0, 17.5, 0, 40))]
        labels += [
            Label(unit.supply[1], 3.5, -25, TINY, "start", "regular", "pin"),
            Label(unit.ground[1], 3.5, 33, TINY, "start", "regular", "pin"),
        ]
        if unit.rail:
            rects.append((-3.0, -50.5, 9.0 + _text.width(unit.rail, VALUE), -40.0))
    if unit.open_output:
        strokes += cross(60, 0)
    wide = _text.width(unit.ref, REF, "bold")
    x, y = (16.0, HALF + 9.0) if below else (16.0, -HALF + 5.0)
    if not below and unit.rail:
        y = -HALF - 18.0
    labels.append(Label(unit.ref, x, y, REF, "start", "bold", "ref"))
    labels.append(Label(unit.value, x + wide + 5, y, VALUE, "start", "regular", "value"))
    text = (x, y - 9.0, x + wide + 5 + _text.width(unit.value, VALUE), y)
    rects.append(text)
    blocked = (
        {(i, j) for i in (-1, 0, 1) for j in (-1, 0, 1)}
        | {(-2, j) for j in range(-2, 3)}
        | {(-1, -2), (-1, 2), (2, 0)}
    )
    for rect in rects[1:]:
        blocked |= set(inside(rect, GAP - 0.01))
    rects += [(-60.0, -32.0, -34.0, -20.0), (-60.0, 8.0, -34.0, 20.0), (34.0, -12.0, 60.0, 0.0)]
    return _triangle(
        terminals, leads, strokes, labels, rects, blocked, plus_up, "below", 0.0 if below else 0.8
    )


def _resting(unit: Triangle) -> Variant:
    """A comparator not in use: small, its inputs led down at once to where they are tied."""
    terminals = [
        (unit.output[0], 2, 0, RIGHT), (unit.minus[0], -2, 2, DOWN), (unit.plus[0], -1, 2, DOWN),
    ]  # fmt: skip
    leads = [
        Stroke("line", (28, 0, 40, 0)),
        Stroke("line", (-40, -10, -40, 40)),
        Stroke("line", (-40, -10, -12, -10)),
        Stroke("line", (-20, 10, -20, 40)),
        Stroke("line", (-20, 10, -12, 10)),
    ]
    strokes = [Stroke("outline", (-12, -SMALL_HALF, -12, SMALL_HALF, 28, 0))]
    strokes += _sign(-5, -10, False, 3) + _sign(-5, 10, True, 3) + cross(40, 0)
    labels = [
        Label(unit.output[1], 28, -6.5, TINY, "start", "regular", "pin"),
        Label(unit.minus[1], -36, 37, TINY, "start", "regular", "pin"),
        Label(unit.plus[1], -16, 37, TINY, "start", "regular", "pin"),
        Label(unit.ref, -38, -SMALL_HALF - 6, REF, "start", "bold", "ref"),
    ]
    wide = _text.width(unit.ref, REF, "bold") + 5
    labels.append(Label(unit.value, -38 + wide, -SMALL_HALF - 6, VALUE, "start", "regular", "value"))
    text = (-38.0, -SMALL_HALF - 15, -38 + wide + _text.width(unit.value, VALUE), -SMALL_HALF - 6)
    rects = [(-12.0, -SMALL_HALF, 28.0, SMALL_HALF), text]
    rects += [(-40.0, -10.0, -9.0, 37.0), (28.0, -15.0, 40 + CROSS, CROSS)]
    blocked = {(i, j) for i in (-2, -1, 0, 1) for j in (-1, 0, 1)} | set(inside(text, GAP - 0.01))
    return _triangle(terminals, leads, strokes, labels, rects, blocked, False, "above", 0.0)


def _triangle(
    terminals: list[tuple[str, int, int, int]], leads: list[Stroke], strokes: list[Stroke],
    labels: list[Label], rects: list[Box], blocked: set[tuple[int, int]], mirror: bool, side: str,
    cost: float,
) -> Variant:  # fmt: skip
    shut = blocked - {(x, y) for _, x, y, _ in terminals}
    labels = [label for label in labels if label.text]
    return Variant(
        tuple(terminals), tuple(leads), tuple(strokes), rects[0], tuple(labels), tuple(rects),
        tuple(sorted(shut)), 0, mirror, side, cost,
    )  # fmt: skip
