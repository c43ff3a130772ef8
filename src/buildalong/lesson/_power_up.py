"""Power-up honestly: where no data sheet promises a state, the trial is run from the others too."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from buildalong.engine import Run

__all__ = ["MAX_VARIANTS", "power_up_runs", "waking"]

MAX_VARIANTS = 12
"""Most further runs of one trial."""


def power_up_runs(
    run: Run, bounce: float = 0.0, going_on: Callable[[], None] = lambda: None
) -> tuple[Run, ...]:
    """Run the same trial again from each other set of states in which its ICs may wake.

    ``going_on`` is called before each run.  That more than one state is possible is known already: these
    runs do not look for it again.
    """
    if not run.undetermined:
        return ()
    from buildalong.engine import Options, power_up_variants, simulate

    options = Options(bounce=bounce)
    others = power_up_variants(run.circuit, run.trial, options)[1:]
    again = replace(options, wakings=False)
    runs: list[Run] = []
    for trial in others[:MAX_VARIANTS]:
        going_on()
        runs.append(simulate(run.circuit, trial, None, again))
    return tuple(runs)


def waking(run: Run) -> str:
    """In words, the states in which a variant woke."""
    return " and ".join(
        f"{cell.split('.')[0]} wakes in the state '{state}'" for cell, state in run.trial.power_up
    )
