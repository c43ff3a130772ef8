"""Which numbers of a circuit differ: values, figures with limits, chips, supply and temperature."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from buildalong.circuit import Circuit, Part, supply_voltages
from buildalong.parts import Figure
from buildalong.quantity import parse_as
from buildalong.spread._chip import chip
from buildalong.spread._factors import Factor, Surroundings

__all__ = ["factors"]


def factors(circuit: Circuit, surroundings: Surroundings | None = None) -> tuple[Factor, ...]:
    """Everything that differs from one build of a circuit to the next, in the order of its parts."""
    around = surroundings or Surroundings()
    supply = next((part for part in circuit.parts if part.type.family == "supply"), None)
    found: list[Factor] = []
    for part in circuit.parts:
        if part is supply:
            found += _supply(part, around)
            continue
        found += _value(part, around)
        found += _figures(part)
        found += chip(part, supply, around)
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
            yield Factor(part.id, name, low, high, figure.value, figure.source)


def _supply(part: Part, around: Surroundings) -> Iterator[Factor]:
    if around.supply is None or "voltage" not in part.type.figures:
        return
    count = part.setting("count", 1.0)
    end, _, fresh = supply_voltages(part)
    low, high = (end + share * (fresh - end) for share in around.supply)
    if high > low and math.isfinite(low + high):
        yield Factor(part.id, "emf", low / count, high / count)
