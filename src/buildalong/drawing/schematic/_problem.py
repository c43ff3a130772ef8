"""From the structure to the placer's arrays, and a first placement."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from itertools import accumulate
from typing import Any

import numpy as np

from buildalong.circuit import Part
from buildalong.drawing import _text
from buildalong.drawing._text import Box
from buildalong.drawing.schematic._arrays import GW, Problem, State
from buildalong.drawing.schematic._branches import alike, columns
from buildalong.drawing.schematic._copies import copies, forks, pairs, stages, twins
from buildalong.drawing.schematic._groups import Groups
from buildalong.drawing.schematic._hints import FIRM
from buildalong.drawing.schematic._items import PLUS, Item, Structure, decouples
from buildalong.drawing.schematic._layout import CELL, RAIL_WORDS, page_width
from buildalong.drawing.schematic._order import TWINS
from buildalong.drawing.schematic._shape import REF, TINY, VALUE, Variant
from buildalong.drawing.schematic._words import supply_words
from buildalong.words import plainly

__all__ = ["build_problem", "first_state"]

MIDDLE = GW // 2
PIN_MARK, MARK, APART_MARK = 18, 24, 28
"""Twice the score's price of a rail mark of its own: at an IC's pin, at any other part, at a decoupling
capacitor, which is clearest from wire to wire."""
IN_ROW = 2
"""How the score is told of a stage: joined to its rail last, and all of a row alike."""
SIDES = {"right": 1, "left": 2}


def build_problem(structure: Structure, groups: Groups, supply: Part | None) -> Problem:
    """Fill the arrays that do not change."""
    items = structure.items
    small = TINY if any(item.box or item.triangle for item in items) else VALUE
    terminals: list[tuple[int, int, int, int, int, int, int]] = []
    symbols: list[tuple[int, int, int, int, int]] = []
    variants: list[Variant] = []
    rows: list[tuple[int, int, int, int, int]] = []
    vt: list[tuple[int, int, int]] = []
    rects: list[Box] = []
    blocks: list[tuple[int, int]] = []
    both = pairs(items)
    row = stages(items)
    paired = {i for pair in both for i in pair}
    group_of = {i: g for g, group in enumerate(groups.groups) for i in group}
    for i, item in enumerate(items):
        symbols.append(
            (len(terminals), len(variants), int(item.box is not None), group_of[i], int(i in groups.fixed))
        )
        apart = decouples(item) and any(other.box or other.triangle for other in items)
        price = PIN_MARK if item.box or item.triangle else APART_MARK if apart else MARK
        for k, net in enumerate(item.nets):
            side = item.box.pins[k].side if item.box else -1
            terminals.append(
                (
                    i,
                    net,
                    side,
                    int((i, k) in groups.locked),
                    price,
                    int(i in paired),
                    IN_ROW if i in row else int(apart and net == PLUS),
                )
            )
        for variant in item.variants:
            height = round(variant.body[3] / CELL) if item.box else 0
            width = item.box.width if item.box else 0
            rows.append((len(vt), height, width, len(rects), len(blocks)))
            variants.append(variant)
            vt += [(x, y, way) for _, x, y, way in variant.terminals]
            rects += groups.hulls.get(i, variant.rects)
            blocks += variant.blocked
    symbols.append((len(terminals), len(variants), 0, 0, 0))
    mates = [*_mates(structure, groups, [row[1] for row in symbols], variants), -1]
    rows.append((0, 0, 0, len(rects), len(blocks)))
    sides = [*(SIDES.get(v.side, 0) for v in variants), 0]
    members = [[t for t, row in enumerate(terminals) if row[1] == net] for net in range(len(structure.nets))]
    # Of two halves that mirror each other neither comes first; only what the author asks for counts.
    before = [pair for pair in structure.before if not groups.mirrored or pair[2] >= FIRM]
    still = frozenset((*groups.offsets, *(range(len(items)) if groups.mirrored else ())))
    return Problem(
        _columns(terminals, 7), _columns(symbols, 5),
        _columns([(*row, mate, side) for row, mate, side in zip(rows, mates, sides, strict=True)], 7),
        _floats([v.cost for v in variants]), _floats([v.body for v in variants], 4),
        np.array(vt, np.int64).reshape(-1, 3), _floats(rects, 4), np.array(blocks, np.int64).reshape(-1, 2),
        _columns([*zip(_firsts(groups.groups), [*groups.mate, -1], strict=True)], 2),
        _ints([i for group in groups.groups for i in group]),
        _columns([(i, j) for i, j, _ in before], 2), _floats([w for *_, w in before]),
        _columns([(i, j) for i, j, _ in structure.above], 2), _floats([w for *_, w in structure.above]),
        _columns([(i, j, round(100 * w)) for i, j, w in structure.near], 3),
        _columns((*structure.line, *forks(items)), 2),
        _columns(alike(items, still), 3),
        _columns(columns(items, groups.offsets), 2),
        _columns(copies(items, still), 4), _columns(_shapes(structure, symbols, still), 2), _columns(both, 2),
        _columns([(symbols[bar][0] + k, i, j) for bar, k, i, j in structure.legs], 3),
        _ints(_firsts(members)), _ints([t for terms in members for t in terms]),
        _ints([int(supply is not None)] * 2),
        # The common wire of an array may run a cell beyond its last lead.
        _floats([_overhang(structure, supply), page_width(small) - (CELL if groups.offsets else 0.0)]),
    )  # fmt: skip


def _shapes(
    structure: Structure, symbols: Sequence[tuple[int, ...]], still: Collection[int]
) -> list[tuple[int, int]]:
    """Pins of the same name and side of two ICs of one type: numbers of their terminals."""
    out = []
    for a, b in twins(structure.items):
        one, other = structure.items[a], structure.items[b]
        if one.box is None or other.box is None or {a, b} & set(still):
            continue
        where = {(pin.terminal, pin.side): symbols[b][0] + m for m, pin in enumerate(other.box.pins)}
        for k, pin in enumerate(one.box.pins):
            if (pin.terminal, pin.side) in where:
                out.append((symbols[a][0] + k, where[pin.terminal, pin.side]))
    return out


def _overhang(structure: Structure, supply: Part | None) -> float:
    """What stands left of the first wire, user units: the supply's terminal, its words, the rail's feeds."""
    if supply is None:
        return 0.0
    with plainly():  # a page has room for some letters more in another language
        volts, kind = supply_words(supply)
    words = max(_text.width(volts, REF, "bold"), _text.width(kind, VALUE))
    cells = 1
    for fed in structure.feed:
        where = {name: x for name, x, _, _ in fed.shape.terminals}
        cells += where[fed.exit] - where[fed.entry] + 1
    return cells * CELL + RAIL_WORDS + words


def _firsts(rows: Sequence[Sequence[int]]) -> list[int]:
    """Where each row begins when all are written one after the other, and the end."""
    return [0, *accumulate(len(row) for row in rows)]


def _ints(values: Sequence[int]) -> Any:
    return np.array(values, np.int64).reshape(-1)


def _columns(rows: Sequence[Sequence[int]], width: int) -> Any:
    """A table in which each of ``rows`` is a column."""
    return np.ascontiguousarray(np.array(rows, np.int64).reshape(-1, width).T)


def _floats(values: Sequence[Any], width: int = 0) -> Any:
    return np.array(values, np.float64).reshape((-1, width) if width else -1)


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
    row_wish = TWINS if not groups.mirrored else 1.0
    for _ in range(len(items)):
        for i, j, weight in structure.before:
            if (weight >= 1.0 or weight == row_wish) and column[j] < column[i] + 1:
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
