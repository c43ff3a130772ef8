"""Reading and writing quantities.

Rules of writing after ISO 80000-1:2022 (from memory): a space between number and unit, upright
unit, prefix joined to the unit.  The letter as decimal point ("4k7") is IEC 60062.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

__all__ = ["Quantity", "QuantityError", "format_quantity", "parse", "parse_as"]

PREFIXES = {"p": -12, "n": -9, "µ": -6, "m": -3, "": 0, "k": 3, "M": 6, "G": 9}
"""SI prefixes in use here and their powers of ten."""

UNITS = {
    "Ω": "Ω", "ohm": "Ω", "ohms": "Ω", "R": "Ω",
    "F": "F", "s": "s", "V": "V", "A": "A", "W": "W", "Hz": "Hz", "H": "H", "J": "J",
    "m": "m", "lx": "lx", "N": "N", "cd": "cd", "K": "K", "°C": "°C", "C": "C", "S": "S",
    "Ah": "Ah", "Wh": "Wh", "kg": "kg", "g": "g",
    "V/s": "V/s", "1/s": "1/s", "1/K": "1/K", "rpm": "rpm", "dB": "dB", "rad/s": "rad/s",
    "N·m": "N·m", "V·s": "V·s", "kg·m²": "kg·m²", "N·m·s": "N·m·s",
}  # fmt: skip
"""Unit spellings understood, and the one spelling used for each."""

_SCALED = {
    "%": (0.01, ""), "ppm": (1e-6, ""), "ppm/K": (1e-6, "1/K"), "ppm/°C": (1e-6, "1/K"),
    "min": (60.0, "s"), "h": (3600.0, "s"),
}  # fmt: skip

_NUMBER = r"[+\-−]?(?:\d+(?:[.,]\d+)?|[.,]\d+)(?:[eE][+\-−]?\d+)?"
_PLAIN = re.compile(rf"^\s*({_NUMBER})(?:\s*/\s*(\d+))?\s*(\S*)\s*$")
_LETTER_POINT = re.compile(r"^\s*(\d*)(R|k|K|M|G|p|n|µ|u|m)(\d+)\s*(Ω|ohm|F|H)?\s*$")


class QuantityError(ValueError):
    """A text is not a quantity, or not one in the unit wanted; the message says what was expected."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with its SI unit: ``value`` in the coherent unit named by ``unit`` ("" for a ratio)."""

    value: float
    unit: str = ""

    def __str__(self) -> str:
        """Write it for a reader, with three significant figures at most."""
        return format_quantity(self.value, self.unit)


def _prefix_power(text: str) -> int | None:
    text = {"u": "µ", "μ": "µ", "K": "k"}.get(text, text)
    return PREFIXES.get(text)


def _scale(value: float, power: int) -> float:
    """Scale by a power of ten the exactly rounded way, so that '22 nF' is the float 22e-9."""
    return float(f"{value!r}e{power}") if "e" not in repr(value) else value * 10.0**power


def parse(text: str, unit: str = "") -> Quantity:
    """Read a quantity such as ``4k7``, ``22 µF``, ``0R47``, ``150 ms``, ``1/4 W`` or ``20 %``.

    ``unit`` is assumed where the text names none ("4k7" with unit "Ω").  Raises QuantityError.
    """
    normal = text.strip().replace("μ", "µ").replace("Ω", "Ω").replace("−", "-")
    found = _LETTER_POINT.match(normal)
    if found:
        whole, letter, fraction, named = found.groups()
        power = 0 if letter == "R" else _prefix_power(letter)
        if power is None:  # pragma: no cover - the pattern allows prefixes only
            raise QuantityError(f"'{text}' has no known prefix")
        if letter == "R" and unit not in ("", "Ω"):
            raise QuantityError(f"'{text}' is a resistance, but {unit} is expected here")
        real_unit = UNITS[named] if named else ("Ω" if letter == "R" else unit)
        return Quantity(_scale(float(f"{whole or '0'}.{fraction}"), power), real_unit)
    found = _PLAIN.match(normal)
    if not found:
        raise QuantityError(f"'{text}' is not a number with a unit, such as '22 µF' or '4k7'")
    number = float(found[1].replace(",", "."))
    if found[2]:
        if int(found[2]) == 0:
            raise QuantityError(f"'{text}' divides by zero")
        number /= int(found[2])
    if not math.isfinite(number):
        raise QuantityError(f"'{text}' is too large to be a value")
    return _with_unit(number, found[3], unit, text)


def _with_unit(number: float, suffix: str, unit: str, text: str) -> Quantity:
    if suffix == "":
        return Quantity(number, unit)
    if suffix in _SCALED:
        factor, real_unit = _SCALED[suffix]
        return Quantity(number * factor if factor >= 1 else number / round(1 / factor), real_unit)
    if suffix in UNITS and not (suffix == "m" and unit not in ("", "m")):
        return Quantity(number, UNITS[suffix])
    power = _prefix_power(suffix[0])
    if power is not None and suffix[1:] in UNITS:
        return Quantity(_scale(number, power), UNITS[suffix[1:]])
    if power is not None and len(suffix) == 1:
        return Quantity(_scale(number, power), unit)
    raise QuantityError(f"'{text}' ends in '{suffix}', which is no unit known here")


def parse_as(text: str, unit: str) -> float:
    """Read a quantity that must be in ``unit``; give the number in that unit.  Raises QuantityError."""
    quantity = parse(text, unit)
    if quantity.unit != unit:
        wanted = unit or "a plain number or a percentage"
        raise QuantityError(f"'{text}' is in {quantity.unit or 'no unit'}, but {wanted} is expected")
    return quantity.value


def format_quantity(value: float, unit: str, figures: int = 3) -> str:
    """Write a value with an SI prefix and ``figures`` significant figures, trailing zeros dropped."""
    if value == 0 or not math.isfinite(value):
        return f"{value:g} {unit}".strip()
    rounded = float(f"{value:.{figures - 1}e}")
    if unit == "":
        return f"{rounded:.12g}"
    exponent = math.floor(math.log10(abs(rounded)) / 3 + 1e-12) * 3
    exponent = min(max(exponent, -12), 9 if unit in ("Ω", "Hz") else 0 if unit in ("s", "°C") else 9)
    prefix = next(p for p, power in PREFIXES.items() if power == exponent)
    number = f"{rounded / 10.0**exponent:.12g}"
    return f"{number} {prefix}{unit}"
