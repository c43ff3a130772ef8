"""Figures of real parts that the formulas and their corrections need, read from the catalogue.

Where a part type does not give a figure, the value of common practice stands here with its source.
"""

from __future__ import annotations

import math

from buildalong.circuit import Part
from buildalong.design._graph import Graph

__all__ = ["figure", "forward_voltage", "junction_voltage", "supply_voltage"]

THERMAL = 0.02585
"""Thermal voltage kT/q at 300 K [V]; from memory."""

BASE_EMITTER = 0.65
"""Base-emitter voltage of a small transistor that conducts a milliampere or so [V]; common practice."""

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


def supply_voltage(graph: Graph) -> float:
    """The nominal voltage of the supply, all its cells together [V]; NaN where it is not known."""
    part = graph.circuit.supply
    volts = figure(part, "voltage", "nominal", "nominal_voltage")
    if volts is None:
        volts = {"supply-9v": 9.0, "supply-usb": 5.0, "supply-cr2032": 3.0}.get(part.type.id, 1.5)
    return volts * part.setting("count", 1.0)


def forward_voltage(part: Part) -> float:
    """The forward voltage that a formula uses for a LED [V]."""
    volts = figure(part, "forward_voltage", "vf")
    return math.nan if volts is None else volts


def junction_voltage(part: Part, current: float) -> float:
    """The forward voltage of a diode at a current [V], from its model's IS and N, else 0.5 V."""
    numbers = {str(key).lower(): value for key, value in part.type.model.items()}
    try:
        saturation, ideality = float(numbers["is"]), float(numbers["n"])
    except (KeyError, TypeError, ValueError):
        return 0.5
    return ideality * THERMAL * math.log1p(current / saturation)
