"""Numbers of the story's moments in a row above a time axis, each with a line that leads to its moment."""

from __future__ import annotations

from collections.abc import Sequence

from buildalong.drawing import _palette as palette
from buildalong.drawing import _text
from buildalong.drawing._svg import Point, Svg

__all__ = ["badge", "badge_places", "badges_height", "leader"]

BADGE = 15.0
"""Half the height of a number's circle [units]."""
PITCH = 2 * BADGE + 3
"""From one number to the next at least, where there is room for all."""
LEAD = 14.0
"""How far below the circles a line that goes aside has come to its moment."""
SIZE = 18.0


def badge_places(moments: Sequence[float], least: float, most: float) -> tuple[float, ...]:
    """Where numbers stand for moments in rising order [units], between two ends: apart, as near as can be.

    Numbers that are too near are a group with equal gaps about the mean of their moments (isotonic
    regression by pooling adjacent violators, from memory).
    """
    count = len(moments)
    pitch = min(PITCH, (most - least) / max(count - 1, 1))
    groups: list[list[float]] = []  # what each would like the first number of all to be at
    for index, moment in enumerate(moments):
        groups.append([moment - index * pitch])
        while len(groups) > 1 and _mean(groups[-2]) > _mean(groups[-1]):
            groups[-2:] = [groups[-2] + groups[-1]]
    starts = [_mean(group) for group in groups for _ in group]
    highest = most - (count - 1) * pitch
    return tuple(min(max(start, least), highest) + index * pitch for index, start in enumerate(starts))


def badges_height(moments: Sequence[float], places: Sequence[float]) -> float:
    """How much room the row of numbers takes with its lines [units]."""
    return (2 * BADGE + _lead(moments, places)) if moments else 0.0


def leader(moments: Sequence[float], places: Sequence[float], index: int, foot: float) -> tuple[Point, Point]:
    """From a number's circle to its moment at height ``foot``."""
    return (places[index], foot - _lead(moments, places)), (moments[index], foot)


def badge(
    svg: Svg, moments: Sequence[float], places: Sequence[float], index: int, foot: float, number: str
) -> None:
    """Draw a number whose line ends at ``foot``."""
    x, y = places[index], foot - _lead(moments, places) - BADGE
    svg.circle(x, y, BADGE, fill=palette.PAPER, stroke=palette.INK, stroke_width=2)
    shown, size = _text.fit(number, SIZE, 2 * BADGE - 6, "bold", _text.LEAST)
    svg.text(x, y + 0.334 * size, shown, size, anchor="middle", style="bold", fill=palette.INK)


def _lead(moments: Sequence[float], places: Sequence[float]) -> float:
    aside = any(abs(a - b) > 0.5 for a, b in zip(moments, places, strict=True))
    return LEAD if aside else 0.0


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values)
