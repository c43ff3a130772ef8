"""What differs from one build to the next: part values, figures of the models, temperature, supply.

How often a value occurs is seldom published, so a value is taken as equally likely anywhere within its
tolerance, and a figure of a data sheet as most likely at its typical value, falling in straight lines to
its limits (a triangle); both are our choice, on the side of wide spreads.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from buildalong.circuit import Circuit, Part, supply_voltages
from buildalong.parts import Figure
from buildalong.quantity import parse_as

__all__ = ["Factor", "Surroundings", "factors"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Surroundings:
    """Where and with what the circuit runs: ambient temperature [°C] and state of the supply.

    ``supply`` is the range between spent (0) and fresh (1); None leaves the supply at its nominal voltage.
    """

    temperature: tuple[float, float] = (25.0, 25.0)
    supply: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Factor:
    """One number that differs: ``part`` and ``name`` as in an engine Variation, from ``low`` to ``high``.

    ``usual`` is the most likely value, None where all are equally likely.  Temperature has no part.
    """

    part: str
    name: str
    low: float
    high: float
    usual: float | None = None

    def at(self, u: Floats) -> Floats:
        """The values below which a share ``u`` (0..1) of all lie."""
        low, high, top = self.low, self.high, self.usual
        if top is None or not low <= top <= high or high <= low:
            return low + u * (high - low)
        knee = (top - low) / (high - low)
        with np.errstate(invalid="ignore"):
            rising = low + np.sqrt(u * (high - low) * (top - low))
            falling = high - np.sqrt((1.0 - u) * (high - low) * (high - top))
        return np.where(u < knee, rising, falling)


def factors(circuit: Circuit, surroundings: Surroundings | None = None) -> tuple[Factor, ...]:
    """Everything that differs from one build of a circuit to the next, in the order of its parts."""
    around = surroundings or Surroundings()
    found: list[Factor] = []
    for part in circuit.parts:
        if part.type.family == "supply":
            found += _supply(part, around)
            continue
        found += _value(part, around)
        found += _figures(part)
    low, high = around.temperature
    if high > low:
        found.append(Factor("", "temperature", low, high))
    return tuple(found)


def _value(part: Part, around: Surroundings) -> Iterator[Factor]:
    rule = part.type.value
    if rule is None or part.value is None:
        return
    ratio = part.tolerance if part.tolerance is not None else parse_as(rule.tolerance, "")
    down, up = _drift(part, around)
    if ratio or down or up:
        yield Factor(
            part.id,
            "value",
            part.value * (1.0 - ratio) * (1.0 + down),
            part.value * (1.0 + ratio) * (1.0 + up),
        )


def _drift(part: Part, around: Surroundings) -> tuple[float, float]:
    """How far temperature may move a value down and up, as shares: the part's limits, at the worst end."""
    away = max((t - 25.0 for t in around.temperature), key=abs)
    figures = part.type.figures
    whole = figures.get("change_over_temperature")
    if whole is not None and away:
        return min(whole.low, 0.0), max(whole.high, 0.0)
    name = "temperature_coefficient"
    if part.value is not None and part.type.family == "resistor":
        name += "" if part.value < 100e3 else "_to_1m" if part.value <= 1e6 else "_above_1m"
    each = figures.get(name)
    if each is None or not away:
        return 0.0, 0.0
    ends = (each.low * away, each.high * away, 0.0)
    return min(ends), max(ends)


def _figures(part: Part) -> Iterator[Factor]:
    """Figures of the part's model for which limits are known, and that the lesson does not set."""
    own = dict(part.settings)
    for name, entry in part.type.model.items():
        if not isinstance(entry, Mapping) or name in own or not {"min", "max"} & entry.keys():
            continue
        figure = Figure.model_validate(entry)
        low, high = min(figure.low, figure.value), max(figure.high, figure.value)
        if high > low:
            yield Factor(part.id, name, low, high, figure.value)


def _supply(part: Part, around: Surroundings) -> Iterator[Factor]:
    if around.supply is None or "voltage" not in part.type.figures:
        return
    count = part.setting("count", 1.0)
    end, _, fresh = supply_voltages(part)
    low, high = (end + share * (fresh - end) for share in around.supply)
    if high > low and math.isfinite(low + high):
        yield Factor(part.id, "emf", low / count, high / count)
