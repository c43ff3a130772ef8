"""Reading and writing quantities.

Rules of writing after ISO 80000-1:2022 (from memory): a space between number and unit, upright
unit, prefix joined to the unit, a real minus sign, groups of three digits parted by a space, never
by a comma; dot or comma as the decimal sign.  The letter as decimal point ("4k7") is IEC 60062.

A value is written as the language of the moment writes it (:mod:`buildalong.words`); every form can be
read back, but for a comma with three figures behind it, which may be thousands: text that a program reads
back is written within :func:`buildalong.words.plainly`.

All arithmetic on what was written is exact (fractions), so that '22 µF' is the float 22e-6.
"""

from __future__ import annotations

import difflib
import math
import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from buildalong.words import with_unit

__all__ = [
    "Quantity",
    "QuantityError",
    "agrees",
    "format_like",
    "format_quantity",
    "parse",
    "parse_as",
    "to_figures",
]

PREFIXES = {"f": -15, "p": -12, "n": -9, "µ": -6, "m": -3, "": 0, "k": 3, "M": 6, "G": 9, "T": 12}
"""SI prefixes in use here and their powers of ten."""

UNITS = {
    "Ω": "Ω", "ohm": "Ω", "ohms": "Ω", "Ohm": "Ω", "R": "Ω",
    "F": "F", "s": "s", "V": "V", "A": "A", "W": "W", "Hz": "Hz", "H": "H", "J": "J",
    "m": "m", "lx": "lx", "N": "N", "cd": "cd", "K": "K", "°C": "°C", "C": "°C", "S": "S",
    "Ah": "Ah", "Wh": "Wh", "kg": "kg",
    "V/s": "V/s", "V/K": "V/K", "V/°C": "V/K", "K/W": "K/W", "°C/W": "K/W", "1/s": "1/s",
    "1/K": "1/K", "1/V": "1/V", "rpm": "rpm", "dB": "dB", "rad/s": "rad/s", "A²·s": "A²·s",
    "N·m": "N·m", "V·s": "V·s", "kg·m²": "kg·m²", "N·m·s": "N·m·s",
}  # fmt: skip
"""Unit spellings understood, and the one spelling used for each."""

SCALED = {
    "%": (Fraction(1, 100), ""), "ppm": (Fraction(1, 10**6), ""),
    "%/V": (Fraction(1, 100), "1/V"), "%/K": (Fraction(1, 100), "1/K"), "%/°C": (Fraction(1, 100), "1/K"),
    "ppm/K": (Fraction(1, 10**6), "1/K"), "ppm/°C": (Fraction(1, 10**6), "1/K"),
    "min": (Fraction(60), "s"), "h": (Fraction(3600), "s"), "d": (Fraction(86400), "s"),
    "g": (Fraction(1, 1000), "kg"), "cm": (Fraction(1, 100), "m"), "g·cm²": (Fraction(1, 10**7), "kg·m²"),
}  # fmt: skip
"""Units that are a fixed multiple of another: the factor and the coherent unit."""

_NO_PREFIX = frozenset({"", "°C", "K", "kg", "rpm", "dB", "1/s", "1/K", "1/V", "rad/s", "kg·m²"})
_LARGEST_IN_MICROFARAD = Decimal("0.1")
_MOST_CHARACTERS = 60
_SPACES = str.maketrans(dict.fromkeys("\u00a0\u2009\u202f", " "))
_NUMBER = r"[+-]?(?:\d{1,3}(?: \d{3})+(?:[.,]\d+)?|\d+(?:[.,]\d+)?|[.,]\d+)(?:[eE][+-]?\d{1,2})?"
_PLAIN = re.compile(rf"({_NUMBER})(?:\s*/\s*(\d{{1,9}}))?\s*(\S*)", re.ASCII)
_LETTER_POINT = re.compile(r"(\d*)([RkKMGTpnµum])(\d+)\s*(Ω|ohm|F|H)?", re.ASCII)
_ENGLISH_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2}(?:,\d{3})+", re.ASCII)
_ABSOLUTE_ZERO = Fraction("273.15")


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


@dataclass(frozen=True, slots=True)
class _Written:
    """A quantity as it was written: exact value, unit, size of the last digit, factor, suffix."""

    value: Fraction
    unit: str
    step: Fraction
    factor: Fraction
    suffix: str

    def number(self, text: str) -> float:
        try:
            return float(self.value)
        except OverflowError:
            raise QuantityError(f"'{text}' is too large to be a value") from None


def parse(text: str, unit: str = "") -> Quantity:
    """Read a quantity such as ``4k7``, ``22 µF``, ``0R47``, ``150 ms``, ``1/4 W`` or ``20 %``.

    ``unit`` is assumed where the text names none ("4k7" with unit "Ω"); it also decides what "m" and
    "K" alone mean.  Minutes, hours, grams and percent come out in s, kg and as a ratio.  Raises
    QuantityError.
    """
    written = _read(text, unit)
    return Quantity(written.number(text), written.unit)


def parse_as(text: str, unit: str) -> float:
    """Read a quantity that must be in ``unit``; give the number in that unit.

    Kelvin and degrees Celsius are converted into each other.  Raises QuantityError.
    """
    written = _read(text, unit)
    if written.unit == unit:
        return written.number(text)
    if (written.unit, unit) in (("K", "°C"), ("°C", "K")):
        return float(written.value + (_ABSOLUTE_ZERO if unit == "K" else -_ABSOLUTE_ZERO))
    wanted = unit or "a plain number or a percentage"
    raise QuantityError(f"'{_short(text)}' is in {written.unit or 'no unit'}, but {wanted} is expected")


def agrees(text: str, value: float, unit: str = "") -> bool:
    """Tell whether a written quantity agrees with a value, to the digits written.

    "0.5 s" stands for everything from 0.45 s to 0.55 s, "0.50 s" from 0.495 s to 0.505 s, "100 ms"
    from 99.5 ms to 100.5 ms.  ``value`` is in the coherent unit; where ``unit`` is given, a text in
    another unit does not agree.  A fraction ("1/4 W") stands for three figures.  Raises QuantityError.
    """
    written = _read(text, unit)
    if (unit and written.unit != unit) or not math.isfinite(value):
        return False
    return abs(Fraction(repr(value)) - written.value) <= written.step * Fraction(500_000_001, 10**9)


def format_like(value: float, text: str, unit: str = "") -> str:
    """Write a value with the unit, prefix and number of decimals that ``text`` is written with.

    ``format_like(0.4987, "0.5 s")`` is "0.5 s"; ``format_like(4750.0, "4k7")`` is "4.8 kΩ".
    """
    written = _read(text, unit)
    scaled = Fraction(repr(value)) / written.factor
    places = max(0, -_power_of(written.step / written.factor))
    number = (Decimal(scaled.numerator) / Decimal(scaled.denominator)).quantize(
        Decimal(1).scaleb(-places), ROUND_HALF_UP
    )
    return with_unit(_minus(f"{number:f}"), written.suffix)


def format_quantity(
    value: float, unit: str, figures: int = 3, *, zeros: bool = False, space: str = ""
) -> str:
    """Write a value with an SI prefix and at most ``figures`` significant figures.

    Half is rounded away from zero (ISO 80000-1 Annex B, rule B, from memory).  The unit "%" writes a
    ratio in percent and "ppm" in parts per million.  ``zeros`` keeps trailing zeros, so that the
    digits tell the precision; ``space`` stands before the unit in place of the language's own.
    """
    if not 1 <= figures <= 15:
        raise QuantityError(f"{figures} significant figures asked for; 1 to 15 can be written")
    if not math.isfinite(value):
        return with_unit(_minus(repr(value)), unit, space)
    if value == 0:
        return with_unit("0", unit, space)
    exact = Decimal(repr(float(value)))
    power = 0
    if unit in ("%", "ppm"):
        exact = exact.scaleb(2 if unit == "%" else 6)
    rounded = _round(exact, figures)
    if unit not in _NO_PREFIX and unit not in ("%", "ppm"):
        power = rounded.adjusted() // 3 * 3
        power = min(power, 0) if unit == "s" else power
        if unit == "Hz" and power < 0:  # the trade writes 0.37 Hz, never mHz
            power = 0
        if unit == "F" and power == -3:  # the trade writes 4700 µF and 0.47 F, never mF
            power = -6 if abs(rounded) < _LARGEST_IN_MICROFARAD else 0
        if not -15 <= power <= 12:
            power = 0
    prefix = next(p for p, number in PREFIXES.items() if number == power)
    return with_unit(_digits(rounded.scaleb(-power), zeros), f"{prefix}{unit}", space)


def to_figures(number: float, figures: int = 3) -> str:
    """A number without unit or prefix, with this many significant figures (1 to 6) and no zeros behind."""
    return _minus(f"{float(f'{number:.{figures}g}'):g}")


def _round(exact: Decimal, figures: int) -> Decimal:
    return exact.quantize(Decimal(1).scaleb(exact.adjusted() - figures + 1), ROUND_HALF_UP)


def _digits(number: Decimal, zeros: bool) -> str:
    if not -7 <= number.adjusted() <= 14:
        mantissa, exponent = f"{number.normalize():e}".split("e")
        return _minus(f"{mantissa}e{int(exponent)}")
    text = f"{number:f}"
    return _minus(text if zeros or "." not in text else text.rstrip("0").rstrip("."))


def _minus(text: str) -> str:
    return text.replace("-", "−", 1) if text.startswith("-") else text


def _short(text: str) -> str:
    return text if len(text) <= _MOST_CHARACTERS else text[:_MOST_CHARACTERS] + "…"


def _power_of(step: Fraction) -> int:
    """Give the power of ten of a step below one; a step that is none counts as its next lower one."""
    power = 0
    while step < 1 and power > -40:
        step *= 10
        power -= 1
    return power


def _read(text: str, unit: str) -> _Written:
    if len(text) > _MOST_CHARACTERS:
        raise QuantityError(f"'{_short(text)}' is too long to be a quantity such as '22 µF' or '4k7'")
    normal = (
        text.translate(_SPACES).strip().replace("\u03bc", "µ").replace("\u2126", "Ω").replace("\u2212", "-")
    )
    found = _LETTER_POINT.fullmatch(normal)
    if found:
        return _letter_point(found, unit, text)
    found = _PLAIN.fullmatch(normal)
    if not found:
        raise QuantityError(f"'{_short(text)}' is not a number with a unit, such as '22 µF' or '4k7'")
    digits = found[1]
    if _ENGLISH_THOUSANDS.fullmatch(digits):
        plain, point = digits.replace(",", ""), digits.replace(",", ".", 1)
        raise QuantityError(f"'{text}' can be read in two ways: write {plain} or {point}")
    exact = Decimal(digits.replace(" ", "").replace(",", "."))
    number = Fraction(exact)
    step = Fraction(10) ** int(exact.as_tuple().exponent)
    if found[2]:
        if int(found[2]) == 0:
            raise QuantityError(f"'{text}' divides by zero")
        number /= int(found[2])
        step = abs(number) / 200 if number else step
    factor, real_unit, suffix = _suffix(found[3], unit, text)
    return _Written(number * factor, real_unit, step * factor, factor, suffix)


def _letter_point(found: re.Match[str], unit: str, text: str) -> _Written:
    whole, letter, fraction, named = found.groups()
    if letter == "R" and unit not in ("", "Ω"):
        raise QuantityError(f"'{text}' is a resistance, but {unit} is expected here")
    prefix = "" if letter == "R" else _prefix(letter) or ""
    factor = Fraction(10) ** PREFIXES[prefix]
    real_unit = UNITS[named] if named else ("Ω" if letter == "R" else unit)
    number = Fraction(Decimal(f"{whole or '0'}.{fraction}"))
    step = Fraction(1, 10 ** len(fraction))
    return _Written(number * factor, real_unit, step * factor, factor, f"{prefix}{real_unit}")


def _prefix(text: str) -> str | None:
    text = {"u": "µ", "K": "k"}.get(text, text)
    return text if text in PREFIXES else None


def _suffix(suffix: str, unit: str, text: str) -> tuple[Fraction, str, str]:
    """Give factor, coherent unit and tidy spelling of what stands behind a number."""
    if suffix == "":
        return Fraction(1), unit, unit
    if suffix in SCALED:
        factor, real_unit = SCALED[suffix]
        return factor, real_unit, suffix
    if suffix in UNITS and not (suffix in ("m", "K") and unit not in ("", suffix, "°C")):
        return Fraction(1), UNITS[suffix], UNITS[suffix]
    prefix = _prefix(suffix[0])
    if prefix is not None and len(suffix) == 1:
        return Fraction(10) ** PREFIXES[prefix], unit, f"{prefix}{unit}"
    if prefix is not None and suffix[1:] in UNITS and UNITS[suffix[1:]] not in _NO_PREFIX:
        named = UNITS[suffix[1:]]
        return Fraction(10) ** PREFIXES[prefix], named, f"{prefix}{named}"
    raise QuantityError(f"'{text}' ends in '{suffix}', which is no unit known here{_nearest_unit(suffix)}")


def _nearest_unit(suffix: str) -> str:
    known = [*UNITS, *SCALED]
    full = known + [
        p + u for p in ("p", "n", "µ", "m", "k", "M") for u in ("Ω", "F", "s", "V", "A", "W", "Hz")
    ]
    lowered = suffix.lower().replace("u", "µ")
    close = [name for name in full if name.lower() == lowered]
    close = close or difflib.get_close_matches(suffix, full, n=2, cutoff=0.6)
    return f"; did you mean {' or '.join(repr(name) for name in close[:3])}?" if close else ""
