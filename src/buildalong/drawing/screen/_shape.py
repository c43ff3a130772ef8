"""The shapes of a film and where things stand in them, in pixels."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

__all__ = ["EXHIBIT", "SHAPES", "TALL", "WIDE", "Rect", "Shape"]


@dataclass(frozen=True, slots=True)
class Rect:
    """A rectangle."""

    x: float
    y: float
    width: float
    height: float


EXHIBIT = (1000, 880)
"""Width and height of what is shown beside the words: the same in every shape, so it is drawn once."""


@dataclass(frozen=True, slots=True)
class Shape:
    """A frame: its size, where the exhibit stands, where the heading and the words stand.

    The strip below ``words`` and the exhibit stays free: players lay captions there.
    """

    name: str
    width: int
    height: int
    exhibit: Rect
    heading: Rect
    words: Rect | None
    """None where the words follow the heading."""


WIDE = Shape(
    "wide", 1920, 1080, Rect(860, 60, *EXHIBIT), Rect(70, 76, 720, 864), None
)  # fmt: skip
TALL = Shape(
    "tall", 1080, 1920, Rect(40, 400, *EXHIBIT), Rect(60, 96, 960, 280), Rect(60, 1320, 960, 370)
)  # fmt: skip
SHAPES: Mapping[str, Shape] = {shape.name: shape for shape in (WIDE, TALL)}
