"""Power-up honestly: where no data sheet promises a state, the trial is run from the others too."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from buildalong.engine import Run

__all__ = ["MAX_VARIANTS", "power_up_runs", "waking"]

MAX_VARIANTS = 12
"""Most further runs of one trial."""


def power_up_runs(run: Run, bounce: float = 0.0) -> tuple[Run, ...]:
    """Run the same trial again from each other set of states in which its ICs may wake."""
    if not run.undetermined:
        return ()
    from buildalong.engine import Options, power_up_variants, simulate

    options = Options(bounce=bounce)
    others = power_up_variants(run.circuit, run.trial, options)[1:]
    return tuple(simulate(run.circuit, trial, None, options) for trial in others[:MAX_VARIANTS])


def waking(run: Run) -> str:
    """In words, the states in which a variant woke."""
    return " and ".join(
        f"{cell.split('.')[0]} wakes in the state '{state}'" for cell, state in run.trial.power_up
    )
