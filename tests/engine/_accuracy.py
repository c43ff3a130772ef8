"""The accuracy table: every circuit's measures by our engine beside those of the reference simulator."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from _circuits import CIRCUITS, measured

from buildalong.engine import Options, simulate

__all__ = ["RELATIVE", "VOLTS", "Difference", "differences"]

RELATIVE = 5e-4
"""Times may differ by this part."""
VOLTS = 5e-3
"""Voltages may differ by this much [V]."""


@dataclass(frozen=True)
class Difference:
    """One measure: ours, the reference's, and how far they are apart (a part of a time, or volt)."""

    name: str
    kind: Literal["time", "volt"]
    ours: float
    reference: float

    @property
    def size(self) -> float:
        """Distance: relative for times, in volt for voltages."""
        apart = abs(self.ours - self.reference)
        return apart / abs(self.reference) if self.kind == "time" else apart

    @property
    def allowed(self) -> float:
        """The largest distance that is right."""
        return RELATIVE if self.kind == "time" else VOLTS

    @property
    def right(self) -> bool:
        """Whether the two agree."""
        return self.size <= self.allowed


def differences(name: str, reference: dict[str, float], rtol: float) -> list[Difference]:
    """Every measure of a circuit, simulated at a tolerance, beside the reference's."""
    circuit, trial, measures = CIRCUITS[name]
    run = simulate(circuit, trial, None, Options(rtol=rtol))
    return [
        Difference(key, "time" if what[0] == "span" else "volt", measured(run, what), reference[key])
        for key, what in measures.items()
    ]
