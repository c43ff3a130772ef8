"""Text as it is spoken: numbers and units in words, references and holes letter by letter."""

from __future__ import annotations

import re

from buildalong.film._numbers import UNITS, cardinal, digit_by_digit, number_words, unit_words
from buildalong.words import language

__all__ = ["spoken"]

_UNIT = "|".join(sorted(map(re.escape, UNITS), key=lambda unit: (-len(unit), unit)))
_SIGNS = {"−": "minus ", "-": "minus ", "+": "plus ", "±": "plus or minus "}
_FRACTIONS = {"1/2": "one half", "1/3": "one third", "2/3": "two thirds", "1/4": "one quarter",
              "3/4": "three quarters"}  # fmt: skip
_CELLS = {"AA": "double A", "AAA": "triple A"}
_SYMBOLS = {
    "×": " times ", "=": " equals ", "≈": " about ", "<": " less than ", ">": " more than ",
    "≤": " at most ", "≥": " at least ", "&": " and ", "→": " to ", "±": " plus or minus ",
}  # fmt: skip
CODE = 3
"""A whole number of so many digits without a unit is a marking or a type, and is read digit by digit, unless
it is round or counts something: 400 tie-points."""
_NOUNS = (
    "resistor",
    "capacitor",
    "electrolytic",
    "ceramic",
    "film",
    "potentiometer",
    "trimmer",
    "block",
    "supply",
    "lead",
)
"""A unit before one of these stands in the singular (NIST SP 811, 7.6, from memory)."""

_TOKEN = re.compile(
    rf"""
      (?P<fraction>(?<![\w/])[1-3]/[2-4](?![\w/]))
    | (?P<quantity>(?<![\w.])(?P<sign>[−+±]|(?<=\s)-|^-)?(?P<number>\d{{1,15}}(?:[.,]\d{{1,15}})?)
        (?:[\s\u00a0\u202f]?(?P<unit>{_UNIT})(?![\w]))?(?!\w))
    | (?P<span>(?<=\d)[–-](?=\d))
    | (?P<rail>(?<!\w)(?P<side>[LR])(?P<pole>[+−-])(?P<row>\d{{1,3}})(?!\w))
    | (?P<code>(?<!\w)(?=\w*\d)(?=\w*[A-Za-z])[A-Za-z0-9]{{1,24}}(?!\w))
    | (?P<cells>(?<!\w)A{{2,3}}(?!\w))
    | (?P<symbol>[×=≈<>≤≥&→±])
    """,
    re.VERBOSE,
)


def spoken(text: str) -> str:
    """What a narrator says for this text, told in English; in other languages the text itself.

    "R1 is 56 kΩ" becomes "R one is fifty-six kiloohms", "hole a13" "hole a thirteen", "NE555" "N E five
    five five".  Whatever is not a number, a unit or a reference stays as it is.
    """
    if language() != "en":
        return text
    said = _TOKEN.sub(_say, text.replace("\u00a0", " ").replace("\u202f", " "))
    return re.sub(r"\s+", " ", said).strip()


def _say(found: re.Match[str]) -> str:
    kind = found.lastgroup
    if found["fraction"]:
        return _FRACTIONS.get(found[0], f"{found[0][0]} over {found[0][2]}")
    if found["quantity"]:
        return _quantity(found)
    if found["span"]:
        return " to "
    if found["rail"]:
        side = {"L": "left", "R": "right"}[found["side"]]
        return f"{side} {_SIGNS[found['pole']]}{cardinal(int(found['row']))}"
    if found["code"]:
        return _code(found["code"])
    if found["cells"]:
        return _CELLS[found[0]]
    assert kind == "symbol"
    return _SYMBOLS[found[0]]


def _quantity(found: re.Match[str]) -> str:
    sign, number, unit = _SIGNS.get(found["sign"] or "", ""), found["number"], found["unit"]
    if unit:
        noun = found.string[found.end() :].lstrip(" ").startswith(_NOUNS)
        return f"{sign}{number_words(number)} {unit_words(unit, number, noun)}"
    quoted = found.string[: found.start()].endswith(('"', "“"))
    if number.isdigit() and len(number) >= CODE and (quoted or number[-1] != "0"):
        return sign + digit_by_digit(number)
    return sign + number_words(number)


def _code(word: str) -> str:
    """Letters one by one, digits as a number where they are at most two: "R1", "DS12", "a13", "1N4148"."""
    out = []
    for bit in re.findall(r"[A-Za-z]+|\d+", word):
        if bit.isdigit():
            out.append(cardinal(int(bit)) if len(bit) < CODE else digit_by_digit(bit))
        else:
            out.append(" ".join(bit) if bit.isupper() or len(bit) == 1 else bit)
    return " ".join(out)
