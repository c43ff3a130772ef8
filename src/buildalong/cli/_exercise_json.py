"""Exercises as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from buildalong.cli._json import SCHEMA, finding_object

if TYPE_CHECKING:
    from buildalong.exercise import Exercise
    from buildalong.finding import Finding

__all__ = ["exercise_document"]


def exercise_document(
    exercises: Sequence[Exercise], seed: int, files: Sequence[str], findings: Sequence[Finding]
) -> dict[str, Any]:
    """Every board with its symptom, its level, its hint and its answer."""
    return {
        "schema": SCHEMA,
        "seed": seed,
        "exercises": [
            {
                "number": each.number, "symptom": each.symptom, "level": each.level,
                "readings": each.readings, "hint": each.hint,
                "holes": {part: list(holes) for part, holes in each.layout.holes.items()},
                "wires": [[wire.start, wire.end, wire.colour] for wire in each.layout.wires],
                "answer": {
                    "mistake": each.mistake, "kind": each.kind, "subjects": list(each.subjects),
                    "what": each.answer, "cure": each.cure, "step": each.step,
                    "found": [list(pair) for pair in each.found],
                },
            }
            for each in exercises
        ],
        "files": list(files),
        "findings": [finding_object(finding) for finding in findings],
    }  # fmt: skip
