"""Down to which supply voltage each promise holds, and when to switch off."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from buildalong.circuit import Circuit, supply_voltages
from buildalong.engine import Trial, Variation
from buildalong.spread import Target, measured

__all__ = ["Lowest", "least_supply", "lowest", "switch_off"]

STEPS = 24
"""Voltages tried between the fresh and the spent supply, before the edge is closed in on."""
CLOSER = 7
"""Halvings of the step at whose ends a target is kept and not kept."""


@dataclass(frozen=True, slots=True)
class Lowest:
    """The lowest supply voltage [V], all cells together and without load, at which a target still holds.

    ``volts`` is the spent supply's where it holds to the end; None where it does not hold even at the
    nominal voltage.  ``to_the_end`` says that it outlives the supply.
    """

    target: Target
    volts: float | None
    to_the_end: bool


def lowest(
    circuit: Circuit,
    trials: Sequence[Trial],
    targets: Sequence[Target],
    progress: Callable[[float, str], None] | None = None,
) -> tuple[Lowest, ...]:
    """Find how low the supply may fall for each target, within 0.1 % of the range.

    Voltages from nominal to spent are tried in even steps; the first step in which a target is lost is
    halved until its edge is known.  Raises Unreadable for what cannot be measured in this circuit.
    """
    end, nominal, _ = supply_voltages(circuit.supply)
    volts = [nominal + (end - nominal) * i / STEPS for i in range(STEPS + 1)]
    say = progress or (lambda share, text: None)
    say(0.0, "letting the battery run down")
    table = measured(circuit, trials, targets, [_at(circuit, v) for v in volts])
    out: list[Lowest] = []
    for number, target in enumerate(targets):
        say((1 + number) / (1 + len(targets)), f"closing in on {target}")
        held = [_kept(target, value) for value in table[:, number]]
        if not held[0]:
            out.append(Lowest(target, None, False))
        elif all(held):
            out.append(Lowest(target, end, True))
        else:
            lost = held.index(False)
            out.append(Lowest(target, _edge(circuit, trials, target, volts[lost - 1], volts[lost]), False))
    return tuple(out)


def least_supply(circuit: Circuit) -> tuple[float, str]:
    """The highest of the least supply voltages [V] that makers promise their ICs to work at, and the IC.

    0 and "" where no part has such a rating.
    """
    rated = [
        (p.type.ratings["supply_min"].value, p.id) for p in circuit.parts if "supply_min" in p.type.ratings
    ]
    return max(rated, default=(0.0, ""))


def switch_off(circuit: Circuit, found: Sequence[Lowest]) -> float:
    """The voltage [V] at which to change or charge the cells: where the first promise is lost.

    Not below what the makers of the ICs promise, nor below the supply's own end voltage, where cells may
    leak; what was simulated below the former is a typical part's luck.
    """
    end, _, _ = supply_voltages(circuit.supply)
    least, _ = least_supply(circuit)
    return max([end, least, *(each.volts for each in found if each.volts is not None)])


def _at(circuit: Circuit, volts: float) -> Variation:
    supply = circuit.supply
    return Variation((((supply.id, "emf"), volts / supply.setting("count", 1.0)),))


def _kept(target: Target, value: float) -> bool:
    low, high = target.limits
    return bool(np.isfinite(value) and low <= value <= high)


def _edge(circuit: Circuit, trials: Sequence[Trial], target: Target, good: float, bad: float) -> float:
    for _ in range(CLOSER):
        middle = 0.5 * (good + bad)
        value = float(measured(circuit, trials, [target], [_at(circuit, middle)])[0, 0])
        good, bad = (middle, bad) if _kept(target, value) else (good, middle)
    return good
