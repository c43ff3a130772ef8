"""A layout whose legs stand in strips that the solver found."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

import numpy as np

from buildalong.build.place._count import worth
from buildalong.build.place._ground import Ints
from buildalong.build.place._problem import make_problem
from buildalong.build.place._result import on_rails
from buildalong.build.place._search import search
from buildalong.build.place._task import Problem, Solution

__all__ = ["in_strips", "rank"]

STRIPS, MOVES = 0.05, 6
"""Share of the work of a search for a layout in the strips of the solver, and how often they are moved."""
POLISH = 0.2
"""Share of the work of a search that makes tidier what stands in the strips of the solver."""


def rank(found: tuple[Problem, Solution]) -> tuple[int, int, tuple[int, bool], float]:
    """As Solution.rank, but rails may cost the wires that they are worth."""
    problem, solution = found
    wires = worth(len(solution.wires), on_rails(problem, solution))
    return (solution.choice.count(-1), solution.unjoined, wires, solution.cost)


def in_strips(
    problems: Sequence[Problem],
    strips: Mapping[tuple[str, int], str],
    wires: int,
    searched: Callable[[int, Problem, float], Solution],
    work: float,
    stop: Callable[[], bool],
) -> tuple[Problem, Solution]:
    """A layout whose legs stand in these strips, made tidier afterwards; incomplete where there is no way.

    That rails have gaps is no part of what the solver knows, so the strips are moved along the board, row by
    row, until fewer than ``wires`` wires are laid.
    """
    tried: list[tuple[Problem, Solution]] = []
    for p, places in _moved(problems, strips):
        units = [unit.only(own) for unit, own in zip(p.units, places, strict=True)]
        small = make_problem(p.circuit, p.geometry, units, p.nets, p.router, p.links, p.fixed_wires)
        found = searched(0, small, STRIPS)
        choice = [int(own[k]) if k >= 0 else -1 for own, k in zip(places, found.choice, strict=True)]
        tried.append((p, replace(found, choice=choice)))
        if found.valid and len(found.wires) < wires:
            break
    p, start = min(tried, key=rank)
    return p, search(p, work=POLISH * work, seed=99, start=start, heat=8.0, stop=stop)


def _moved(
    problems: Sequence[Problem], strips: Mapping[tuple[str, int], str]
) -> list[tuple[Problem, list[Ints]]]:
    """Places of all units, rows down; first those where fewest units have none and may stand anywhere."""
    last = max((int(s[:-1]) for s in strips.values() if s[0] not in "LR"), default=1)
    ways: list[tuple[int, Problem, list[Ints]]] = []
    for down in range(max(1, min(p.geometry.rows for p in problems) - last + 1)):
        moved = {leg: s if s[0] in "LR" else f"{int(s[:-1]) + down}{s[-1]}" for leg, s in strips.items()}
        for p in problems:
            places = _places(p, moved)
            none = sum(not len(own) for own in places)
            anywhere = [
                own if len(own) else np.arange(len(u)) for u, own in zip(p.units, places, strict=True)
            ]
            ways.append((none, p, anywhere))
    ways.sort(key=lambda way: way[0])
    return [(p, places) for _, p, places in ways[:MOVES]]


def _places(problem: Problem, strips: Mapping[tuple[str, int], str]) -> list[Ints]:
    """The places of each unit in which its legs stand in these strips."""
    number = {name: i for i, name in enumerate(problem.geometry.strip_names)}
    wanted = [[number.get(strips.get(leg, ""), -1) for leg in unit.legs] for unit in problem.units]
    return [
        np.flatnonzero((unit.strips == np.array(own)).all(axis=1))
        for unit, own in zip(problem.units, wanted, strict=True)
    ]
