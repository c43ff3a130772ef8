"""How the answers to a reading divide the suspects."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import pairwise

from buildalong.mistakes import Outcome
from buildalong.trace import _words as words
from buildalong.trace._forecast import SWINGS, Forecast, Span
from buildalong.trace._reading import UNKNOWN, WRONG, Answer
from buildalong.words import say, with_unit

__all__ = ["agrees", "spans_words", "split", "volts_words"]

Weights = Mapping[int, float]


def split(
    forecast: Forecast, weights: Weights, suspects: tuple[Outcome, ...]
) -> list[tuple[Answer, dict[int, float]]]:
    """Divide suspects by the answers; who may give several answers goes with each, with a share."""
    if forecast.spans:
        return _by_volts(forecast, weights)
    groups: dict[str, dict[int, float]] = {}
    for i, weight in weights.items():
        keys = forecast.keys[i]
        for key in keys:
            groups.setdefault(key, {})[i] = weight / len(keys)
    order = sorted(groups, key=lambda key: (key not in ("right", "no"), min(groups[key])))
    return [(_answer(forecast, key, groups[key], suspects), groups[key]) for key in order]


def _answer(forecast: Forecast, key: str, group: Weights, suspects: tuple[Outcome, ...]) -> Answer:
    kind = forecast.reading.kind
    if kind != "look":
        return Answer(key, say(words.ANSWERS[kind][key]))
    if key == "right":
        return Answer(key, forecast.reading.expected)
    first = suspects[min(group)].mistake
    return Answer(first.id, first.what)


def _by_volts(forecast: Forecast, weights: Weights) -> list[tuple[Answer, dict[int, float]]]:
    steady = sorted({s for i in weights for s in forecast.spans[i] if s != SWINGS})
    bands: list[list[float]] = []
    for low, high in steady:
        if bands and low <= bands[-1][1]:
            bands[-1][1] = max(bands[-1][1], high)
        else:
            bands.append([low, high])
    cuts = [-math.inf, *((a[1] + b[0]) / 2 for a, b in pairwise(bands)), math.inf]
    answers = [
        Answer("steady", volts_words(low, high), cuts[k], cuts[k + 1]) for k, (low, high) in enumerate(bands)
    ]
    if any(SWINGS in forecast.spans[i] for i in weights):
        answers.append(Answer("swings", say(words.SWINGING)))
    out: list[tuple[Answer, dict[int, float]]] = [(answer, {}) for answer in answers]
    for i, weight in weights.items():
        spans = forecast.spans[i]
        hit = [group for answer, group in out if not spans or any(_within(s, answer) for s in spans)]
        for group in hit:
            group[i] = weight / len(hit)
    return out


def _within(span: Span, answer: Answer) -> bool:
    if span == SWINGS:
        return answer.key == "swings"
    return answer.key == "steady" and answer.low <= span[0] and span[1] <= answer.high


def agrees(forecast: Forecast, index: int, answer: Answer) -> bool:
    """Whether a suspect may give an answer; a number of volts is an answer from itself to itself."""
    if answer.key == UNKNOWN:
        return True
    if not forecast.spans:
        keys = forecast.keys[index]
        return any(key != "right" for key in keys) if answer.key == WRONG else answer.key in keys
    spans = forecast.spans[index]
    if not spans:
        return True
    if answer.key == "swings":
        return SWINGS in spans
    return any(s != SWINGS and s[0] <= answer.high and s[1] >= answer.low for s in spans)


def spans_words(spans: Sequence[Span]) -> str:
    """Say what a meter may show: bands of volts, that it does not rest, or that nothing is forecast."""
    said = [say(words.SWINGING) if span == SWINGS else volts_words(*span) for span in spans]
    return say(words.OR).join(dict.fromkeys(said)) or say(words.UNHELD)


def volts_words(low: float, high: float) -> str:
    """Say a band of volts: 'about 0 V', '2.8 V to 3.2 V'."""
    if low <= 0 <= high and high - low < 0.5:
        return say(words.ABOUT_ZERO)
    low_words, high_words = (with_unit(f"{volts:.1f}".replace("-", "−"), "V") for volts in (low, high))
    return say(words.BAND, low=low_words, high=high_words)
