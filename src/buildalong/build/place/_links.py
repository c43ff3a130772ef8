"""One more straight wire instead of one that arches over.

A net whose strips no straight wire joins gets a wire across the trench, put down like a part: its two strips
are new ones of the net, to which others may be joined.  Such wires come and go, a short search follows;
a wire that arches over weighs more than a straight one.
"""

from __future__ import annotations

import random
from collections import defaultdict
from collections.abc import Callable, Sequence

import numpy as np

from buildalong.build.place._bridge import bridge
from buildalong.build.place._ground import Ints
from buildalong.build.place._search import search
from buildalong.build.place._task import Problem, Solution

__all__ = ["with_more_links"]

STEP = 150.0
"""Work of the search after each change."""
ROUNDS = 1.5
"""Share of the work of the whole search that each start may spend here."""
SEEDS = (1, 2)
"""The first start is the layout given, the others begin from nothing."""
FRESH = 0.15
"""Share of the work of the whole search for a layout from nothing."""
HEAT, COOL = 40.0, 8.0
POLISH = 0.2
ARCH = 1.5
"""Wires that one is worth that arches over, beyond itself."""
LENIENT = 3.0
"""Wires by which a step may lead to something worse at the beginning."""
MOST = 8
"""Wires across the trench."""


def with_more_links(
    problem: Problem,
    best: Solution,
    build: Callable[[Sequence[int]], Problem],
    work: float,
    stop: Callable[[], bool] = lambda: False,
) -> tuple[Problem, Solution]:
    """A layout without arching wires, if one is found, else the one given; ``build``: nets -> problem."""
    if not best.unjoined or -1 in best.choice:
        return problem, best
    flat: tuple[Problem, Solution] | None = None
    for seed in SEEDS:
        now = problem, best
        if seed > 1:
            fresh = build(())
            now = fresh, search(fresh, work=FRESH * work, seed=seed, heat=150.0, quick=True, stop=stop)
        found = _changed(*now, build, int(ROUNDS * work / STEP), seed, stop)
        if found is not None and (flat is None or _rank(*found) < _rank(*flat)):
            flat = found
    if flat is None:
        return problem, best
    return flat[0], search(flat[0], work=POLISH * work, seed=99, start=flat[1], heat=COOL, stop=stop)


def _changed(
    problem: Problem,
    solution: Solution,
    build: Callable[[Sequence[int]], Problem],
    steps: int,
    seed: int,
    stop: Callable[[], bool],
) -> tuple[Problem, Solution] | None:
    """The best layout without arching wires among so many steps."""
    rng = random.Random(seed)  # noqa: S311 - a search, not a secret
    known: dict[tuple[int, ...], Problem] = {}
    flat: tuple[Problem, Solution] | None = None
    for step in range(steps):
        if stop():
            break
        across = [i for i, unit in enumerate(problem.units) if unit.bridge]
        nets = [problem.units[i].nets[0] for i in across]
        arching = [net for net, _, _ in bridge(problem, solution)[0]] if -1 not in solution.choice else []
        dice, left_out = rng.random(), -1
        if arching and dice < 0.6 and len(nets) < MOST:
            nets.append(rng.choice(arching))
        elif nets and dice < 0.8:
            left_out = rng.choice(across)
            nets.remove(problem.units[left_out].nets[0])
        key = tuple(sorted(nets))
        if key not in known:
            known[key] = build(key)
        new = known[key]
        start = _carried(problem, solution, new, left_out)
        found = search(new, work=STEP, seed=1000 * seed + step, heat=HEAT, start=start, stop=stop)
        lenient = LENIENT * (1 - step / steps) * rng.random()
        if found.valid and (flat is None or _rank(new, found) < _rank(*flat)):
            flat = new, found
        if found.choice.count(-1) <= solution.choice.count(-1) and (
            _wires(new, found) <= _wires(problem, solution) + lenient
        ):
            problem, solution = new, found
    return flat


def _wires(problem: Problem, solution: Solution) -> float:
    return len(solution.wires) + problem.bridges + (1 + ARCH) * solution.unjoined


def _rank(problem: Problem, solution: Solution) -> tuple[float, float]:
    return _wires(problem, solution), solution.cost


def _carried(old: Problem, solution: Solution, new: Problem, left_out: int) -> Solution:
    """The same places in another problem, whose wires across the trench may be others."""
    places: dict[str, Ints] = {}
    across: dict[int, list[int]] = defaultdict(list)
    for i, (unit, k) in enumerate(zip(old.units, solution.choice, strict=True)):
        if k >= 0 and not unit.bridge:
            places[unit.name] = unit.holes[k]
        elif k >= 0 and i != left_out:
            across[unit.nets[0]].append(k)
    choice = []
    for unit in new.units:
        if unit.bridge:
            kept = across[unit.nets[0]]
            choice.append(kept.pop(0) if kept else -1)
        elif unit.name in places:
            choice.append(int(np.flatnonzero((unit.holes == places[unit.name]).all(axis=1))[0]))
        else:
            choice.append(-1)
    return Solution(choice, first=dict(solution.first))
