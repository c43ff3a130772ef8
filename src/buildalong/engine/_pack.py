"""From elements to the two arrays of the kernels: node order, symbolic elimination, layout."""

# ruff: noqa: E741 - I and F are the two arrays of _slots.py
from __future__ import annotations

from collections.abc import Sized
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from buildalong.engine import _slots as s
from buildalong.engine._elements import Element, Netlist

__all__ = ["Machine", "pack", "repack"]


@dataclass(slots=True, eq=False)
class Machine:
    """A prepared circuit: the arrays, and for each node its row (the reference has the last)."""

    net: Netlist
    I: NDArray[np.int64]
    F: NDArray[np.float64]
    rows: list[int]

    def copy(self) -> Machine:
        """The same machine in the same state, independent."""
        return Machine(self.net, self.I.copy(), self.F.copy(), self.rows)


def _pairs(net: Netlist) -> tuple[list[tuple[int, int]], set[int]]:
    pairs: list[tuple[int, int]] = []
    nonlinear: set[int] = set()
    for e in (*net.conductances, *net.capacitors):
        pairs.append((e.nodes[0], e.nodes[1]))
    for e in (*net.diodes, *net.curves):
        pairs.append((e.nodes[0], e.nodes[1]))
        nonlinear.update(e.nodes)
    for e in net.transistors:
        c, b, x = e.nodes
        pairs += [(c, b), (b, x), (c, x)]
        nonlinear.update(e.nodes)
    return pairs, nonlinear


def _order(count: int, pairs: list[tuple[int, int]], nonlinear: set[int]) -> tuple[list[int], int]:
    """Minimum-degree order, linear nodes first; deterministic.  The reference node is ``count``."""
    near: list[set[int]] = [set() for _ in range(count)]
    for a, b in pairs:
        if a != b and a < count and b < count:
            near[a].add(b)
            near[b].add(a)
    order: list[int] = []
    linear = [i for i in range(count) if i not in nonlinear]
    for group in (linear, [i for i in range(count) if i in nonlinear]):
        left = set(group)
        while left:
            best = min(left, key=lambda i: (len(near[i]), i))
            left.remove(best)
            order.append(best)
            for i in near[best]:
                near[i] |= near[best] - {i}
                near[i].discard(best)
            near[best] = set()
    return order, len(linear)


def _symbolic(n: int, pairs: list[tuple[int, int]]) -> list[set[int]]:
    """Columns right of the diagonal in each row after elimination (structure is symmetric)."""
    upper: list[set[int]] = [set() for _ in range(n)]
    for a, b in pairs:
        if a != b and a < n and b < n:
            upper[min(a, b)].add(max(a, b))
    for k in range(n):
        columns = sorted(upper[k])
        for i, a in enumerate(columns):
            upper[a].update(columns[i + 1 :])
    return upper


class _Ints:
    def __init__(self) -> None:
        self.data: list[int] = [0] * s.HEADER

    def section(self, slot: int, values: list[int]) -> None:
        self.data[slot] = len(self.data)
        self.data.extend(values)


def pack(net: Netlist) -> Machine:
    """Lay out a netlist.  The result is at rest: all voltages 0, every IC without supply."""
    n = len(net.nodes) - 1
    raw, nonlinear = _pairs(net)
    order, klin = _order(n, raw, nonlinear)
    row = [0] * (n + 1)
    for position, node in enumerate(order):
        row[node] = position
    row[n] = n
    upper = _symbolic(n, [(row[a], row[b]) for a, b in raw])

    # number the entries so that the block left after the linear pivots is contiguous
    entries = sorted(
        [(k, k) for k in range(n)] + [(k, j) for k in range(n) for j in upper[k]]
        + [(j, k) for k in range(n) for j in upper[k]],
        key=lambda e: (min(e) >= klin, min(e), e),
    )  # fmt: skip
    number = {e: i for i, e in enumerate(entries)}
    nnz = len(entries)

    def entry(a: int, b: int) -> int:
        return nnz if a == n or b == n else number[a, b]

    out = _Ints()
    head = out.data
    head[s.N], head[s.NNZ], head[s.KLIN] = n, nnz, klin
    head[s.TAIL] = next((i for i, e in enumerate(entries) if min(e) >= klin), nnz)
    out.section(s.I_DIAG, [number[k, k] for k in range(n)])
    columns = [sorted(u) for u in upper]
    starts = [0]
    for c in columns:
        starts.append(starts[-1] + len(c))
    out.section(s.I_LPTR, starts)
    out.section(s.I_LIDX, [number[j, k] for k in range(n) for j in columns[k]])
    out.section(s.I_LROW, [j for k in range(n) for j in columns[k]])
    out.section(s.I_UPTR, starts)
    out.section(s.I_UIDX, [number[k, j] for k in range(n) for j in columns[k]])
    out.section(s.I_UCOL, [j for k in range(n) for j in columns[k]])
    destinations: list[int] = []
    first: list[int] = []
    for k in range(n):
        first.append(len(destinations))
        destinations.extend(number[i, j] for i in columns[k] for j in columns[k])
    out.section(s.I_DPTR, first)
    out.section(s.I_DST, destinations)

    def ends(nodes: tuple[int, ...]) -> list[int]:
        a, b = row[nodes[0]], row[nodes[1]]
        if a == b:
            return [a, b, nnz, nnz, nnz, nnz]
        return [a, b, entry(a, a), entry(b, b), entry(a, b), entry(b, a)]

    out.section(s.I_G, [x for e in net.conductances for x in ends(e.nodes)])
    out.section(s.I_S, [x for a, b, g, _ in net.sources for x in (row[a], row[b], g)])
    out.section(s.I_C, [x for e in net.capacitors for x in (*ends(e.nodes), int(e.small), 0)])
    out.section(s.I_D, [x for e in net.diodes for x in (*ends(e.nodes), 0)])
    transistors: list[int] = []
    for q in net.transistors:
        three = [row[i] for i in q.nodes]
        transistors += [*three, *(entry(i, j) for i in three for j in three), 0]
    out.section(s.I_Q, transistors)
    curves: list[int] = []
    at = 0
    for e in net.curves:
        off = 1 << (len(net.cells[e.cell].states) - 1) if e.cell >= 0 else 0
        active = 1 if e.cell < 0 or e.mask & off else 0
        curves += [*ends(e.nodes), e.cell, e.mask, len(e.corners), at, active]
        at += len(e.numbers) + 2 * len(e.corners)
    out.section(s.I_K, curves)
    _pack_watchers(out, net, row, n)
    _pack_cells(out, net)
    out.section(s.I_RAMP, [x for r in net.ramps for x in (r.kind, r.element, 0)])
    out.section(s.I_CAUSE, [-1] * len(net.capacitors))
    counts: dict[int, Sized] = {
        s.NG: net.conductances, s.NS: net.sources, s.NC: net.capacitors, s.ND: net.diodes,
        s.NQ: net.transistors, s.NK: net.curves, s.NW: net.watchers, s.NX: net.cells, s.NR: net.ramps,
    }  # fmt: skip
    for slot, things in counts.items():
        head[slot] = len(things)
    head[s.NDEV] = len(net.diodes) + 2 * len(net.transistors) + len(net.curves)
    head[s.WIDTH] = 1 + n + len(net.elements) + len(net.transistors)
    head[s.SMALL] = int(bool(net.transistors) and any(e.small for e in net.capacitors))
    head[s.DIRTY] = 1
    head[s.STRIDE] = 1
    head[s.LASTJUMP] = -1
    F = _floats(head, net, n, nnz)
    return Machine(net, np.array(head, dtype=np.int64), F, row)


def _pack_watchers(out: _Ints, net: Netlist, row: list[int], n: int) -> None:
    reach = _reach(net, n)
    terms: list[int] = []
    rows: list[int] = []
    capset: list[int] = []
    for w in net.watchers:
        a = len(terms)
        terms += [row[i] for i, _ in w.on]
        b = len(terms)
        terms += [row[i] for i, _ in w.off]
        mine = sorted({c for i, _ in w.on for c in reach[i]})
        true, two_levels = int(w.on_constant > 0), int(w.off != w.on)
        rows += [a, len(w.on), b, len(w.off), w.cell, true, w.kind, len(capset), len(mine), two_levels]
        capset += mine
    out.section(s.I_W, rows)
    out.section(s.I_TERM, terms)
    out.section(s.I_CAPSET, capset)


def _reach(net: Netlist, n: int) -> list[set[int]]:
    """Capacitors that move each node: on the node itself, or one passive part away; rails move nothing."""
    rails = {n}
    for a, b, _, _ in net.sources:
        rails |= {a, b}
    touching: list[set[int]] = [set() for _ in range(n + 1)]
    for c, e in enumerate(net.capacitors):
        if not e.small:
            for i in e.nodes:
                if i not in rails:
                    touching[i].add(c)
    out = [set(t) for t in touching]
    for e in (*net.conductances, *net.diodes):
        a, b = e.nodes
        if a not in rails and b not in rails:
            if not touching[a]:
                out[a] |= touching[b]
            if not touching[b]:
                out[b] |= touching[a]
    return out


def _pack_cells(out: _Ints, net: Netlist) -> None:
    cells: list[int] = []
    rules: list[int] = []
    following: list[int] = []
    for c in net.cells:
        cells += [
            len(c.states) - 1,
            len(rules) // s.RULE_INTS,
            len(c.rules),
            c.first_watcher,
            c.watchers,
            0,
            0,
            -1,
        ]
        for edge, true, false, allowed, then in c.rules:
            rules += [int(edge >= 0), max(edge, 0), true, false, allowed, len(following)]
            following += then
    out.section(s.I_X, cells)
    out.section(s.I_RULE, rules)
    out.section(s.I_NEXT, following)


def _padded(elements: list[Element], size: int) -> list[float]:
    out: list[float] = []
    for e in elements:
        out += e.numbers
        out += [0.0] * (size - len(e.numbers))
    return out


def _numbers(net: Netlist) -> dict[int, list[float]]:
    """The sections of ``F`` that hold a variant's own numbers."""
    points: list[float] = []
    for e in net.curves:
        points += e.numbers
        for corner in e.corners:
            points += corner
    return {
        s.F_G: [e.numbers[0] for e in net.conductances],
        s.F_E: [emf for _, _, _, emf in net.sources],
        s.F_C: _padded(net.capacitors, s.C_FLOATS),
        s.F_D: _padded(net.diodes, s.D_FLOATS),
        s.F_Q: _padded(net.transistors, s.Q_FLOATS),
        s.F_PT: points,
        s.F_WC: [x for w in net.watchers for x in (w.on_constant, w.off_constant)],
        s.F_RAMP: [x for r in net.ramps for x in (r.p0, r.p1, r.start, r.start, 0.0, 0.0)],
    }


def _floats(head: list[int], net: Netlist, n: int, nnz: int) -> NDArray[np.float64]:
    nothing = [0.0] * (n + 1)
    devices = [0.0] * head[s.NDEV]
    scratch: dict[int, list[float]] = {
        s.F_V: nothing,
        s.F_AL: [0.0] * (nnz + 1),
        s.F_A: [0.0] * (nnz + 1),
        s.F_Y: nothing,
        s.F_Z: nothing,
        s.F_GI: [0.0] * len(net.conductances),
        s.F_K: [0.0] * (s.K_FLOATS * len(net.curves)),
        s.F_DEV: devices,
        s.F_DEVS: devices,
        s.F_DEV0: devices,
        s.F_TERM: [x for w in net.watchers for _, x in (*w.on, *w.off)],
        s.F_W0: [-1.0] * len(net.watchers),
        s.F_WS: [-1.0] * (3 * len(net.watchers)),
        s.F_DEAD: [-1.0] * len(net.cells),
        s.F_VS: nothing,
        s.F_VP: nothing,
    }
    data: list[float] = [0.0] * s.SCALARS
    for slot, values in sorted({**scratch, **_numbers(net)}.items()):
        head[slot] = len(data)
        data.extend(values)
    return np.array(data, dtype=np.float64)


def repack(net: Netlist, like: Machine) -> Machine:
    """Another variant of the circuit of ``like``, which is at rest: its layout, with the numbers of ``net``.

    Where numbers have changed the structure (a capacitance now too small to control the error, a
    curve that has lost a corner) it is laid out anew.
    """
    old = like.net
    same = (
        len(net.conductances) == len(old.conductances)
        and [e.small for e in net.capacitors] == [e.small for e in old.capacitors]
        and [len(e.corners) for e in net.curves] == [len(e.corners) for e in old.curves]
    )
    if not same:
        return pack(net)
    machine = Machine(net, like.I.copy(), like.F.copy(), like.rows)
    for slot, values in _numbers(net).items():
        if values:
            at = int(like.I[slot])
            machine.F[at : at + len(values)] = values
    at = int(like.I[s.I_W]) + 5
    for i, w in enumerate(net.watchers):
        machine.I[at + s.W_INTS * i] = w.on_constant > 0
    return machine
