"""Pictures of studies: histogram of a spread, curves of a sweep and lights at three of its values."""

from __future__ import annotations

from collections.abc import Iterator

from tools.gallery._desk import Desk
from tools.gallery._exhibit import Exhibit

from buildalong.drawing import histogram, sweep_curves, sweep_waves
from buildalong.lesson import asked_of, targets_of
from buildalong.quantity import format_quantity, nearest
from buildalong.spread import name_of, shares, spread
from buildalong.study import find_parameter, runs_of, spaced, sweep

__all__ = ["histograms", "sweeps"]

SAMPLES = 300
STEP = 2.2
"""Bars are drawn at the built value, and at those so many times less and more."""
SWEEPS = (
    ("lighthouse", "R2", 1e5, 1e6, False, ("on_time(DS1)", "off_time(DS1)")),
    ("level-crossing", "C1", 1e-6, 1e-4, True, ("frequency(DS1)",)),
)
"""Demo, what is moved, from, to, at equal ratios, what is measured."""


def histograms(desk: Desk) -> Iterator[Exhibit]:
    """How each promise of the demos spreads over many builds."""
    for demo in desk.choice.demos:
        lesson = desk.lesson(demo)
        targets = targets_of(lesson)
        if not targets:
            continue
        desk.tell(f"{demo}: {SAMPLES} builds")
        found = spread(lesson.circuit, lesson.trials, targets, samples=SAMPLES)
        for outcome in found.outcomes:
            if not outcome.varies:
                continue
            name = f"{name_of(outcome.target.measure)} of {outcome.target.of}"
            title = f"{lesson.title}: {name} in {found.samples} builds"
            yield Exhibit(f"{demo}: {name}", "", histogram(outcome, title, name, shares(outcome, 0.02)))


def sweeps(desk: Desk) -> Iterator[Exhibit]:
    """A measure while one value goes through a range, and when a light shines at three of its values."""
    for demo, moved, low, high, ratio, measures in SWEEPS:
        if demo not in desk.choice.demos:
            continue
        lesson = desk.lesson(demo)
        trial = lesson.trials[0]
        which = find_parameter(lesson.circuit, moved)
        built, rule = lesson.circuit.by_id[moved].value, lesson.circuit.by_id[moved].type.value
        if built is None or rule is None:
            continue
        values = sorted({*spaced(low, high, 11, ratio=ratio), built})
        asked = [asked_of(text) for text in measures]
        desk.tell(f"{demo}: sweep of {moved}")
        found = sweep(lesson.circuit, trial, which, values, asked)
        title = f"{lesson.title}: sweep of {moved}"
        yield Exhibit(f"{demo}: sweep of {moved}", "", sweep_curves(found, title=title))
        # As it is built, and about half and twice as much, as it is sold.
        three = [nearest(built / STEP, rule.series), built, nearest(built * STEP, rule.series)]
        runs = runs_of(lesson.circuit, trial, which, three)
        labels = [f"{which} = {format_quantity(value, which.unit, 3)}" for value in three]
        name = f"when DS1 is lit, at three values of {moved}"
        drawn = sweep_waves(runs, labels, ["DS1"], title=f"{lesson.title}: {name}")
        yield Exhibit(f"{demo}: {name}", "", drawn)
