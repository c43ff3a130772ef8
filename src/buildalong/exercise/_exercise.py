"""One exercise: a board, and the question what is wrong with it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from buildalong.board import Layout
from buildalong.circuit import Circuit

__all__ = ["LEVELS", "Exercise", "Level"]

Level = Literal["easy", "middle", "hard"]
LEVELS: Mapping[Level, int] = {"easy": 2, "middle": 4, "hard": 10_000}
"""A level takes so many readings at most by the plan (our judgement)."""


@dataclass(frozen=True)
class Exercise:
    """A board with one mistake on it.

    ``symptom`` says what is seen; ``readings`` is how many the plan takes until it meets the mistake;
    ``hint`` is the plan's first reading, with what it shows where more follow;
    ``found`` are the readings on its way with their answers;
    ``answer`` says what is wrong, ``cure`` how it is mended, ``step`` where it happened (0 for none).
    """

    number: int
    mistake: str
    kind: str
    subjects: tuple[str, ...]
    symptom: str
    level: Level
    readings: int
    hint: str
    found: tuple[tuple[str, str], ...]
    answer: str
    cure: str
    step: int
    circuit: Circuit = field(repr=False)
    layout: Layout = field(repr=False)
