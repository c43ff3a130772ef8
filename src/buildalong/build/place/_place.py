"""place(): from a circuit and a board to a layout that is correct, has few wires and is tidy."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Literal, get_args

from buildalong.board import Board, Layout, oriented
from buildalong.build.place._bridge import bridge
from buildalong.build.place._count import StripCount, count_strips
from buildalong.build.place._gentle import harm
from buildalong.build.place._large import counted, is_large, large_problem, search_large
from buildalong.build.place._links import with_more_links
from buildalong.build.place._problem import build_problem, fixed_findings, lamp_rows, rows_wanted
from buildalong.build.place._realise import realise
from buildalong.build.place._result import UNTANGLE, Placement, finished, refused
from buildalong.build.place._rooms import Plan
from buildalong.build.place._search import search
from buildalong.build.place._task import Problem, Solution
from buildalong.build.place._wishes import Wishes
from buildalong.circuit import Circuit

__all__ = ["Style", "place"]

Style = Literal["formed", "link", "flexible"]


@dataclass(frozen=True, slots=True)
class _Plan:
    """Attempts that start differently, each a quick search without wires and one that lays them."""

    attempts: int
    quick: float
    full: float
    heat: float


SHARES = _Plan(2, 0.15, 0.15, 60.0)
"""Shares of the work."""
POLISH = 0.2
WARM = 30.0
"""Heat of the search that starts from a plan."""
GENTLE = ((11, 60.0), (12, 30.0), (13, 8.0))
"""Seeds and heats of the searches that make slips harmless."""
COUNTING = {"formed": 0.6, "link": 0.3, "flexible": 0.4}
"""The solver's deterministic seconds for each asked second; those of straight wires take longest."""
LEAST = 100.0
"""Work of the shortest search."""
FIRST = 300.0
"""Work of the first layout: well under a second."""
PATIENCE, PATIENCE_LARGE = 6.0, 36.0
"""Times the asked seconds after which the search is broken off, with a finding that says so."""
WORK_PER_SECOND = 600.0
"""Work that stands for one second of ``seconds``: counted, so that results do not depend on the clock."""


def place(
    circuit: Circuit,
    board: Board,
    *,
    fixed: Layout | None = None,
    wishes: Wishes | None = None,
    style: str = "formed",
    seconds: float = 10.0,
    progress: Callable[[float, str], None] | None = None,
    first: Callable[[Placement], None] | None = None,
) -> Placement:
    """Place a circuit on a board with as few wires as possible, and tidily.

    ``fixed``: legs and wires that stay (parts left out are placed).  ``wishes``: where parts must
    stand and what must stay free.  ``style``: "formed" wires lie
    flat with at most two right-angled bends, "link" (or "links") wires are straight, "flexible" ones
    arch over.
    ``seconds`` sets the amount of work as a count of operations, not as a time: the same call gives the
    same bytes everywhere.  ``progress`` is called with a share (0..1) and a sentence, ``first`` with a
    layout that is correct but not good, about a second after the call: whoever interrupts the rest by an
    exception has that.  Whatever
    cannot be done is a finding of severity ERROR, and the layout then holds what could be placed.
    """
    style = {"links": "link"}.get(style, style)
    if style not in get_args(Style):
        raise ValueError(f"no wire style {style!r}; known are {', '.join(get_args(Style))}")
    say = progress or (lambda share, text: None)
    if fixed is not None:
        circuit = oriented(circuit, fixed)
        findings = fixed_findings(circuit, board, fixed)
        if findings:
            return refused(circuit, board, fixed, findings)
    if first is not None:
        quick = build_problem(circuit, board, style, fixed, rows=rows_wanted(circuit, board), wishes=wishes)
        found = search(quick, work=FIRST, heat=150.0, quick=True)
        first(finished(quick, found, StripCount(0, None, None), style, fixed))
    say(0.0, "counting the fewest wires")
    held = {} if fixed is None else _held(board, fixed)
    lamps = [row for row in lamp_rows(circuit, board) if not any((p.id, 0) in held for p in row)]
    large = is_large(circuit, board)
    rails = False
    if large:
        count, rails = counted(circuit, board, style, lamps, seconds)
    else:
        count = count_strips(circuit, board, style, rows=lamps, fixed=held, work=seconds * COUNTING[style])
    plan = None if wishes else count.plan  # the count knows nothing of wishes
    work = max(LEAST, seconds * WORK_PER_SECOND)
    rows = rows_wanted(circuit, board)
    if plan is not None:
        rows = max(rows, 3 + max((int(s[:-1]) for s in plan.strips.values() if s[0] not in "LR"), default=0))

    def small(nets: Sequence[int], on_rails: bool | None = None) -> Problem:
        return build_problem(
            circuit, board, style, fixed, rows=rows, bridges=nets, on_rails=on_rails, wishes=wishes
        )

    if large:
        say(0.0, "getting the search ready")
        problem = large_problem(circuit, board, style, fixed, wishes, rails)
    elif plan is not None:
        problem = small([net for net, _ in plan.bridges], plan.on_rails if board.rail_holes else None)
    else:
        problem = small(())
    began = time.monotonic()
    late = False

    def stop() -> bool:
        nonlocal late
        late = late or time.monotonic() - began > (PATIENCE_LARGE if large else PATIENCE) * seconds + 20
        return late

    def better(solution: Solution) -> None:
        if first is not None:
            first(finished(problem, solution, count, style, fixed))

    def usual() -> Solution:
        if large:
            return search_large(problem, seconds, stop, say, better)
        return _run(problem, (plan, *count.others) if plan else (), work, stop, say)

    best = _gently(problem, usual, work, stop, say)
    if style == "link" and not large:
        say(0.9, "trying one more straight wire")
        flat, best = with_more_links(problem, best, small, work, stop)
        if flat is not problem:  # with its supply on the rails or beside them
            problem, count = flat, replace(count, plan=None)
    if -1 in best.choice or bridge(problem, best)[1]:
        say(0.9, "trying the whole board")
        wide = build_problem(circuit, board, style, fixed, lamps=False, wishes=wishes)
        other = _run(wide, (), work / 2, stop, say)
        if -1 not in other.choice or other.choice.count(-1) < best.choice.count(-1):
            problem, best = wide, other
    say(1.0, "done")
    why = f"after {time.monotonic() - began:.0f} s" if late else ""
    return finished(problem, best, count, style, fixed, why)


def _held(board: Board, fixed: Layout) -> dict[tuple[str, int], str]:
    """The strips in which the author holds legs."""
    return {
        (part, leg): board.strip_of[hole]
        for part, holes in fixed.holes.items()
        for leg, hole in enumerate(holes)
        if hole in board.strip_of
    }


def _run(
    problem: Problem,
    plans: Sequence[Plan],
    work: float,
    stop: Callable[[], bool],
    say: Callable[[float, str], None],
) -> Solution:
    """A search from the plan and several that start from nothing, then a cool one from the best of them."""
    found: list[Solution] = []
    for plan in plans:
        say(0.05, "placing, from the strips counted")
        start = realise(problem, plan, work * SHARES.quick, stop)
        found.append(start)
        found.append(search(problem, work=work * SHARES.full, seed=7, heat=WARM, start=start, stop=stop))
    for number in range(1, SHARES.attempts + 1):
        if plans and _reaches(problem, min(found, key=Solution.rank), plans[0].wires):
            break
        say(0.05 + 0.8 * number / (SHARES.attempts + 1), f"placing, attempt {number} of {SHARES.attempts}")
        start = search(problem, work=work * SHARES.quick, seed=number, heat=150.0, quick=True, stop=stop)
        found.append(
            search(problem, work=work * SHARES.full, seed=number, heat=SHARES.heat, start=start, stop=stop)
        )
    say(0.85, "tidying")
    best = min(found, key=Solution.rank)
    return search(problem, work=work * POLISH, seed=99, start=best, heat=8.0, stop=stop, untangle=UNTANGLE)


def _gently(
    problem: Problem,
    usual_search: Callable[[], Solution],
    work: float,
    stop: Callable[[], bool],
    say: Callable[[float, str], None],
) -> Solution:
    """The usual search; then, where slips are to do little harm, more from what it found.

    That has no more wires and does no more harm than what the usual search found.
    """
    hurts, slips = problem.hurts, problem.slips
    problem.hurts = problem.slips = None
    best = usual_search()
    if hurts is None:
        return best
    say(0.9, "making slips harmless")
    problem.hurts, problem.slips = hurts, slips
    usual = best
    for seed, heat in GENTLE:
        best = search(
            problem, work=work * SHARES.full, seed=seed, start=best, heat=heat, stop=stop, untangle=UNTANGLE
        )
    harms = [
        harm(*problem.habits.ends([(i, k) for i, k in enumerate(s.choice) if k >= 0], s.wires), hurts)
        for s in (usual, best)
    ]
    return best if harms[1] <= harms[0] else usual


def _reaches(problem: Problem, found: Solution, wires: int) -> bool:
    """Whether a solution is complete with so few wires."""
    return found.valid and len(found.wires) + problem.bridges + len(problem.fixed_wires) <= wires
