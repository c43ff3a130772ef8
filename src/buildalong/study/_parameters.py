"""The numbers of a circuit that a study can move: values of parts, and figures of their models."""

from __future__ import annotations

import difflib
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from buildalong.circuit import Circuit, Part
from buildalong.finding import Finding, Severity, Unreadable
from buildalong.parts import Figure, Setting
from buildalong.quantity import format_quantity, parse, parse_as

__all__ = ["Parameter", "find_parameter", "parameters"]

FIXED = ("dissipation", "temperature_coefficient", "conducts", "on_current")
"""Figures of models that say something else than how the part works at the trial's temperature."""


@dataclass(frozen=True, slots=True)
class Parameter:
    """One number: ``part`` and ``name`` as in an engine Variation, its present ``value`` in ``unit``.

    From ``least`` to ``most`` it means something; ``main`` tells whether it is what one chooses when
    building: the value of a part, the voltage of the supply's cells.
    """

    part: str
    name: str
    unit: str
    value: float
    least: float = -math.inf
    most: float = math.inf
    main: bool = False

    def __str__(self) -> str:
        """Write it as an author would: R1, U1.trigger."""
        return self.part if self.name == "value" else f"{self.part}.{self.name}"

    def allows(self, value: float) -> bool:
        """Whether the number may have this value."""
        return math.isfinite(value) and self.least <= value <= self.most

    def refusal(self, value: float) -> Finding:
        """Why it may not."""
        low, high = (
            format_quantity(x, self.unit) if math.isfinite(x) else "" for x in (self.least, self.most)
        )
        if low and high:
            reach = f"between {low} and {high}"
        else:
            reach = f"at least {low}" if low else "a finite number"
        shown = format_quantity(value, self.unit) if math.isfinite(value) else str(value)
        return Finding(Severity.FATAL, "value-out-of-range", f"{self} cannot be {shown}", f"take {reach}")


SMALLEST = {"Ω": 1e-3, "F": 1e-15}
"""Least of what a part can have; the engine takes smaller ones as this."""


def parameters(circuit: Circuit) -> tuple[Parameter, ...]:
    """Everything that can be moved, in the order of the parts, the main number of each part first."""
    return tuple(p for part in circuit.parts for p in _of(part))


def _of(part: Part) -> Iterator[Parameter]:
    if part.type.value is not None and part.value is not None:
        unit = part.type.value.unit
        yield Parameter(part.id, "value", unit, part.value, SMALLEST.get(unit, 0.0), main=True)
    for name, entry in part.type.model.items():
        if isinstance(entry, Mapping) and "typ" in entry and name not in FIXED:
            quantity = Figure.model_validate(entry).quantity
            value = part.setting(name, quantity.value)
            yield _figure(part, name, quantity.unit, value)
    if part.type.family == "supply":
        yield Parameter(part.id, "count", "", part.setting("count", 1.0), 1.0, 12.0)
    levels: dict[str, Parameter] = {}
    for cell in part.type.model.get("cells", ()):
        for watcher in cell["watchers"]:
            level = parse(watcher["level"]["typ"])
            levels.setdefault(watcher["name"], Parameter(part.id, watcher["name"], level.unit, level.value))
    yield from levels.values()


def _figure(part: Part, name: str, unit: str, value: float) -> Parameter:
    setting = part.type.settings.get(name)
    main = part.type.family == "supply" and name == "emf"
    if setting is not None:
        return Parameter(part.id, name, unit, value, *_reach(setting))
    least = SMALLEST.get(unit, 0.0) if value >= 0 else -math.inf
    return Parameter(part.id, name, unit, value, least, main=main)


def _reach(setting: Setting) -> tuple[float, float]:
    return parse_as(setting.least, setting.unit), parse_as(setting.most, setting.unit)


def find_parameter(circuit: Circuit, text: str) -> Parameter:
    """The number that "R1", "R1.value" or "U1.trigger" names.

    A part alone means its value, the voltage of a supply's cells, or what can be set on it.  Raises
    Unreadable, which lists what there is.
    """
    identity, _, name = text.partition(".")
    part = circuit.by_id.get(identity)
    if part is None:
        near = difflib.get_close_matches(identity, list(circuit.by_id), n=1, cutoff=0.5)
        hint = f"did you mean {near[0]}?" if near else f"the parts are {', '.join(circuit.by_id)}"
        raise Unreadable(
            Finding(Severity.FATAL, "unknown-part", f"the circuit has no part '{identity[:60]}'", hint)
        )
    known = {p.name: p for p in _of(part)}
    if not name:
        main = [p for p in known.values() if p.main] or [
            p for p in known.values() if p.name in part.type.settings
        ]
        if main:
            return main[0]
    if name in known:
        return known[name]
    near = difflib.get_close_matches(name, list(known), n=1)
    choices = ", ".join(f"{identity}.{each}" for each in known) or "nothing that can be moved"
    hint = f"did you mean {identity}.{near[0]}?" if near else f"it has {choices}"
    what = f"no number '{name[:60]}'" if name else "no value of its own"
    message = f"{identity} ({part.type.noun}) has {what}"
    raise Unreadable(Finding(Severity.FATAL, "unknown-parameter", message, hint))
