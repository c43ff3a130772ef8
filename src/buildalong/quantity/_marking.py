"""Marking codes after IEC 60062:2016: colour bands, letter codes, capacitor figures, tolerance letters.

The tables follow secondary copies of the standard; what is from memory says so.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import NamedTuple

from buildalong.quantity._si import QuantityError, format_quantity

__all__ = [
    "COLOURS", "BandReading", "CodeReading", "bands_for", "capacitor_code", "letter_code",
    "read_backwards", "read_bands", "read_capacitor_code", "read_letter_code", "resistance_code",
    "tolerance_letter",
]  # fmt: skip

DIGITS = ("black", "brown", "red", "orange", "yellow", "green", "blue", "violet", "grey", "white")
"""Colours of the digits 0 to 9; as a multiplier, ten to that power."""

MULTIPLIERS = {**{colour: power for power, colour in enumerate(DIGITS)}, "gold": -1, "silver": -2, "pink": -3}
"""Colour of the multiplier band and its power of ten."""

TOLERANCES = {
    "silver": 0.1, "gold": 0.05, "red": 0.02, "brown": 0.01, "green": 0.005, "blue": 0.0025,
    "violet": 0.001, "orange": 0.0005, "yellow": 0.0002, "grey": 0.0001,
}  # fmt: skip
"""Colour of the tolerance band; grey is ±0.01 % since the 2016 edition (from memory), older ±0.05 %."""

COEFFICIENTS = {
    "black": 250e-6, "brown": 100e-6, "red": 50e-6, "yellow": 25e-6, "green": 20e-6,
    "orange": 15e-6, "blue": 10e-6, "violet": 5e-6, "grey": 1e-6,
}  # fmt: skip
"""Colour of the temperature coefficient band, in 1/K."""

COLOURS = (*DIGITS, "gold", "silver", "pink")
"""Every colour of a band."""

TOLERANCE_LETTERS = {
    "L": 0.0001, "P": 0.0002, "W": 0.0005, "B": 0.001, "C": 0.0025, "D": 0.005, "F": 0.01,
    "G": 0.02, "H": 0.03, "J": 0.05, "K": 0.1, "M": 0.2, "N": 0.3,
}  # fmt: skip
"""Letters of symmetrical tolerances; H and N from memory."""

UNEVEN_LETTERS = {"Q": (0.1, 0.3), "T": (0.1, 0.5), "S": (0.2, 0.5), "Z": (0.2, 0.8)}
"""Capacitor letters for minus and plus limits that differ (from memory)."""

SMALL_LETTERS = {"B": 0.1e-12, "C": 0.25e-12, "D": 0.5e-12, "F": 1e-12, "G": 2e-12}
"""Letters of absolute tolerances of capacitors under 10 pF, in farad (from memory)."""

_OHM_LETTERS = {"L": -3, "R": 0, "K": 3, "M": 6, "G": 9, "T": 12}
_FARAD_LETTERS = {"p": -12, "n": -9, "µ": -6, "m": -3, "F": 0}
_SPELLINGS = {"gray": "grey", "purple": "violet", "none": ""}
_LETTER_CODE = re.compile(r"(\d*)([LRKMGTpnµumFk])(\d*)([A-Z]?)", re.ASCII)
_FIGURE_CODE = re.compile(r"(?:(\d{3})|(\d{1,2})|(\d*R\d+))([A-Z]?)", re.ASCII)


class BandReading(NamedTuple):
    """What colour bands say: ``value`` [Ω], ``tolerance`` as a ratio, ``tcr`` [1/K] or None."""

    value: float
    tolerance: float
    tcr: float | None


class CodeReading(NamedTuple):
    """What a printed code says: ``value`` in ``unit``, and how far it may be off as ratios, if told."""

    value: float
    unit: str
    minus: float | None = None
    plus: float | None = None

    @property
    def tolerance(self) -> float | None:
        """The wider of the two limits."""
        return None if self.minus is None or self.plus is None else max(self.minus, self.plus)


def bands_for(
    value: float, tolerance: float = 0.05, bands: int = 4, ppm: float | None = None
) -> tuple[str, ...]:
    """Give the colours for a resistance [Ω] with its tolerance (ratio), first band first.

    3 bands mean two figures and ±20 %; 4 add the tolerance; 5 have three figures; 6 add the
    temperature coefficient ``ppm`` [ppm/K].  A zero-ohm link has one black band (from memory).
    Raises QuantityError.
    """
    if value == 0:
        return ("black",)
    if bands not in (3, 4, 5, 6):
        raise QuantityError(f"{bands} bands are not in use; legal are 3, 4, 5 and 6")
    figures = 2 if bands <= 4 else 3
    digits, power = _figures(value, figures, -3, 9, "Ω")
    colours = [DIGITS[int(digit)] for digit in digits]
    colours.append(next(c for c, p in MULTIPLIERS.items() if p == power))
    if bands == 3:
        if abs(tolerance - 0.2) > 1e-9:
            raise QuantityError("3 bands mean ±20 %; another tolerance needs 4 bands or more")
        return tuple(colours)
    colours.append(_colour_of(tolerance, TOLERANCES, "%", "tolerance"))
    if bands == 6:
        if ppm is None:
            raise QuantityError("6 bands need a temperature coefficient in ppm/K")
        colours.append(_colour_of(ppm * 1e-6, COEFFICIENTS, "ppm", "temperature coefficient"))
    elif ppm is not None:
        raise QuantityError(f"{bands} bands have no room for a temperature coefficient; use 6")
    return tuple(colours)


def read_bands(colours: Sequence[str]) -> BandReading:
    """Read colour bands, the first band first.  Raises QuantityError, which names the legal colours."""
    names = _tidy(colours)
    if names == ("black",):
        return BandReading(0.0, 0.0, None)
    if not 3 <= len(names) <= 6:
        raise QuantityError(
            f"{len(names)} bands cannot be read; a resistor has 3 to 6 (a link has one black)"
        )
    figures = 2 if len(names) <= 4 else 3
    digits = ""
    for place, name in enumerate(names[:figures], start=1):
        if name not in DIGITS:
            raise QuantityError(f"band {place} cannot be {name}; a digit is one of {', '.join(DIGITS)}")
        digits += str(DIGITS.index(name))
    value = float(f"{int(digits)}e{MULTIPLIERS[names[figures]]}")
    tolerance = 0.2 if len(names) == 3 else _meaning(names[figures + 1], TOLERANCES, "tolerance")
    tcr = _meaning(names[5], COEFFICIENTS, "temperature coefficient") if len(names) == 6 else None
    return BandReading(value, tolerance, tcr)


def read_backwards(colours: Sequence[str]) -> BandReading | None:
    """Read the bands from the wrong end, as a learner might; None where that makes no value."""
    try:
        return read_bands(tuple(reversed(_tidy(colours))))
    except QuantityError:
        return None


def tolerance_letter(tolerance: float) -> str:
    """Give the letter of a symmetrical tolerance (a ratio).  Raises QuantityError."""
    return _colour_of(tolerance, TOLERANCE_LETTERS, "%", "tolerance")


def letter_code(value: float, unit: str = "Ω", tolerance: float | None = None) -> str:
    """Write a value with a letter as decimal point: 4700 Ω is ``4K7``, 0.47 Ω ``R47``, 4.7 nF ``4n7``.

    Three figures at most.  Raises QuantityError.
    """
    letters = _letters_of(unit)
    _check_positive(value, unit)
    exact = Decimal(repr(float(value)))
    if len(exact.normalize().as_tuple().digits) > 3:
        raise QuantityError(
            f"{format_quantity(value, unit, 6)} has more than three figures for a letter code"
        )
    powers = sorted(letters.values())
    power = max((p for p in powers if exact.adjusted() >= p), default=powers[0])
    if unit == "Ω" and power == -3:
        power = 0 if exact.adjusted() >= -2 else -3
    whole, _, part = f"{exact.scaleb(-power).normalize():f}".partition(".")
    if len(part) > 3:
        raise QuantityError(f"{value:g} {unit} is too small for a letter code")
    letter = next(name for name, p in letters.items() if p == power)
    code = f"{whole if whole != '0' else ''}{letter}{part}"
    return code + (tolerance_letter(tolerance) if tolerance is not None else "")


def read_letter_code(text: str) -> CodeReading:
    """Read ``4K7``, ``330RG``, ``R22M`` (ohm) or ``4n7``, ``µ1`` (farad).  Raises QuantityError.

    The first letter marks the decimal point, one that follows is the tolerance; "22M" is 22 MΩ.
    """
    found = _LETTER_CODE.fullmatch(text.strip().replace("\u03bc", "µ")) if len(text) < 20 else None
    if not found or not (found[1] or found[3]):
        letters = ", ".join([*_OHM_LETTERS, *_FARAD_LETTERS])
        raise QuantityError(f"'{text[:20]}' is no letter code; write digits around one of {letters}")
    letter = {"u": "µ", "k": "K"}.get(found[2], found[2])
    unit = "Ω" if letter in _OHM_LETTERS else "F"
    power = _letters_of(unit)[letter]
    value = float(Decimal(f"{found[1] or '0'}.{found[3] or '0'}").scaleb(power))
    return CodeReading(value, unit, *_limits(found[4], value, unit))


def capacitor_code(value: float, tolerance: float | None = None) -> str:
    """Write a capacitance [F] as two figures and a power of ten in picofarad: 100 nF is ``104``.

    Under 10 pF the letter R marks the point (``4R7``).  Raises QuantityError.
    """
    return _figure_code(value, "F", 12) + (tolerance_letter(tolerance) if tolerance is not None else "")


def resistance_code(value: float) -> str:
    """Write a resistance [Ω] as two figures and a power of ten, as on trimmers: 10 kΩ is ``103``.

    Under 10 Ω the letter R marks the point (``4R7``).  Raises QuantityError.
    """
    return _figure_code(value, "Ω", 0)


def _figure_code(value: float, unit: str, shift: int) -> str:
    _check_positive(value, unit)
    number = Decimal(repr(float(value))).scaleb(shift)
    if number >= 10:
        digits, power = _figures(float(number), 2, 0, 7, "pF" if unit == "F" else unit)
        return f"{digits}{power}"
    if len(number.normalize().as_tuple().digits) > 2 or number < Decimal("0.1"):
        raise QuantityError(f"{format_quantity(value, unit, 6)} has no code of two figures")
    whole, _, part = f"{number.normalize():f}".partition(".")
    return f"{whole if whole != '0' else ''}R{part or '0'}"


def read_capacitor_code(text: str) -> CodeReading:
    """Read ``104``, ``103K``, ``4R7`` or plain picofarad (``47``).  Raises QuantityError.

    A third figure 8 means ×0.01 and 9 means ×0.1 (EIA use, from memory): ``479`` is 4.7 pF.
    """
    found = _FIGURE_CODE.fullmatch(text.strip()) if len(text) < 20 else None
    if not found:
        raise QuantityError(
            f"'{text[:20]}' is no capacitor code; write three figures such as 104, or 4R7 under 10 pF"
        )
    three, plain, point, letter = found.groups()
    if three:
        power = {"8": -2, "9": -1}.get(three[2], int(three[2]))
        picofarad = Decimal(int(three[:2])).scaleb(power)
    elif plain:
        picofarad = Decimal(plain)
    else:
        picofarad = Decimal("0" + point.replace("R", "."))
    if picofarad == 0:
        raise QuantityError(f"'{text}' is no capacitor code: it says 0 pF")
    value = float(picofarad.scaleb(-12))
    return CodeReading(value, "F", *_limits(letter, value, "F"))


def _tidy(colours: Iterable[str]) -> tuple[str, ...]:
    names = [_SPELLINGS.get(name.strip().lower(), name.strip().lower()) for name in colours]
    while names and names[-1] == "":
        names.pop()
    for name in names:
        if name not in COLOURS:
            raise QuantityError(f"'{name}' is no band colour; known are {', '.join(COLOURS)}")
    return tuple(names)


def _figures(value: float, figures: int, least: int, most: int, unit: str) -> tuple[str, int]:
    """Split a value into exactly ``figures`` digits and a power of ten within limits."""
    _check_positive(value, unit)
    exact = Decimal(repr(float(value)))
    power = max(exact.adjusted() - figures + 1, least)
    whole = exact.scaleb(-power)
    if whole != whole.to_integral_value():
        raise QuantityError(f"{value:g} {unit} has more figures than the {figures} that can be marked")
    if power > most:
        raise QuantityError(f"{value:g} {unit} is too large to be marked with {figures} figures")
    return f"{int(whole):0{figures}d}", power


def _check_positive(value: float, unit: str) -> None:
    if not 0 < value < 1e30:
        raise QuantityError(f"{value:g} {unit} cannot be marked: it must be greater than zero")


def _colour_of(number: float, table: dict[str, float], unit: str, what: str) -> str:
    for name, meaning in table.items():
        if abs(number - meaning) <= 1e-6 * meaning:
            return name
    legal = ", ".join(format_quantity(m, unit) for m in sorted(table.values()))
    raise QuantityError(f"{format_quantity(number, unit)} is no {what} with a mark; legal are {legal}")


def _meaning(colour: str, table: dict[str, float], what: str) -> float:
    if colour not in table:
        raise QuantityError(f"{colour} is no {what}; legal are {', '.join(table)}")
    return table[colour]


def _letters_of(unit: str) -> dict[str, int]:
    if unit not in ("Ω", "F"):
        raise QuantityError(f"a letter code is for Ω or F, not for '{unit}'")
    return _OHM_LETTERS if unit == "Ω" else _FARAD_LETTERS


def _limits(letter: str, value: float, unit: str) -> tuple[float | None, float | None]:
    if not letter:
        return None, None
    if unit == "F" and value < 9.999e-12 and letter in SMALL_LETTERS:
        ratio = SMALL_LETTERS[letter] / value
        return ratio, ratio
    if unit == "F" and letter in UNEVEN_LETTERS:
        return UNEVEN_LETTERS[letter]
    ratio = _meaning(letter, TOLERANCE_LETTERS, "tolerance letter")
    return ratio, ratio
