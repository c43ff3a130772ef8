"""Whether a drawing is right and clean: equal to its circuit, nothing over anything else."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from buildalong.circuit import Circuit
from buildalong.drawing._text import Box
from buildalong.drawing.schematic._layout import (
    CELL,
    GAP,
    Label,
    Point,
    SchematicLayout,
    Segment,
    Stroke,
    Symbol,
)
from buildalong.drawing.schematic._readback import difference
from buildalong.finding import Finding, Severity

__all__ = ["check", "free_for"]

MEASURED = ("volts", "amps")
"""Roles of numbers written on a finished drawing."""
NEAR = 4.0
"""Least distance of such a number from texts and symbols it does not belong to, and of a net's name from
leads and pin numbers, which may be its own: user units."""
TOUCH = 2.5
"""Least distance of a text from its own lead or symbol, user units."""
NARROW = 2.0
"""Least distance of a wire from a body, user units."""


def check(circuit: Circuit, layout: SchematicLayout) -> list[Finding]:
    """Everything that is wrong with a drawing; an empty list where it may be printed."""
    out = [_finding("schematic-differs", sentence) for sentence in difference(circuit, layout)]
    out += _bodies(layout)
    out += _wires(layout)
    out += _joints(layout)
    out += _labels(layout)
    return out


def _finding(code: str, message: str, *about: str) -> Finding:
    return Finding(
        Severity.ERROR, code, message, "draw the circuit again with more effort or another seed", about=about
    )


def gap(one: Box, other: Box) -> float:
    """Distance of two rectangles along the axis in which they are apart; negative where they overlap."""
    return max(one[0] - other[2], other[0] - one[2], one[1] - other[3], other[1] - one[3])


def wire_box(segment: Segment) -> Box:
    """The line of a wire as a rectangle without breadth, user units."""
    return segment.start.x * CELL, segment.start.y * CELL, segment.end.x * CELL, segment.end.y * CELL


def _lead_box(lead: Stroke) -> Box:
    x1, y1, x2, y2 = lead.at
    return min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2)


def _bodies(layout: SchematicLayout) -> Iterator[Finding]:
    for one, other in combinations(layout.symbols, 2):
        if gap(one.body, other.body) < TOUCH and not _is_mark(one, other):
            yield _finding(
                "schematic-overlap", f"{_name(one)} and {_name(other)} overlap", one.part, other.part
            )


def _is_mark(one: Symbol, other: Symbol) -> bool:
    return any(s.unit.startswith("mark") for s in (one, other)) and bool(
        {p for _, p in one.terminals} & {p for _, p in other.terminals}
    )


def _name(symbol: Symbol) -> str:
    return symbol.part + symbol.unit


def _wires(layout: SchematicLayout) -> Iterator[Finding]:
    for segment in layout.segments:
        if (segment.start.x != segment.end.x) == (segment.start.y != segment.end.y):
            yield _finding("schematic-slant", f"a wire at {segment.start} is neither level nor upright")
        for symbol in layout.symbols:
            if gap(wire_box(segment), symbol.body) < NARROW and not _own(symbol, segment):
                yield _finding("schematic-wire-over-symbol", f"a wire runs over {_name(symbol)}", symbol.part)
    for one, other in combinations(layout.segments, 2):
        if (one.start.x == one.end.x) == (other.start.x == other.end.x):
            shared = gap(wire_box(one), wire_box(other))
            if shared < 0 or (shared == 0 and _overlap(one, other)):
                yield _finding("schematic-wire-on-wire", f"two wires lie on one another at {one.start}")


def _overlap(one: Segment, other: Segment) -> bool:
    """Whether two parallel wires share more than a point."""
    along = 0 if one.start.y == one.end.y else 1
    if one.start[1 - along] != other.start[1 - along]:
        return False
    return min(one.end[along], other.end[along]) > max(one.start[along], other.start[along])


def _own(symbol: Symbol, segment: Segment) -> bool:
    """Whether a wire ends at a symbol that is no more than an end itself (a rail's terminal or mark)."""
    return symbol.unit[:1] in ("+", "-", "m") and any(point in segment for _, point in symbol.terminals)


def _joints(layout: SchematicLayout) -> Iterator[Finding]:
    terminals: dict[Point, int] = {}
    for symbol in layout.symbols:
        for _, point in symbol.terminals:
            terminals[point] = terminals.get(point, 0) + 1
    for point in sorted({*layout.dots, *(p for s in layout.segments for p in s)}):
        ends = sum(point in s for s in layout.segments) + terminals.get(point, 0)
        branches = ends + 2 * sum(point not in s and s.covers(point) for s in layout.segments)
        if point in layout.dots and branches > 3:
            yield _finding("schematic-four-way", f"four wires meet in one dot at {tuple(point)}")
        if point in layout.dots and branches < 3:
            yield _finding("schematic-idle-dot", f"a dot at {tuple(point)} joins nothing")
        if ends == 1 and branches == 1:
            yield _finding("schematic-loose", f"a wire ends in nothing at {tuple(point)}")


def _labels(layout: SchematicLayout) -> Iterator[Finding]:
    texts: list[tuple[Symbol | None, Label]] = [
        (symbol, label) for symbol in layout.symbols for label in symbol.labels
    ]
    texts += [(None, label) for label in layout.labels]
    for (one, a), (other, b) in combinations(texts, 2):
        least = _apart(a, b) if one is not other or one is None else 0.5
        if gap(a.box, b.box) < least - 1e-6:
            yield _finding(
                "schematic-label", f"the texts '{a.text}' and '{b.text}' are too close", *_about(one, other)
            )
    for owner, label in texts:
        yield from _crowded(layout, owner, label)


def _crowded(layout: SchematicLayout, owner: Symbol | None, label: Label) -> Iterator[Finding]:
    """What wires and symbols come too close to one text."""
    least = TOUCH if label.role in ("pin", "net", "supply", *MEASURED) else GAP
    if any(gap(label.box, wire_box(s)) < least - 1e-6 for s in layout.segments):
        yield _finding("schematic-label", f"a wire is too close to the text '{label.text}'", *_about(owner))
    for symbol in layout.symbols:
        if symbol is owner:
            near = [_lead_box(lead) for lead in symbol.leads]
            near += [] if _inside(label, symbol) else [symbol.body]
            least = TOUCH
        else:
            near = [symbol.body, *(_lead_box(lead) for lead in symbol.leads)]
            marked = owner is not None and _is_mark(symbol, owner)
            least = (
                TOUCH if label.role == "pin" or marked else NEAR if label.role in ("net", *MEASURED) else GAP
            )
        if any(gap(label.box, box) < least - 1e-6 for box in near):
            yield _finding(
                "schematic-label",
                f"the text '{label.text}' is too close to {_name(symbol)}",
                *_about(owner, symbol),
            )


def free_for(layout: SchematicLayout, label: Label, owner: Symbol | None = None) -> bool:
    """Whether one more text, of a symbol or of none, may stand where it is."""
    texts = [*(t for symbol in layout.symbols for t in symbol.labels), *layout.labels]
    dots = ((d.x * CELL - 3.2, d.y * CELL - 3.2, d.x * CELL + 3.2, d.y * CELL + 3.2) for d in layout.dots)
    clear = all(gap(label.box, t.box) >= _apart(label, t) for t in texts)
    clear = clear and all(gap(label.box, d) >= 1.0 for d in dots)
    return clear and not any(_crowded(layout, owner, label))


def _apart(one: Label, other: Label) -> float:
    """Least distance of two texts that do not belong together, user units."""
    roles = {one.role, other.role}
    return NEAR if roles & set(MEASURED) or roles == {"net", "pin"} else GAP


def _inside(label: Label, symbol: Symbol) -> bool:
    """Whether the text belongs inside its symbol's outline."""
    return label.role in ("name", "pin") or (
        label.role in ("ref", "value") and symbol.body[2] - symbol.body[0] > 60
    )


def _about(*symbols: Symbol | None) -> tuple[str, ...]:
    return tuple(s.part for s in symbols if s is not None)
