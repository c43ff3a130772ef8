"""Questions to the solver, each with counted work, so that answers do not depend on the clock."""

from __future__ import annotations

import threading
from dataclasses import dataclass
from typing import Any

from buildalong.build.place._strips import StripModel

__all__ = ["Answer", "Purse", "ask"]

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


def ask(model: StripModel, chosen: Any, objective: Any, purse: Purse) -> Answer | None:
    """Minimise within counted work; None where there is no solution, nothing known where no work is left."""
    floor = model.floor if objective is model.wires else 0
    if purse.left <= 0:
        return Answer(floor, None)
    if objective is not None:
        chosen.minimize(objective)
    else:
        chosen.clear_objective()
    solver = model.cp.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = purse.draw()
    solver.parameters.linearization_level = 0
    solver.parameters.catch_sigint_signal = False
    status = _in_thread(solver, chosen)
    purse.left -= solver.response_proto.deterministic_time
    if status == model.cp.INFEASIBLE:
        return None
    bound = max(floor, int(-(-(solver.best_objective_bound - 1e-6) // 1)))
    if status not in (model.cp.OPTIMAL, model.cp.FEASIBLE):
        return Answer(bound, None)
    return Answer(bound, round(solver.objective_value), tuple(solver.response_proto.solution))


def _in_thread(solver: Any, model: Any) -> Any:
    """Solve while this thread stays open for an interruption, which stops the solver."""
    out: list[Any] = []
    thread = threading.Thread(target=lambda: out.append(solver.solve(model)), daemon=True)
    thread.start()
    try:
        while thread.is_alive():
            thread.join(0.2)
    except BaseException:
        solver.stop_search()
        raise
    return out[0]
