"""Measuring a rhythm in many builds without simulating on after it is known.

A measure of rhythm leaves the first cycle out and takes the mean of those that follow, which are all
alike.  A few builds are simulated whole, and it is looked up after which happenings their measures no longer
change.  The others are simulated until the slowest of these few is there, and count only where the same
things have happened as often; else they are simulated whole too.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from buildalong.circuit import Circuit
from buildalong.engine import MeasureError, Options, Run, Trial, Variation, simulate_many
from buildalong.spread._factors import Floats
from buildalong.study import CHUNK, Asked, Progress, measured

__all__ = ["brief", "whole"]

RHYTHM = frozenset({"on_time", "off_time", "period", "frequency", "duty", "pulse_width", "delay", "first_on"})
"""Measures that do not change any more once the circuit repeats itself."""
FEW = 12
"""Builds that are simulated whole to begin with."""
WORTH = 60
"""For so many builds and more it is looked up at all."""
SAME = 5e-4
"""A measure no longer changes where it differs by no more than this share: the engine's error in times."""
MARGIN = 1.1
TOGETHER = 1e-6
"""Events no further apart [s] belong to one moment."""
LATE = 1.6
"""A build that takes so many times as long as usual does not say how long the others take."""
SHORTER = 0.85
"""Only a trial shorter than this share of the whole is worth it."""

Story = tuple[tuple[tuple[str, str, str], ...], ...]
"""What happened, moment by moment: (part, what, what became of it) in alphabetical order."""


@dataclass(frozen=True)
class _Cut:
    """A trial that ends where the measures are known, if one of these stories has been seen to its end."""

    trial: Trial
    stories: tuple[Story, ...]
    waveforms: bool

    def serves(self, run: Run) -> bool:
        """Whether a run begins with one of the stories."""
        mine = _story(run, math.inf)
        return any(mine[: len(story)] == story for story in self.stories)


def whole(
    circuit: Circuit, trial: Trial, variants: Sequence[Variation], asked: Sequence[Asked], progress: Progress
) -> Floats:
    """Take each measure in each variant, simulated to the end of the trial: (variants, asked).

    NaN where it never happens.  Raises Unreadable as :func:`buildalong.study.measured` does.
    """
    rows = measured(circuit, trial, variants, asked, Options().rtol, progress)
    return np.array([[value for value, _ in row] for row in rows]).reshape(len(variants), len(asked))


def brief(
    circuit: Circuit, trial: Trial, variants: Sequence[Variation], asked: Sequence[Asked], progress: Progress
) -> Floats:
    """The same within the engine's error, for variants that are builds of one circuit, in less time."""
    rhythm = all(a.name in RHYTHM and not a.window for a in asked)
    cut = _cut(circuit, trial, variants[:FEW], asked) if rhythm and len(variants) >= WORTH else None
    if cut is None:
        return whole(circuit, trial, variants, asked, progress)
    table = np.full((len(variants), len(asked)), np.nan)
    again: list[int] = []
    size = CHUNK if cut.waveforms else 4 * CHUNK
    for start in range(0, len(variants), size):
        some = variants[start : start + size]
        runs = simulate_many(circuit, cut.trial, some, Options(waveforms=cut.waveforms, wakings=False))
        for place, run in enumerate(runs, start):
            table[place] = _row(run, asked)
            if not cut.serves(run) or np.isnan(table[place]).any():
                again.append(place)
        progress((start + len(runs)) / len(variants), f"{start + len(runs)} of {len(variants)} runs")
    if again:
        table[again] = whole(circuit, trial, [variants[place] for place in again], asked, progress)
    return table


def _cut(circuit: Circuit, trial: Trial, few: Sequence[Variation], asked: Sequence[Asked]) -> _Cut | None:
    """The shorter trial that serves, if any does; None too where the measures cannot be taken at all."""
    waveforms = False
    while True:
        runs = simulate_many(circuit, trial, few, Options(waveforms=waveforms, wakings=False))
        try:
            full = [_row(run, asked) for run in runs]
        except MeasureError:
            if waveforms:
                return None
            waveforms = True
            continue
        break
    if not all(np.isfinite(row).all() for row in full):
        return None
    moments = [_settled(run, asked, row) for run, row in zip(runs, full, strict=True)]
    usual = LATE * sorted(moments)[len(moments) // 2]
    early = {place for place, moment in enumerate(moments) if moment <= usual}
    stories = {_story(runs[place], moments[place]) for place in early}
    for run, moment in zip(runs, moments, strict=True):
        # a story that one of the few has seen through before its measures were known tells nothing
        seen = _story(run, moment)[:-1]
        stories -= {seen[:length] for length in range(len(seen) + 1)}
    acted = max((action.time + action.ramp for action in trial.actions), default=0.0)
    lasts = MARGIN * max([acted, *(moments[place] for place in early)])
    if not stories or lasts > SHORTER * trial.lasts:
        return None
    return _Cut(replace(trial, lasts=lasts), tuple(sorted(stories)), waveforms)


def _row(run: Run, asked: Sequence[Asked]) -> Floats:
    return np.array([a.taken(run)[0] for a in asked])


def _settled(run: Run, asked: Sequence[Asked], full: Floats) -> float:
    """The time after which no measure changes any more, wherever the run had ended: an event of the run."""
    times = sorted({event.time for event in run.events})
    first, last = 0, len(times) - 1
    for place in range(last, -1, -1):
        try:
            now = _row(_until(run, times[place]), asked)
        except MeasureError:
            now = np.array([np.nan])
        if not (np.abs(now - full) <= SAME * np.abs(full)).all():
            first = min(place + 1, last)
            break
    return times[first] if times else run.trial.lasts


def _until(run: Run, time: float) -> Run:
    """The run as far as it had come at a time."""
    rows = int(np.searchsorted(run.times, time, side="right"))
    return replace(
        run,
        times=run.times[:rows],
        voltages=run.voltages[:rows],
        currents=run.currents[:rows],
        events=tuple(event for event in run.events if event.time <= time),
        statistics={**run.statistics, "ended": time},
    )


def _story(run: Run, until: float) -> Story:
    """What lamps, chips and hands did until a time; crossings of watched levels are left out."""
    moments: list[list[tuple[str, str, str]]] = []
    last = -math.inf
    for event in run.events:
        if event.time > until or event.kind == "watch":
            continue
        if event.time > last + TOGETHER:
            moments.append([])
        last = event.time
        moments[-1].append((event.part, event.what, event.after))
    return tuple(tuple(sorted(moment)) for moment in moments)
