"""What real parts within their tolerance do to a run: the band in which every board stays."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from buildalong.drawing._series import Floats, high_intervals
from buildalong.engine import Options, Run, simulate_many
from buildalong.spread import SEED, even, factors, variations

__all__ = ["Band", "tolerance_band"]

Bools = NDArray[np.bool_]

ALIKE = 1.05
"""Cycles of two traces that differ by less than this ratio are of one rhythm."""
POINTS = 300
"""Times at which the boards are compared."""
SEEN = 0.03
"""A band whose mean width is less than this share of the supply is not worth drawing."""
BRIEF, MUCH = 0.02, 0.1
"""A net that moves by more than this share of its range within this share of a cycle is in an edge."""
GAPS = 4.0
"""Notches in a band narrower than so many mean distances between two boards are bridged; our choice."""
LATER = 1.6
"""Boards run this much longer than ours, so that slow ones come to the end of their cycle too."""
FURTHER = 1.25
"""That all are through their cycle's last edge is looked for until so many cycles of the slowest board."""


@dataclass(frozen=True, eq=False)
class Band:
    """Least and greatest voltage of each net over ``times`` [s], shape (n,), for ``count`` boards.

    With ``cycle`` the boards are laid over one another so that this one cycle begins together; it is
    shown as long as they keep in step.
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
    evenly over all at once from ``seed``.  Where a trace repeats inside ``span`` [s], the band begins at
    its second rise, and ends in no edge: once the slowest board has been through its cycle and all are
    in step or, where they are not any more, at the last moment before at which they are.  Without a
    rhythm it is that of the whole span.  None where nothing differs, the nets hardly do, or the boards
    are never in step.
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
    going = [(r, at) for r, at in zip(runs, starts, strict=True) if np.isfinite(at) and r.times.size]
    ends = [_rise(r, beat, 2) if beat else float("inf") for r in runs]
    lengths = np.sort([b - a for a, b in zip(starts, ends, strict=True) if np.isfinite(b - a)])
    if beat:  # no further than every board has run
        recorded = start + min(float(r.times[-1]) - at for r, at in going)
        end = min(start + float(lengths[-1]) * FURTHER, recorded)
        if end <= start:
            return None
    times = np.linspace(start, min(end, span[1], lasts), POINTS)
    step = float(times[1] - times[0])
    levels = {
        net: np.stack([np.interp(times - start + at, r.times, r.voltage(net)) for r, at in going])
        for net in nets
    }
    if beat:
        lasts = BRIEF * float(lengths[0])
        brief, cycle = max(1, round(lasts / step)), round(float(lengths[-1]) / step)
        steady = _alike(going, times - start, lasts) & ~_edges(levels.values(), brief)
        shown = _shown(steady, cycle, 2 * brief)
        times, levels = times[:shown], {net: level[:, :shown] for net, level in levels.items()}
        if shown < 2:
            return None
    width = GAPS * float(np.ptp(lengths)) / len(lengths) if beat else 0.0
    wide = max(1, round(width / step))
    low = {net: _bridged(-level.min(axis=0), wide) * -1.0 for net, level in levels.items()}
    high = {net: _bridged(level.max(axis=0), wide) for net, level in levels.items()}
    supply = float(run.statistics.get("nominal", 5.0))
    if max(float((high[net] - low[net]).mean()) for net in nets) < SEEN * supply:
        return None
    return Band(times, low, high, len(going) - 1, seed, bool(beat))


def _alike(going: Sequence[tuple[Run, float]], past: Floats, brief: float) -> Bools:
    """Whether all runs have switched equally often so long ``past`` [s] the start of each.

    What switched just before the start counts.  When an LED lights up or goes out is no jump of a net.
    """
    switched: list[dict[tuple[str, str], list[float]]] = []
    for run, at in going:
        mine: dict[tuple[str, str], list[float]] = {}
        for event in run.events:
            if event.kind != "light" and event.time >= at - brief:
                mine.setdefault((event.part, event.what), []).append(event.time - at)
        switched.append(mine)
    alike = np.ones(past.size, bool)
    for key in sorted(set().union(*switched)):
        counts = np.stack([np.searchsorted(mine.get(key, []), past, "right") for mine in switched])
        alike &= np.ptp(counts, axis=0) == 0
    return alike


def _edges(levels: Iterable[Floats], brief: int) -> Bools:
    """Whether any board's net is in an edge, or comes to one within ``brief`` points, at each point."""
    found: list[Bools] = []
    for level in levels:  # (boards, points)
        padded = np.pad(level, ((0, 0), (0, brief)), mode="edge")
        windows = np.lib.stride_tricks.sliding_window_view(padded, brief + 1, axis=1)
        found.append((np.ptp(windows, axis=-1) > MUCH * np.ptp(level)).any(axis=0))
    edges: Bools = np.any(found, axis=0)
    return edges


def _shown(steady: Bools, cycle: int, settle: int) -> int:
    """How many points to show: to the first steady one from ``cycle`` on, else to the last one before it.

    After the cycle up to ``settle`` points more, while they are steady, so that an edge comes to its end.
    """
    after, before = np.flatnonzero(steady[cycle:]), np.flatnonzero(steady[:cycle])
    if after.size:
        first = cycle + int(after[0])
        return first + int(np.cumprod(steady[first : first + settle + 1]).sum())
    return int(before[-1]) + 1 if before.size else 0


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
    """The trace whose second and third rise lie inside a span; "" for none.

    One of the shortest cycle, in which boards drift least apart; lights before nets, and of the nets
    that with the steepest edges, for its cycle begins and ends with one.
    """

    def slow(name: str) -> float:
        return -float(np.abs(np.diff(run.voltage(name))).max(initial=0.0)) if name in run.nets else -np.inf

    rises = {name: (_rise(run, name, 1), _rise(run, name, 2)) for name in traces}
    cycles = {n: b - a for n, (a, b) in rises.items() if span[0] <= a < b <= span[1]}
    shortest = [name for name in cycles if cycles[name] < ALIKE * min(cycles.values())]
    return min(shortest, key=slow, default="")


def _rise(run: Run, name: str, index: int) -> float:
    """When a trace rises for the first time (0), the second (1) and so on [s]; infinite for never."""
    found = high_intervals(run, name)
    return found[index][0] if index < len(found) else float("inf")
