"""The kick of a coil: a winding whose current is cut off with no way to go on.

The winding's inductance is left out of the simulation (its current would need a state of its own, and
with a diode across the winding nothing of it is seen); what it would do is told from the run.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from buildalong.circuit import Circuit, Part
from buildalong.engine._run import Run
from buildalong.finding import Finding, Severity
from buildalong.quantity import format_quantity

__all__ = ["kicks"]

CUT = 1e-4
"""A current that is gone within so many seconds was cut off (a motor's L/R is some 0.3 ms; our choice)."""
LEAST = 5e-3
"""Smaller currents than this [A] do no harm (our choice)."""


def kicks(run: Run) -> list[Finding]:
    """A finding for each winding that is cut off without a diode across it, with the energy it must lose."""
    out: list[Finding] = []
    for part in run.circuit.parts:
        inductance = part.type.figures.get("inductance")
        if inductance is None or None in part.nets:
            continue
        current = run.current(part.id, part.type.terminals[0].name)
        lost, before = _cut(run.times, current)
        if abs(before) < LEAST or lost < 0.5 * abs(before) or _caught(run.circuit, part, before > 0):
            continue
        energy = 0.5 * inductance.value * before**2
        amps, joules = format_quantity(abs(before), "A", 2), format_quantity(energy, "J", 2)
        message = (
            f"{part.id} ({part.type.noun}): its current of {amps} is cut off with nowhere to go; the winding "
            f"holds {joules} and drives the voltage up until a part breaks down or a contact sparks."
        )
        hint = f"Put a diode across {part.id}, its stripe towards plus."
        out.append(Finding(Severity.ERROR, "coil-kick", message, hint, about=(part.id,)))
    return out


def _cut(times: NDArray[np.float64], current: NDArray[np.float64]) -> tuple[float, float]:
    """The largest fall of a current's magnitude within 0.1 ms, and the current before it."""
    later = np.searchsorted(times, times + CUT, side="right") - 1
    fall = np.abs(current) - np.abs(current[later])
    at = int(np.argmax(fall))
    return float(fall[at]), float(current[at])


def _caught(circuit: Circuit, winding: Part, forward: bool) -> bool:
    """Whether a diode lets the current go on: anode where it leaves the winding, cathode where it enters."""
    enters, leaves = winding.nets if forward else winding.nets[::-1]
    return any(
        part.type.family in ("diode", "led") and part.net("A") == leaves and part.net("K") == enters
        for part in circuit.parts
    )
