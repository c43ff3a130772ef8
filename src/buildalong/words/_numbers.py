"""Numbers and units as the language of the moment writes them."""

from __future__ import annotations

import re

from buildalong.words._speaking import current

__all__ = ["numeral", "tied", "with_unit"]

_NUMBER = re.compile(r"(?P<sign>[+\-−]?)(?P<whole>\d+)(?:\.(?P<rest>\d+))?(?P<power>e[+\-−]?\d+)?", re.ASCII)
_UNIT = re.compile(r"(?<=\d) (?=(?:[GMkmµnp]?(?:V|A|Ω|F|Hz|W|s|H|m|lx|J)|%|°C|min|h|cm)(?!\w))")


def tied(text: str, tie: str = "\u00a0") -> str:
    """A text in which no number is parted from its unit at the end of a line."""
    return _UNIT.sub(tie, text)


def numeral(number: str) -> str:
    """A number that is written as the source writes it ("−12.5"), as the language writes it.

    Text that is no number comes back as it is.
    """
    tongue = current()
    found = _NUMBER.fullmatch(number)
    if tongue.decimal == "." or found is None:
        return number
    whole = found["whole"]
    if tongue.grouped and len(whole) >= tongue.grouped:
        whole = re.sub(r"(?<=\d)(?=(?:\d{3})+$)", tongue.group, whole)
    rest = f"{tongue.decimal}{found['rest']}" if found["rest"] else ""
    return f"{found['sign']}{whole}{rest}{found['power'] or ''}"


def with_unit(number: str, unit: str, space: str = "") -> str:
    """A number, written as the source writes it, with its unit; ``space`` in place of the language's own."""
    if not unit:
        return numeral(number)
    return f"{numeral(number)}{space or current().space}{unit}"
