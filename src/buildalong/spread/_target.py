"""Target: a measure, the value it should have, and how far it may be off."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from buildalong.engine import Run
from buildalong.quantity import Quantity
from buildalong.study import Asked

__all__ = ["Target"]


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

    @property
    def asked(self) -> Asked:
        """What is measured, without what is wanted of it."""
        return Asked(self.measure, self.of, self.window)

    def measured(self, runs: Mapping[str, Run]) -> float:
        """Measure it in the run of its trial; NaN where it never happens.  Raises MeasureError."""
        return self.asked.taken(runs[self.trial])[0]

    @property
    def limits(self) -> tuple[float, float]:
        """The least and the largest value that is allowed."""
        return self.wanted.value - self.allowed, self.wanted.value + self.allowed

    def off(self, value: float) -> float:
        """How far a value is from what is wanted, 1 at the edge of what is allowed."""
        return abs(value - self.wanted.value) / self.allowed
