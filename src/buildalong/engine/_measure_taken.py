"""How each number of a run is taken: the part, net or pin that is looked at, in a window of time.

Rhythm describes the steady state: without a window it leaves out the first cycle after switch-on where
later ones exist, and always the incomplete intervals at both ends.  With a window every whole interval
in it counts.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from buildalong.engine._run import Run
from buildalong.engine._signals import Signal, clip, light_signal, mean, net_signal

__all__ = [
    "MeasureError",
    "NeverHappened",
    "Target",
    "brightness",
    "current_lit",
    "delay",
    "duty",
    "first_on",
    "length",
    "level",
    "period",
    "pulse",
    "rms",
]

Floats = NDArray[np.float64]

FULL_LIGHT = 20e-3
"""Forward current [A] of a fully lit LED, the test current of most data sheets."""


class MeasureError(ValueError):
    """A measure cannot be taken; the message says why."""


class NeverHappened(MeasureError):
    """What was to be measured did not happen in the run (or not whole inside the window)."""


@dataclass(frozen=True, slots=True)
class Target:
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


def _shown(target: Target) -> str:
    if target.kind == "light":
        noun = target.run.circuit.by_id[target.name].type.noun
        return f"{target.name} ({noun})"
    return f"the net {target.name}" if target.kind == "net" else target.name


def _steady(target: Target, found: list[tuple[float, float]]) -> list[tuple[float, float]]:
    return found[1:] if len(found) > 1 and not target.windowed else found


def _span(target: Target) -> str:
    return f"between {target.start:g} s and {target.end:g} s"


def length(target: Target, on: bool) -> float:
    signal = target.signal
    found = _steady(target, signal.whole(on))
    if not found:
        raise NeverHappened(_why_not(target, signal, on))
    return float(np.mean([b - a for a, b in found]))


def _why_not(target: Target, signal: Signal, on: bool) -> str:
    shown, span = _shown(target), _span(target)
    light = target.kind == "light"
    lit, dark = ("lit", "dark") if light else ("high", "low")
    if not any(t > target.start + 1e-3 * (target.end - target.start) for t, _ in signal.edges):
        return f"{shown} stays {lit if signal.last() else dark} {span}"
    state = lit if on else dark
    now = lit if signal.last() else dark
    return f"{shown} is never {state} for a whole interval {span}; it is {now} at the end"


def period(target: Target) -> float:
    signal = target.signal
    found = _steady(target, signal.cycles())
    if not found:
        times = len(signal.rising())
        what = "comes on" if target.kind == "light" else "goes high"
        raise NeverHappened(f"{_shown(target)} {what} {times} times {_span(target)}; a period needs two")
    return (found[-1][1] - found[0][0]) / len(found)


def duty(target: Target) -> float:
    signal = target.signal
    found = _steady(target, signal.cycles())
    if not found:
        period(target)
    first, last = found[0][0], found[-1][1]
    lit = sum(b - a for a, b in signal.whole(True) if first <= a < last)
    return lit / (last - first)


def pulse(target: Target) -> float:
    signal = target.signal
    found = signal.whole(True)
    if not found:
        raise NeverHappened(_why_not(target, signal, True))
    a, b = found[0]
    return b - a


def delay(target: Target) -> float:
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


def first_on(target: Target) -> float:
    rising = target.signal.rising()
    if not rising:
        raise NeverHappened(_why_not(target, target.signal, True))
    return rising[0]


def level(target: Target, high: bool) -> float:
    t, v = target.voltage()
    half = 0.5 * float(target.run.statistics.get("nominal", 5.0))
    mid = 0.5 * (v[1:] + v[:-1])
    weight = np.diff(t) * ((mid > half) == high)
    total = float(weight.sum())
    if total <= 0:
        raise NeverHappened(f"{_shown(target)} is never {'high' if high else 'low'} {_span(target)}")
    return float((mid * weight).sum() / total)


def rms(pair: tuple[Floats, Floats]) -> float:
    t, v = pair
    # the square of a straight line integrates exactly by Simpson's rule
    square = (v[1:] ** 2 + v[1:] * v[:-1] + v[:-1] ** 2) / 3.0
    span = float(t[-1] - t[0])
    return math.sqrt(float(np.sum(square * np.diff(t))) / span) if span > 0 else float(abs(v[0]))


def current_lit(target: Target) -> float:
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


def brightness(target: Target) -> float:
    t, i = target.current()
    return mean(t, np.clip(i, 0.0, None)) / FULL_LIGHT
