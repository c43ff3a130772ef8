"""What is loaded beyond its ratings, also while the cells are fresh."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from buildalong.circuit import Circuit, supply_voltages
from buildalong.engine import Trial, Variation, overloads, simulate
from buildalong.finding import Finding
from buildalong.quantity import format_quantity

__all__ = ["fresh", "strained"]

_WITH = "with a fresh supply of {volts}, {message}"


def fresh(circuit: Circuit) -> Variation | None:
    """The variation in which the supply is fresh; None where fresh and nominal are the same."""
    supply = circuit.supply
    _, nominal, most = supply_voltages(supply)
    if not most > nominal * (1.0 + 1e-9) or "emf" in dict(supply.settings):
        return None
    return Variation((((supply.id, "emf"), most / supply.setting("count", 1.0)),))


def strained(circuit: Circuit, trials: Sequence[Trial]) -> list[Finding]:
    """What any trial loads beyond its ratings at the nominal voltage, and what more with fresh cells."""
    found = overloads(simulate(circuit, trial) for trial in trials)
    most = fresh(circuit)
    if most is None:
        return found
    known = {(f.code, f.about) for f in found}
    volts = format_quantity(supply_voltages(circuit.supply)[2], "V", 3)
    more = overloads(simulate(circuit, trial, most) for trial in trials)
    return found + [
        replace(f, message=_WITH.format(volts=volts, message=f.message))
        for f in more
        if (f.code, f.about) not in known
    ]
