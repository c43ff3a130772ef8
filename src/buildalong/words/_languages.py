"""The languages the program speaks, and how each writes numbers and counts things.

Numbers: ISO 80000-1:2022, 7.2 and 7.3 (from memory): comma or dot as the decimal sign, groups of three
digits parted by a small space and by nothing else, a space between number and unit and before "%".  The
space is U+00A0 throughout: the narrow one, U+202F, is missing in the vendored fonts.  English keeps the
plain space that it has always been written with here, and no groups.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

__all__ = ["LANGUAGES", "SOURCE", "Language", "spoken"]

NO_BREAK = "\u00a0"
SOURCE = "en"
"""The language in which messages are written."""


@dataclass(frozen=True, slots=True)
class Language:
    """A language: its tag (BCP 47), its own name, and how it writes numbers.

    ``grouped`` is the least number of digits before the decimal sign that are parted in threes (0: never).
    ``form`` gives for a count the index of the plural form; ``plural`` says the same as gettext writes it.
    """

    tag: str
    name: str
    decimal: str
    group: str
    grouped: int
    space: str
    form: Callable[[int], int]
    plural: str
    smooth: Callable[[str], str] = str
    """What a sentence that was put together needs where two words meet."""


def _only_one(count: int) -> int:
    return int(count != 1)


_AND_BEFORE_I = re.compile(r"\by (?=h?[ií](?![aeouáéó]))", re.IGNORECASE)


def _e_before_i(text: str) -> str:
    """Spanish "y" before the sound i is "e": RAE, Diccionario panhispánico de dudas, "y" (from memory)."""
    return _AND_BEFORE_I.sub(lambda found: "e " if found[0][0] == "y" else found[0], text)


def _up_to_one(count: int) -> int:
    return int(count > 1)


ENGLISH = Language(SOURCE, "English", ".", "", 0, " ", _only_one, "nplurals=2; plural=(n != 1);")

LANGUAGES = {
    SOURCE: ENGLISH,
    "de": Language(
        "de", "Deutsch", ",", NO_BREAK, 5, NO_BREAK, _only_one, "nplurals=2; plural=(n != 1);"
    ),
    "es": Language(
        "es", "Español", ",", NO_BREAK, 5, NO_BREAK, _only_one, "nplurals=2; plural=(n != 1);",
        _e_before_i,
    ),
    "fr": Language(
        "fr", "Français", ",", NO_BREAK, 5, NO_BREAK, _up_to_one, "nplurals=2; plural=(n > 1);"
    ),
}  # fmt: skip
"""Tag -> language, the source first."""


def spoken(tag: str) -> str | None:
    """The language here that serves a tag such as "de-AT"; None where there is none."""
    base = tag.lower().partition("-")[0]
    return base if base in LANGUAGES else None
