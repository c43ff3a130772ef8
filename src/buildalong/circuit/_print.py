"""What is printed or painted on a part: colour bands, a code, a type number."""

from __future__ import annotations

from buildalong.circuit._circuit import Part
from buildalong.quantity import (
    QuantityError,
    bands_for,
    capacitor_code,
    format_quantity,
    parse_as,
    resistance_code,
)
from buildalong.words import plainly

__all__ = ["bands_on", "printed_on"]

_FIVE_BANDS_FROM = 0.02
"""Tolerance at and below which resistors bear three figures, hence five bands (IEC 60062, second-hand)."""


def bands_on(part: Part) -> tuple[str, ...]:
    """Give the colour bands of a part, first band first; empty where it has none or none can say it."""
    if part.type.marking.kind != "bands" or part.value is None or part.type.value is None:
        return ()
    tolerance = part.tolerance
    if tolerance is None:
        tolerance = parse_as(part.type.value.tolerance, "")
    try:
        return bands_for(part.value, tolerance, 5 if tolerance <= _FIVE_BANDS_FROM else 4)
    except QuantityError:
        return ()


def printed_on(part: Part) -> str:
    """Give the text printed on a part, such as ``104`` or ``NE555``; empty where there is none."""
    marking = part.type.marking
    if marking.kind in ("none", "bands"):
        return ""
    with plainly():  # no reader's language changes what the maker printed
        fields = _fields(part)
    text = marking.text
    for name, shown in fields.items():
        text = text.replace(name, shown)
    return " ".join(text.split())


def _fields(part: Part) -> dict[str, str]:
    """What stands in the places of a marking."""
    fields = {"{value}": "", "{code}": "", "{rated}": ""}
    if part.value is not None and part.type.value is not None:
        unit = part.type.value.unit
        fields["{value}"] = format_quantity(part.value, unit)
        fields["{code}"] = _code(part.value, unit)
    rated = part.setting("rated", _usual_rating(part))
    fields["{rated}"] = format_quantity(rated, "V") if rated else ""
    return fields


def _usual_rating(part: Part) -> float:
    if "rated" in part.type.settings:
        return part.type.settings["rated"].value
    return part.type.ratings["voltage"].value if "voltage" in part.type.ratings else 0.0


def _code(value: float, unit: str) -> str:
    try:
        return {"F": capacitor_code, "Ω": resistance_code}[unit](value)
    except (KeyError, QuantityError):
        return format_quantity(value, unit)
