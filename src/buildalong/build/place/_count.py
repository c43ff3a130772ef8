"""The fewest wires of a circuit on a board, proved as far as the solver gets with its work."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from buildalong.board import Board
from buildalong.build.place._ask import Purse, ask
from buildalong.build.place._pieces import find_by_cases
from buildalong.build.place._rooms import Room
from buildalong.build.place._strips import StripModel
from buildalong.circuit import Circuit, Part

__all__ = ["StripCount", "count_strips", "railed_at_most", "raised", "worth"]

SIDES_CHANGE = 6
"""Straight wires need at most so many wires more than bent ones, it is assumed first."""


RAILS_WORTH = 10
"""Of so many wires one more may be laid to bring the supply in on the rails."""


def railed_at_most(beside: int) -> int:
    """Wires that a layout on the rails may have where one beside them has so many."""
    return beside + beside // RAILS_WORTH


def worth(wires: int, rails: bool) -> tuple[int, bool]:
    """For the choice between layouts on the rails and beside them: less is better."""
    beside = wires
    while rails and railed_at_most(beside - 1) >= wires > 0:
        beside -= 1
    return beside, not rails


@dataclass(frozen=True, slots=True)
class StripCount:
    """What counting proved.

    No layout under the rules has fewer than ``fewest`` wires; none with its supply on the rails has
    fewer than ``on_rails`` (None where the board has no rails or the supply cannot reach them).
    """

    fewest: int = 0
    on_rails: int | None = None
    bent: int = 0
    """The same as ``fewest`` where wires need not be straight."""

    def bound(self, rails: bool) -> int:
        """The bound for layouts whose supply comes in on the rails, or that for all.

        A layout on the rails is the best where no other one there has fewer wires, or where those beside the
        rails have so many that it may have as many as it has.
        """
        if rails and self.on_rails is not None:
            return min(self.on_rails, railed_at_most(self.fewest))
        return self.fewest


def count_strips(
    circuit: Circuit,
    board: Board,
    style: str,
    *,
    rows: Sequence[Sequence[Part]] = (),
    fixed: Mapping[tuple[str, int], str] | None = None,
    work: float = 1.0,
) -> StripCount:
    """Count the fewest wires by strips; ``work`` bounds the solver, in its deterministic seconds."""
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
        return StripCount(0, None, least_bent)
    railed = None
    if model.on_rails:
        supplied = model.model.clone()
        for on in model.on_rails:
            supplied.add(on == 1)
        supplied.add(model.wires >= free.bound)
        railed = ask(model, supplied, model.wires, purse)
    return StripCount(
        free.bound, railed.bound if railed else None, least_bent if style == "link" else free.bound
    )


def raised(
    count: StripCount,
    circuit: Circuit,
    board: Board,
    style: str,
    wires: int,
    *,
    rails: bool,
    fixed: Mapping[tuple[str, int], str] | None = None,
    work: float = 1.0,
) -> tuple[StripCount, dict[tuple[str, int], str]]:
    """The bound raised by one, as often as there is no room for the bodies and straight wires.

    A layout with ``wires`` was found, its supply on the rails where ``rails`` says so; no bound is higher.
    One wire more is harder to refuse, so it is not asked for with less work than the last refusal took.
    Where the solver finds room with fewer wires, the second answer is a strip for every leg.
    """
    if count.bound(rails) >= wires:
        return count, {}
    model = StripModel(circuit, board, style, most=wires - 1, fixed=fixed)
    model.model.add(model.wires >= count.fewest)
    room = Room(model, wired=style == "link")
    purse = Purse(work, 1.0)
    strips: dict[tuple[str, int], str] = {}
    needed = 0.0
    while count.bound(rails) < wires and purse.left > needed:
        railed = count.on_rails
        held = rails and railed is not None and railed < railed_at_most(count.fewest)
        at = railed if held and railed is not None else count.fewest
        before = purse.left
        asked, found = find_by_cases(room, at, held, board, purse) if room.wired else (False, None)
        if not asked:
            found = room.find(at, held, purse)
        needed = before - purse.left
        if found is not None:
            strips = room.strips_of(room.packed(found.values)) if found.values else {}
            break
        if railed is not None:
            railed = max(railed, at + 1)
        count = replace(count, fewest=count.fewest if held else at + 1, on_rails=railed)
    return count, strips
