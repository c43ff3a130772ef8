"""What an integrated circuit adds to the netlist: its divider, diodes, curves and state tables."""

from __future__ import annotations

import itertools

from buildalong.circuit import Part
from buildalong.engine import _model as m
from buildalong.engine._builder import Builder
from buildalong.engine._elements import CellRow, WatcherRow
from buildalong.engine._model import number
from buildalong.engine._slots import EV_WATCH

__all__ = ["ic"]


def ic(into: Builder, part: Part, model: m.IcModel) -> None:
    for inner in model.resistors:
        into.conduct(part, *inner.between, 1.0 / into.get(part, "divider", number(inner.resistance)))
    for inner in model.diodes:
        IS = number(inner.saturation_current) if inner.saturation_current is not None else 1e-12
        into.diode(part, *inner.between, IS, 1.0, number(inner.resistance), 40.0)
    if into.liftable:
        for inner in model.clamps:
            IS = number(inner.saturation_current) if inner.saturation_current is not None else 1e-12
            into.diode(part, *inner.between, IS, 1.0, number(inner.resistance), 40.0, small=True)
    cells = {}
    for cell in model.cells:
        cells[cell.name] = len(into.out.cells)
        state_table(into, part, model, cell)
    for curve in model.curves:
        points = interpolated(curve, into.out.nominal)
        if curve.cell:
            row = into.out.cells[cells[curve.cell]]
            mask = sum(1 << row.states.index(state) for state in curve.states)
            into.curve(part, curve.source_terminal, curve.sink_terminal, points, cells[curve.cell], mask)
        else:
            into.curve(part, curve.source_terminal, curve.sink_terminal, points, -1, -1)


def state_table(into: Builder, part: Part, model: m.IcModel, cell: m.Cell) -> None:
    index = len(into.out.cells)
    states = (*cell.states, "off")
    row = CellRow(part.id, cell.name, states, cell.wakes, len(into.out.watchers), len(cell.watchers))
    local = {w.name: 1 << i for i, w in enumerate(cell.watchers)}
    for w in cell.watchers:
        on = tuple((into.at(part, t), x) for t, x in w.sum.items())
        off = on if w.sum_back is None else tuple((into.at(part, t), x) for t, x in w.sum_back.items())
        level = into.get(part, w.name, number(w.level))
        shift = level - number(w.level)
        back = (number(w.back) if w.back is not None else number(w.level)) + shift
        into.out.watchers.append(WatcherRow(part.id, w.name, on, -level, off, -back, index, EV_WATCH))
    everywhere = (1 << len(states)) - 1
    same = tuple(range(len(states)))
    off_state = len(states) - 1
    row.rules.append((-1, 0, local[cell.power], everywhere, (off_state,) * len(states)))
    for rule in cell.rules:
        following = list(same)
        if rule.ring:
            for a, b in zip(rule.ring, (*rule.ring[1:], rule.ring[0]), strict=True):
                following[states.index(a)] = states.index(b)
            allowed = everywhere & ~(1 << off_state)
        else:
            following = [states.index(rule.to)] * len(states)
            allowed = everywhere
        edge = [w.name for w in cell.watchers].index(rule.on) if rule.on else -1
        row.rules.append(
            (
                edge,
                sum(local[name] for name in rule.when),
                sum(local[name] for name in rule.unless),
                allowed,
                tuple(following),
            )
        )
    row.wake_rule = len(row.rules)
    wake = states.index(cell.wakes[0])
    row.rules.append((-1, local[cell.power], 0, 1 << off_state, (wake,) * len(states)))
    into.out.cells.append(row)


def interpolated(curve: m.CurveData, supply: float) -> tuple[tuple[float, float], ...]:
    """The curve at a supply voltage: between the two nearest that are given, held beyond the ends."""
    known = sorted((c.at_supply, c.numbers) for c in curve.at)
    if supply <= known[0][0]:
        return known[0][1]
    for (s0, low), (s1, high) in itertools.pairwise(known):
        if supply <= s1:
            x = (supply - s0) / (s1 - s0)
            return tuple(
                (v0 + x * (v1 - v0), i0 + x * (i1 - i0)) for (v0, i0), (v1, i1) in zip(low, high, strict=True)
            )
    return known[-1][1]
