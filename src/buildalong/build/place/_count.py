"""The fewest wires of a circuit on a board, proved where the solver gets so far, and how to reach them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from buildalong.board import Board
from buildalong.build.place._columns import Columns
from buildalong.build.place._frames import FAR, place_name
from buildalong.build.place._strips import Slot, StripModel
from buildalong.circuit import Circuit, Part

__all__ = ["Plan", "StripCount", "count_strips"]

RAILS_WORTH = 1
"""Wires that bringing the supply in on the rails may cost, and one more for every ten."""
SIDES_CHANGE = 6
"""Straight wires need at most so many wires more than bent ones, it is assumed first."""
QUESTION = 0.6
"""Share of all work that one question may take."""
LEAST_WORK = 0.02
MORE = 2
"""Wires above the bound for which holes are looked for."""


@dataclass(frozen=True, slots=True)
class Plan:
    """A strip for every leg; ``bridges``: (net, row) of straight wires across the trench.

    ``holes``: a hole for most of the legs, where room for the bodies was found too.
    """

    wires: int
    on_rails: bool
    strips: Mapping[tuple[str, int], str]
    holes: Mapping[tuple[str, int], str]
    bridges: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True)
class StripCount:
    """What counting proved.

    No layout under the rules has fewer than ``fewest`` wires; none with its supply on the rails has
    fewer than ``on_rails`` (None where the board has no rails or the supply cannot reach them).
    ``plan``: strips and holes for few wires, with the supply on the rails where that costs little;
    None where the solver found none.
    """

    fewest: int
    on_rails: int | None
    plan: Plan | None
    bent: int = 0
    """The same as ``fewest`` where wires need not be straight."""

    @property
    def bound(self) -> int:
        """The bound for layouts that bring the supply in as the plan does."""
        return self.on_rails if self.plan and self.plan.on_rails and self.on_rails else self.fewest


class _Purse:
    """Work for the solver, in its deterministic seconds: for all questions, and at most for each."""

    def __init__(self, work: float) -> None:
        self.left, self.most = work, QUESTION * work

    def draw(self) -> float:
        """Work for the next question."""
        return max(LEAST_WORK, min(self.left, self.most))


@dataclass(frozen=True, slots=True)
class _Answer:
    bound: int
    best: int | None
    values: tuple[int, ...] = ()


def count_strips(
    circuit: Circuit,
    board: Board,
    style: str,
    *,
    rows: Sequence[Sequence[Part]] = (),
    fixed: Mapping[tuple[str, int], str] | None = None,
    work: float = 1.0,
) -> StripCount:
    """Count the fewest wires; ``work`` bounds the solver, in its deterministic seconds.

    First strips only; then room for the bodies is looked for with that many wires, and with more where
    there is none.
    """
    purse = _Purse(work)
    legs = sum(len(part.type.leg_terminals) for part in circuit.parts)
    most, least, least_bent = legs, 0, 0
    if style == "link":
        bent = StripModel(circuit, board, "formed", most=legs, rows=rows, fixed=fixed)
        found = _solve(bent, bent.model, bent.wires, purse)
        least = least_bent = found.bound if found else 0
        most = (found.best or least) + SIDES_CHANGE if found else legs
    model = StripModel(circuit, board, style, most=most, rows=rows, fixed=fixed)
    model.model.add(model.wires >= least)
    free = _solve(model, model.model, model.wires, purse)
    if free is None and most < legs + SIDES_CHANGE:
        least, most = most + 1, legs + SIDES_CHANGE
        model = StripModel(circuit, board, style, most=most, rows=rows, fixed=fixed)
        model.model.add(model.wires >= least)
        free = _solve(model, model.model, model.wires, purse)
    if free is None:
        return StripCount(0, None, None, least_bent)
    if style != "link":
        least_bent = free.bound
    railed: _Answer | None = None
    if model.on_rails:
        supplied = model.model.clone()
        for on in model.on_rails:
            supplied.add(on == 1)
        supplied.add(model.wires >= free.bound)
        railed = _solve(model, supplied, model.wires, purse)
    return _with_bodies(model, free, railed, purse, least_bent)


def _with_bodies(
    model: StripModel, free: _Answer, railed: _Answer | None, purse: _Purse, bent: int
) -> StripCount:
    """Look for room for the bodies, with the supply on the rails first."""
    whole = model.model.clone()
    weight = model.tidiness(whole)
    columns = Columns(model, whole)
    columns.add_ends()
    columns.close()
    bounds = {False: free.bound, True: railed.bound if railed else 0}
    dear = free.bound + RAILS_WORTH + free.bound // 10
    tries = [(True, wires) for wires in range(bounds[True], dear + 1)] if railed else []
    tries += [(False, wires) for wires in range(free.bound, free.bound + MORE + 1)]
    if railed:
        tries += [(True, wires) for wires in range(max(dear + 1, bounds[True]), bounds[True] + MORE + 1)]
    rough: Plan | None = None
    for rails, wires in tries:
        if wires < bounds[rails]:
            continue
        model_here = whole.clone()
        model_here.add(model.wires <= wires)
        if rails:
            for on in model.on_rails:
                model_here.add(on == 1)
        told = railed if rails and railed else free
        _hint(model_here, told.values)
        found = _solve(model, model_here, None, purse)
        if found is None:
            if wires == bounds[rails] and not model.rows:  # a row of lamps counts as one long body
                bounds[rails] += 1
            continue
        if found.values:
            _hint(model_here, found.values)
            tidier = _solve(model, model_here, weight, purse)
            values = tidier.values if tidier and tidier.values else found.values
            on = bool(model.on_rails) and all(values[v.index] for v in model.on_rails)
            plan = _plan(model, wires, on, values, columns)
            return StripCount(bounds[False], bounds[True] if railed else None, plan, bent)
        if rough is None and told.best is not None and told.best <= wires:
            rough = _plan(model, told.best, rails, told.values, None)
    return StripCount(bounds[False], bounds[True] if railed else None, rough, bent)


def _hint(model: Any, values: Sequence[int]) -> None:
    model.clear_hints()
    for index, value in enumerate(values):
        model.proto.solution_hint.vars.append(index)
        model.proto.solution_hint.values.append(value)


def _solve(model: StripModel, chosen: Any, objective: Any, purse: _Purse) -> _Answer | None:
    """Minimise within counted work; None where there is no solution."""
    if objective is not None:
        chosen.minimize(objective)
    else:
        chosen.clear_objective()
    solver = model.cp.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = purse.draw()
    solver.parameters.linearization_level = 1 if objective is model.wires else 0
    status = solver.solve(chosen)
    purse.left -= solver.response_proto.deterministic_time
    if status == model.cp.INFEASIBLE:
        return None
    bound = max(0, int(-(-(solver.best_objective_bound - 1e-6) // 1)))
    if status not in (model.cp.OPTIMAL, model.cp.FEASIBLE):
        return _Answer(bound, None)
    values = tuple(solver.response_proto.solution)
    return _Answer(bound, round(solver.objective_value), values)


def _plan(
    model: StripModel, wires: int, on_rails: bool, value: Sequence[int], columns: Columns | None
) -> Plan:
    def where(slot: Slot) -> str:
        return slot.rail or place_name(value[slot.place.index])

    strips: dict[tuple[str, int], str] = {}
    for part_id, leg, slot in model.own_legs:
        strips[part_id, leg] = where(slot)
    for legs in model.placed:
        for item, net, choice in zip(legs.ids, legs.nets, legs.choice, strict=True):
            for slot in model.slots[net]:
                if slot.name in choice and value[choice[slot.name].index]:
                    strips[item] = where(slot)
    bridges = [
        (net, value[place.index] % FAR)
        for net, pairs in model.bridges.items()
        for across, place in pairs
        if value[across.index]
    ]
    holes = columns.holes(value, strips) if columns else {}
    return Plan(wires, on_rails, strips, holes, tuple(bridges))
