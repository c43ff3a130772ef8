"""How long a class takes, reckoned from the words and parts of the lesson; our judgement, not counted."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from buildalong.build.steps import Step
    from buildalong.engine import Trial

__all__ = ["RATES", "Rates", "Times", "in_whole", "minutes_of_step", "minutes_to_read", "times_of"]


@dataclass(frozen=True, slots=True)
class Rates:
    """What things take: ``words`` a minute; seconds for ``seek``, ``place``, ``look`` and ``own``.

    ``question`` and ``tidy`` are minutes, ``mend`` is a share of the building time.
    """

    words: float = 100.0
    seek: float = 20.0
    place: float = 15.0
    look: float = 20.0
    own: float = 120.0
    question: float = 2.0
    mend: float = 0.25
    tidy: float = 5.0


RATES = Rates()
"""Beginners of about twelve, who read, look, and do; our judgement."""


@dataclass(frozen=True, slots=True)
class Times:
    """Minutes by stage, and half minutes by step number."""

    stages: tuple[tuple[str, float], ...]
    steps: tuple[tuple[int, float], ...]


def in_whole(stages: Sequence[tuple[str, float]]) -> tuple[tuple[tuple[str, int], ...], int]:
    """Each stage that takes any time in whole minutes, and their sum up to the next five."""
    whole = tuple((name, math.ceil(minutes)) for name, minutes in stages if minutes > 0)
    return whole, 5 * math.ceil(sum(minutes for _, minutes in whole) / 5)


def minutes_to_read(words: int, rates: Rates = RATES) -> float:
    """Minutes for so many words."""
    return words / rates.words


def minutes_of_step(step: Step, rates: Rates = RATES) -> float:
    """Minutes for one step, rounded to half a minute, at least one half."""
    reading = _words(step.title, step.text, step.callout, step.why, step.check) / rates.words * 60
    pieces = len(step.parts) + len(step.wires)
    ends = sum(len(step.after.holes.get(part, ())) for part in step.parts) + 2 * len(step.wires)
    seconds = reading + pieces * rates.seek + min(ends, 4 * max(pieces, 1)) * rates.place + rates.look
    return max(0.5, round(seconds / 30) / 2)


def times_of(
    steps: Sequence[Step],
    trials: Sequence[Trial],
    *,
    words: int,
    pieces: int,
    questions: int,
    rates: Rates = RATES,
) -> Times:
    """Times of a lesson with so many ``words`` to read first, ``pieces`` to hand out, and ``questions``."""
    each = tuple((step.number, minutes_of_step(step, rates)) for step in steps)
    build = sum(minutes for _, minutes in each)
    trying = (rates.own + sum(trial.lasts for trial in trials)) / 60
    stages = (
        ("read", minutes_to_read(words, rates)),
        ("sort", pieces * rates.seek / 60),
        ("build", build),
        ("try", trying),
        ("mend", build * rates.mend),
        ("questions", questions * rates.question),
        ("tidy", rates.tidy),
    )
    return Times(stages, each)


def _words(*texts: str) -> int:
    return sum(len(text.split()) for text in texts)
