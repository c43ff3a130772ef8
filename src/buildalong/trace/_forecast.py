"""What each reading would show for each suspect."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

from buildalong.mistakes import Lab, Mistake, Outcome, Shown
from buildalong.trace._reading import Reading

__all__ = ["ANY", "SWINGS", "Forecast", "Span", "forecast_of", "span_of", "spans_at", "tolerance"]

Span = tuple[float, float]
ANY: tuple[Span, ...] = ()
"""A forecast that rules nothing out."""
SWINGS: Span = (1e9, 1e9)
"""Stands for a meter that does not rest."""
FIRM, ROUGH = 0.1, 0.06
"""A meter's reading may differ from the computed one by so many volts, and by this share (our choice)."""
RESTS, MOVES = 0.25, 0.6
"""A meter that moves by less [V] is said to rest, by more to swing; between them either may be said."""
COIL = 100.0
"""A continuity tester may take less than this [ohm] for a joint (from memory: 30 to 100 ohm)."""

T = TypeVar("T")
Keys = tuple[str, ...]


@dataclass(frozen=True)
class Forecast:
    """What a reading shows: for each suspect possible ``keys``, or possible ``spans`` of volts."""

    reading: Reading
    keys: tuple[Keys, ...] = ()
    spans: tuple[tuple[Span, ...], ...] = ()


def tolerance(volts: float) -> float:
    """How far a reading may lie from the computed one [V]."""
    return FIRM + ROUGH * abs(volts)


def forecast_of(reading: Reading, lab: Lab, suspects: Sequence[Outcome]) -> Forecast:
    """What the reading shows for each suspect."""
    if reading.kind == "volts":
        return Forecast(reading, spans=tuple(spans_at(reading, o.volts) for o in suspects))
    ways = {"look": _looked, "press": _pressed, "feel": _felt, "continuity": _joined}
    return Forecast(reading, keys=tuple(ways[reading.kind](reading, o, lab) for o in suspects))


def _looked(reading: Reading, outcome: Outcome, lab: Lab) -> Keys:
    mistake = outcome.mistake
    if not mistake.seen or reading.subject not in mistake.subjects:
        return ("right",)
    return (_sight(mistake, reading.subject, lab),)


def _sight(mistake: Mistake, subject: str, lab: Lab) -> str:
    """One key for all mistakes that look alike at this place."""
    if mistake.kind in ("swapped", "wrong-decade", "read-backwards", "code-misread"):
        there = next(s for s in mistake.subjects if s != subject) if mistake.kind == "swapped" else subject
        part = mistake.circuit.by_id.get(there)
        if part is not None:
            return f"{part.type.id} {part.value}"
    return mistake.id


def _pressed(reading: Reading, outcome: Outcome, lab: Lab) -> Keys:
    hit = outcome.symptom == "comes-and-goes" and reading.subject in outcome.mistake.subjects
    return ("yes",) if hit else ("no",)


def _felt(reading: Reading, outcome: Outcome, lab: Lab) -> Keys:
    if reading.subject in outcome.warm:
        return ("yes",)
    return ("yes", "no") if any(h.part == reading.subject for h in outcome.harms) else ("no",)


def _joined(reading: Reading, outcome: Outcome, lab: Lab) -> Keys:
    one, other = (outcome.joined.get(strip) for strip in reading.strips)
    if one is None or other is None:
        return ("no",)
    if one == other:
        return ("yes",)
    for part in outcome.mistake.circuit.parts:
        if {one, other} <= set(part.nets) and (
            part.type.family in ("motor", "buzzer", "switch")
            or (part.type.family in ("resistor", "potentiometer", "ldr") and (part.value or 0.0) < COIL)
        ):
            return ("yes", "no")
    return ("no",)


def spans_at(reading: Reading, readings: Sequence[Mapping[str, Shown]]) -> tuple[Span, ...]:
    """What a reading of volts may show where the strips show this in each window; ANY for no forecast."""
    volts = readings[reading.window]
    shown = []
    for strip in reading.strips:
        if strip not in volts:
            return span_of((0.0,))  # an open probe shows nothing
        shown.append(volts[strip])
    red, black = shown
    if not red or not black:
        return ANY
    out: list[Span] = []
    for one, other in _paired(red, black):
        out += span_of([a - b for a, b in _paired(one, other)])
    return tuple(dict.fromkeys(out))


def _paired(one: tuple[T, ...], other: tuple[T, ...]) -> list[tuple[T, T]]:
    """Pairs of what belongs together; what is there once belongs to all of the other."""
    size = max(len(one), len(other))
    return list(
        zip(one * (size if len(one) == 1 else 1), other * (size if len(other) == 1 else 1), strict=False)
    )


def span_of(values: Sequence[float]) -> tuple[Span, ...]:
    """What is said of a meter that shows these values one after the other."""
    low, high = min(values), max(values)
    steady = (low - tolerance(low), high + tolerance(high))
    if high - low < RESTS:
        return (steady,)
    return (SWINGS,) if high - low > MOVES else (steady, SWINGS)
