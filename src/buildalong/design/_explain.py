"""Beside the formula: what the simulation of real parts gives, and why the two differ."""

from __future__ import annotations

import math

from buildalong.design import _sheet_words as words
from buildalong.design._entry import SheetEntry
from buildalong.design._write import quantity_text
from buildalong.quantity import to_figures
from buildalong.words import capital, say, with_unit

__all__ = ["explain"]

EQUAL = 0.005
"""Up to half a percent two results count as the same."""

GOOD = 0.05
"""A corrected formula within this of the simulation counts as the explanation."""


def percent(ratio: float) -> str:
    """A relative difference as a reader sees it: whole, below ten to a tenth, near nothing to one figure."""
    share = abs(100.0 * ratio)
    if share < 0.095:
        return with_unit(to_figures(share, 1), "%")
    return with_unit(f"{round(share, 0 if share >= 9.95 else 1):g}", "%")


def explain(entry: SheetEntry, measured: float) -> str:
    """Say what the simulation gives beside the ideal result, by how much it differs, and why.

    ``measured`` is in the unit of ``entry.result``; where it is not finite the sentence says that
    the run gave no such figure.
    """
    ideal, unit = entry.result.value, entry.result.unit
    if not math.isfinite(measured) or ideal == 0:
        return say(words.UNKNOWN, ideal=quantity_text(ideal, unit))
    off = measured / ideal - 1.0
    said = {"ideal": quantity_text(ideal, unit), "real": quantity_text(measured, unit)}
    if abs(off) < EQUAL:
        return say(words.AGREES, **said)
    out = [say(words.DIFFERS[off > 0], **said, percent=percent(off))]
    before = ideal
    for index, correction in enumerate(entry.corrections):
        value = correction.result.value
        if not math.isfinite(value) or abs(value / before - 1.0) < EQUAL:
            continue
        message = words.CAUSE if index == 0 else words.CAUSE_FURTHER
        out.append(say(message, cause=capital(correction.cause), value=quantity_text(value, unit)))
        before = value
    rest = measured / before - 1.0
    if before == ideal:
        far = abs(rest) > GOOD
        out.append(say(words.UNEXPLAINED, percent=percent(rest)) if far else say(words.SMALL_EFFECTS))
    elif abs(rest) < EQUAL:
        out.append(say(words.SAME))
    else:
        out.append(say(words.LEFT_OVER[rest > 0], percent=percent(rest)))
    return " ".join(out)
