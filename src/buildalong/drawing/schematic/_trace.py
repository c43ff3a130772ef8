"""From the placer's arrays back to a layout: symbols, wires, dots, the ends of the rails."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from buildalong.circuit import Circuit, Pin
from buildalong.drawing.schematic._arrays import GW, Problem, State, Work
from buildalong.drawing.schematic._boxes import box_variant
from buildalong.drawing.schematic._items import GROUND, LOCAL, PLUS, Item, Structure
from buildalong.drawing.schematic._layout import (
    CELL,
    RAIL_WORDS,
    Label,
    Point,
    SchematicLayout,
    Segment,
    Stroke,
    Symbol,
)
from buildalong.drawing.schematic._shape import LEFT, REF, RIGHT, VALUE, Variant, moved
from buildalong.drawing.schematic._words import supply_words

__all__ = ["placed", "rail_end", "to_layout"]

MARKED = 3
"""How the router says that a terminal has a rail mark of its own."""


def to_layout(
    circuit: Circuit, structure: Structure, problem: Problem, state: State, work: Work
) -> SchematicLayout:
    """Read symbols, wires and dots off the kernel's arrays."""
    height = int(state.size[0])
    segments, dots = _wires(work, height, problem)
    used = [p for s in segments for p in s]
    symbols = []
    for i, item in enumerate(structure.items):
        x, y = int(state.sym[0, i]), int(state.sym[1, i])
        variant = item.variants[int(state.sym[2, i]) - int(problem.s[1, i])]
        if item.box is not None:
            positions = []
            for k, pin in enumerate(item.box.pins):
                t = int(problem.s[0, i]) + k
                positions.append(int(state.ter[1, t] if pin.side in (LEFT, RIGHT) else state.ter[0, t]))
            variant = box_variant(item.box, positions, round(variant.body[3] / CELL))
        symbols.append(placed(item, variant, x, y))
        for k, net in enumerate(item.nets):
            at = Point(x + variant.terminals[k][1], y + variant.terminals[k][2])
            if net == LOCAL or work.done[int(problem.s[0, i]) + k] == MARKED:
                symbols.append(_mark(circuit, GROUND if net == GROUND else PLUS, at))
    rows = (0, height)
    if problem.rails[0]:
        edge = min((p.x for p in used if p.y in rows), default=int(state.sym[0].min()))
        for row, terminal in ((0, 0), (height, 1)):
            row_points = [p.x for s in segments for p in s if p.y == row]
            own = Pin(circuit.supply.id, circuit.supply.type.terminals[terminal].name)
            if row_points:
                start = Point(edge - 1, row)
                first = Point(min(row_points), row)
                segments = _extend(segments, first, start)
                dots = _redot(dots, segments, first)
                for fed in reversed(structure.feed if terminal == PLUS else ()):
                    where = {name: (x, y) for name, x, y, _ in fed.shape.terminals}
                    x, y = start.x - where[fed.exit][0], start.y - where[fed.exit][1]
                    symbols.append(placed(fed.item, fed.shape, x, y))
                    entry = Point(x + where[fed.entry][0], y + where[fed.entry][1])
                    start = Point(entry.x - 1, entry.y)
                    segments.append(Segment(start, entry))
                symbols.append(rail_end(circuit, terminal, start))
            elif any(symbol.unit.startswith("mark") and symbol.terminals[0][0] == own for symbol in symbols):
                # There is no wire, only marks: the supply's terminal stands alone and says what they mean.
                end = rail_end(circuit, terminal, Point(edge - 1, row))
                symbols.append(end if terminal == PLUS else _with_ring(end))
    return SchematicLayout(tuple(symbols), tuple(sorted(segments)), tuple(sorted(set(dots))), (), rows)


def _extend(segments: list[Segment], old: Point, start: Point) -> list[Segment]:
    """Lengthen the rail's wire to its terminal."""
    out = list(segments)
    for i, s in enumerate(out):
        if s.start == old and s.end.y == old.y:
            out[i] = Segment(start, s.end)
            return out
    return [*out, Segment(start, old)]


def _redot(dots: list[Point], segments: Sequence[Segment], at: Point) -> list[Point]:
    """Set the dot at the first drop of a rail now that the rail goes on to its terminal."""
    branches = sum((at in s) if (s.start.y != s.end.y or at in s) else 2 * s.covers(at) for s in segments)
    return [*dots, at] if branches >= 3 and at not in dots else dots


def placed(item: Item, variant: Variant, x: int, y: int) -> Symbol:
    """An item drawn at a point of the grid."""
    dx, dy = x * CELL, y * CELL
    left, top, right, bottom = variant.body
    return Symbol(
        item.part.id,
        item.unit,
        tuple((Pin(item.part.id, name), Point(tx + x, ty + y)) for name, tx, ty, _ in variant.terminals),
        tuple(moved(stroke, dx, dy) for stroke in variant.leads),
        tuple(moved(stroke, dx, dy) for stroke in variant.strokes),
        (left + dx, top + dy, right + dx, bottom + dy),
        tuple(Label(t.text, t.x + dx, t.y + dy, t.size, t.anchor, t.style, t.role) for t in variant.labels),
    )


def rail_end(circuit: Circuit, terminal: int, at: Point) -> Symbol:
    """The left end of a rail: the supply's terminal with its words, or the 0 V mark."""
    supply = circuit.supply
    pin = Pin(supply.id, supply.type.terminals[terminal].name)
    x, y = at.x * CELL, at.y * CELL
    if terminal == PLUS:
        volts, kind = supply_words(supply)
        labels = (
            Label(volts, x - RAIL_WORDS, y + 4.5, REF, "end", "bold", "supply"),
            Label(kind, x - RAIL_WORDS, y + 19.5, VALUE, "end", "regular", "supply"),
        )
        ring = Stroke("ring", (x, y, 3.0))
        return Symbol(supply.id, "+", ((pin, at),), (), (ring,), (x - 3, y - 3, x + 3, y + 3), labels)
    zero = Label("0 V", x - RAIL_WORDS, y + 0.5, REF, "end", "bold", "supply")
    return _ground(supply.id, "-", pin, at, (zero,))


def _with_ring(end: Symbol) -> Symbol:
    """The 0 V mark with the ring of a terminal on top, as at the plus rail."""
    (lead,) = end.leads
    x, y = lead.at[:2]
    return replace(
        end,
        leads=(replace(lead, at=(x, y + 3.0, *lead.at[2:])),),
        strokes=(Stroke("ring", (x, y, 3.0)), *end.strokes),
        labels=tuple(replace(label, y=y + 2.5) for label in end.labels),
    )


def _ground(supply: str, unit: str, pin: Pin, at: Point, labels: tuple[Label, ...]) -> Symbol:
    """Three bars under a short lead: 0 V."""
    x, y = at.x * CELL, at.y * CELL
    strokes = tuple(
        Stroke("line", (x - half, y + down, x + half, y + down))
        for half, down in ((10.0, 8.0), (6.5, 12.0), (3.0, 16.0))
    )
    lead = Stroke("line", (x, y, x, y + 8.0))
    return Symbol(supply, unit, ((pin, at),), (lead,), strokes, (x - 10, y + 8, x + 10, y + 16), labels)


def _mark(circuit: Circuit, terminal: int, at: Point) -> Symbol:
    """A mark of its own at a terminal: a ring with the voltage, or the bars of 0 V."""
    supply = circuit.supply
    pin = Pin(supply.id, supply.type.terminals[terminal].name)
    unit = f"mark {at.x} {at.y}"
    if terminal == GROUND:
        return _ground(supply.id, unit, pin, at, ())
    x, y = at.x * CELL, at.y * CELL
    volts, _ = supply_words(supply)
    return Symbol(
        supply.id, unit, ((pin, at),), (), (Stroke("ring", (x, y - 3.0, 3.0)),), (x - 3, y - 6, x + 3, y),
        (Label(volts, x + 9, y - 2, VALUE, "start", "bold", "supply"),),
    )  # fmt: skip


def _wires(work: Work, height: int, problem: Problem) -> tuple[list[Segment], list[Point]]:
    """Longest straight wires and the dots."""
    rows = range(height + 1)
    hn, vn, mask = (work.node[k].reshape(-1, GW) for k in range(3))
    rail_ends = {}
    for row, r in ((0, PLUS), (height, GROUND)):
        if problem.rails[r]:
            joins = [x for x in range(GW) if mask[row, x] & 5 and hn[row, x] == r]
            rail_ends[row] = (min(joins), max(joins)) if joins else None
    segments: list[Segment] = []

    def level(row: int, x: int) -> bool:
        """Whether a wire leads from (x, row) to the right."""
        if row in rail_ends:
            ends = rail_ends[row]
            return ends is not None and ends[0] <= x < ends[1]
        return (
            bool(mask[row, x] & 2)
            and bool(mask[row, x + 1] & 8)
            and hn[row, x] == hn[row, x + 1]
            and 0 <= hn[row, x] < 1000
        )

    def upright(row: int, x: int) -> bool:
        if row + 1 > height:
            return False
        return (
            bool(mask[row, x] & 4)
            and bool(mask[row + 1, x] & 1)
            and vn[row, x] == vn[row + 1, x]
            and 0 <= vn[row, x] < 1000
        )

    for row in rows:
        x = 0
        while x < GW - 1:
            if level(row, x):
                start = x
                while x < GW - 1 and level(row, x):
                    x += 1
                segments.append(Segment(Point(start, row), Point(x, row)))
            else:
                x += 1
    for x in range(GW):
        row = 0
        while row < height:
            if upright(row, x):
                start = row
                while row < height and upright(row, x):
                    row += 1
                segments.append(Segment(Point(x, start), Point(x, row)))
            else:
                row += 1
    dots = []
    for row in rows:
        for x in range(GW):
            same = hn[row, x] == vn[row, x]
            bits = bin(int(mask[row, x])).count("1")
            if row in rail_ends:
                ends = rail_ends[row]
                if ends is not None and ends[0] < x < ends[1] and mask[row, x] & 5:
                    dots.append(Point(x, row))
            elif same and bits >= 3 and 0 <= hn[row, x] < 1000:
                dots.append(Point(x, row))
    return segments, dots
