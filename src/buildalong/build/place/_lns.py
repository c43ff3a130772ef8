"""Large circuits: a compiled large-neighbourhood search, two of them side by side on two cores.

Each search takes a few parts off the board and a few wires up, puts them back where they add least, and
keeps the result or not by a cooling threshold (ruin and recreate).  The two differ in their random numbers
only.  Work is counted, not timed, and they meet after fixed amounts of it, so the same call gives the same
layout however the cores share the work.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from buildalong.build.place._route import Path
from buildalong.build.place._task import Problem, Solution

if TYPE_CHECKING:
    from buildalong.build.place._lns_arrays import State, Work

__all__ = ["improved", "prepare"]

SEEDS = (1, 2)
WORK_PER_SECOND = 15_000_000
"""Work of one core in about a second."""
STARTS = 3
"""Times that each search begins from nothing."""
ROUGH, LAID, TOGETHER = (0.06, 200.0), (0.1, 300.0), ((0.26, 150.0), (0.26, 60.0))
"""Share of the work and heat of a start without wires, of laying them, of going on from the best start."""

STARTS_LONG, TOGETHER_LONG = 8, ((0.35, 150.0), (0.35, 60.0))
"""The same for straight wires of large circuits, where most starts end among layouts with many wires, or with
several that find no way: from the fourth on they begin around the largest units of the best layout so far."""
LARGEST = 2
"""Units that stay at such a start."""
HOPELESS, GIVEN_UP = 0.25, (0.02, 300.0)
"""Share of the legs without a place that makes a start of a large circuit hopeless. After as many such starts
as there are usually no more are made: with this share of work and heat wires are laid between what stands."""
CHEAP = 35_000
"""Price of a join without a way there, in hundredths of the score: a little more than three wires."""


def prepare(problem: Problem) -> None:
    """Load the compiled search; compile it where it is not on disk yet."""
    from buildalong.build.place._lns_arrays import empty_state, flattened, new_work
    from buildalong.build.place._lns_kernel import improve

    if improve.signatures:
        return
    states = [empty_state(problem) for _ in range(3)]
    improve(flattened(problem), *states, new_work(problem, 1), 0, 1, 0, 0)


def improved(
    problem: Problem,
    start: Solution,
    work: float,
    stop: Callable[[], bool],
    say: Callable[[float, str], None],
    found: Callable[[Solution], None] = lambda solution: None,
    large: bool = False,
    pool: list[Solution] | None = None,
) -> Solution:
    """The best layout found from a first one, by work that takes about ``work`` seconds of two cores.

    ``found`` is told each better complete layout, after fixed amounts of work; ``pool`` gets the best of each
    search at these times.  ``large``: the search for straight wires then takes twice as long, and no search
    goes on where every start is hopeless.
    """
    from buildalong.build.place._lns_arrays import copied, empty_state, flattened, new_work
    from buildalong.build.place._lns_cost import PRICE
    from buildalong.build.place._lns_kernel import improve

    board = flattened(problem)
    works: list[Work] = [new_work(problem, seed) for seed in SEEDS]
    blank = empty_state(problem)
    scratch = [copied(blank) for _ in SEEDS]
    best: State | None = None
    done, hopeless = 0.0, 0
    long = large and problem.router.style == "link"
    starts, together = (STARTS_LONG, TOGETHER_LONG) if long else (STARTS, TOGETHER)
    whole = starts * (ROUGH[0] + LAID[0]) + sum(share for share, _ in together)
    for w in works:
        w.counts[PRICE] = CHEAP if long else 0

    def run(share: float, heat: float, stage: int, states: list[State], bests: list[State]) -> bool:
        total = int(share * work * WORK_PER_SECOND)
        jobs = [
            (board, s, t, b, w, total, max(total, 1), int(100 * heat), stage)
            for s, t, b, w in zip(states, scratch, bests, works, strict=True)
        ]
        for w in works:
            w.counts[0] = 0
        return _together(improve, jobs, works, stop)

    def tell(bests: list[State], share: float) -> None:
        nonlocal best, done
        done += share / whole
        better = min(bests, key=_rank)
        if pool is not None:
            pool.extend(_solution(problem, state) for state in bests)
        if best is None or _rank(better) < _rank(best):
            best = copied(better)
            found(_solution(problem, best))
        lost = int(best.lost.sum())
        wires = int((best.wire[0] >= 0).sum()) + len(problem.fixed_wires) + lost
        say(done, f"{wires} wires" + (f", {lost} of them over others" if lost else ""))

    for number in range(starts):
        states = [copied(blank) for _ in SEEDS]
        if number == 0 and not long:
            states[0].choice[:] = start.choice
        if number >= STARTS and best is not None:
            for state in states:
                state.choice[:LARGEST] = best.choice[:LARGEST]
        bests = [copied(state) for state in states]
        if not run(*ROUGH, 0, states, bests):
            break
        hopeless += large and all(_homeless(problem, state) >= HOPELESS for state in bests)
        if number + 1 == hopeless < STARTS:
            done += (ROUGH[0] + LAID[0]) / whole
            continue
        given_up = hopeless == STARTS == number + 1
        states = bests
        bests = [copied(state) for state in states]
        if not run(*(GIVEN_UP if given_up else LAID), 1, states, bests):
            break
        tell(bests, ROUGH[0] + LAID[0])
        if given_up and best is not None:
            return _solution(problem, best)
    for share, heat in together:
        if best is None or works[0].counts[5]:
            break
        states = [copied(best) for _ in SEEDS]
        bests = [copied(best) for _ in SEEDS]
        if not run(share, heat, 2, states, bests):
            break
        best = None  # its rank may be without leads
        tell(bests, share)
    return start if best is None else _solution(problem, best)


def _homeless(problem: Problem, state: State) -> float:
    """Share of the legs without a place."""
    legs = [len(unit.legs) for unit in problem.units]
    return sum(n for n, k in zip(legs, state.choice.tolist(), strict=True) if k < 0) / sum(legs)


def _rank(state: State) -> int:
    return int(state.rank[0])


def _together(
    job: Callable[..., object],
    jobs: Sequence[tuple[object, ...]],
    works: list[Work],
    stop: Callable[[], bool],
) -> bool:
    """Run jobs side by side; whether none was stopped.  An interruption stops them all first."""
    failed: list[BaseException] = []

    def run(arguments: tuple[object, ...]) -> None:
        try:
            job(*arguments)
        except BaseException as error:  # handed to the caller below
            failed.append(error)

    threads = [threading.Thread(target=run, args=(arguments,), daemon=True) for arguments in jobs]
    for thread in threads:
        thread.start()
    stopped = False
    try:
        for thread in threads:
            while thread.is_alive():
                thread.join(0.1)
                stopped = stopped or stop()
                if stopped:
                    _halt(works)
    except BaseException:
        _halt(works)
        for thread in threads:
            thread.join()
        raise
    if failed:
        raise failed[0]
    return not stopped


def _halt(works: list[Work]) -> None:
    for work in works:
        work.counts[5] = 1


def _solution(problem: Problem, state: State) -> Solution:
    """A layout of the arrays as a solution of the problem."""
    from buildalong.build.place._lns_arrays import X0, Y0

    wires: list[tuple[int, Path]] = []
    for wire in state.wire.T.tolist():
        if wire[0] >= 0:
            points = [(float(wire[4 + 2 * k] - X0), (wire[5 + 2 * k] - Y0) / 2) for k in range(wire[3])]
            wires.append((wire[0], problem.router.path(tuple(points))))
    lost = int(state.lost.sum())
    return Solution(state.choice.tolist(), wires, state.rank[1] / 100, lost, laid=True)
