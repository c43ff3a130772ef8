"""The fewest wires of a circuit on a board, proved where the solver gets so far, and how to reach them."""

from __future__ import annotations

import threading
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from buildalong.board import Board
from buildalong.build.place._bent import Bent
from buildalong.build.place._columns import FINE, Columns
from buildalong.build.place._frames import FAR, place_name
from buildalong.build.place._slots import Slot
from buildalong.build.place._straight import Straight
from buildalong.build.place._strips import StripModel
from buildalong.build.place._tree import Line, Tree
from buildalong.circuit import Circuit, Part

__all__ = ["Plan", "StripCount", "count_strips"]

RAILS_WORTH = 1
"""Wires that bringing the supply in on the rails may cost, and one more for every ten."""
SIDES_CHANGE = 6
"""Straight wires need at most so many wires more than bent ones, it is assumed first."""
QUESTION = 0.6
"""Share of all work that one question may take."""
TIDYING = 0.2
"""Share of that for the tidiest strips of a number of wires."""
FEWEST = 0.35
"""Share of that for formed ways with no wire more than the bound: they are often not to be had."""
LEAST_WORK = 0.02
MORE = 2
"""Wires above the bound for which holes are looked for."""


@dataclass(frozen=True, slots=True)
class Plan:
    """A strip for every leg; ``bridges``: (net, row) of straight wires across the trench.

    ``holes``: a hole for most of the legs and for the ends of bridges, where room for the bodies was
    found too; ``laid``: (net, points) of the other wires, where ways were found for all of them.
    """

    wires: int
    on_rails: bool
    strips: Mapping[tuple[str, int], str]
    holes: Mapping[tuple[str, int], str]
    bridges: tuple[tuple[int, int], ...] = ()
    laid: tuple[tuple[int, Line], ...] = ()


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

    def draw(self, share: float) -> float:
        """Work for the next question: at most a share of what a question may take."""
        return max(LEAST_WORK, min(self.left, share * self.most))


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
    near = max(free.bound, railed.bound if railed else 0) + MORE - 1
    close = model
    if near + 1 < min(model.most, legs) and free.best is not None:
        close = StripModel(circuit, board, style, most=near, rows=rows, fixed=fixed)
        close.model.add(close.wires >= free.bound)
    return _with_bodies(model, close, free, railed, purse, least_bent)


class _Room:
    """A strip model with room for the bodies, and with ways for the wires where ``wired`` says so."""

    def __init__(self, strips: StripModel, wired: bool) -> None:
        self.strips, self.model = strips, strips.model.clone()
        self.weight = FINE * strips.tidiness(self.model)
        self.columns = Columns(strips, self.model)
        self.tree: Tree | None = None
        if wired:
            self.tree = Straight(self.columns) if strips.style == "link" else Bent(self.columns)
            self.weight += sum(self.tree.length)
        else:
            self.columns.add_ends()
        self.columns.close()

    def find(
        self, wires: int, rails: bool, told: Sequence[int], purse: _Purse, share: float = 1.0
    ) -> _Answer | None:
        """Room with so many wires at most; None where there is none."""
        return _solve(self.strips, self._asked(wires, rails, told), None, purse, share)

    def plan(self, wires: int, rails: bool, told: Sequence[int], purse: _Purse) -> Plan:
        """A plan from what was found, made tidier."""
        tidier = _solve(self.strips, self._asked(wires, rails, told), self.weight, purse, TIDYING)
        values = tidier.values if tidier and tidier.values else told
        on = bool(self.strips.on_rails) and all(values[v.index] for v in self.strips.on_rails)
        return _plan(self.strips, wires, on, values, self.columns, self.tree)

    def _asked(self, wires: int, rails: bool, told: Sequence[int]) -> Any:
        model = self.model.clone()
        model.add(self.strips.wires <= wires)
        for on in self.strips.on_rails if rails else ():
            model.add(on == 1)
        _hint(model, told)
        return model


def _with_bodies(
    counted: StripModel,
    model: StripModel,
    free: _Answer,
    railed: _Answer | None,
    purse: _Purse,
    bent: int,
) -> StripCount:
    """Look for room for the bodies and ways for the wires, with the supply on the rails first.

    ``counted`` is the model of the answers; ``model`` may be a smaller one of the same.
    """
    proof = _Room(model, wired=model.style == "link")
    room = _Room(model, wired=True) if model.style == "formed" else proof
    bounds = {False: free.bound, True: railed.bound if railed else 0}
    dear = free.bound + RAILS_WORTH + free.bound // 10
    tries = [(True, wires) for wires in range(bounds[True], dear + 1)] if railed else []
    tries += [(False, wires) for wires in range(free.bound, free.bound + MORE + 1)]
    if railed:
        tries += [(True, wires) for wires in range(max(dear + 1, bounds[True]), bounds[True] + MORE + 1)]
    rough: Plan | None = None
    size = len(model.model.proto.variables)
    for rails, wires in tries:
        if wires < bounds[rails] or wires > model.most:
            continue
        told = railed if rails and railed else free
        found = proof.find(wires, rails, told.values if model is counted else (), purse)
        if found is None and wires == bounds[rails] and not model.rows:
            bounds[rails] += 1  # a row of lamps counts as one long body: then nothing is proved
        if found and found.values and room is not proof:
            rough = rough or _plan(model, wires, rails, found.values, proof.columns, None)
            share = FEWEST if wires == bounds[rails] else 1.0
            found = room.find(wires, rails, found.values[:size], purse, share)
        if found and found.values:
            plan = room.plan(wires, rails, found.values, purse)
            return StripCount(bounds[False], bounds[True] if railed else None, plan, bent)
        if rough is None and told.best is not None and told.best <= wires:
            rough = _plan(counted, told.best, rails, told.values, None, None)
    return StripCount(bounds[False], bounds[True] if railed else None, rough, bent)


def _hint(model: Any, values: Sequence[int]) -> None:
    model.clear_hints()
    for index, value in enumerate(values):
        model.proto.solution_hint.vars.append(index)
        model.proto.solution_hint.values.append(value)


def _solve(
    model: StripModel, chosen: Any, objective: Any, purse: _Purse, share: float = 1.0
) -> _Answer | None:
    """Minimise within counted work; None where there is no solution, nothing known where no work is left."""
    floor = model.floor if objective is model.wires else 0
    if purse.left <= 0:
        return _Answer(floor, None)
    if objective is not None:
        chosen.minimize(objective)
    else:
        chosen.clear_objective()
    solver = model.cp.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = purse.draw(share)
    solver.parameters.linearization_level = 0
    solver.parameters.catch_sigint_signal = False
    status = _in_thread(solver, chosen)
    purse.left -= solver.response_proto.deterministic_time
    if status == model.cp.INFEASIBLE:
        return None
    bound = max(floor, int(-(-(solver.best_objective_bound - 1e-6) // 1)))
    if status not in (model.cp.OPTIMAL, model.cp.FEASIBLE):
        return _Answer(bound, None)
    values = tuple(solver.response_proto.solution)
    return _Answer(bound, round(solver.objective_value), values)


def _in_thread(solver: Any, model: Any) -> Any:
    """Solve while this thread stays open for an interruption, which stops the solver."""
    out: list[Any] = []
    thread = threading.Thread(target=lambda: out.append(solver.solve(model)), daemon=True)
    thread.start()
    try:
        while thread.is_alive():
            thread.join(0.2)
    except BaseException:
        solver.stop_search()
        raise
    return out[0]


def _plan(
    model: StripModel,
    wires: int,
    on_rails: bool,
    value: Sequence[int],
    columns: Columns | None,
    tree: Tree | None,
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
    holes = columns.holes(value, strips) if columns else {}
    laid = list(tree.lines(value)) if tree else []
    bridges: list[tuple[int, int]] = []
    for net, pairs in model.bridges.items():
        for across, place in pairs:
            if not value[across.index]:
                continue
            row = value[place.index] % FAR
            for wire in [w for w in laid if w[0] == net and {y for _, y in w[1]} == {row}]:
                ends = [model.board.hole_at(x, y) or "" for x, y in wire[1]]
                holes.update({(f"bridge {len(bridges)}", k): hole for k, hole in enumerate(ends)})
                laid.remove(wire)
            bridges.append((net, row))
    return Plan(wires, on_rails, strips, holes, tuple(bridges), tuple(laid))
