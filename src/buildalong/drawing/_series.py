"""Numbers behind a waveform picture: ticks, thinning, intervals, crossings."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from buildalong.engine import Run
from buildalong.quantity import format_quantity, to_figures
from buildalong.story import INSTANT
from buildalong.words import with_unit

__all__ = [
    "VOLT_TICKS",
    "crossings",
    "high_intervals",
    "intervals",
    "limits",
    "said_duration",
    "straightened",
    "thinned",
    "ticks",
    "time_unit",
]

Floats = NDArray[np.float64]

BUCKETS = 600
"""Time slots of a thinned curve; each keeps its first, least, greatest and last point."""


VOLT_TICKS = 4
"""Ticks of a curve's volts, at most (and one)."""


def ticks(low: float, high: float, most: int = 6) -> tuple[float, ...]:
    """Round numbers (1, 2, 5 times a power of ten) between two limits, at most ``most`` + 1."""
    if not high > low:
        return (low,)
    raw = (high - low) / most
    power = 10.0 ** math.floor(math.log10(raw))
    step = next(power * m for m in (1, 2, 5, 10) if power * m >= raw * (1 - 1e-9))
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    return tuple(round(i * step, 12) + 0.0 for i in range(first, last + 1))


def time_unit(span: float) -> tuple[str, float]:
    """The unit for a time axis of this length [s] and how many of it make a second."""
    for unit, per_second in (("s", 1.0), ("ms", 1e3), ("µs", 1e6)):
        if span * per_second >= 2:
            return unit, per_second
    return "ns", 1e9


def said_duration(seconds: float, span: float) -> str:
    """A duration of a run of which so much is shown [s], in the unit of its axis: three figures."""
    unit, per_second = time_unit(span)
    if 0 < abs(seconds) * per_second < 1e-3:
        return format_quantity(seconds, "s", 3)
    return with_unit(to_figures(seconds * per_second), unit)


def thinned(times: Floats, values: Floats, start: float, end: float) -> tuple[Floats, Floats]:
    """The part of a curve between two times, thinned so that it looks the same; ends are interpolated."""
    inside = (times >= start) & (times <= end)
    t, v = times[inside], values[inside]
    if t.size == 0 or t[0] > start:
        t = np.concatenate(([start], t))
        v = np.concatenate(([np.interp(start, times, values)], v))
    if t[-1] < end <= times[-1]:
        t = np.concatenate((t, [end]))
        v = np.concatenate((v, [np.interp(end, times, values)]))
    if t.size > 4 * BUCKETS:
        slot = np.minimum(((t - start) / (end - start) * BUCKETS).astype(np.int64), BUCKETS - 1)
        firsts = np.flatnonzero(np.diff(slot, prepend=-1))
        keep: set[int] = {0, t.size - 1}
        for a, b in zip(firsts, np.append(firsts[1:], t.size), strict=True):
            keep.update((int(a), int(b) - 1, int(a + v[a:b].argmin()), int(a + v[a:b].argmax())))
        order = np.array(sorted(keep))
        t, v = t[order], v[order]
    return straightened(t, v, (end - start) * 2e-4)


def straightened(t: Floats, v: Floats, slack_time: float, fine: float = 1e-3) -> tuple[Floats, Floats]:
    """Drop points that lie on the straight line between their neighbours (one pass, repeated halves).

    What is left strays by at most ``fine`` times the curve's range.
    """
    spread = float(v.max() - v.min()) if v.size else 0.0
    slack = max(spread * fine, 1e-9)
    keep = np.zeros(t.size, bool)
    stack = [(0, t.size - 1)]
    keep[0] = keep[-1] = True
    while stack:
        a, b = stack.pop()
        if b - a < 2:
            continue
        width = t[b] - t[a]
        if width <= slack_time:
            middle = v[a + 1 : b]
            off = np.maximum(middle - max(v[a], v[b]), min(v[a], v[b]) - middle)
        else:
            off = np.abs(v[a + 1 : b] - (v[a] + (v[b] - v[a]) * (t[a + 1 : b] - t[a]) / width))
        worst = int(off.argmax())
        if off[worst] > slack:
            at = a + 1 + worst
            keep[at] = True
            stack += [(a, at), (at, b)]
    return t[keep], v[keep]


def limits(run: Run, nets: tuple[str, ...], start: float, end: float) -> tuple[float, float]:
    """One range of volts for all curves, from the ground up (and below it if they go there).

    It ends above a tick that is not below the greatest value.
    """
    inside = (run.times >= start) & (run.times <= end)
    low, high = 0.0, 0.0
    for net in nets:
        values = run.voltage(net)[inside]
        if values.size:
            low, high = min(low, float(values.min())), max(high, float(values.max()))
    high = max(high, 0.5)
    low = low if low < -0.03 * high else 0.0
    spare = 0.06 * (high - low)
    low -= spare if low < 0 else 0.0
    top = high + spare
    for _ in range(4):  # a longer range may have longer steps
        one, other = ticks(low, top, VOLT_TICKS)[:2]
        top = max(top, 1.02 * math.ceil(high / (other - one) - 1e-6) * (other - one))
    return low, top


def intervals(run: Run, part: str) -> tuple[tuple[float, float], ...]:
    """When a light shines or a button is pressed, as (from, to) in seconds, from the run's events.

    What begins and ends in the instant of switching on belongs to that moment, as the story tells it, and is
    left out.
    """
    out: list[tuple[float, float]] = []
    began: float | None = None
    for event in run.events:
        if event.part != part or not (
            event.kind == "light" or (event.kind == "action" and event.what in ("pressed", "thrown"))
        ):
            continue
        if event.rising and began is None:
            began = event.time
        elif not event.rising and began is not None:
            if event.time > INSTANT:
                out.append((began, event.time))
            began = None
    if began is not None:
        out.append((began, float(run.times[-1])))
    return tuple(out)


def high_intervals(run: Run, name: str) -> list[tuple[float, float]]:
    """When a light shines, a button is pressed, or a net is above half of the supply, (from, to) [s]."""
    if name not in run.nets:
        return list(intervals(run, name))
    half, volts = 0.5 * float(run.statistics.get("nominal", 5.0)), run.voltage(name)
    downs = (*crossings(run.times, -volts, -half), float(run.times[-1]))
    ups = crossings(run.times, volts, half)
    found = [(up, min((down for down in downs if down >= up), default=up)) for up in ups]
    return [(up, down) for up, down in found if down > INSTANT]


def crossings(times: Floats, values: Floats, level: float) -> tuple[float, ...]:
    """Times at which a curve rises through a level."""
    above = values > level
    at = np.flatnonzero(~above[:-1] & above[1:])
    out = []
    for i in at:
        rise = values[i + 1] - values[i]
        out.append(float(times[i] + (level - values[i]) / rise * (times[i + 1] - times[i])))
    return tuple(out)
