"""place(): from a circuit and a board to a layout that is correct, has few wires and is tidy."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace
from typing import Literal, get_args

from buildalong.board import Board, Layout, oriented
from buildalong.build.place._bridge import bridge
from buildalong.build.place._count import StripCount, count_strips, raised, worth
from buildalong.build.place._gentle import harm
from buildalong.build.place._in_strips import in_strips, rank
from buildalong.build.place._large import counted, is_large, rails_pay
from buildalong.build.place._last import Ask
from buildalong.build.place._lns import improved, prepare
from buildalong.build.place._problem import (
    build_problem,
    lamp_rows,
    rows_wanted,
)
from buildalong.build.place._reasons import fixed_findings, too_few_strips
from buildalong.build.place._result import UNTANGLE, Placement, finished, on_rails, refused
from buildalong.build.place._search import search
from buildalong.build.place._task import Problem, Solution
from buildalong.build.place._tidied import as_formed, tidied, tidiest
from buildalong.build.place._wishes import Wishes
from buildalong.circuit import Circuit

__all__ = ["Style", "place"]

Style = Literal["formed", "link", "flexible"]

GENTLE = ((11, 60.0), (12, 30.0), (13, 8.0))
"""Seeds and heats of the searches that make slips harmless."""
GENTLY = 0.15
"""Share of the work of each of them."""
LASTS, LASTS_LARGE = 0.4, 4.0
"""Seconds of two cores of the search, for each asked second; of a large circuit."""
COUNTING = {"formed": 0.3, "link": 0.3, "flexible": 0.4}
"""The solver's deterministic seconds for each asked second, for the bound by strips."""
PROVING = {"formed": 0.3, "link": 0.8, "flexible": 0.3}
"""The same for raising the bound."""
WITHOUT_ICS = 1.3
"""The same where nothing stands across the trench: there is less to go by, and a proof takes longest."""
FIRST = 300.0
"""Work of the first layout: well under a second."""
LEAST = 100.0
"""Work of the shortest search, where slips are to do little harm."""
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
    found = _placed(circuit, board, fixed, wishes, style, seconds, say, first)
    if style != "flexible" or found.findings or is_large(circuit, board):
        return found
    say(1.0, "trying the places of formed wires")
    formed = _placed(circuit, board, fixed, wishes, "formed", seconds, lambda share, text: None, prove=False)
    circuit = oriented(circuit, fixed) if fixed is not None else circuit
    hurts = wishes.hurts if wishes is not None else None
    return as_formed(Ask(circuit, fixed, wishes, hurts, found.lower_bound), found, formed)


def _placed(
    circuit: Circuit,
    board: Board,
    fixed: Layout | None,
    wishes: Wishes | None,
    style: str,
    seconds: float,
    say: Callable[[float, str], None],
    first: Callable[[Placement], None] | None = None,
    *,
    prove: bool = True,
) -> Placement:
    """One search; without ``prove`` the bound is the first one that is known."""
    if fixed is not None:
        circuit = oriented(circuit, fixed)
        findings = fixed_findings(circuit, board, fixed)
        if findings:
            return refused(circuit, board, fixed, findings)
    small = too_few_strips(circuit, board) if fixed is None else []
    if first is not None or small:
        quick = build_problem(circuit, board, style, fixed, rows=rows_wanted(circuit, board), wishes=wishes)
        rough = finished(quick, search(quick, work=FIRST, heat=150.0, quick=True), StripCount(), style, fixed)
        if small:
            return replace(rough, findings=tuple(small))
        if first is not None:
            first(rough)
    held = {} if fixed is None else _held(board, fixed)
    lamps = [row for row in lamp_rows(circuit, board) if not any((p.id, 0) in held for p in row)]
    large = is_large(circuit, board)
    say(0.0, "counting the fewest wires")
    if large:
        count = counted(circuit, board, style, lamps, seconds)
    else:
        count = count_strips(circuit, board, style, rows=lamps, fixed=held, work=seconds * COUNTING[style])
    say(0.0, "getting the search ready")
    ways: tuple[bool | None, ...] = (None,)
    if count.on_rails is not None:
        ways = (rails_pay(count),) if large else (True, False)
    problems = [
        build_problem(
            circuit, board, style, fixed, rows=rows_wanted(circuit, board), wishes=wishes, on_rails=rails
        )
        for rails in ways
    ]
    prepare(problems[0])
    began = time.monotonic()
    late = False
    pool: list[tuple[Problem, Solution]] = []

    def stop() -> bool:
        nonlocal late
        late = late or time.monotonic() - began > (PATIENCE_LARGE if large else PATIENCE) * seconds + 20
        return late

    def searched(number: int, problem: Problem, share: float = 1.0) -> Solution:
        start = search(problem, work=min(FIRST, seconds * WORK_PER_SECOND / 10), heat=150.0, quick=True)

        def better(solution: Solution) -> None:
            if first is not None:
                first(finished(problem, solution, count, style, fixed))

        def told(share: float, text: str) -> None:
            say((number + share) / len(ways), text)

        work = share * seconds * (LASTS_LARGE if large else LASTS)
        seen: list[Solution] = []
        best = min(start, improved(problem, start, work, stop, told, better, large, seen), key=Solution.rank)
        pool.extend((problem, solution) for solution in seen if solution.valid)
        return best

    layouts: list[tuple[Problem, Solution]] = []
    # First the way whose bound is the lower one; the problems stay in their order.
    turn = problems if count.on_rails is None or count.on_rails <= count.fewest else problems[::-1]
    for number, problem in enumerate(turn):
        if layouts and not (fixed and fixed.wires) and _settled(count, *layouts[0]):
            break
        hurts, slips, problem.hurts, problem.slips = problem.hurts, problem.slips, None, None
        layouts.append((problem, searched(number, problem)))
        problem.hurts, problem.slips = hurts, slips
    problem, best = min(layouts, key=rank)
    less = lamps or problem.geometry.rows < board.rows or ways != (None,)
    if less and (-1 in best.choice or bridge(problem, best)[1]):
        say(0.9, "trying the whole board")
        wide = build_problem(circuit, board, style, fixed, lamps=False, wishes=wishes)
        other = searched(0, wide)
        if -1 not in other.choice or other.choice.count(-1) < best.choice.count(-1):
            problem, best = wide, other
    if problem.hurts is not None:
        say(0.9, "making slips harmless")
        best = _gently(problem, best, max(LEAST, seconds * WORK_PER_SECOND), stop)
    if prove and best.valid and not large and not lamps and not (fixed and fixed.wires):
        say(0.95, "proving that no fewer wires will do")
        rails, wires = on_rails(problem, best), len(best.wires)
        firm = any(part.type.body.straddles for part in circuit.parts)
        work = seconds * (PROVING[style] if firm else WITHOUT_ICS)
        count, strips = raised(count, circuit, board, style, wires, rails=rails, fixed=held, work=work)
        if strips and style != "formed" and problem.hurts is None:  # formed ways are no part of the proof
            second = in_strips(problems, strips, len(best.wires), searched, seconds * WORK_PER_SECOND, stop)
            problem, best = min((problem, best), second, key=rank)
    say(1.0, "done")
    why = f"after {time.monotonic() - began:.0f} s" if late else ""

    if style == "flexible" and not large and problem.hurts is None and best.valid:
        found = finished(problem, best, count, style, fixed, why)
        others = (finished(p, solution, count, style, fixed).layout for p, solution in pool)
        return tidiest(Ask(problem.circuit, fixed, wishes, None, found.lower_bound), found, others)

    def last(layout: Layout, fewest: int) -> Layout:
        return tidied(Ask(problem.circuit, fixed, wishes, problem.hurts, fewest), layout)

    return finished(problem, best, count, style, fixed, why, last)


def _settled(count: StripCount, problem: Problem, solution: Solution) -> bool:
    """Whether no layout whose supply comes in the other way can be better, so that none is searched for."""
    rails = on_rails(problem, solution)
    others = count.fewest if rails else count.on_rails
    if others is None or not solution.valid:
        return False
    return worth(others, not rails) > worth(len(solution.wires), rails)


def _held(board: Board, fixed: Layout) -> dict[tuple[str, int], str]:
    """The strips in which the author holds legs."""
    return {
        (part, leg): board.strip_of[hole]
        for part, holes in fixed.holes.items()
        for leg, hole in enumerate(holes)
        if hole in board.strip_of
    }


def _gently(problem: Problem, usual: Solution, work: float, stop: Callable[[], bool]) -> Solution:
    """More search from a layout, with no more wires and no more harm from slips than that has."""
    assert problem.hurts is not None
    best = usual
    for seed, heat in GENTLE:
        best = search(
            problem, work=work * GENTLY, seed=seed, start=best, heat=heat, stop=stop, untangle=UNTANGLE
        )
    harms = [
        harm(*problem.habits.ends([(i, k) for i, k in enumerate(s.choice) if k >= 0], s.wires), problem.hurts)
        for s in (usual, best)
    ]
    return best if harms[1] <= harms[0] else usual
