"""Figures of real parts that the formulas and their corrections need, read from the catalogue.

Where a part type does not give a figure, the value of common practice stands here with its source.
"""

from __future__ import annotations

import math
from functools import lru_cache

from buildalong.circuit import Part
from buildalong.design._graph import Graph
from buildalong.parts import Figure
from buildalong.quantity import parse

__all__ = [
    "BASE_EMITTER",
    "BASE_START",
    "SATURATION",
    "figure",
    "forward_voltage",
    "junction_voltage",
    "leakage",
    "modelled",
    "supply_voltage",
]


@lru_cache(maxsize=4096)
def _number(text: str) -> float:
    return parse(text).value


THERMAL = 0.02585
"""Thermal voltage kT/q at 300 K [V]; from memory."""

BASE_EMITTER = 0.7
"""Base-emitter voltage of a small transistor that is fully on [V]; common practice."""

BASE_START = 0.5
"""Base-emitter voltage at which a small transistor begins to conduct, a microampere or so [V].

Common practice; 26 mV · ln(1 µA / 0.024 pA) = 0.46 V for the BC547's saturation current.
"""

SATURATION = 0.1
"""Collector-emitter voltage of a saturated small transistor at a few milliampere [V]; common practice."""


def figure(part: Part, *names: str) -> float | None:
    """The first of these figures that the lesson sets or the catalogue gives for a part."""
    settings = dict(part.settings)
    for name in names:
        if name in settings:
            return settings[name]
        for table in (part.type.figures, part.type.ratings):
            if name in table:
                return table[name].value
    return None


def modelled(part: Part, name: str) -> float | None:
    """A figure of a part's electrical model, the lesson's own number first."""
    settings = dict(part.settings)
    if name in settings:
        return settings[name]
    entry = part.type.model.get(name)
    if not isinstance(entry, dict):
        return None
    typical = entry.get("typ")
    return _number(typical) if typical is not None else Figure.model_validate(entry).value


def supply_voltage(graph: Graph) -> float:
    """The voltage of the supply, all its cells together [V]; NaN where it is not known."""
    part = graph.circuit.supply
    volts = figure(part, "voltage")
    return math.nan if volts is None else volts * part.setting("count", 1.0)


def forward_voltage(part: Part) -> float:
    """The forward voltage that a formula uses for a LED [V]; NaN where it is not known."""
    volts = figure(part, "forward_voltage")
    return math.nan if volts is None else volts


def junction_voltage(part: Part, current: float) -> float:
    """The forward voltage of a diode or LED at a current [V], from its model; NaN without one.

    The Shockley equation with series resistance, the current written as ``IS·(exp(V/(n·VT)) − 1)``.
    """
    ideality, series = modelled(part, "ideality"), modelled(part, "series_resistance") or 0.0
    saturation = modelled(part, "saturation_current")
    volts, at = forward_voltage(part), modelled(part, "forward_current")
    if ideality is None or current <= 0:
        return math.nan
    slope = ideality * THERMAL
    if saturation is not None:
        return slope * math.log1p(current / saturation) + series * current
    if at is None:
        return math.nan
    return volts - series * (at - current) - slope * math.log(at / current)


def leakage(part: Part) -> float | None:
    """The resistance of a capacitor's own leakage [ohm], None where it is not known."""
    rate = modelled(part, "self_discharge")
    return None if not rate or part.value is None else 1.0 / (rate * part.value)
