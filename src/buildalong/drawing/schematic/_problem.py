"""From the structure to the arrays of the kernel, a first placement, and back to a layout."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from buildalong.circuit import Circuit, Pin
from buildalong.drawing._text import Box
from buildalong.drawing.schematic._boxes import box_variant
from buildalong.drawing.schematic._groups import Groups
from buildalong.drawing.schematic._items import GROUND, LOCAL, PLUS, Item, Structure
from buildalong.drawing.schematic._kernel import GW, Problem, State, Work
from buildalong.drawing.schematic._layout import CELL, Label, Point, SchematicLayout, Segment, Stroke, Symbol
from buildalong.drawing.schematic._shape import LEFT, REF, RIGHT, VALUE, Variant, moved
from buildalong.drawing.schematic._words import supply_words

__all__ = ["build_problem", "first_state", "to_layout"]

MIDDLE = GW // 2


def _int(values: Sequence[int]) -> Any:
    return np.array(values, dtype=np.int64) if len(values) else np.zeros(0, np.int64)


def _table(*rows: Sequence[int]) -> Any:
    return np.array(rows, dtype=np.int64).reshape(len(rows), -1)


def build_problem(structure: Structure, groups: Groups, rails: bool) -> Problem:
    """Fill the arrays that do not change."""
    items = structure.items
    t_sym: list[int] = []
    t_net: list[int] = []
    t_side: list[int] = []
    t_fixed: list[int] = []
    s_t0 = [0]
    s_v0 = [0]
    variants: list[Variant] = []
    owner: list[int] = []
    for i, item in enumerate(items):
        for k, net in enumerate(item.nets):
            t_sym.append(i)
            t_net.append(net)
            side = item.box.pins[k].side if item.box else -1
            t_side.append(side)
            t_fixed.append(int((i, k) in groups.locked))
        s_t0.append(len(t_sym))
        variants += item.variants
        owner += [i] * len(item.variants)
        s_v0.append(len(variants))
    v_t0: list[int] = []
    vt: list[tuple[int, int, int]] = []
    v_r0, v_b0 = [0], [0]
    rects: list[Box] = []
    blocks: list[tuple[int, int]] = []
    for variant in variants:
        v_t0.append(len(vt))
        vt += [(x, y, way) for _, x, y, way in variant.terminals]
        rects += variant.rects
        v_r0.append(len(rects))
        blocks += variant.blocked
        v_b0.append(len(blocks))
    n_t0 = [0]
    n_terms: list[int] = []
    for net in range(len(structure.nets)):
        n_terms += [t for t, n in enumerate(t_net) if n == net]
        n_t0.append(len(n_terms))
    members: list[int] = []
    g_m0 = [0]
    s_group = [0] * len(items)
    for g, group in enumerate(groups.groups):
        members += group
        g_m0.append(len(members))
        for i in group:
            s_group[i] = g
    box_w = [items[i].box.width if items[i].box else 0 for i in owner]  # type: ignore[union-attr]
    box_h = [
        round(variant.body[3] / CELL) if items[i].box else 0
        for i, variant in zip(owner, variants, strict=True)
    ]
    count = len(items)
    pad = [0]
    return Problem(
        _table(t_sym, t_net, t_side, t_fixed),
        _table(s_t0, s_v0, [int(item.box is not None) for item in items] + pad, s_group + pad,
               [int(i in groups.fixed) for i in range(count)] + pad),
        _table(v_t0 + pad, box_h + pad, box_w + pad, v_r0, v_b0,
               _mates(structure, groups, s_v0, variants) + pad),
        np.array([v.cost for v in variants], np.float64), np.array(vt, np.int64).reshape(-1, 3),
        np.array(rects, np.float64).reshape(-1, 4), np.array(blocks, np.int64).reshape(-1, 2),
        _table(g_m0, [*groups.mate, -1]), _int(members),
        _table([i for i, _, _ in structure.before], [j for _, j, _ in structure.before]),
        np.array([w for _, _, w in structure.before], np.float64),
        _table([i for i, _ in structure.above], [j for _, j in structure.above]),
        _int(n_t0), _int(n_terms), _int([int(rails), int(rails)]),
    )  # fmt: skip


def _mates(
    structure: Structure, groups: Groups, s_v0: Sequence[int], variants: Sequence[Variant]
) -> list[int]:
    """For each variant of a mirrored symbol, the variant of its mate that mirrors it."""
    out = [-1] * len(variants)
    for g, mate in enumerate(groups.mate):
        if mate < 0:
            continue
        i, j = groups.groups[g][0], groups.groups[mate][0]
        for v in range(s_v0[i], s_v0[i + 1]):
            for u in range(s_v0[j], s_v0[j + 1]):
                if _mirrored(variants[v], variants[u], groups.pins.get(i, {})):
                    out[v] = u
                    break
    return out


_FLIP = {"left": "right", "right": "left", "above left": "above right", "above right": "above left"}


def _mirrored(one: Variant, other: Variant, pins: dict[str, str]) -> bool:
    where = {name: (x, y) for name, x, y, _ in other.terminals}
    for name, x, y, _ in one.terminals:
        if where.get(pins.get(name, name)) != (-x, y):
            return False
    same_body = all(
        abs(a - b) < 0.6
        for a, b in zip((-one.body[2], one.body[1], -one.body[0], one.body[3]), other.body, strict=True)
    )
    return same_body and other.side == _FLIP.get(one.side, one.side)


def first_state(structure: Structure, groups: Groups, problem: Problem, scatter: Sequence[int]) -> State:
    """A first placement by order and potential; ``scatter`` (small integers) makes restarts differ."""
    items = structure.items
    column = [0.0] * len(items)
    for _ in range(len(items)):
        for i, j, weight in structure.before:
            if weight >= 1.0 and column[j] < column[i] + 1:
                column[j] = min(column[i] + 1, 6.0)
    height = 14 + max(item.box.height if item.box else 0 for item in items)
    state = State(
        np.zeros((3, len(items)), np.int64),
        np.zeros((3, problem.t.shape[1]), np.int64),
        np.array([height, 0], np.int64),
    )
    level = structure.potential
    for g, group in enumerate(groups.groups):
        lead = group[0]
        for k, i in enumerate(group):
            item = items[i]
            v = int(problem.s[1, i]) + groups.fixed.get(i, 0)
            mate = groups.mate[g]
            if mate >= 0 and mate < g:
                v = int(problem.v[5, state.sym[2, groups.groups[mate][0]]])
                v = v if v >= 0 else int(problem.s[1, i])
            dress(state, problem, item, i, v)
            if k:
                dx, dy = groups.offsets[i]
                state.sym[0, i], state.sym[1, i] = state.sym[0, lead] + dx, state.sym[1, lead] + dy
                continue
            known = [level[structure.nets[n]] for n in item.nets if n >= 0]
            share = sum(known) / len(known) if known else 0.5
            spare = scatter[i % len(scatter)] if scatter else 0
            state.sym[0, i] = min(max(20 + round(column[i] * 9) + spare % 7 - 3, 10), GW - 16)
            reach = item.box.height if item.box else 0
            state.sym[1, i] = min(
                max(3, round((height - reach) * (1 - share)) + spare % 3 - 1), height - 3 - reach
            )
    if groups.mirrored:
        state.size[1] = 2 * MIDDLE
        for g, mate in enumerate(groups.mate):
            i = groups.groups[g][0]
            if mate < 0:
                state.sym[0, i] = MIDDLE
            elif g < mate:
                j = groups.groups[mate][0]
                state.sym[0, i] = MIDDLE - 3 - (state.sym[0, i] + 3 * g) % 9
                state.sym[0, j] = 2 * MIDDLE - state.sym[0, i]
                state.sym[1, j] = state.sym[1, i]
    return state


def dress(state: State, problem: Problem, item: Item, i: int, v: int) -> None:
    """Give item ``i`` the variant ``v`` (index among all variants)."""
    state.sym[2, i] = v
    variant = item.variants[v - int(problem.s[1, i])]
    for k, (_, x, y, way) in enumerate(variant.terminals):
        t = int(problem.s[0, i]) + k
        state.ter[0, t], state.ter[1, t], state.ter[2, t] = x, y, way


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
            if net == LOCAL:
                symbols.append(_mark(circuit, symbols[-1].terminals[k][1]))
    rows = (0, height)
    if problem.rails[0]:
        edge = min((p.x for p in used if p.y in rows), default=int(state.sym[0].min()))
        for row, terminal in ((0, 0), (height, 1)):
            row_points = [p.x for s in segments for p in s if p.y == row]
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
            Label(volts, x - 9, y + 4.5, REF, "end", "bold", "supply"),
            Label(kind, x - 9, y + 19.5, VALUE, "end", "regular", "supply"),
        )
        return Symbol(
            supply.id,
            "+",
            ((pin, at),),
            (),
            (Stroke("ring", (x, y, 3.0)),),
            (x - 3, y - 3, x + 3, y + 3),
            labels,
        )
    strokes = tuple(
        Stroke("line", (x - half, y + down, x + half, y + down))
        for half, down in ((10.0, 8.0), (6.5, 12.0), (3.0, 16.0))
    )
    lead = Stroke("line", (x, y, x, y + 8.0))
    zero = Label("0 V", x - 9, y + 0.5, REF, "end", "bold", "supply")
    return Symbol(supply.id, "-", ((pin, at),), (lead,), strokes, (x - 10, y + 8, x + 10, y + 16), (zero,))


def _mark(circuit: Circuit, at: Point) -> Symbol:
    """A supply mark of its own at a pin: a ring with the voltage."""
    supply = circuit.supply
    x, y = at.x * CELL, at.y * CELL
    volts, _ = supply_words(supply)
    return Symbol(
        supply.id, f"mark {at.x} {at.y}", ((Pin(supply.id, supply.type.terminals[PLUS].name), at),), (),
        (Stroke("ring", (x, y - 3.0, 3.0)),), (x - 3, y - 6, x + 3, y),
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
