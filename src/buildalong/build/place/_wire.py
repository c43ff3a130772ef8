"""Laying the wires of placed parts: which strips are joined, by which ways, and what it all costs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from heapq import heapify, heappop, heappush

from buildalong.build.place._route import Lattice, Path
from buildalong.build.place._score import WEIGHTS
from buildalong.build.place._task import Problem, Solution

__all__ = ["Joiner", "evaluate", "rough", "weigh_as_laid"]

UNJOINED = 450.0
"""Cost of a join for which no wire could be laid; such a layout is never handed out."""
MISSING = 20000.0
"""Cost of a unit that found no place."""
LAY_AGAIN = 4
"""Times that wires are laid, nets that failed going first."""
EARLY = 1000.0
MOST_EARLY = 6
UNTANGLE = 12
"""Times that wires are taken up for a join that failed."""
RIP = 15.0
"""Cost of taking up a wire; more each time for wires of the same net."""


class Joiner:
    """Which strips belong together already, net by net."""

    def __init__(self, problem: Problem, choice: Sequence[int]) -> None:
        self.up: dict[int, int] = {}
        group = problem.group
        where: dict[tuple[str, int], int] = {}
        self.members: dict[int, list[int]] = {}
        for i, k in enumerate(choice):
            if k < 0:
                continue
            unit = problem.units[i]
            for leg, net, strip in zip(unit.legs, unit.nets, problem.leg_strips(i, k), strict=True):
                where[leg] = strip
                mine = self.members.setdefault(net, [])
                if strip not in mine:
                    mine.append(strip)
                self.up.setdefault(strip, strip)
                self.join(strip, int(group[strip]))
        for one, other in problem.links:
            if one in where and other in where:
                self.join(where[one], where[other])

    def root(self, strip: int) -> int:
        self.up.setdefault(strip, strip)
        while self.up[strip] != strip:
            strip = self.up[strip]
        return strip

    def join(self, one: int, other: int) -> None:
        a, b = self.root(one), self.root(other)
        if a != b:
            self.up[max(a, b)] = min(a, b)

    def copy(self) -> Joiner:
        """The same joins, to add more to."""
        other = Joiner.__new__(Joiner)
        other.up, other.members = dict(self.up), self.members
        return other

    def missing(self) -> list[int]:
        """The net of each wire that it takes to join everything."""
        return [
            net
            for net, strips in self.members.items()
            if len(strips) > 1
            for _ in range(len({self.root(s) for s in strips}) - 1)
        ]


def rough(problem: Problem, solution: Solution) -> None:
    """Weigh without laying wires: their number and an estimate of their length."""
    choice = solution.choice
    joiner = Joiner(problem, choice)
    cost = choice.count(-1) * MISSING
    rows: list[float] = []
    taken = problem.wire_mask
    for i, k in enumerate(choice):
        if k >= 0:
            unit = problem.units[i]
            cost += float(unit.static[k])
            legs, under = problem.masks(i, k)
            taken |= legs | under
            rows += [problem.rows[s] for s in problem.leg_strips(i, k) if not problem.rails[s]]
    wires = 0
    for strips in joiner.members.values():
        parts: dict[int, list[int]] = {}
        for strip in strips:
            parts.setdefault(joiner.root(strip), []).append(strip)
        if len(parts) < 2:
            continue
        groups = list(parts.values())
        wires += len(groups) - 1
        room = [sum((problem.strip_masks[s] & ~taken).bit_count() for s in group) for group in groups]
        cost += UNJOINED * max(0, 2 * (len(groups) - 1) - sum(room)) + UNJOINED * room.count(0)
        inside, rest = groups[0], groups[1:]
        while rest:
            away, k = min(
                (min(problem.apart_list[a][b] for a in inside for b in group), k)
                for k, group in enumerate(rest)
            )
            cost += away * WEIGHTS["wire length"][0]
            inside = inside + rest.pop(k)
    cost += WEIGHTS["wire"][0] * (wires + len(problem.fixed_wires))
    if rows:
        cost += WEIGHTS["rows"][0] * (max(rows) - min(rows) + 1)
    solution.cost = cost


def evaluate(
    problem: Problem,
    solution: Solution,
    limit: float = float("inf"),
    patience: int = 1_000_000,
    untangle: int = 0,
) -> None:
    """Lay the wires and weigh everything; stops early where the wires alone exceed ``limit``.

    Wires are laid again in another order only where at most ``patience`` joins failed, and taken up
    for one another where at most ``untangle`` failed.
    """
    choice = solution.choice
    joiner = Joiner(problem, choice)
    absent = choice.count(-1)
    count = len(joiner.missing()) + len(problem.fixed_wires)
    base = absent * MISSING + WEIGHTS["wire"][0] * count
    base += sum(float(u.static[k]) for u, k in zip(problem.units, choice, strict=True) if k >= 0)
    solution.wires, solution.unjoined, solution.laid = [], 0, False
    if base > limit:
        solution.cost = base
        return
    fixed = problem.fixed_lattice
    lattice = Lattice(fixed.solid, fixed.h, fixed.v)
    for i, k in enumerate(choice):
        if k < 0:
            continue
        lattice.solid |= problem.solid(i, k)
    first = dict(solution.first)
    for _ in range(LAY_AGAIN):
        wires, failed = _lay(problem, joiner.copy(), Lattice(lattice.solid, lattice.h, lattice.v), first)
        if not solution.wires or len(failed) < solution.unjoined:
            solution.wires, solution.unjoined, solution.first = wires, len(failed), first
        if not failed or len(failed) > patience:
            break
        most = max(first.values(), default=0)
        first = {**first, **{net: min(most + 1, MOST_EARLY) for net in failed}}
    if 0 < solution.unjoined <= untangle:
        solution.wires, solution.unjoined = _untangle(problem, joiner, lattice, solution)
    solution.cost = (
        base
        + problem.habits.cost(choice, solution.wires)
        + solution.unjoined * (UNJOINED - WEIGHTS["wire"][0])
    )
    solution.laid = True


def weigh_as_laid(problem: Problem, solution: Solution) -> None:
    """Weigh a complete solution with its wires as they lie."""
    cost = WEIGHTS["wire"][0] * (len(solution.wires) + len(problem.fixed_wires))
    cost += sum(float(u.static[k]) for u, k in zip(problem.units, solution.choice, strict=True))
    solution.cost = cost + problem.habits.cost(solution.choice, solution.wires)


def _lay(
    problem: Problem, joiner: Joiner, lattice: Lattice, first: Mapping[int, int]
) -> tuple[list[tuple[int, Path]], list[int]]:
    """Join every net by the cheapest wire that is left, nets with a higher ``first`` before the others.

    Gives the wires and, once for each join that failed, its net.
    """
    router = problem.router
    queue: list[tuple[float, int, int, int]] = []
    for net, strips in joiner.members.items():
        for i, one in enumerate(strips):
            for other in strips[i + 1 :]:
                if joiner.root(one) != joiner.root(other):
                    a, b = min(one, other), max(one, other)
                    queue.append((router.least(a, b) - EARLY * first.get(net, 0), net, a, b))
    heapify(queue)
    known: dict[tuple[int, int], tuple[Path, int]] = {}
    laid: list[tuple[int, Path]] = []
    while queue:
        _, net, one, other = heappop(queue)
        if joiner.root(one) == joiner.root(other):
            continue
        path, since = known.get((one, other), (None, 0))
        if path is None or any(path.touches(wire) for _, wire in laid[since:]):
            path = router.best(lattice, one, other)
            if path is not None:
                known[one, other] = (path, len(laid))
                heappush(queue, (path.cost - EARLY * first.get(net, 0), net, one, other))
            continue
        laid.append((net, path))
        lattice.add(path)
        joiner.join(one, other)
    return laid, joiner.missing()


def _untangle(
    problem: Problem, joiner: Joiner, lattice: Lattice, solution: Solution
) -> tuple[list[tuple[int, Path]], int]:
    """Take up the wires that stand in the way of a join, lay it, and lay those wires elsewhere."""
    g, router = problem.geometry, problem.router
    laid, todo = list(solution.wires), -1
    best, least = list(laid), solution.unjoined
    blame: dict[int, int] = {}
    for _ in range(UNTANGLE):
        here = joiner.copy()
        board = Lattice(lattice.solid, lattice.h, lattice.v)
        for _, path in laid:
            a, b = (g.at[p] for p in (path.points[0], path.points[-1]))
            here.join(int(g.strip[a]), int(g.strip[b]))
            board.add(path)
        more, failed = _lay(problem, here, board, {})
        laid += more
        if len(failed) < least:
            best, least = list(laid), len(failed)
        if not failed:
            break
        todo = next((net for net in failed if net != todo), failed[0])
        strips = joiner.members[todo]
        wires = [(RIP * (1 + blame.get(net, 0)) + 1e6 * (net == todo), path) for net, path in laid]
        found: tuple[float, Path, list[int]] | None = None
        for n, one in enumerate(strips):
            for other in strips[n + 1 :]:
                if here.root(one) != here.root(other):
                    limit = found[0] if found else 1e6
                    found = router.through(lattice.solid, one, other, wires, limit) or found
        if found is None:
            break
        for number in found[2]:
            blame[laid[number][0]] = blame.get(laid[number][0], 0) + 1
        laid = [wire for number, wire in enumerate(laid) if number not in found[2]]
        laid.append((todo, found[1]))
    return best, least
