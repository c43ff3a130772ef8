"""Which letters pictures, PDF and film can draw: those of the vendored fonts."""

from __future__ import annotations

import json
import unicodedata
from functools import cache
from importlib import resources

__all__ = ["shapeless", "undrawn"]


@cache
def _drawn() -> frozenset[str]:
    """The letters of the vendored fonts; ``tools/make_fonts.py`` writes them."""
    text = (resources.files("buildalong.words") / "letters.json").read_text("utf-8")
    return frozenset(chr(code) for first, last in json.loads(text) for code in range(first, last + 1))


def shapeless(character: str) -> bool:
    """Whether a character only steers others: joiners, direction marks, variants of signs, controls."""
    category = unicodedata.category(character)
    if category == "Cc":
        return not character.isspace()
    return (category == "Cf" and character != "\u00ad") or "\ufe00" <= character <= "\ufe0f"


def undrawn(text: str) -> tuple[tuple[int, str], ...]:
    """(offset, letter) of each letter that no vendored font has, at its first place.

    A mark that makes one letter with the one before it (Unicode NFC, UAX 15) is drawn with it.
    """
    found: dict[str, int] = {}
    for at, letter in enumerate(text):
        if letter in _drawn() or letter.isspace() or shapeless(letter):
            continue
        joined = unicodedata.normalize("NFC", text[max(at - 1, 0) : at + 1])
        if not (at and len(joined) == 1 and joined in _drawn()):
            found.setdefault(letter, at)
    return tuple((at, letter) for letter, at in found.items())
