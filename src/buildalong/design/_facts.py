"""Figures of real parts that the formulas and their corrections need, read from the catalogue.

Where a part type does not give a figure, the value of common practice stands here with its source.
"""

from __future__ import annotations

import math

from buildalong.circuit import Part
from buildalong.design._graph import Graph
from buildalong.parts import Figure

__all__ = [
    "BASE_EMITTER",
    "BASE_START",
    "SATURATION",
    "figure",
    "forward_voltage",
    "high_drop",
    "high_resistance",
    "junction_voltage",
    "leakage",
    "low_level",
    "modelled",
    "supply_voltage",
]

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
    return Figure.model_validate(entry).value if isinstance(entry, dict) else None


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


def high_drop(part: Part) -> float:
    """How far the high output of an IC stays below the supply whatever a light draws [V]."""
    return figure(part, "output_drop_light_load") or 0.0


def high_resistance(part: Part, volts: float) -> float:
    """The resistance of an IC's high output at a supply voltage [ohm], 0 where it is a fixed drop.

    From the data sheet's point nearest in supply voltage: CMOS timer, output at 1 mA and 5 V or at
    10 mA and 15 V; decade counter, current at 0.4, 0.5 and 1.5 V off the rail at 5, 10 and 15 V.
    """
    points: list[tuple[float, float]] = []
    for name, supply, current in (("output_high_1ma", 5.0, 1e-3), ("output_high_10ma_15v", 15.0, 10e-3)):
        if (level := figure(part, name)) is not None:
            points.append((supply, (supply - level) / current))
    for name, supply, drop in (("drive_5v", 5.0, 0.4), ("drive_10v", 10.0, 0.5), ("drive_15v", 15.0, 1.5)):
        if (current_at := figure(part, name)) is not None:
            points.append((supply, drop / current_at))
    return min(points, key=lambda point: abs(point[0] - volts))[1] if points else 0.0


def low_level(part: Part) -> float:
    """The voltage of a low output of an IC at a light's current [V]."""
    return figure(part, "saturation_voltage", "output_low_5ma") or 0.0
