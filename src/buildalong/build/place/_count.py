"""The fewest wires of a circuit on a board, proved where the solver gets so far, and how to reach them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from buildalong.board import Board
from buildalong.build.place._ask import Answer, Purse, ask
from buildalong.build.place._rooms import Plan, Room, plan_of
from buildalong.build.place._strips import StripModel
from buildalong.circuit import Circuit, Part

__all__ = ["StripCount", "count_strips"]

RAILS_WORTH = 1
"""Wires that bringing the supply in on the rails may cost, and one more for every ten."""
SIDES_CHANGE = 6
"""Straight wires need at most so many wires more than bent ones, it is assumed first."""
FEWEST = 0.35
"""Share of the work of one question for formed ways with no wire more than the bound: often not to be had."""
FURTHER = 0.4
"""The same for more wires than that."""
MORE = 2
"""Wires above the bound for which holes are looked for."""
WINDOW = 13
"""Rows in which a layout off the rails is looked for, as on a board without rails."""


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
    others: tuple[Plan, ...] = ()
    """More plans with as many wires, where no ways were found for the wires of the first."""

    @property
    def bound(self) -> int:
        """The bound for layouts that bring the supply in as the plan does."""
        return self.on_rails if self.plan and self.plan.on_rails and self.on_rails else self.fewest


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
    purse = Purse(work)
    legs = sum(len(part.type.leg_terminals) for part in circuit.parts)
    most, least, least_bent = legs, 0, 0
    if style == "link":
        bent = StripModel(circuit, board, "formed", most=legs, rows=rows, fixed=fixed)
        found = ask(bent, bent.model, bent.wires, purse)
        least = least_bent = found.bound if found else 0
        most = (found.best or least) + SIDES_CHANGE if found else legs
    model = StripModel(circuit, board, style, most=most, rows=rows, fixed=fixed)
    model.model.add(model.wires >= least)
    free = ask(model, model.model, model.wires, purse)
    if free is None and most < legs + SIDES_CHANGE:
        least, most = most + 1, legs + SIDES_CHANGE
        model = StripModel(circuit, board, style, most=most, rows=rows, fixed=fixed)
        model.model.add(model.wires >= least)
        free = ask(model, model.model, model.wires, purse)
    if free is None:
        return StripCount(0, None, None, least_bent)
    if style != "link":
        least_bent = free.bound
    railed: Answer | None = None
    if model.on_rails:
        supplied = model.model.clone()
        for on in model.on_rails:
            supplied.add(on == 1)
        supplied.add(model.wires >= free.bound)
        railed = ask(model, supplied, model.wires, purse)
    near = max(free.bound, railed.bound if railed else 0) + MORE - (style == "link")
    close = model
    if near + 1 < min(model.most, legs) and free.best is not None:
        close = StripModel(circuit, board, style, most=near, rows=rows, fixed=fixed)
        close.model.add(close.wires >= free.bound)
    part = None
    if not fixed and not rows and style != "flexible" and (board.rail_holes or board.rows > WINDOW):
        window = Board(board.name, rows=min(board.rows, WINDOW))
        part = StripModel(circuit, window, style, most=free.bound + MORE - (style == "link"))
        part.model.add(part.wires >= free.bound)
    return _with_bodies(model, close, part, free, railed, purse, least_bent)


def _tries(style: str, free: Answer, railed: Answer | None) -> list[tuple[bool, int]]:
    """(whether on the rails, wires) in the order in which holes are looked for.

    On the rails first where they are worth their wires; no straight wire, of which there are many, is spent.
    """
    if railed is None:
        return [(False, wires) for wires in range(free.bound, free.bound + MORE + 1)]
    if style == "link":
        return [(rails, free.bound + more) for more in range(MORE + 1) for rails in (False, True)]
    dear = free.bound + RAILS_WORTH + free.bound // 10
    out = [(True, wires) for wires in range(railed.bound, dear + 1)]
    out += [(False, wires) for wires in range(free.bound, dear + 1)]
    for wires in range(dear + 1, max(railed.bound, free.bound) + MORE + 1):
        out += [(True, wires)] * (wires >= railed.bound) + [(False, wires)]
    return out


def _with_bodies(
    counted: StripModel,
    model: StripModel,
    part: StripModel | None,
    free: Answer,
    railed: Answer | None,
    purse: Purse,
    bent: int,
) -> StripCount:
    """Look for room for the bodies and ways for the wires.

    ``counted`` is the model of the answers; ``model`` may be a smaller one of the same, ``part`` one of a
    piece of the board without its rails, in which to find and not to prove.
    """
    style = model.style
    proof = Room(model, wired=style == "link")
    room = Room(model, wired=True) if style == "formed" else proof
    near = Room(part, wired=True) if part is not None else None
    bounds = {False: free.bound, True: railed.bound if railed else 0}
    rough: Plan | None = None
    size = len(model.model.proto.variables)

    def counts(plan: Plan | None, others: tuple[Plan, ...] = ()) -> StripCount:
        return StripCount(bounds[False], bounds[True] if railed else None, plan, bent, others)

    for rails, wires in _tries(style, free, railed):
        if wires < bounds[rails] or wires > model.most:
            continue
        told = railed if rails and railed else free
        if near is not None and not rails:
            share = FEWEST if style == "formed" and wires == free.bound else 1.0
            found = near.find(wires, rails, (), purse, share)
            if found and found.values:
                while style == "formed" and bounds[False] < wires:
                    if proof.find(bounds[False], False, (), purse) is not None:
                        break
                    bounds[False] += 1
                return counts(near.plan(wires, rails, found.values, purse))
            if style == "formed":
                continue
        found = proof.find(wires, rails, told.values if model is counted else (), purse)
        if found is None and wires == bounds[rails] and not model.rows:
            bounds[rails] += 1  # a row of lamps counts as one long body: then nothing is proved
        if found and found.values and room is not proof:
            plan = plan_of(model, wires, rails, found.values, proof.columns, None)
            rough = rough if rough and rough.holes else plan
            share = FEWEST if wires == bounds[rails] else FURTHER
            found = room.find(wires, rails, found.values[:size], purse, share)
        if found and found.values:
            return counts(room.plan(wires, rails, found.values, purse))
        if rough is None and told.best is not None and told.best <= wires:
            rough = plan_of(counted, told.best, rails, told.values, None, None)
    others = () if rough is None or room is proof else proof.others(rough, purse.again())
    return counts(rough, others)
