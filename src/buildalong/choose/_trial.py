"""One combination of values put into the circuit: simulated, measured, and held against the parts' limits."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from buildalong.choose._candidate import Candidate
from buildalong.circuit import Circuit, Part
from buildalong.design import value_limits
from buildalong.engine import Trial, Variation
from buildalong.finding import Finding
from buildalong.spread import Target, measured
from buildalong.study import strained

__all__ = ["Bench", "filled"]


def filled(circuit: Circuit, chosen: Mapping[str, Candidate]) -> Circuit:
    """The circuit with candidates in the place of its free parts."""
    return Circuit(tuple(_taken(p, chosen[p.id]) if p.id in chosen else p for p in circuit.parts))


def _taken(part: Part, candidate: Candidate) -> Part:
    settings = part.settings
    if candidate.rated is not None and "rated" in part.type.settings:
        settings = (*(s for s in settings if s[0] != "rated"), ("rated", candidate.rated))
    kind = part.type.sized(candidate.value)
    return replace(part, type=kind, value=candidate.value, tolerance=candidate.tolerance, settings=settings)


class Bench:
    """Simulates combinations of values in the trials that the targets ask for."""

    def __init__(self, circuit: Circuit, trials: Sequence[Trial], targets: Sequence[Target]) -> None:
        self.circuit, self.targets = circuit, tuple(targets)
        wanted = {target.trial for target in targets}
        self.trials = tuple(trial for trial in trials if trial.name in wanted)

    def measure(self, variations: Sequence[Variation]) -> list[tuple[float, ...]]:
        """Measure every target in each variation; NaN where it never happens.

        Raises Unreadable where a target cannot be measured in this circuit at all.
        """
        table = measured(self.circuit, self.trials, self.targets, variations)
        return [tuple(float(value) for value in row) for row in table]

    def objections(self, circuit: Circuit) -> list[Finding]:
        """What the makers of the parts have against these values, without simulating them."""
        return value_limits(circuit)

    def overloads(self, circuit: Circuit) -> list[Finding]:
        """What would be loaded beyond its ratings in the trials, also while the supply is fresh."""
        return strained(circuit, self.trials)
