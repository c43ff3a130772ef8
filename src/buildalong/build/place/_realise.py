"""From strips to holes: the parts stand in the strips of a plan, and only their columns are open."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from buildalong.build.place._ground import Ints
from buildalong.build.place._insert import insert, put_clear
from buildalong.build.place._problem import make_problem
from buildalong.build.place._rooms import Plan
from buildalong.build.place._search import search
from buildalong.build.place._task import Problem, Solution
from buildalong.build.place._units import Unit
from buildalong.build.place._wire import lay_as_told

__all__ = ["realise"]

HEAT = 40.0


def realise(problem: Problem, plan: Plan, work: float, stop: Callable[[], bool]) -> Solution:
    """Columns for every leg of a plan, and its wires; incomplete where bodies or ways do not allow it."""
    number = {name: i for i, name in enumerate(problem.geometry.strip_names)}
    rows = list(plan.bridges)
    kept: list[Ints] = []
    units = []
    for unit in problem.units:
        if unit.bridge:
            at = next((k for k, (net, _) in enumerate(rows) if net == unit.nets[0]), None)
            row = rows.pop(at)[1] if at is not None else 0
            wanted = [number.get(f"{row}L", -1), number.get(f"{row}R", -1)]
        else:
            wanted = [number.get(plan.strips.get(leg, ""), -1) for leg in unit.legs]
        same = np.flatnonzero((unit.strips == np.array(wanted)).all(axis=1))
        kept.append(same if len(same) else np.arange(len(unit)))
        units.append(unit.only(kept[-1]))
    p = problem
    small = make_problem(p.circuit, p.geometry, units, p.nets, p.router, p.links, p.fixed_wires)
    start = Solution(put_clear(small, [_known(problem, plan, unit) for unit in units]))
    missing = [i for i, k in enumerate(start.choice) if k < 0]
    insert(small, start.choice, missing, np.random.default_rng(1), 0.0)
    if plan.laid and lay_as_told(small, start, plan.laid):
        found = start
    else:
        found = search(small, work=work, heat=HEAT, start=start, stop=stop)
    choice = [int(kept[i][k]) if k >= 0 else -1 for i, k in enumerate(found.choice)]
    return Solution(choice, found.wires, found.cost, found.unjoined, found.laid, found.first)


def _known(problem: Problem, plan: Plan, unit: Unit) -> int:
    """The place of a unit whose every hole the plan names; -1 for others."""
    wanted = [problem.geometry.number.get(plan.holes.get(leg, ""), -1) for leg in unit.legs]
    same = np.flatnonzero((unit.holes == np.array(wanted)).all(axis=1))
    return int(same[0]) if len(same) else -1
