"""Questions to the solver, each with counted work, so that answers do not depend on the clock."""

from __future__ import annotations

import math
import threading
from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from buildalong.build.place._strips import StripModel

__all__ = ["Answer", "Case", "Purse", "ask", "ask_cases", "end_of"]

CORES = 2
QUESTION = 0.6
"""Share of all work that one question may take mostly."""
LEAST_WORK = 0.02
"""Work of the smallest question."""


class Purse:
    """Work for the solver, in its deterministic seconds: for all questions, and a share at most for each."""

    def __init__(self, work: float, share: float = QUESTION) -> None:
        self.left, self.most = work, share * work

    def draw(self) -> float:
        """Work for the next question."""
        return max(LEAST_WORK, min(self.left, self.most))


@dataclass(frozen=True, slots=True)
class Answer:
    """A lower bound, the best value found and the values of all unknowns, where there are any."""

    bound: int
    best: int | None
    values: tuple[int, ...] = ()


def ask(
    model: StripModel, chosen: Any, objective: Any, purse: Purse, split: Any | None = None
) -> Answer | None:
    """Minimise within counted work; None where there is no solution, nothing known where no work is left.

    ``split``: whether or not is asked as two questions side by side, with the work of one; where only some
    solution is wanted, the first half's goes before the other's, so that the clock has no say in it.
    """
    floor = model.floor if objective is model.wires else 0
    if purse.left <= 0:
        return Answer(floor, None)
    if objective is not None:
        chosen.minimize(objective)
    else:
        chosen.clear_objective()
    halves = [chosen]
    if split is not None:
        halves = [chosen.clone(), chosen.clone()]
        for half, way in zip(halves, (split, split.negated()), strict=True):
            half.add(way == 1)
    asked = [_Asked(_solver(model.cp.CpSolver(), purse.draw(), split is not None), half) for half in halves]
    if objective is not None:  # quickly answered, and probing took half of it
        for one in asked:
            one.solver.parameters.cp_model_probing_level = 0

    def look() -> None:
        if objective is None and asked[0].solved:
            _stop(asked[1:])

    _side_by_side([one.answer for one in asked], look, lambda: _stop(asked))
    if objective is None and asked[0].solved:
        asked = asked[:1]
    purse.left -= max(one.solver.response_proto.deterministic_time for one in asked)
    open_ones = [one for one in asked if one.status != model.cp.INFEASIBLE]
    if not open_ones:
        return None
    bound = min(max(floor, int(-(-(one.solver.best_objective_bound - 1e-6) // 1))) for one in open_ones)
    solved = [one.solver for one in open_ones if one.solved]
    if not solved:
        return Answer(bound, None)
    best = min(solved, key=lambda solver: solver.objective_value)
    return Answer(bound, round(best.objective_value), tuple(best.response_proto.solution))


def ask_cases(model: StripModel, cases: Sequence[Case], each: float, total: float = math.inf) -> None:
    """Ask several questions, two at a time, each with so much work at most, all with so much in ``total``.

    With a ``total`` no answers are had after the first case, in their order, that is not refused.
    """
    asked = [_Asked(_solver(model.cp.CpSolver(), each, False), None) for _ in cases]
    turn = deque(range(len(cases)))
    lock = threading.Lock()

    def work() -> None:
        while True:
            with lock:
                number = turn.popleft() if turn else None
            if number is None or enough() is not None:
                return
            case, one = cases[number], asked[number]
            try:
                one.model = case.model.clone()
                for unknown, value in case.values:
                    one.model.add(unknown == value)
                one.answer()
                case.work = one.solver.response_proto.deterministic_time
                case.solution = tuple(one.solver.response_proto.solution) if one.solved else ()
            finally:  # a case that failed is not refused
                one.model = None
                case.refused = one.status == model.cp.INFEASIBLE

    def enough() -> int | None:
        return None if total == math.inf else end_of(cases, total)

    def look() -> None:
        end = enough()
        if end is not None:
            _stop(asked[end + 1 :])

    def halt() -> None:
        with lock:
            turn.clear()
        _stop(asked)

    _side_by_side([work] * CORES, look, halt)


def end_of(cases: Sequence[Case], total: float) -> int | None:
    """The first case, of those answered in order, that was not refused or with which the work is done."""
    spent = 0.0
    for number, case in enumerate(cases):
        if case.refused is None:
            return None
        spent += case.work
        if not case.refused or spent > total:
            return number
    return None


@dataclass
class Case:
    """Some unknowns of a model and their values, and what is known of it: None where it was not asked."""

    model: Any
    values: Sequence[tuple[Any, int]]
    refused: bool | None = None
    solution: tuple[int, ...] = ()
    work: float = 0.0


@dataclass
class _Asked:
    """A question, and its answer when it is there."""

    solver: Any
    model: Any
    status: Any = None

    @property
    def solved(self) -> bool:
        """Whether there is a solution."""
        return self.status is not None and self.status.name in ("OPTIMAL", "FEASIBLE")

    def answer(self) -> None:
        """Ask."""
        self.status = self.solver.solve(self.model)


def _stop(asked: Sequence[_Asked]) -> None:
    for one in asked:
        one.solver.stop_search()


def _solver(solver: Any, work: float, strong: bool) -> Any:
    """``strong``: with what halves proofs that bodies find no room, but is slow for straight wires.

    Precedences of boxes are not propagated by themselves: that takes nine tenths of the time for nothing.
    """
    parameters = solver.parameters
    parameters.num_workers = 1
    parameters.random_seed = 1
    parameters.max_deterministic_time = work
    parameters.linearization_level = 0
    parameters.catch_sigint_signal = False
    parameters.use_linear3_for_no_overlap_2d_precedences = False
    parameters.symmetry_level = 0  # it found none in these models, and looking for some failed in one of them
    if strong:
        parameters.cp_model_probing_level = 0
        parameters.use_strong_propagation_in_disjunctive = True
        parameters.merge_text_format("restart_algorithms: [LUBY_RESTART]")
    return solver


def _side_by_side(
    works: Sequence[Callable[[], None]], look: Callable[[], None], halt: Callable[[], None]
) -> None:
    """Do works while this thread looks on and stays open for an interruption, which halts them."""
    threads = [threading.Thread(target=work, daemon=True) for work in works]
    for thread in threads:
        thread.start()
    try:
        while any(thread.is_alive() for thread in threads):
            for thread in threads:
                thread.join(0.05)
            look()
    except BaseException:
        halt()
        raise
