"""Other values for some parts of a lesson, with which its promises hold."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from buildalong.bench._messages import MOST_FREE

if TYPE_CHECKING:
    from buildalong.circuit import Part
    from buildalong.lesson import Lesson

__all__ = ["other_values"]

AROUND = 30.0
"""A value is looked for between a thirtieth and the thirtyfold of what stands in the lesson."""
SHOWN = 8
"""Rows that are shown."""


def other_values(lesson: Lesson, parts: Sequence[str], tell: Callable[[float, str], None]) -> dict[str, Any]:
    """A sheet with the best values for these parts, for the first two resistors where none are named.

    Raises ValueError where there is nothing to choose, LookupError for a part that has no value.
    """
    from buildalong.choose import Free, choose, from_series
    from buildalong.lesson import targets_of
    from buildalong.quantity import format_quantity

    valued = {p.id: p for p in lesson.circuit.parts if p.type.value is not None and p.value}
    wanted = list(parts) or [p.id for p in valued.values() if p.type.family == "resistor"][:2]
    strange = [name for name in wanted if name not in valued]
    if strange:
        raise LookupError(f"{strange[0]} has no value that could be chosen.")
    if not wanted:
        raise ValueError("No part has a value that could be chosen.")

    def free(part: Part) -> Free:
        value = part.value or 1.0
        return Free(part, from_series(part, "", value / AROUND, value * AROUND))

    looked = [free(valued[name]) for name in wanted]
    targets = targets_of(lesson)
    found = choose(lesson.circuit, lesson.trials, targets, looked, shown=SHOWN, pairs=False, progress=tell)
    shown = {f.part.id: f for f in found.free}
    rows = [
        [
            *(shown[name].shown(candidate) for name, candidate in option.candidates.items()),
            *(format_quantity(v, t.wanted.unit or "%", 3) for t, v in option.measured(found.targets)),
            "keeps all" if option.kept else "misses",
        ]
        for option in found.options
    ]
    now = {name: format_quantity(valued[name].value or 0, shown[name].unit, 4) for name in wanted}
    edits = [
        [
            {"do": "set-value", "part": name, "value": shown[name].shown(candidate)}
            for name, candidate in option.candidates.items()
            if shown[name].shown(candidate) != now[name]
        ]
        for option in found.options
    ]
    kept = any(option.kept for option in found.options)
    what = "that keep the promises" if kept else "that come nearest to the promises; none of them keeps all"
    return {
        "lines": [f"Values for {' and '.join(wanted)} {what}, best first. Everything else stays as it is."],
        "head": [*wanted, *(str(t) for t in found.targets), ""], "rows": rows, "edits": edits,
        "free": list(valued), "parts": wanted, "most": MOST_FREE,
    }  # fmt: skip
