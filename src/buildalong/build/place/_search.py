"""The search: take a few parts off, put each back where it costs least, lay the wires, keep or undo.

Every step works on arrays over all the places a part can take, so the best place of thousands is
found in well under a millisecond.  Nothing here looks at a clock except the caller's safety stop;
the same problem, seed and number of steps give the same result.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from buildalong.build.place._insert import insert
from buildalong.build.place._task import Problem, Solution
from buildalong.build.place._units import Unit
from buildalong.build.place._wire import evaluate, rough, weigh_as_laid

__all__ = ["search"]

CLOSE = 15.0
"""A rough cost this near to the least so far is worth laying the wires for."""
SPARE = 60.0
"""A layout that costs so much more may still have a wire less."""
WORK_STEP = 0.4
"""Work of a step (about a millisecond each 1.0)."""


def search(
    problem: Problem,
    *,
    work: float,
    seed: int = 1,
    start: Solution | None = None,
    heat: float = 40.0,
    quick: bool = False,
    untangle: int = 0,
    stop: Callable[[], bool] = lambda: False,
) -> Solution:
    """Improve a layout for an amount of work; gives the best one met (it may still be incomplete)."""
    rng = random.Random(seed)  # noqa: S311 - a search, not a secret
    noise = np.random.default_rng(seed)
    units = problem.units
    neighbours = _neighbours(units)
    movable = [i for i, unit in enumerate(units) if len(unit) > 1]
    if start is None:
        now = Solution([-1] * len(units))
        insert(problem, now.choice, list(range(len(units))), noise, 0.0)
    else:
        now = start
    if now.laid and now.valid:
        best = replace(now)
        weigh_as_laid(problem, best)
    else:
        best = _weighed(problem, now, untangle=untangle)
    if quick:
        now = Solution(list(now.choice))
        rough(problem, now)
        least, seen = now.cost, {tuple(now.choice)}
    else:
        now = best
    begun, step = problem.router.work, 0
    while movable:
        share = (problem.router.work - begun) / work
        if share >= 1 or (step % 64 == 0 and stop()):
            break
        step += 1
        problem.router.work += WORK_STEP
        warmth = heat * (1 - share) ** 1.5
        chosen = _pick(rng, movable, neighbours, len(units))
        trial = Solution(list(now.choice), first=now.first)
        missing = [i for i, k in enumerate(trial.choice) if k < 0]
        for i in chosen:
            trial.choice[i] = -1
        order = sorted(set(chosen) | set(missing))
        rng.shuffle(order)
        if rng.random() < 0.7:
            order.sort(key=lambda i: -len(units[i].legs))
        insert(problem, trial.choice, order, noise, 0.3 * warmth * rng.random())
        if trial.choice == now.choice:
            continue
        if quick:
            rough(problem, trial)
        else:
            evaluate(problem, trial, now.cost + warmth, now.unjoined + 1, untangle)
            if not trial.laid:
                continue
        if trial.cost > now.cost + warmth * rng.random():
            continue
        now = trial
        if not quick:
            best = min(best, now, key=Solution.rank)
        elif trial.cost < least + CLOSE and tuple(trial.choice) not in seen:
            least = min(least, trial.cost)
            seen.add(tuple(trial.choice))
            best = min(best, _weighed(problem, trial, best.cost + SPARE), key=Solution.rank)
    return best


def _weighed(
    problem: Problem, solution: Solution, limit: float = float("inf"), untangle: int = 0
) -> Solution:
    """The same places with the wires laid."""
    full = Solution(list(solution.choice), first=solution.first)
    evaluate(problem, full, limit, untangle=untangle)
    if not full.laid:
        full.cost = float("inf")
    return full


def _neighbours(units: Sequence[Unit]) -> list[list[int]]:
    return [
        [j for j, other in enumerate(units) if j != i and set(unit.nets) & set(other.nets)]
        for i, unit in enumerate(units)
    ]


def _pick(rng: random.Random, movable: list[int], neighbours: list[list[int]], count: int) -> list[int]:
    want = rng.choice((1, 1, 2, 2, 2, 3, 3, 4, 5))
    if rng.random() < 0.03:
        want = count
    chosen = [rng.choice(movable)]
    while len(chosen) < min(want, len(movable)):
        near = [i for i in neighbours[rng.choice(chosen)] if i not in chosen and i in movable]
        pool = near if near and rng.random() < 0.8 else [i for i in movable if i not in chosen]
        chosen.append(rng.choice(pool))
    return chosen
