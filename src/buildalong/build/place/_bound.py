"""A proved lower bound on the number of wires, from counting strips instead of holes.

Every net is split over some strips; joining k strips takes k - 1 wires, less the joins that parts
with double legs make by themselves.  The legs of a part that stands across the trench need a strip
each, fixed to one another; the other legs choose among those strips and further *loose* strips,
whose place is left open.  A part may have two legs on fixed strips of one straddling part only
where it really reaches from one to the other.  Leaving places open and ignoring bodies only makes
the count smaller, so what the solver proves here is a bound for every layout under the rules.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import Any

from buildalong.board import Board
from buildalong.build.place._space import net_numbers
from buildalong.circuit import Circuit, Part

__all__ = ["lower_bound"]

STRIP_HOLES = 5
RAIL_REACH = {"inner": (3, 7), "outer": (4, 8)}
"""Distances from the five columns of a side to its inner and outer rail, pitches."""


@dataclass(frozen=True, slots=True)
class _Fixed:
    """A strip that a leg of a straddling part stands in."""

    part: str
    right: bool
    row: int
    net: int
    legs: int
    group: str
    """Strips of one group are joined inside the part."""


def lower_bound(circuit: Circuit, board: Board, work: float = 4.0) -> tuple[int, bool]:
    """Fewest wires of any layout under the rules; whether the count of this model was solved fully.

    ``work`` bounds the solver's effort in its own deterministic seconds, so the answer does not
    depend on the machine.
    """
    from ortools.sat.python import cp_model

    numbers = net_numbers(circuit)
    plus, ground = circuit.plus, circuit.ground
    fixed = _fixed_strips(circuit, numbers)
    of_net: dict[int, list[int]] = defaultdict(list)
    for i, strip in enumerate(fixed):
        of_net[strip.net].append(i)

    model = cp_model.CpModel()
    loose_legs: dict[int, int] = defaultdict(int)
    loose_parts = [p for p in circuit.parts if not p.type.body.straddles]
    names: dict[int, str] = {}
    for (_, _), (net, name) in numbers.items():
        names[net] = name
    for part in loose_parts:
        for terminal in part.type.leg_terminals:
            loose_legs[numbers[part.id, terminal][0]] += 1

    used: dict[tuple[int, str], Any] = {}
    capacity: dict[tuple[int, str], int] = {}
    pins: dict[tuple[int, str], list[Any]] = defaultdict(list)
    strips: dict[int, list[str]] = {}
    for net in sorted(names):
        keys = []
        for i in of_net[net]:
            key = f"f{i}"
            keys.append(key)
            used[net, key] = model.new_constant(1)
            capacity[net, key] = STRIP_HOLES - fixed[i].legs
        spare = loose_legs[net]  # never more strips than legs: a strip without one only costs a wire
        for k in range(spare):
            key = f"l{k}"
            keys.append(key)
            used[net, key] = model.new_bool_var(f"u{net}{key}")
            capacity[net, key] = STRIP_HOLES
            if k:
                model.add_implication(used[net, key], used[net, f"l{k - 1}"])
        if board.rail_holes and names[net] in (plus, ground) and names[net]:
            sign = "+" if names[net] == plus else "-"
            for side in "LR":
                for half in ("a", "b") if board.split_rails else ("a",):
                    key = f"r{side}{sign}{half}"
                    keys.append(key)
                    used[net, key] = model.new_bool_var(f"u{net}{key}")
                    capacity[net, key] = board.rail_holes
        strips[net] = keys

    picks: dict[tuple[str, int], dict[str, Any]] = {}
    for part in loose_parts:
        picks.update(_place_part(model, part, numbers, strips, used, pins, fixed))

    wires = []
    for net, keys in strips.items():
        if not keys:
            continue
        groups = defaultdict(list)
        for i in of_net[net]:
            groups[fixed[i].group].append(i)
        joined = sum(len(members) - 1 for members in groups.values())
        count = sum(used[net, key] for key in keys) - joined
        most = len(keys)
        wire = model.new_int_var(0, most, f"w{net}")
        model.add(wire >= count - 1)
        wires.append(wire)
        ends = []
        for key in keys:
            end = model.new_int_var(0, capacity[net, key], f"e{net}{key}")
            model.add(end <= capacity[net, key] * used[net, key])
            model.add(sum(pins[net, key]) + end <= capacity[net, key] * used[net, key])
            ends.append((key, end))
        model.add(sum(end for _, end in ends) >= 2 * wire)
        grouped = {f"f{i}": fixed[i].group for i in of_net[net]}
        several = model.new_bool_var(f"s{net}")
        model.add(wire <= most * several)
        for key, end in ends:
            if key not in grouped:
                model.add(end >= 1).only_enforce_if(several, used[net, key])
        for members in groups.values():
            model.add(
                sum(end for key, end in ends if key in {f"f{i}" for i in members}) >= 1
            ).only_enforce_if(several)
    model.minimize(sum(wires))

    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = work
    status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        return 0, False
    bound = solver.best_objective_bound
    return max(0, int(-(-(bound - 1e-6) // 1))), status == cp_model.OPTIMAL


def _fixed_strips(circuit: Circuit, numbers: dict[tuple[str, str], tuple[int, str]]) -> list[_Fixed]:
    out = []
    for part in circuit.parts:
        body = part.type.body
        if not body.straddles:
            continue
        middle = (max(leg.at[0] for leg in body.legs) + min(leg.at[0] for leg in body.legs)) / 2
        legs: dict[tuple[bool, int], list[str]] = defaultdict(list)
        for leg in body.legs:
            legs[leg.at[0] > middle, leg.at[1]].append(leg.terminal)
        links = {name: name for name in {leg.terminal for leg in body.legs}}
        for one, other in part.type.internal_links:
            if numbers[part.id, one][0] == numbers[part.id, other][0]:
                links[other] = links.get(one, one)
        for (right, row), terminals in legs.items():
            net = numbers[part.id, terminals[0]][0]
            group = f"{part.id}.{links[terminals[0]]}"
            out.append(_Fixed(part.id, right, row, net, len(terminals), group))
    return out


def _place_part(model, part: Part, numbers, strips, used, pins, fixed):  # type: ignore[no-untyped-def]
    """Give every leg of a part that does not straddle exactly one strip of its net."""
    body = part.type.body
    where: list[dict[str, Any]] = []
    for leg, terminal in enumerate(part.type.leg_terminals):
        net = numbers[part.id, terminal][0]
        choice = {}
        for key in strips[net]:
            if key[0] == "r" and not _reaches_rail(part, key):
                continue
            var = model.new_bool_var(f"{part.id}.{leg}{key}")
            model.add_implication(var, used[net, key])
            pins[net, key].append(var)
            choice[key] = var
        model.add_exactly_one(choice.values())
        where.append(choice)
    picks = {(part.id, leg): choice for leg, choice in enumerate(where)}
    if body.kind == "off-board":
        return picks
    nets = [numbers[part.id, t][0] for t in part.type.leg_terminals]
    for i in range(len(where)):
        for j in range(i + 1, len(where)):
            for a, va in where[i].items():
                for b, vb in where[j].items():
                    if not _together(part, i, j, nets[i] == nets[j], a, b, fixed):
                        model.add_bool_or(va.negated(), vb.negated())
    return picks


def _leaves(span: int, fixed: list[_Fixed], i: int) -> bool:
    """Whether a part of this span reaches from a straddling part's strip to a row beyond its ends."""
    rows = [strip.row for strip in fixed if strip.part == fixed[i].part]
    return min(fixed[i].row - min(rows), max(rows) - fixed[i].row) + 1 <= span


def _reaches_rail(part: Part, key: str) -> bool:
    body = part.type.body
    if body.kind == "off-board":
        return True
    if body.kind == "rigid":
        return False
    least, most = body.span
    low, high = RAIL_REACH["outer" if key[1:3] in ("L+", "R-") else "inner"]
    return (least <= high and most >= low) or least <= 1 <= most


def _together(part: Part, i: int, j: int, same_net: bool, a: str, b: str, fixed: list[_Fixed]) -> bool:
    """Whether legs i and j of a part can stand in the strips a and b at once."""
    body = part.type.body
    if a[0] == "r" or b[0] == "r":
        if a[0] == b[0]:
            return body.kind != "rigid" and a[1] == b[1] and body.span[0] <= 1
        rail = a if a[0] == "r" else b
        low, high = RAIL_REACH["outer" if rail[1:3] in ("L+", "R-") else "inner"]
        return body.span[0] <= high and body.span[1] >= low
    if a[0] != "f" and b[0] != "f":
        return True
    if a[0] != "f" or b[0] != "f":
        return (
            body.kind == "rigid"
            or same_net
            or _leaves(body.span[1], fixed, int((a if a[0] == "f" else b)[1:]))
        )
    one, other = fixed[int(a[1:])], fixed[int(b[1:])]
    if one.part != other.part:
        return True
    if body.kind == "rigid":
        (ax, ay), (bx, by) = body.legs[i].at, body.legs[j].at
        apart = {abs(ay - by), abs(ax - bx)}
        return one.right == other.right and abs(one.row - other.row) in apart
    if one.right != other.right:
        return False
    rows = abs(one.row - other.row)
    return body.span[0] <= rows <= body.span[1] or (same_net and rows == 0)
