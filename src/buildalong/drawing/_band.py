"""What real parts within their tolerance do to a run: the band in which every board stays."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from buildalong.drawing._series import Floats, high_intervals
from buildalong.engine import Options, Run, simulate_many
from buildalong.spread import SEED, even, factors, variations

__all__ = ["Band", "tolerance_band"]

POINTS = 300
"""Times at which the boards are compared."""
SEEN = 0.03
"""A band whose mean width is less than this share of the supply is not worth drawing."""
PAST = 0.002
"""A cycle is shown this share longer than it is, so that the edge that ends it is seen."""
GAPS = 4.0
"""Notches in a band narrower than so many mean distances between two boards are bridged; our choice."""
LATER = 1.6
"""Boards run this much longer than ours, so that slow ones come to their cycle too."""


@dataclass(frozen=True, eq=False)
class Band:
    """Least and greatest voltage of each net over ``times`` [s], shape (n,), for ``count`` boards.

    With ``cycle`` the boards are laid over one another so that this one cycle begins together; it is
    shown until the slowest board has been through it, and each board but once.
    """

    times: Floats
    low: Mapping[str, Floats]
    high: Mapping[str, Floats]
    count: int
    seed: int
    cycle: bool = False


def tolerance_band(
    run: Run,
    traces: Sequence[str],
    span: tuple[float, float],
    *,
    count: int = 24,
    seed: int = SEED,
    options: Options | None = None,
) -> Band | None:
    """Simulate ``count`` boards that differ as :mod:`buildalong.spread` lets builds differ.

    Values lie anywhere within their tolerance and figures of the models within their limits, spread
    evenly over all at once from ``seed``.  Where a trace repeats inside ``span`` [s], the band is that
    of its first steady cycle; without a rhythm it is that of the whole span.  None where nothing
    differs or the nets hardly do.
    """
    differing = factors(run.circuit)
    nets = [name for name in traces if name in run.nets]
    if not differing or not nets:
        return None
    boards = variations(differing, even(count, len(differing), seed))
    beat = _rhythm(run, traces, span)
    start, end = (_rise(run, beat, 1), _rise(run, beat, 2)) if beat else span
    lasts = min(end * LATER if beat else end, run.trial.lasts)
    trial = replace(run.trial, lasts=lasts, actions=tuple(a for a in run.trial.actions if a.time < lasts))
    runs = [run, *simulate_many(run.circuit, trial, boards, options)]
    starts = [_rise(r, beat, 1) if beat else start for r in runs]
    ends = [_rise(r, beat, 2) if beat else float("inf") for r in runs]
    lengths = np.sort([b - a for a, b in zip(starts, ends, strict=True) if np.isfinite(b - a)])
    if beat:  # until the slowest board has been through its cycle too
        end = start + float(lengths[-1]) * (1 + PAST)
    times = np.linspace(start, min(end, span[1], lasts), POINTS)
    width = GAPS * float(np.ptp(lengths)) / len(lengths) if beat else 0.0
    wide = max(1, round(width / float(times[1] - times[0])))
    low, high = {}, {}
    for net in nets:
        levels = np.stack([
            # A board that is through stays as it is when its next cycle begins.
            np.interp(np.minimum(times - start, (last - at) * (1 + PAST)) + at, r.times, r.voltage(net))
            for r, at, last in zip(runs, starts, ends, strict=True) if np.isfinite(at) and r.times.size
        ])  # fmt: skip
        low[net], high[net] = _bridged(-levels.min(axis=0), wide) * -1.0, _bridged(levels.max(axis=0), wide)
    supply = float(run.statistics.get("nominal", 5.0))
    if max(float((high[net] - low[net]).mean()) for net in nets) < SEEN * supply:
        return None
    return Band(times, low, high, count, seed, bool(beat))


def _bridged(edge: Floats, wide: int) -> Floats:
    """An upper edge without notches of up to so many points: those lie between two boards, not beside all.

    Closing: the greatest over a window, and of that the least (J. Serra, Image Analysis and Mathematical
    Morphology, 1982, from memory).
    """
    if wide < 2:
        return edge
    padded = np.pad(edge, wide - 1, mode="edge")
    most = np.lib.stride_tricks.sliding_window_view(padded, wide).max(axis=1)
    bridged: Floats = np.lib.stride_tricks.sliding_window_view(most, wide).min(axis=1)
    return bridged


def _rhythm(run: Run, traces: Sequence[str], span: tuple[float, float]) -> str:
    """The trace whose second and third rise lie inside a span, lights before nets; "" for none.

    Of the nets that with the steepest edges, for its cycle begins and ends with one.
    """

    def slow(name: str) -> float:
        return -float(np.abs(np.diff(run.voltage(name))).max(initial=0.0)) if name in run.nets else -np.inf

    for name in sorted(traces, key=slow):
        if span[0] <= _rise(run, name, 1) < _rise(run, name, 2) <= span[1]:
            return name
    return ""


def _rise(run: Run, name: str, index: int) -> float:
    """When a trace rises for the first time (0), the second (1) and so on [s]; infinite for never."""
    found = high_intervals(run, name)
    return found[index][0] if index < len(found) else float("inf")
