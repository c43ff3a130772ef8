"""Circuits whose speed is measured, each with its leanest deck in ``decks`` and the target for its ratio."""

from __future__ import annotations

import sys
from dataclasses import dataclass, replace
from pathlib import Path

from benchmarks._reference import span

HERE = Path(__file__).parent
ENGINE = HERE.parent / "tests" / "engine"
sys.path[:0] = [str(ENGINE), str(ENGINE / "reference")]

from _circuits import CIRCUITS  # noqa: E402

from buildalong.circuit import Circuit  # noqa: E402
from buildalong.engine import Trial, Variation  # noqa: E402

__all__ = ["CASES", "DECKS", "FULL", "Case"]

DECKS = HERE / "decks"
FULL = ENGINE / "reference"


@dataclass(frozen=True)
class Case:
    """A circuit, the part that its variants change, its target, and how long its cycles are.

    ``step`` and ``tolerance`` are the longest that keep the times of its full deck within some 0.02 %.
    ``cycle``: about how long one cycle lasts [s]; ``again``: after so long the trial's actions begin anew,
    where it has any.
    """

    name: str
    varied: str
    wanted: int
    step: str
    tolerance: str
    cycle: float
    again: float = 0.0

    @property
    def circuit(self) -> Circuit:
        """The circuit."""
        return CIRCUITS[self.name][0]

    @property
    def trial(self) -> Trial:
        """Its trial over the time that the lean deck simulates."""
        return self.over(span(DECKS / f"{self.name}.cir"))

    def over(self, lasts: float) -> Trial:
        """Its trial over so many seconds."""
        trial: Trial = CIRCUITS[self.name][1]
        actions = [
            replace(a, time=a.time + n * self.again)
            for n in range(round(lasts / self.again) if self.again else 1)
            for a in trial.actions
        ]
        return Trial(trial.name, lasts, tuple(actions))

    def variants(self, count: int) -> list[Variation]:
        """Variants of one value, from -10 % to +10 %."""
        value = next(p.value for p in self.circuit.parts if p.id == self.varied)
        return [Variation((((self.varied, "value"), value * (0.9 + 0.2 * i / count)),)) for i in range(count)]


CASES = (
    Case("astable-6v", "C1", 500, "1m", "1e-3", 0.0722),
    Case("lighthouse", "C1", 500, "10m", "1e-5", 2.727),
    Case("cupboard-light", "C1", 500, "100m", "1e-3", 14.0, again=14.0),
    Case("dusk-light", "R1", 500, "10m", "1e-3", 20.0, again=20.0),
    Case("runway-lights", "C1", 150, "1m", "1e-3", 0.101),
    Case("level-crossing", "C1", 30, "5m", "1e-5", 0.954),
)
