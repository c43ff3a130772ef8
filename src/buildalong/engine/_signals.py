"""On and off over time: when a light shines, when a net is high, and what lies whole in a window."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from buildalong.engine._events import Events
from buildalong.engine._run import Run

__all__ = ["Signal", "clip", "integral", "light_signal", "mean", "net_signal"]

Floats = NDArray[np.float64]
BAND = 0.05
"""A net must leave the band of half the supply ± this part of it to count as high or low again."""


@dataclass(frozen=True, slots=True)
class Signal:
    """Edges of something that is on or off, inside a window: (time, on) in order of time.

    ``started`` is the state at the window's start, before an edge that falls on it.
    """

    edges: tuple[tuple[float, bool], ...]
    started: bool
    start: float
    end: float

    def whole(self, on: bool) -> list[tuple[float, float]]:
        """Intervals of the wanted state that begin and end inside the window."""
        return [(a, b) for (a, state), (b, _) in zip(self.edges, self.edges[1:], strict=False) if state == on]

    def rising(self) -> list[float]:
        """Times at which it went on."""
        return [t for t, on in self.edges if on]

    def cycles(self) -> list[tuple[float, float]]:
        """Whole cycles, from one start to the next."""
        starts = self.rising()
        return list(itertools.pairwise(starts))

    def last(self) -> bool:
        """The state at the window's end."""
        return self.edges[-1][1] if self.edges else self.started


def _signal(edges: list[tuple[float, bool]], start: float, end: float) -> Signal:
    before = False
    inside: list[tuple[float, bool]] = []
    slack = 1e-9 * max(abs(start), abs(end)) + 1e-12
    for t, on in edges:
        if t < start - slack:
            before = on
        elif t <= end + slack:
            # off and on again at one instant is no change
            if inside and inside[-1][0] == t and inside[-1][1] != on:
                inside.pop()
            else:
                inside.append((t, on))
    state = before
    clean = []
    for t, on in inside:
        if on != state:
            clean.append((t, on))
            state = on
    return Signal(tuple(clean), before, start, end)


def light_signal(run: Run, part: str, start: float, end: float) -> Signal:
    """When a light (LED, buzzer, motor) is on, from the events of the run."""
    if isinstance(run.events, Events):
        edges = run.events.lights(part)
    else:
        edges = [(e.time, e.rising) for e in run.events if e.kind == "light" and e.part == part]
    return _signal(edges, start, end)


def net_signal(run: Run, net: str, start: float, end: float) -> Signal:
    """When a net is above half the supply's nominal voltage.

    The time is that of crossing the half itself; a crossing counts once the voltage has left the
    band of ± 5 % of the supply around it.
    """
    half = 0.5 * supply_voltage(run)
    band = 2.0 * BAND * half
    t, v = run.times, run.voltage(net)
    edges: list[tuple[float, bool]] = []
    on = False
    strong = np.where(v > half + band, 1, np.where(v < half - band, -1, 0))
    places = np.flatnonzero(strong)
    for i in places[np.append(True, np.diff(strong[places]) != 0)] if len(places) else ():
        now = bool(strong[i] > 0)
        if now == on:
            continue
        j = int(i)
        while j > 0 and (v[j - 1] > half) == now:
            j -= 1
        if j == 0:
            moment = float(t[0])
        else:
            a, b = v[j - 1], v[j]
            moment = float(t[j - 1] + (t[j] - t[j - 1]) * ((half - a) / (b - a) if b != a else 0.0))
        edges.append((moment, now))
        on = now
    return _signal(edges, start, end)


def supply_voltage(run: Run) -> float:
    """The electromotive force of the supply in this run [V]; at least 0.1."""
    return max(float(run.statistics.get("nominal", 5.0)), 0.1)


def clip(run: Run, values: Floats, start: float, end: float) -> tuple[Floats, Floats]:
    """Times and values inside a window, with interpolated values at its ends."""
    t = run.times
    if len(t) == 0:
        return t, values
    start, end = max(start, float(t[0])), min(end, float(t[-1]))
    i, j = int(np.searchsorted(t, start, "right")), int(np.searchsorted(t, end, "left"))
    first = _at(t, values, start, i)
    final = _at(t, values, end, j)
    return (
        np.concatenate([[start], t[i:j], [end]]),
        np.concatenate([[first], values[i:j], [final]]),
    )


def _at(t: Floats, v: Floats, x: float, i: int) -> float:
    if i <= 0:
        return float(v[0])
    if i >= len(t):
        return float(v[-1])
    if t[i] == t[i - 1]:
        return float(v[i])
    return float(v[i - 1] + (v[i] - v[i - 1]) * (x - t[i - 1]) / (t[i] - t[i - 1]))


def integral(t: Floats, v: Floats) -> float:
    """Integral of a broken line."""
    return float(np.sum(0.5 * (v[1:] + v[:-1]) * np.diff(t)))


def mean(t: Floats, v: Floats) -> float:
    """Mean over time of a broken line; of the values where the window has no length."""
    span = float(t[-1] - t[0]) if len(t) else 0.0
    return integral(t, v) / span if span > 0 else float(np.mean(v)) if len(v) else 0.0
