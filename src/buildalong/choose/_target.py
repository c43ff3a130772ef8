"""Target: what a choice of values is to bring about, and how far a circuit is from it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from buildalong.engine import Run
from buildalong.quantity import Quantity

__all__ = ["Target", "total_error"]


@dataclass(frozen=True, slots=True)
class Target:
    """A measure that is to come near a value.

    ``measure`` and ``of`` are as in :func:`buildalong.engine.measure`, with ``window`` [s] if any;
    ``trial`` names the trial it is taken in.  ``allowed`` is how far it may be off, in the unit of
    ``wanted``; ``weight`` says how much it counts beside the others.
    """

    measure: str
    of: str
    trial: str
    wanted: Quantity
    allowed: float
    weight: float = 1.0
    window: tuple[float, ...] = ()

    def __str__(self) -> str:
        """Write it as an author would."""
        return f"{self.measure}({self.of})"

    def measured(self, runs: Mapping[str, Run]) -> float:
        """Measure it in the run of its trial; NaN where it never happens.  Raises MeasureError."""
        from buildalong.engine import NeverHappened, measure

        try:
            return measure(runs[self.trial], self.measure, self.of, *self.window).value
        except NeverHappened:
            return math.nan

    def off(self, value: float) -> float:
        """How far a value is from what is wanted, 1 at the edge of what is allowed."""
        return abs(value - self.wanted.value) / self.allowed


def total_error(targets: Sequence[Target], values: Sequence[float]) -> float:
    """The root of the weighted mean square of all distances; 1 or less leaves each near its limits."""
    weights = math.fsum(t.weight for t in targets)
    squares = (t.weight * t.off(v) ** 2 for t, v in zip(targets, values, strict=True))
    return math.sqrt(math.fsum(squares) / weights)
