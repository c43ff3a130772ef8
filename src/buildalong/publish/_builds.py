"""The many builds of a lesson in its article: what each keeps, where it stands, which parts made it so."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np

from buildalong.drawing import Axis, histogram, histogram_axis
from buildalong.lesson import Compiled, measured_promises, targets_of
from buildalong.publish import _build_words as words
from buildalong.publish._metadata import data_of
from buildalong.publish._print import plate_of
from buildalong.publish._view import BuildsView, PromisedView
from buildalong.quantity import format_quantity
from buildalong.spread import Outcome, Spread, pushes, sentence, spread, surroundings
from buildalong.store import Store
from buildalong.words import capital, numeral, say

__all__ = ["builds_of", "builds_view"]

BUILDS = 200
WIDE = 510.0
"""Width of a histogram: with letters of nine points, two stand beside each other on paper [units]."""
TOLD = 0.02
"""A part that moves a measure by less than this share of its whole range is not told of."""
HAND = 280.0
"""How high the mark of a build stands over the foot of a histogram."""


def builds_of(
    compiled: Compiled, store: Store | None = None, progress: Callable[[float, str], None] | None = None
) -> Spread | None:
    """Simulate many builds of a compiled lesson; None where it promises nothing that is measured."""
    lesson = compiled.lesson
    targets = targets_of(lesson)
    if not targets:
        return None
    return spread(lesson.circuit, lesson.trials, targets, samples=BUILDS, progress=progress, store=store)


def builds_view(compiled: Compiled, found: Spread | None) -> BuildsView | None:
    """Set the builds out, by the first promise from the least to the most; None where one never happens."""
    if found is None or any(outcome.failed == found.samples for outcome in found.outcomes):
        return None
    order = np.argsort(found.outcomes[0].values, kind="stable").tolist()  # what never happens comes last
    moved = [_moved(found, outcome, order) for outcome in found.outcomes]
    parts = list(dict.fromkeys(part for each in moved for part in each))
    promises = [capital(p.says or str(p.that)) for p in measured_promises(compiled.lesson)]
    drawn = [
        histogram(outcome, says, outcome.target.asked.title, wide=WIDE)
        for says, outcome in zip(promises, found.outcomes, strict=True)
    ]
    data = {
        "point": numeral("0.5")[1],
        "promises": [
            {"foot": picture.foot, "top": picture.foot - HAND, **_promise(outcome, order, parts, each)}
            for outcome, picture, each in zip(found.outcomes, drawn, moved, strict=True)
        ],
        "parts": [_part(found, part, order) for part in parts],
    }
    return BuildsView(
        about=say(words.ABOUT, count=found.samples, around=surroundings(found)),
        order=say(words.RANGE, measure=found.outcomes[0].target.asked.title),
        count=found.samples,
        promised=tuple(
            PromisedView(says, plate_of(picture, _caption(found, outcome)))
            for says, picture, outcome in zip(promises, drawn, found.outcomes, strict=True)
        ),
        data=data_of(data),
    )


def _caption(found: Spread, outcome: Outcome) -> str:
    kept = round(outcome.kept * found.samples)
    return say(words.KEPT, kept=kept, count=found.samples, sentence=sentence(outcome, found.circuit))


def _moved(found: Spread, outcome: Outcome, order: Sequence[int]) -> dict[str, list[float]]:
    """By part, for each build: how far it moves a measure, 0 where that is not worth telling."""
    least = TOLD * float(np.nanmax(outcome.values) - np.nanmin(outcome.values))
    return {
        part: [float(each[place]) if abs(each[place]) >= least else 0.0 for place in order]
        for part, each in pushes(found, outcome).items()
    }


def _promise(
    outcome: Outcome, order: Sequence[int], parts: Sequence[str], moved: dict[str, list[float]]
) -> dict[str, object]:
    """One promise in each build as JSON; a value is drawn at ``plot`` [0] + value · ``plot`` [1]."""
    values = [float(outcome.values[place]) for place in order]
    numbers, unit, size = _whole(values, outcome.target.wanted.unit or "%")
    low, high = outcome.target.limits
    axis = histogram_axis(outcome, WIDE)
    return {
        "unit": unit,
        "digits": round(math.log10(size[1])),
        "values": numbers,
        "kept": "".join("1" if low <= value <= high else "0" for value in values),
        "plot": [axis.at(0.0), (axis.at(1.0) - axis.at(0.0)) / math.prod(size)],
        "moved": [
            [parts.index(part), [round(by * math.prod(size)) for by in each]] for part, each in moved.items()
        ],
    }


def _part(found: Spread, name: str, order: Sequence[int]) -> dict[str, object]:
    """A part as JSON: its name and what it is, and where it has a value, that of each build."""
    part = found.circuit.by_id[name]
    for factor, places in zip(found.factors, found.places.T, strict=True):
        rule = part.type.value
        if factor.part == name and factor.name == "value" and rule is not None and part.value is not None:
            values = factor.at(places)
            numbers, unit, size = _whole([float(values[place]) for place in order], rule.unit)
            drawn = format_quantity(part.value, rule.unit)
            return {
                "name": name,
                "what": say(words.IN_PLACE, value="{value}", drawn=drawn),
                "unit": unit,
                "digits": round(math.log10(size[1])),
                "values": numbers,
            }
    return {"name": name, "what": say(part.type.noun)}


def _whole(values: Sequence[float], unit: str) -> tuple[list[int | None], str, tuple[float, float]]:
    """Values as whole numbers of three figures, their unit as written, and the factors that made them so."""
    most = max((abs(value) for value in values if math.isfinite(value)), default=0.0) or 1.0
    shown, factor = Axis(0.0, most, unit, 0.0, 1.0).shown
    size = factor, 10.0 ** max(0, 2 - math.floor(math.log10(most * factor)))
    numbers = [round(value * math.prod(size)) if math.isfinite(value) else None for value in values]
    return numbers, shown, size
