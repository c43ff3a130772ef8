"""Beside the formula: what the simulation of real parts gives, and why the two differ."""

from __future__ import annotations

import math

from buildalong.design._entry import SheetEntry
from buildalong.design._notes import (
    AGREES,
    CAUSE,
    CAUSE_FURTHER,
    DIFFERS,
    LEFT_OVER,
    LESS,
    MORE,
    SAME,
    SMALL_EFFECTS,
    UNEXPLAINED,
    UNKNOWN,
)
from buildalong.design._write import quantity_text

__all__ = ["explain"]

EQUAL = 0.005
"""Up to half a percent two results count as the same."""

GOOD = 0.05
"""A corrected formula within this of the simulation counts as the explanation."""


def percent(ratio: float) -> str:
    """A relative difference as a reader sees it, two significant figures."""
    share = abs(100.0 * ratio)
    return f"{round(share)} %" if share >= 9.5 else f"{float(f'{share:.1e}'):g} %"


def explain(entry: SheetEntry, measured: float) -> str:
    """Say what the simulation gives beside the ideal result, by how much it differs, and why.

    ``measured`` is in the unit of ``entry.result``; where it is not finite the sentence says that
    the run gave no such figure.
    """
    ideal, unit = entry.result.value, entry.result.unit
    if not math.isfinite(measured) or ideal == 0:
        return UNKNOWN.format(ideal=quantity_text(ideal, unit))
    off = measured / ideal - 1.0
    said = {"ideal": quantity_text(ideal, unit), "real": quantity_text(measured, unit)}
    if abs(off) < EQUAL:
        return AGREES.format(**said)
    out = [DIFFERS.format(**said, percent=percent(off), more=MORE if off > 0 else LESS)]
    before = ideal
    for index, correction in enumerate(entry.corrections):
        value = correction.result.value
        if not math.isfinite(value) or abs(value / before - 1.0) < EQUAL:
            continue
        template = CAUSE if index == 0 else CAUSE_FURTHER
        cause = correction.cause[0].upper() + correction.cause[1:]
        out.append(template.format(cause=cause, value=quantity_text(value, unit)))
        before = value
    rest = measured / before - 1.0
    if before == ideal:
        out.append(UNEXPLAINED.format(percent=percent(rest)) if abs(rest) > GOOD else SMALL_EFFECTS)
    elif abs(rest) < EQUAL:
        out.append(SAME)
    else:
        out.append(LEFT_OVER.format(percent=percent(rest), more=MORE if rest > 0 else LESS))
    return " ".join(out)
