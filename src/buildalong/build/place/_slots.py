"""What a model of strips is made of: strips of nets, and how parts lie or stand in them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from buildalong.build.place._frames import Frame
from buildalong.circuit import Part

__all__ = ["HOLES", "Legs", "Lying", "Slot", "Standing"]

HOLES = 5


@dataclass
class Slot:
    """One strip of a net: a place to be found, or a rail; perhaps not there at all."""

    name: str
    net: int
    present: Any
    place: Any = None
    left: Any = None
    """Whether it lies left of the trench."""
    rail: str = ""
    part: str = ""
    """The straddling part whose legs it holds, where it does."""
    at: tuple[int, int] = (0, 0)
    """Side and row of those legs in the part's first turn."""
    own: int = 0
    """How many of them."""
    joint: str = ""
    """Strips with the same joint are joined inside their part."""
    legs: list[Any] = field(default_factory=list)
    ends: Any = None
    capacity: int = HOLES


@dataclass
class Lying:
    """Where a two-legged part lies: along a column, across the trench, or between a row and a rail."""

    part: Part
    start: Any
    reach: Any
    lies: Any
    across: tuple[Any, Any] | None = None
    """(whether, the strip's place on the left); None where it cannot lie so."""
    to_rail: list[tuple[Any, Any, str]] = field(default_factory=list)
    """(whether, the place of the strip, the rail)."""


@dataclass
class Standing:
    """Where a stiff part stands: its upper row, its turns, its legs."""

    parts: Sequence[Part]
    frame: Frame
    top: Any
    turns: list[Any]


@dataclass
class Legs:
    """The legs of a part that choose among the strips of their nets."""

    part: Part
    nets: list[int]
    ids: list[tuple[str, int]]
    choice: list[dict[str, Any]]
