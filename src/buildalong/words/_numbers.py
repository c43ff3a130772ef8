"""Numbers and units as the language of the moment writes them."""

from __future__ import annotations

import re

from buildalong.words._languages import NO_BREAK
from buildalong.words._speaking import current

__all__ = ["numeral", "tied", "tied_page", "with_unit"]

_NUMBER = re.compile(r"(?P<sign>[+\-−]?)(?P<whole>\d+)(?:\.(?P<rest>\d+))?(?P<power>e[+\-−]?\d+)?", re.ASCII)
_TIED = re.compile(
    r"(?<=\d) (?=(?:[GMkmµnp]?(?:V|A|Ω|F|Hz|W|s|m|H|J)|%|°C|lx|lm|min|h|cm)(?!\w)|\d{3}(?!\d))"
)
"""The space of "4 V" and of "100 000"."""
_NO_PROSE = re.compile(
    r"<(svg|style)\b.*?</\1>|<script(?! type=\"application/json\").*?</script>|<[^<>]*>", re.DOTALL
)


def tied(text: str, tie: str = NO_BREAK) -> str:
    """The text with every number on one line with its unit, and its thousands with each other."""
    return _TIED.sub(tie, text)


def tied_page(html: str) -> str:
    """The same for the words of a page of HTML; pictures, which break no lines, stay as they are."""
    out, done = [], 0
    for found in _NO_PROSE.finditer(html):
        out += [tied(html[done : found.start()]), found[0]]
        done = found.end()
    return "".join([*out, tied(html[done:])])


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
