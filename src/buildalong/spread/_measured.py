"""Every target in every variant of a circuit."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from buildalong.circuit import Circuit
from buildalong.engine import Trial, Variation
from buildalong.spread._brief import brief, whole
from buildalong.spread._factors import Floats
from buildalong.spread._target import Target

__all__ = ["measured"]


def measured(
    circuit: Circuit,
    trials: Sequence[Trial],
    targets: Sequence[Target],
    variants: Sequence[Variation],
    progress: Callable[[float], None] | None = None,
    *,
    alike: bool = False,
) -> Floats:
    """Measure every target in every variant: (variants, targets), NaN where it never happens.

    ``alike``: the variants are builds of one circuit; then none is simulated on once the rhythm that is
    asked for is known.
    Raises Unreadable for a measure, part or net that is not there, or that do not suit one another.
    """
    table = np.full((len(variants), len(targets)), np.nan)
    wanted = [trial for trial in trials if trial.name in {target.trial for target in targets}]
    say = progress or (lambda share: None)
    for number, trial in enumerate(wanted):
        columns = [i for i, target in enumerate(targets) if target.trial == trial.name]

        def part(share: float, text: str, done: int = number) -> None:
            say((done + share) / len(wanted))

        asked = [targets[i].asked for i in columns]
        take = brief if alike else whole
        table[:, columns] = take(circuit, trial, variants, asked, part)
    return table
