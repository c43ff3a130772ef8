"""From a circuit, a board and what the author has fixed to a search problem."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from buildalong.board import Board, Layout, Wire
from buildalong.build.place._gentle import Hurts
from buildalong.build.place._geometry import Geometry
from buildalong.build.place._habits import Habits
from buildalong.build.place._route import Router
from buildalong.build.place._score import WEIGHTS, lead_terms
from buildalong.build.place._slip_costs import SlipCosts
from buildalong.build.place._task import FixedWire, Problem
from buildalong.build.place._units import Unit, net_numbers, row_unit, single_unit, supply_unit
from buildalong.build.place._wishes import Wishes
from buildalong.circuit import Circuit, Part

__all__ = ["build_problem", "lamp_rows", "lamps_alike", "rows_taken", "rows_wanted"]

WIRE_HALF = 0.2
"""Half the width of a wire that stays [pitches]: 22 AWG with its insulation (from memory), less a little."""
ROW_AT_LEAST = 3
"""So many like lamps on one common net make a row."""


def lamp_rows(circuit: Circuit, board: Board) -> list[tuple[Part, ...]]:
    """Like lamps that share one net at the same lead, in the circuit's order: they stand in a row.

    Rows that are too long for the board are left out.
    """
    return [row for row in lamps_alike(circuit) if rows_taken(row) <= board.rows]


def rows_taken(lamps: Sequence[Part]) -> int:
    """Rows of a board on which so many lamps stand in a row, with one left at each end."""
    return 3 * len(lamps) + 2


def lamps_alike(circuit: Circuit) -> list[tuple[Part, ...]]:
    """Lamps that would stand in a row on a board that is long enough."""
    groups: dict[tuple[str, int, str], list[Part]] = defaultdict(list)
    for part in circuit.parts:
        if part.type.family == "led" and part.type.body.kind == "radial":
            for leg, net in enumerate(part.nets):
                if net is not None and net not in (part.nets[1 - leg],):
                    groups[part.type.body.model_dump_json(), leg, net].append(part)
    taken: set[str] = set()
    rows = []
    for (_, leg, _), parts in sorted(groups.items(), key=lambda item: -len(item[1])):
        own = [p for p in parts if p.id not in taken]
        others = {p.nets[1 - leg] for p in own}
        if len(own) >= ROW_AT_LEAST and len(others) == len(own):
            rows.append(tuple(own))
            taken.update(p.id for p in own)
    return rows


def rows_wanted(circuit: Circuit, board: Board) -> int:
    """Rows of the board that the search looks at: enough with room to spare, not more."""
    need = 10.0
    for part in circuit.parts:
        body = part.type.body
        if body.kind == "rigid":
            need += max(leg.at[1] for leg in body.legs) + 2
        elif body.kind != "off-board":
            need += 1.3
    need += sum(2 * len(row) for row in lamp_rows(circuit, board))
    return min(board.rows, max(17, round(need)))


def build_problem(
    circuit: Circuit,
    board: Board,
    style: str,
    fixed: Layout | None = None,
    *,
    rows: int | None = None,
    lamps: bool = True,
    wishes: Wishes | None = None,
    on_rails: bool | None = None,
) -> Problem:
    """The search problem of a circuit on a board.

    ``on_rails``: whether supplies must come in on the rails or beside them; None where either will do.
    """
    given = {} if fixed is None else {p: h for p, h in fixed.holes.items() if p in circuit.by_id}
    fixed_wires = () if fixed is None else fixed.wires
    ends = [h for holes in given.values() for h in holes] + [h for w in fixed_wires for h in (w.start, w.end)]
    lowest = max((board.holes[h][1] for h in ends if h in board.holes), default=0)
    if wishes:
        lowest = max(lowest, *(min(board.rows, area.y1) for area in (*wishes.areas.values(), *wishes.free)))
    if rows is not None:
        rows = min(board.rows, max(rows, int(lowest) + 8))
    g = Geometry(board, rows)
    numbers = net_numbers(circuit)
    units: list[Unit] = []
    links: list[tuple[tuple[str, int], tuple[str, int]]] = []
    in_row: set[str] = set()
    for row in lamp_rows(circuit, board) if lamps else ():
        if any(p.id in given for p in row):
            continue
        nets = [tuple(numbers[p.id, t.name][0] for t in p.type.terminals) for p in row]
        unit = row_unit(row, [(a, b) for a, b in nets], g)
        if len(unit):
            units.append(unit)
            in_row.update(p.id for p in row)
    for part in circuit.parts:
        terminals = part.type.leg_terminals
        inner = {frozenset(pair) for pair in part.type.internal_links}
        for i, one in enumerate(terminals):
            for j in range(i + 1, len(terminals)):
                if one == terminals[j] or frozenset((one, terminals[j])) in inner:
                    links.append(((part.id, i), (part.id, j)))
        if part.id in in_row:
            continue
        own = [numbers[part.id, t] for t in terminals]
        wanted = [g.number.get(h) for h in given.get(part.id, ())] or [None] * len(terminals)
        legs = list(range(len(terminals)))
        if part.type.family == "supply" and len(legs) == 2 and wanted == [None, None]:
            unit = supply_unit(part, own, g, circuit.plus, circuit.ground)
            railed = g.rail[unit.strips].all(axis=1)
            if on_rails is not None and (railed == on_rails).any():
                unit = unit.only(np.flatnonzero(railed == on_rails))
            units.append(unit)
            continue
        for group in [[i] for i in legs] if part.type.body.kind == "off-board" else [legs]:
            want = [wanted[i] for i in group]
            if any(h is not None for h in want):
                units.append(single_unit(part, group, own, g, circuit.plus, circuit.ground, want))
            else:
                units.append(single_unit(part, group, own, g, circuit.plus, circuit.ground))
    router = Router(g, style)
    barred: dict[str, str] | None = None
    if wishes:
        kept = [wishes.kept(unit) for unit in units]
        lost = [unit.name for unit, left in zip(units, kept, strict=True) if len(unit) and not len(left)]
        asked = {part: area.words for part, area in wishes.areas.items()}
        barred = {name: asked.get(name.split(".")[0], "") for name in lost}
        units = kept
        for closed in wishes.closed(g.rows):
            router.outside |= router.body(closed)
    flat = [wire for wire in fixed_wires if wire.style != "flexible"]
    units = [_beside(unit, flat) for unit in units]
    units.sort(key=lambda u: -len(u.legs) * (2 if u.rounds else 1))
    for unit in units:
        _weigh(circuit, unit)
    count = max((n for n, _ in numbers.values()), default=-1) + 1
    stay = tuple(_fixed_wire(g, w) for w in fixed_wires if w.start in g.number and w.end in g.number)
    problem = make_problem(
        circuit, g, units, count, router, links, stay, wishes.hurts if wishes is not None else None
    )
    problem.barred = barred
    return problem


def make_problem(
    circuit: Circuit,
    g: Geometry,
    units: list[Unit],
    nets: int,
    router: Router,
    links: list[tuple[tuple[str, int], tuple[str, int]]],
    fixed_wires: tuple[FixedWire, ...],
    hurts: Hurts | None = None,
) -> Problem:
    """A problem with its habits."""
    problem = Problem(circuit, g, units, nets, router, links, fixed_wires, hurts)
    problem.habits = Habits(problem)
    if hurts is not None:
        problem.slips = SlipCosts(circuit, g, nets, hurts)
    return problem


def _beside(unit: Unit, wires: Sequence[Wire]) -> Unit:
    """The unit with those of its places that lie under none of the wires; with all where none is left."""
    g = unit.geometry
    x, y = g.x[unit.holes], g.y[unit.holes]
    left, top, right, bottom = np.moveaxis(unit.boxes, -1, 0)
    good = np.ones(len(unit), bool)
    for wire in wires:
        points = [g.board.holes[wire.start], *wire.path, g.board.holes[wire.end]]
        for (ax, ay), (bx, by) in pairwise(points):
            x0, x1 = min(ax, bx) - WIRE_HALF, max(ax, bx) + WIRE_HALF
            y0, y1 = min(ay, by) - WIRE_HALF, max(ay, by) + WIRE_HALF
            good &= ~((x > x0) & (x < x1) & (y > y0) & (y < y1)).any(axis=1)
            good &= ~((left < x1) & (right > x0) & (top < y1) & (bottom > y0)).any(axis=1)
    return unit if good.all() or not good.any() else unit.only(np.flatnonzero(good))


def _fixed_wire(g: Geometry, wire: Wire) -> FixedWire:
    a, b = g.number[wire.start], g.number[wire.end]
    ends = ((float(g.x[a]), float(g.y[a])), (float(g.x[b]), float(g.y[b])))
    return FixedWire(a, b, (ends[0], *wire.path, ends[1]))


def _weigh(circuit: Circuit, unit: Unit) -> None:
    """The part of the score that depends on the unit alone, for every place of it."""
    g = unit.geometry
    x, y = g.x[unit.holes], g.y[unit.holes]
    part = circuit.by_id[unit.legs[0][0]]
    body = part.type.body
    static = unit.static
    if body.kind in ("axial", "radial"):
        for i in range(0, len(unit.legs), 2):
            dx, dy = np.abs(x[:, i] - x[:, i + 1]), np.abs(y[:, i] - y[:, i + 1])
            static += WEIGHTS["span"][0] * np.abs(np.maximum(dx, dy) - body.ideal_span)
            across = (dx > dy) & ((x[:, i] < 5.5) != (x[:, i + 1] < 5.5)) & (x[:, i] * x[:, i + 1] >= 0)
            static += WEIGHTS["across"][0] * across
    elif body.kind == "rigid" and body.shape == "dip":
        half = len(unit.legs) // 2 - 1
        static += WEIGHTS["turned"][0] * ~((x[:, 0] < 5.5) & (y[:, half] >= y[:, 0]))
    elif body.kind == "off-board":
        known: dict[float, float] = {}
        for column in sorted(set(x.ravel().tolist())):
            terms = lead_terms(part, (column, 0.0), bool(g.board.rail_holes))
            known[column] = sum(WEIGHTS[name][0] * amount for name, amount in terms.items())
        static += np.array([sum(known[column] for column in leads) for leads in x.tolist()])
