"""Power-up honestly: where no data sheet promises a state, the trial is run from the others too."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from buildalong.circuit import Part
    from buildalong.engine import Run

__all__ = ["MAX_VARIANTS", "power_up_runs", "waking"]

MAX_VARIANTS = 6
"""Most further runs of one trial."""


def _other_states(part: Part) -> list[tuple[str, str]]:
    """(part.cell, state) for every state the part may wake in, without the one taken by default."""
    out: list[tuple[str, str]] = []
    for cell in part.type.model.get("cells", ()):
        wakes = list(cell.get("wakes", ()))
        out += [(f"{part.id}.{cell['name']}", state) for state in wakes[1:]]
    return out


def power_up_runs(run: Run, bounce: float = 0.0) -> tuple[Run, ...]:
    """Run the same trial again from each other state in which an undetermined part may wake."""
    if not run.undetermined:
        return ()
    from buildalong.engine import Options, simulate

    chosen = [state for part in run.undetermined for state in _other_states(run.circuit.by_id[part])]
    return tuple(
        simulate(run.circuit, replace(run.trial, power_up=(state,)), None, Options(bounce=bounce))
        for state in chosen[:MAX_VARIANTS]
    )


def waking(run: Run) -> str:
    """In words, the state in which a variant woke."""
    return " and ".join(
        f"{cell.split('.')[0]} wakes in the state '{state}'" for cell, state in run.trial.power_up
    )
