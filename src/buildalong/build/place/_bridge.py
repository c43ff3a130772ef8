"""Wires that arch over: for the joins that found no flat way."""

from __future__ import annotations

from collections.abc import Sequence

from buildalong.build.place._ground import Box
from buildalong.build.place._task import Problem, Solution
from buildalong.build.place._wire import Joiner, evaluate

__all__ = ["bridge", "clear"]

CLEARINGS = 4
"""Times that flat wires are laid again beside the ends of arching ones."""
BESIDE = 0.4
"""Room that an arching wire leaves beside an IC, pitches."""


def bridge(problem: Problem, solution: Solution) -> tuple[list[tuple[int, int, int]], list[str]]:
    """Joins for which no wire could be laid flat: (net, hole, hole) of leads that arch over.

    Each runs over no IC and ends in holes that no wire lies over, where there is a choice; the
    shortest goes first.  The second list names the nets for which not even two free holes are left.
    """
    g = problem.geometry
    joiner = Joiner(problem, solution.choice)
    taken, lines = problem.wire_mask, 0
    chips: list[Box] = []
    for i, k in enumerate(solution.choice):
        if k >= 0:
            taken |= problem.masks(i, k)[0] | problem.masks(i, k)[1]
            if problem.circuit.by_id[problem.units[i].legs[0][0]].type.body.shape == "dip":
                chips += problem.boxes(i, k)
    for _, path in solution.wires:
        a, b = (g.at[p] for p in (path.points[0], path.points[-1]))
        joiner.join(int(g.strip[a]), int(g.strip[b]))
        taken |= 1 << a | 1 << b
        lines |= path.h | path.v
    under = [bool(place & lines) for place in problem.router.hole_bit]
    names = list(problem.circuit.nets)
    out: list[tuple[int, int, int]] = []
    while todo := list(dict.fromkeys(joiner.missing())):
        ways = [
            (_over(problem.points[a], problem.points[b], chips), under[a] + under[b], length, net, a, b)
            for net in todo
            for a, b in _pairs(problem, joiner, net, taken)
            for length in [abs(g.x[a] - g.x[b]) + abs(g.y[a] - g.y[b])]
        ]
        if not ways:
            return out, [names[net] for net in todo]
        *_, net, a, b = min(ways)
        out.append((net, a, b))
        taken |= 1 << a | 1 << b
        joiner.join(int(g.strip[a]), int(g.strip[b]))
    return out, []


def clear(problem: Problem, solution: Solution, untangle: int) -> Solution:
    """The same places with the flat wires laid again beside the holes in which arching wires end.

    The old wires stay where that would make more wires arch over.
    """
    base = problem.fixed_lattice.solid
    taken: set[int] = set()
    for _ in range(CLEARINGS):
        arches, failed = bridge(problem, solution)
        covered = _covered(problem, solution)
        if failed or not covered:
            break
        for _, *ends in arches:
            taken |= set(ends)
        for hole in sorted(taken):
            problem.fixed_lattice.solid |= problem.router.hole_bit[hole]
        trial = Solution(list(solution.choice), first=solution.first)
        evaluate(problem, trial, untangle=untangle)
        problem.fixed_lattice.solid = base
        if trial.unjoined > solution.unjoined or _covered(problem, trial) >= covered:
            break
        solution = trial
    return solution


def _covered(problem: Problem, solution: Solution) -> int:
    """How many ends of arching wires lie under a flat wire."""
    lines = 0
    for _, path in solution.wires:
        lines |= path.h | path.v
    arches, _ = bridge(problem, solution)
    return sum(bool(problem.router.hole_bit[h] & lines) for _, *ends in arches for h in ends)


def _pairs(problem: Problem, joiner: Joiner, net: int, taken: int) -> list[tuple[int, int]]:
    """Free holes of two strips of a net that are not joined yet."""
    strips, holes = joiner.members[net], problem.geometry.strip_holes
    return [
        (a, b)
        for n, one in enumerate(strips)
        for other in strips[n + 1 :]
        if joiner.root(one) != joiner.root(other)
        for a in holes[one]
        for b in holes[other]
        if not taken >> a & 1 and not taken >> b & 1
    ]


def _over(a: tuple[float, float], b: tuple[float, float], chips: Sequence[Box]) -> int:
    """How many ICs the straight line between two holes runs over."""
    steps = [k / 16 for k in range(17)]
    points = [(a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t) for t in steps]
    return sum(any(chip.holds(x, y, BESIDE) for x, y in points) for chip in chips)
