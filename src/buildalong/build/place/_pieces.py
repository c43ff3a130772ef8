"""Straight wires by cases: how many wires each net has, and which rails are in use; pieces refuse most.

A layout of a circuit is one of a piece of it too, with the same strips and wires, when parts are left out.
So what a small model refuses for a piece needs not be asked for the whole.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import combinations_with_replacement, product
from typing import Any

from buildalong.board import Board
from buildalong.build.place._ask import Answer, Case, Purse, ask_cases, end_of
from buildalong.build.place._rooms import Room
from buildalong.build.place._slots import Slot
from buildalong.build.place._strips import StripModel
from buildalong.circuit import Circuit, Part

__all__ = ["find_by_cases"]

CASES = 200
"""Cases at most; where there are more, the question is asked as it is."""
PIECE, WHOLE = 0.045, 0.5
"""Share of the work that one case of a piece may take, and one of the whole circuit."""
Counts = tuple[tuple[str, int], ...]
"""The wires of nets by their names, and which rails are in use."""


def find_by_cases(
    room: Room, wires: int, rails: bool, board: Board, purse: Purse
) -> tuple[bool, Answer | None]:
    """Whether cases were asked, and what Room.find would answer; it is known that no fewer wires will do."""
    strips = room.strips
    if strips.fixed or strips.rows or purse.left <= 0:
        return False, None
    each = purse.left
    if not _few(strips, wires):
        cases = _coarse(room, wires, rails)
    else:
        cases = [_case(room, counts, rails) for counts in _left(room, wires, rails, board, purse)]
        each = WHOLE * purse.left
    total = 2 * purse.left
    ask_cases(strips, cases, each, total)
    end = end_of(cases, total)
    purse.left -= sum(case.work for case in cases[: len(cases) if end is None else end + 1]) / 2
    if end is None:
        return True, None
    solution = cases[end].solution
    return True, Answer(strips.floor, 0 if solution else None, solution)


def _few(strips: StripModel, wires: int) -> bool:
    """Whether there are few cases of how many wires each net has, and nothing stands across the trench."""
    if any(standing.frame.straddles for standing in strips.standing):
        return False
    named = all(strips.names[net] for net in strips.wire_of)
    return named and math.comb(len(strips.wire_of) + wires - 1, wires) <= CASES


def _coarse(room: Room, wires: int, rails: bool) -> list[Case]:
    """A case for each number of wires of the net that can have most strips beside those of the ICs."""
    strips = room.strips
    net = max(strips.wire_of, key=lambda net: sum(not slot.part for slot in strips.slots[net]))
    cases = []
    for n in range(wires + 1):
        case = _case(room, (), rails)
        case.values = [*case.values, (strips.wire_of[net], n), (strips.wires, wires)]
        cases.append(case)
    return cases


def _left(room: Room, wires: int, rails: bool, board: Board, purse: Purse) -> list[Counts]:
    """The cases that pieces of the circuit leave."""
    strips = room.strips
    left, small = list(_counts(strips, wires)), None
    for parts in _pieces(strips.circuit):
        small = Room(StripModel(Circuit(parts), board, strips.style, most=wires, whole=strips.circuit), True)
        left = _not_refused(small, left, rails, purse)
    left = [counts + used for counts in left for used in _rails(strips, dict(counts))]
    if small and board.rail_holes:
        left = _not_refused(small, left, rails, purse)
    return left


def _counts(strips: StripModel, wires: int) -> Iterator[Counts]:
    """How many wires each net has; of two cases that a swap makes one, one."""
    nets = sorted(strips.wire_of)
    for chosen in combinations_with_replacement(nets, wires):
        mine = [chosen.count(net) for net in nets]
        if mine >= [chosen.count(strips.swapped_nets.get(net, net)) for net in nets]:
            yield tuple((strips.names[net], n) for net, n in zip(nets, mine, strict=True))


def _rails(strips: StripModel, counts: dict[str, int]) -> Iterator[Counts]:
    """Which rails are in use; a net has at most one strip more than wires."""
    rails = [slot for slots in strips.slots.values() for slot in slots if slot.rail]
    for used in product((0, 1), repeat=len(rails)):
        sums = dict.fromkeys(counts, 0)
        for slot, there in zip(rails, used, strict=True):
            sums[strips.names[slot.net]] += there
        if all(sums[net] <= n + 1 for net, n in counts.items()):
            yield tuple((_rail(slot), there) for slot, there in zip(rails, used, strict=True))


def _pieces(circuit: Circuit) -> Iterator[tuple[Part, ...]]:
    """Growing pieces: stiff parts, the supply and what joins their nets, poles of the supply last."""
    core = [p for p in circuit.parts if p.type.family == "supply" or p.type.body.kind == "rigid"]
    nets = {net for p in core for net in p.nets if net}
    inner = [p for p in circuit.parts if p not in core and {net for net in p.nets if net} <= nets]
    poles = {circuit.plus, circuit.ground}
    for chosen in (core + [p for p in inner if not poles & set(p.nets)], core + inner):
        if len(chosen) < len(circuit.parts):
            yield tuple(p for p in circuit.parts if p in chosen)


def _not_refused(room: Room, left: list[Counts], rails: bool, purse: Purse) -> list[Counts]:
    """The cases that the model of a piece leaves."""
    known = set(_unknowns(room.strips))

    def seen(counts: Counts) -> Counts:
        return tuple((net, n) for net, n in counts if net in known)

    asked = {piece: _case(room, piece, rails) for piece in dict.fromkeys(map(seen, left))}
    ask_cases(room.strips, list(asked.values()), PIECE * purse.left)
    purse.left -= sum(case.work for case in asked.values()) / 2
    return [counts for counts in left if not asked[seen(counts)].refused]


def _case(room: Room, counts: Counts, rails: bool) -> Case:
    unknowns = _unknowns(room.strips)
    values: list[tuple[Any, int]] = [(unknowns[name], n) for name, n in counts]
    values += [(on, 1) for on in room.strips.on_rails if rails]
    return Case(room.model, values)


def _unknowns(strips: StripModel) -> dict[str, Any]:
    """The wires of each net by its name, and whether each rail is in use."""
    found = {strips.names[net]: wires for net, wires in strips.wire_of.items()}
    rails = (slot for slots in strips.slots.values() for slot in slots if slot.rail)
    return {**found, **{_rail(slot): slot.present for slot in rails}}


def _rail(slot: Slot) -> str:
    """A name that no net has."""
    return f"rail {slot.rail}\n"
