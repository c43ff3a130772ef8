"""Measures: numbers a lesson may promise or mention, taken from a run.

Measures of rhythm (on_time, off_time, period, frequency, duty) describe the steady state: without a
window they leave out the first cycle after switch-on where later ones exist, and always the
incomplete intervals at both ends.  With a window (two times in seconds) every whole interval in it
counts.
"""

from __future__ import annotations

import difflib
import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from buildalong.engine._measure_words import TITLES
from buildalong.engine._run import Run
from buildalong.engine._signals import Signal, clip, integral, light_signal, mean, net_signal
from buildalong.quantity import Quantity

__all__ = ["MEASURES", "Measure", "MeasureError", "NeverHappened", "UnknownMeasure", "measure"]

Floats = NDArray[np.float64]

LIGHTS = ("led", "buzzer", "motor")
FULL_LIGHT = 20e-3
"""Forward current [A] of a fully lit LED, the test current of most data sheets."""


class MeasureError(ValueError):
    """A measure cannot be taken; the message says why."""


class UnknownMeasure(MeasureError):
    """No measure, part or net of that name; ``nearest`` lists the most similar ones."""

    def __init__(self, message: str, nearest: tuple[str, ...] = ()) -> None:
        self.nearest = nearest
        super().__init__(message)


class NeverHappened(MeasureError):
    """What was to be measured did not happen in the run (or not whole inside the window)."""


@dataclass(frozen=True, slots=True)
class Measure:
    """One entry of the registry; ``targets`` says what it can be asked of."""

    name: str
    title: str
    unit: str
    targets: tuple[str, ...]
    about: str
    take: Callable[[_Target], float]


@dataclass(frozen=True, slots=True)
class _Target:
    run: Run
    kind: str
    """"light", "net", "part", "pin" or "supply"."""
    name: str
    terminal: str
    start: float
    end: float
    windowed: bool

    @property
    def signal(self) -> Signal:
        if self.kind == "light":
            return light_signal(self.run, self.name, self.start, self.end)
        self.need_waveforms()
        return net_signal(self.run, self.name, self.start, self.end)

    def need_waveforms(self) -> None:
        if len(self.run.times) < 2:
            raise MeasureError("this run was made without waveforms")

    def window(self, values: Floats) -> tuple[Floats, Floats]:
        self.need_waveforms()
        return clip(self.run, values, self.start, self.end)

    def voltage(self) -> tuple[Floats, Floats]:
        if self.kind == "net":
            return self.window(self.run.voltage(self.name))
        part = self.run.circuit.by_id[self.name]
        ends = [self._pin_voltage(t.name) for t in part.type.terminals]
        if self.terminal:
            names = [t.name for t in part.type.terminals]
            return self.window(ends[names.index(self.terminal)])
        a, b = self.ends
        return self.window(ends[a] - ends[b])

    @property
    def ends(self) -> tuple[int, int]:
        """The two terminals a part's voltage is taken between, the first also for its current.

        An IC's supply pins, a transistor's collector and emitter, else first and last terminal.
        """
        roles = [t.role for t in self.run.circuit.by_id[self.name].type.terminals]
        if "supply" in roles and "ground" in roles:
            return roles.index("supply"), roles.index("ground")
        return 0, len(roles) - 1

    def _pin_voltage(self, terminal: str) -> Floats:
        net = self.run.circuit.by_id[self.name].net(terminal)
        return np.zeros(len(self.run.times)) if net is None else self.run.voltage(net)

    def current(self) -> tuple[Floats, Floats]:
        part = self.run.circuit.by_id[self.name]
        terminal = self.terminal or part.type.terminals[self.ends[0]].name
        values = self.run.current(self.name, terminal)
        return self.window(-values if self.kind == "supply" and not self.terminal else values)

    def power(self) -> tuple[Floats, Floats]:
        part = self.run.circuit.by_id[self.name]
        total = np.zeros(len(self.run.times))
        for t in part.type.terminals:
            total = total + self._pin_voltage(t.name) * self.run.current(self.name, t.name)
        return self.window(-total if self.kind == "supply" else total)


def _shown(target: _Target) -> str:
    if target.kind == "light":
        noun = target.run.circuit.by_id[target.name].type.noun
        return f"{target.name} ({noun})"
    return f"the net {target.name}" if target.kind == "net" else target.name


def _steady(target: _Target, found: list[tuple[float, float]]) -> list[tuple[float, float]]:
    return found[1:] if len(found) > 1 and not target.windowed else found


def _span(target: _Target) -> str:
    return f"between {target.start:g} s and {target.end:g} s"


def _length(target: _Target, on: bool) -> float:
    signal = target.signal
    found = _steady(target, signal.whole(on))
    if not found:
        raise NeverHappened(_why_not(target, signal, on))
    return float(np.mean([b - a for a, b in found]))


def _why_not(target: _Target, signal: Signal, on: bool) -> str:
    shown, span = _shown(target), _span(target)
    light = target.kind == "light"
    lit, dark = ("lit", "dark") if light else ("high", "low")
    if not any(t > target.start + 1e-3 * (target.end - target.start) for t, _ in signal.edges):
        return f"{shown} stays {lit if signal.last() else dark} {span}"
    state = lit if on else dark
    now = lit if signal.last() else dark
    return f"{shown} is never {state} for a whole interval {span}; it is {now} at the end"


def _period(target: _Target) -> float:
    signal = target.signal
    found = _steady(target, signal.cycles())
    if not found:
        times = len(signal.rising())
        what = "comes on" if target.kind == "light" else "goes high"
        raise NeverHappened(f"{_shown(target)} {what} {times} times {_span(target)}; a period needs two")
    return (found[-1][1] - found[0][0]) / len(found)


def _duty(target: _Target) -> float:
    signal = target.signal
    found = _steady(target, signal.cycles())
    if not found:
        _period(target)
    first, last = found[0][0], found[-1][1]
    lit = sum(b - a for a, b in signal.whole(True) if first <= a < last)
    return lit / (last - first)


def _pulse(target: _Target) -> float:
    signal = target.signal
    found = signal.whole(True)
    if not found:
        raise NeverHappened(_why_not(target, signal, True))
    a, b = found[0]
    return b - a


def _delay(target: _Target) -> float:
    presses = [
        e.time for e in target.run.events
        if e.kind == "action" and e.rising and target.start <= e.time <= target.end
    ]  # fmt: skip
    if not presses:
        raise NeverHappened(f"nothing is pressed or moved {_span(target)}")
    signal = target.signal
    for t, _ in signal.edges:
        if t >= presses[0]:
            return t - presses[0]
    raise NeverHappened(f"{_shown(target)} does not change after the press at {presses[0]:g} s")


def _first_on(target: _Target) -> float:
    rising = target.signal.rising()
    if not rising:
        raise NeverHappened(_why_not(target, target.signal, True))
    return rising[0]


def _level(target: _Target, high: bool) -> float:
    t, v = target.voltage()
    half = 0.5 * float(target.run.statistics.get("nominal", 5.0))
    mid = 0.5 * (v[1:] + v[:-1])
    weight = np.diff(t) * ((mid > half) == high)
    total = float(weight.sum())
    if total <= 0:
        raise NeverHappened(f"{_shown(target)} is never {'high' if high else 'low'} {_span(target)}")
    return float((mid * weight).sum() / total)


def _rms(pair: tuple[Floats, Floats]) -> float:
    t, v = pair
    # the square of a straight line integrates exactly by Simpson's rule
    square = (v[1:] ** 2 + v[1:] * v[:-1] + v[:-1] ** 2) / 3.0
    span = float(t[-1] - t[0])
    return math.sqrt(float(np.sum(square * np.diff(t))) / span) if span > 0 else float(abs(v[0]))


def _current_lit(target: _Target) -> float:
    """Mean current; of a light, while it is lit."""
    t, i = target.current()
    if target.kind != "light" or target.terminal:
        return mean(t, i)
    signal = light_signal(target.run, target.name, target.start, target.end)
    lit = np.zeros(len(t) - 1, dtype=bool)
    mid = 0.5 * (t[1:] + t[:-1])
    state, last = signal.started, target.start
    for at, on in (*signal.edges, (target.end, False)):
        if state:
            lit |= (mid > last) & (mid < at)
        state, last = on, at
    weight = np.diff(t) * lit
    if weight.sum() <= 0:
        raise NeverHappened(_why_not(target, signal, True))
    return float(np.sum(0.5 * (i[1:] + i[:-1]) * weight) / weight.sum())


def _brightness(target: _Target) -> float:
    t, i = target.current()
    return mean(t, np.clip(i, 0.0, None)) / FULL_LIGHT


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
        lambda t: _length(t, True),
    ),
    Measure(
        "off_time",
        TITLES["off_time"],
        "s",
        SIGNALS,
        "mean length of whole intervals in which it is off",
        lambda t: _length(t, False),
    ),
    Measure("period", TITLES["period"], "s", SIGNALS, "mean time from one start to the next", _period),
    Measure("frequency", TITLES["frequency"], "Hz", SIGNALS, "1 / period", lambda t: 1.0 / _period(t)),
    Measure("duty", TITLES["duty"], "", SIGNALS, "part of the whole cycles in which it is on", _duty),
    Measure(
        "pulse_width",
        TITLES["pulse_width"],
        "s",
        SIGNALS,
        "length of the first whole interval in which it is on",
        _pulse,
    ),
    Measure(
        "delay",
        TITLES["delay"],
        "s",
        SIGNALS,
        "from the first press or action in the window to the next change",
        _delay,
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
        _first_on,
    ),
    Measure(
        "high",
        TITLES["high"],
        "V",
        ("net",),
        "mean voltage while above half the supply",
        lambda t: _level(t, True),
    ),
    Measure(
        "low",
        TITLES["low"],
        "V",
        ("net",),
        "mean voltage while below half the supply",
        lambda t: _level(t, False),
    ),
    Measure("max", TITLES["max"], "V", VOLTS, "largest voltage", lambda t: float(t.voltage()[1].max())),
    Measure("min", TITLES["min"], "V", VOLTS, "least voltage", lambda t: float(t.voltage()[1].min())),
    Measure("mean", TITLES["mean"], "V", VOLTS, "mean voltage over time", lambda t: mean(*t.voltage())),
    Measure("rms", TITLES["rms"], "V", VOLTS, "root of the mean square", lambda t: _rms(t.voltage())),
    Measure(
        "current",
        TITLES["current"],
        "A",
        CURRENTS,
        "mean current into the first terminal, or the one named; of a light, while it is lit",
        _current_lit,
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
        lambda t: _rms(t.current()),
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
        "brightness", TITLES["brightness"], "", ("light",), "mean forward current over 20 mA", _brightness
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
        known = ", ".join(near) if near else ", ".join(sorted(MEASURES))
        raise UnknownMeasure(f"there is no measure '{name}'; there is {known}", near)
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
    value = kind_of.take(_Target(run, kind, part, terminal, start, min(end, ended), bool(window)))
    return Quantity(value, kind_of.unit)
