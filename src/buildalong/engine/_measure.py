"""Measures: numbers a lesson may promise or mention, taken from a run (how: ``_measure_taken``)."""

from __future__ import annotations

import difflib
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from buildalong.engine._measure_taken import (
    MeasureError,
    NeverHappened,
    Target,
    brightness,
    current_lit,
    delay,
    duty,
    first_on,
    length,
    level,
    period,
    pulse,
    rms,
)
from buildalong.engine._measure_words import TITLES
from buildalong.engine._run import Run
from buildalong.engine._signals import integral, mean
from buildalong.quantity import Quantity

__all__ = ["MEASURES", "Measure", "MeasureError", "NeverHappened", "UnknownMeasure", "measure"]

LIGHTS = ("led", "buzzer", "motor")


class UnknownMeasure(MeasureError):
    """No measure, part or net of that name; ``nearest`` lists the most similar ones."""

    def __init__(self, message: str, nearest: tuple[str, ...] = ()) -> None:
        self.nearest = nearest
        super().__init__(message)


@dataclass(frozen=True, slots=True)
class Measure:
    """One entry of the registry; ``targets`` says what it can be asked of."""

    name: str
    title: str
    unit: str
    targets: tuple[str, ...]
    about: str
    take: Callable[[Target], float]


SIGNALS = ("light", "net")
CURRENTS = ("part", "light", "supply", "pin")
PARTS = ("part", "light", "supply")
VOLTS = ("net", "part", "light", "supply", "pin")

_ALL = (
    Measure(
        "on_time",
        TITLES["on_time"],
        "s",
        SIGNALS,
        "mean length of whole intervals in which it is on",
        lambda t: length(t, True),
    ),
    Measure(
        "off_time",
        TITLES["off_time"],
        "s",
        SIGNALS,
        "mean length of whole intervals in which it is off",
        lambda t: length(t, False),
    ),
    Measure("period", TITLES["period"], "s", SIGNALS, "mean time from one start to the next", period),
    Measure("frequency", TITLES["frequency"], "Hz", SIGNALS, "1 / period", lambda t: 1.0 / period(t)),
    Measure("duty", TITLES["duty"], "", SIGNALS, "part of the whole cycles in which it is on", duty),
    Measure(
        "pulse_width",
        TITLES["pulse_width"],
        "s",
        SIGNALS,
        "length of the first whole interval in which it is on",
        pulse,
    ),
    Measure(
        "delay",
        TITLES["delay"],
        "s",
        SIGNALS,
        "from the first press or action in the window to the next change",
        delay,
    ),
    Measure(
        "count",
        TITLES["count"],
        "",
        SIGNALS,
        "how many times it comes on",
        lambda t: float(len(t.signal.rising())),
    ),
    Measure(
        "first_on",
        TITLES["first_on"],
        "s",
        SIGNALS,
        "when it first comes on, from the switching on of the supply",
        first_on,
    ),
    Measure(
        "high",
        TITLES["high"],
        "V",
        ("net",),
        "mean voltage while above half the supply",
        lambda t: level(t, True),
    ),
    Measure(
        "low",
        TITLES["low"],
        "V",
        ("net",),
        "mean voltage while below half the supply",
        lambda t: level(t, False),
    ),
    Measure("max", TITLES["max"], "V", VOLTS, "largest voltage", lambda t: float(t.voltage()[1].max())),
    Measure("min", TITLES["min"], "V", VOLTS, "least voltage", lambda t: float(t.voltage()[1].min())),
    Measure("mean", TITLES["mean"], "V", VOLTS, "mean voltage over time", lambda t: mean(*t.voltage())),
    Measure("rms", TITLES["rms"], "V", VOLTS, "root of the mean square", lambda t: rms(t.voltage())),
    Measure(
        "current",
        TITLES["current"],
        "A",
        CURRENTS,
        "mean current into the first terminal, or the one named; of a light, while it is lit",
        current_lit,
    ),
    Measure(
        "peak_current",
        TITLES["peak_current"],
        "A",
        CURRENTS,
        "largest momentary current, either way",
        lambda t: float(np.abs(t.current()[1]).max()),
    ),
    Measure(
        "min_current",
        TITLES["min_current"],
        "A",
        CURRENTS,
        "least momentary current",
        lambda t: float(t.current()[1].min()),
    ),
    Measure(
        "mean_current", TITLES["mean_current"], "A", CURRENTS, "mean over time", lambda t: mean(*t.current())
    ),
    Measure(
        "rms_current",
        TITLES["rms_current"],
        "A",
        CURRENTS,
        "root of the mean square",
        lambda t: rms(t.current()),
    ),
    Measure(
        "power",
        TITLES["power"],
        "W",
        PARTS,
        "mean power the part takes; of the supply, gives",
        lambda t: mean(*t.power()),
    ),
    Measure(
        "max_power",
        TITLES["max_power"],
        "W",
        PARTS,
        "largest momentary power",
        lambda t: float(t.power()[1].max()),
    ),
    Measure(
        "energy",
        TITLES["energy"],
        "J",
        PARTS,
        "energy the part takes; of the supply, gives",
        lambda t: integral(*t.power()),
    ),
    Measure(
        "brightness", TITLES["brightness"], "", ("light",), "mean forward current over 20 mA", brightness
    ),
    Measure(
        "supply_current",
        TITLES["supply_current"],
        "A",
        ("supply",),
        "mean current that the supply gives",
        lambda t: mean(*t.current()),
    ),
)

_ALIASES = {
    "max_voltage": "max",
    "min_voltage": "min",
    "mean_voltage": "mean",
    "rms_voltage": "rms",
    "voltage": "mean",
    "max_current": "peak_current",
    "mean_power": "power",
}

MEASURES: dict[str, Measure] = {m.name: m for m in _ALL}
for _other, _name in _ALIASES.items():
    _m = MEASURES[_name]
    MEASURES[_other] = Measure(_other, _m.title, _m.unit, _m.targets, _m.about, _m.take)


def _find(run: Run, name: str, target: str) -> tuple[str, str, str]:
    """Kind, name and terminal of a target."""
    circuit = run.circuit
    part, _, terminal = target.partition(".")
    if target in circuit.by_id:
        family = circuit.by_id[target].type.family
        kind = "light" if family in LIGHTS else "supply" if family == "supply" else "part"
        return kind, target, ""
    if target in run.nets:
        return "net", target, ""
    if part in circuit.by_id and terminal:
        try:
            return "pin", part, circuit.by_id[part].type.terminal(terminal).name
        except KeyError:
            names = ", ".join(f"{part}.{t.name}" for t in circuit.by_id[part].type.terminals)
            raise UnknownMeasure(f"{part} has no terminal '{terminal}'; it has {names}") from None
    choices = [*circuit.by_id, *run.nets]
    near = tuple(difflib.get_close_matches(target, choices, n=3, cutoff=0.3))
    raise UnknownMeasure(f"there is no part or net '{target}' to measure {name} of", near)


def measure(run: Run, name: str, target: str = "", *window: float) -> Quantity:
    """Take a measure of a target (part, net, "part.terminal") in a run.

    ``window``: two times [s] that bound it; the whole run without.  The supply is the target of
    ``supply_current`` without naming it.  Raises UnknownMeasure, NeverHappened, or MeasureError
    where the measure does not suit the target or the window is no interval.
    """
    kind_of = MEASURES.get(name)
    if kind_of is None:
        near = tuple(difflib.get_close_matches(name, MEASURES, n=3, cutoff=0.4))
        known = "" if near else f"; there is {', '.join(sorted(MEASURES))}"
        raise UnknownMeasure(f"there is no measure '{name}'{known}", near)
    if not target and kind_of.targets == ("supply",):
        target = next((p.id for p in run.circuit.parts if p.type.family == "supply"), "")
    kind, part, terminal = _find(run, name, target)
    if kind not in kind_of.targets:
        fits = " or ".join({"pin": "a terminal"}.get(k, f"a {k}") for k in kind_of.targets)
        raise MeasureError(f"{name} is measured of {fits}; '{target}' is a {kind}")
    if len(window) not in (0, 2):
        raise MeasureError("a window is two times: from, to")
    ended = float(run.statistics.get("ended", run.trial.lasts))
    start, end = window if window else (0.0, ended)
    if not 0 <= start < end:
        raise MeasureError(f"the window from {start:g} s to {end:g} s is no interval")
    value = kind_of.take(Target(run, kind, part, terminal, start, min(end, ended), bool(window)))
    return Quantity(value, kind_of.unit)
