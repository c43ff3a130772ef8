"""Numbers and units as they are read out in English."""

from __future__ import annotations

__all__ = ["UNITS", "cardinal", "digit_by_digit", "number_words", "unit_words"]

_SMALL = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
]
_TENS = [".", ".", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]
_LARGE = ((10**9, "billion"), (10**6, "million"), (1000, "thousand"))
MOST = 10**12
"""From here on a number is read digit by digit."""

_PREFIXES = {
    "G": "giga",
    "M": "mega",
    "k": "kilo",
    "": "",
    "m": "milli",
    "µ": "micro",
    "n": "nano",
    "p": "pico",
}
_NAMES = {
    "V": ("volt", "volts"), "A": ("ampere", "amperes"), "Ω": ("ohm", "ohms"), "F": ("farad", "farads"),
    "H": ("henry", "henries"), "Hz": ("hertz", "hertz"), "W": ("watt", "watts"), "J": ("joule", "joules"),
    "s": ("second", "seconds"), "m": ("metre", "metres"), "Ah": ("ampere-hour", "ampere-hours"),
}  # fmt: skip
"""Names of units after the SI Brochure (9th edition), which take prefixes."""
UNITS: dict[str, tuple[str, str]] = {
    f"{prefix}{unit}": (f"{word}{one}", f"{word}{many}")
    for prefix, word in _PREFIXES.items()
    for unit, (one, many) in _NAMES.items()
}
UNITS |= {
    "kΩ": ("kilohm", "kilohms"), "MΩ": ("megohm", "megohms"), "GΩ": ("gigaohm", "gigaohms"),
    "%": ("per cent", "per cent"), "°C": ("degree Celsius", "degrees Celsius"), "°": ("degree", "degrees"),
    "lx": ("lux", "lux"), "min": ("minute", "minutes"), "h": ("hour", "hours"), "K": ("kelvin", "kelvins"),
    "cm": ("centimetre", "centimetres"), "g": ("gram", "grams"), "kg": ("kilogram", "kilograms"),
    "dB": ("decibel", "decibels"),
}  # fmt: skip
"""Unit symbol -> its name for one and for other numbers (kilohm, megohm: NIST SP 811, 9.3; from memory)."""


def cardinal(number: int) -> str:
    """A whole number from 0 in words: 330 is "three hundred and thirty"."""
    if number >= MOST:
        return digit_by_digit(str(number))
    if number < 20:
        return _SMALL[number]
    if number < 100:
        tens, rest = divmod(number, 10)
        return _TENS[tens] + (f"-{_SMALL[rest]}" if rest else "")
    if number < 1000:
        hundreds, rest = divmod(number, 100)
        return f"{_SMALL[hundreds]} hundred" + (f" and {cardinal(rest)}" if rest else "")
    size, name = next((size, name) for size, name in _LARGE if number >= size)
    count, rest = divmod(number, size)
    join = " " if rest >= 100 else " and "
    return f"{cardinal(count)} {name}" + (f"{join}{cardinal(rest)}" if rest else "")


def digit_by_digit(digits: str) -> str:
    """Each digit by itself: "103" is "one zero three"."""
    return " ".join(_SMALL[int(digit)] for digit in digits)


def number_words(text: str) -> str:
    """A written number without sign, point or comma before its decimals: 0.48 is "zero point four eight"."""
    whole, point, decimals = text.replace(",", ".").partition(".")
    said = cardinal(int(whole))
    return f"{said} point {digit_by_digit(decimals)}" if point and decimals else said


def unit_words(unit: str, number: str, before_noun: bool = False) -> str:
    """The name of a unit after a written number, as "a 56 kilohm resistor"; raises KeyError for no unit."""
    one, many = UNITS[unit]
    return one if number == "1" or before_noun else many
