"""Fewest wires by trying everything: strips only, no code of the placer or of its bound."""

from __future__ import annotations

from collections.abc import Iterator

from buildalong.board import Board
from buildalong.circuit import Circuit, Part

_LEADS_APART = 5


def _holes(part: Part, board: Board) -> Iterator[tuple[str, ...]]:
    """Every way in which the legs of a part can stand in holes: the rules of docs/placement.md."""
    body, places = part.type.body, board.holes
    if body.kind == "off-board":
        for a in places:
            for b in places:
                (ax, ay), (bx, by) = places[a], places[b]
                if (ax < 5.5) == (bx < 5.5) and abs(ay - by) <= _LEADS_APART:
                    yield a, b
        return
    if body.legs:
        for x, y in places.values():
            for cos, sin in ((1, 0), (-1, 0)) if body.straddles else ((1, 0), (-1, 0), (0, 1), (0, -1)):
                found = [
                    board.hole_at(x + dx * cos - dy * sin, y + dx * sin + dy * cos)
                    for dx, dy in (leg.at for leg in body.legs)
                ]
                holes = tuple(h for h in found if h is not None)
                xs = [places[h][0] for h in holes]
                if len(holes) == len(found) and (not body.straddles or min(xs) < 5.5 < max(xs)):
                    yield holes
        return
    low, high = body.span
    for a, (ax, ay) in places.items():
        for b, (bx, by) in places.items():
            along = ax == bx and low <= abs(ay - by) <= high
            across = ay == by and (ax < 5.5) != (bx < 5.5) and low <= abs(ax - bx) <= high
            if along or across:
                yield a, b


def fewest_wires(circuit: Circuit, board: Board) -> int:
    """The smallest number of wires over all choices of strips; only bodies across the trench count."""
    nets: dict[object, int] = {}
    numbers = []
    for part in circuit.parts:
        names = [t.name for t in part.type.terminals]
        own = []
        for terminal in part.type.leg_terminals:
            net = part.nets[names.index(terminal)]
            own.append(nets.setdefault((part.id, terminal) if net is None else net, len(nets)))
        numbers.append(own)
    sets = []
    for part, own in zip(circuit.parts, numbers, strict=True):
        strips = {tuple(board.strip_of[h] for h in holes) for holes in _holes(part, board)}
        sets.append(sorted(s for s in strips if _owners(s, own) is not None))
    order = sorted(range(len(sets)), key=lambda i: len(sets[i]))
    best = 99

    def put(
        depth: int,
        owner: dict[str, int],
        legs: dict[str, int],
        joins: list[tuple[str, str]],
        bridged: set[int],
    ) -> None:
        nonlocal best
        if depth == len(order):
            best = min(best, _wires(owner, legs, joins))
            return
        i = order[depth]
        for strips in sets[i]:
            mine = _owners(strips, numbers[i])
            if any(owner.get(s, net) != net for s, net in mine.items()):
                continue
            rows = _across(strips) if circuit.parts[i].type.body.kind != "off-board" else set()
            if rows & bridged:
                continue
            more = dict(legs)
            for s in strips:
                more[s] = more.get(s, 0) + 1
            if max(more.values()) <= 5:
                inside = [(strips[a], strips[b]) for a, b in _inside(circuit.parts[i])]
                put(depth + 1, {**owner, **mine}, more, joins + inside, bridged | rows)

    put(0, {}, {}, [], set())
    return best


def _across(strips: tuple[str, ...]) -> set[int]:
    """Rows in which a part bridges the trench; no two bodies do so in the same row."""
    return {int(s[:-1]) for s in strips if s.endswith("L")} & {int(s[:-1]) for s in strips if s.endswith("R")}


def _owners(strips: tuple[str, ...], own: list[int]) -> dict[str, int] | None:
    out: dict[str, int] = {}
    for strip, net in zip(strips, own, strict=True):
        if out.setdefault(strip, net) != net:
            return None
    return out


def _inside(part: Part) -> list[tuple[int, int]]:
    """Pairs of legs that the part itself joins."""
    names, linked = part.type.leg_terminals, {frozenset(pair) for pair in part.type.internal_links}
    return [
        (a, b)
        for b in range(len(names))
        for a in range(b)
        if names[a] == names[b] or frozenset((names[a], names[b])) in linked
    ]


def _wires(owner: dict[str, int], legs: dict[str, int], joins: list[tuple[str, str]]) -> int:
    """K groups of strips take k - 1 wires, each end in a free hole of its own; 99 where holes are too few."""
    group = {s: s for s in owner}
    for a, b in joins:
        if owner[a] == owner[b]:
            old, new = group[b], group[a]
            group = {s: new if g == old else g for s, g in group.items()}
    total = 0
    for net in set(owner.values()):
        free: dict[str, int] = {}
        for s, n in owner.items():
            if n == net:
                free[group[s]] = free.get(group[s], 0) + 5 - legs[s]
        if len(free) > 1 and (min(free.values()) < 1 or sum(free.values()) < 2 * (len(free) - 1)):
            return 99
        total += len(free) - 1
    return total
