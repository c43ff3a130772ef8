"""A TOML text as values and positions, or one clear finding that says where it breaks."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from typing import Any

from buildalong.finding import Finding, Place, Severity, Unreadable
from buildalong.lesson._positions import MAX_DEPTH, Positions, TooDeepError, positions

__all__ = ["Document", "read_toml"]

_AT = re.compile(r"\(at line (\d+), column (\d+)\)")
_LONG_KEY = re.compile(rf"(?:[\w-]{{1,64}}[ \t]*\.[ \t]*){{{MAX_DEPTH + 1}}}")

_PLAIN = (
    ("Unclosed array", "an array opened with '[' is never closed", "close it with ']'"),
    (
        "Unclosed inline table",
        "a table opened with '{' is never closed",
        "close it with '}' on the same line",
    ),
    ("Unterminated string", "a text in quotes is never closed", "close it with the same quotes"),
    (
        "Illegal character '\\n'",
        "a text in quotes is never closed on its line",
        "close it with the same quotes",
    ),
    ("Cannot overwrite a value", "a key is given twice", "keep one of the two"),
    ("Duplicate inline table key", "a key is given twice", "keep one of the two"),
    ("Cannot declare", "a table is opened twice", "join the two tables into one"),
    ("Expected '=' after a key", "a key has no '=' after it", 'write: key = "value"'),
    ("Invalid initial character for a key part", "a key is expected here", 'write: key = "value"'),
    ("Expected newline or end of document", "something stands after the value", "put one pair on each line"),
    ("Unescaped '\\' in a string", "a backslash in a text", "write it twice, or use single quotes"),
    ("Invalid value", "a value is missing or not complete", 'texts stand in quotes, like "470"'),
)


@dataclass(frozen=True)
class Document:
    """A TOML text: its values as plain Python, and where each stands."""

    text: str
    values: dict[str, Any]
    places: Positions


def read_toml(text: str, file: str) -> Document:
    """Read a TOML text; raises Unreadable with the line and column where it is not TOML."""
    text = text.replace("\r\n", "\n")
    try:
        places = positions(text, file)
        deep = _LONG_KEY.search(text)
        if deep:
            raise TooDeepError(_place(file, text, deep.start()))
        return Document(text, tomllib.loads(text), places)
    except TooDeepError as error:
        raise _nested(error.place) from None
    except RecursionError:
        raise _nested(Place(file, 1, 1)) from None
    except ValueError as error:
        raise Unreadable(_half_written(text, file, str(error))) from None


def _nested(place: Place) -> Unreadable:
    return Unreadable(
        Finding(
            Severity.FATAL,
            "toml-too-deep",
            f"tables and arrays are nested deeper than {MAX_DEPTH} levels",
            "a lesson needs no more than five; write it flatter",
            place,
        )
    )


def _half_written(text: str, file: str, message: str) -> Finding:
    found = _AT.search(message)
    if found:
        place = Place(file, int(found[1]), int(found[2]))
    else:
        lines = text.rstrip().split("\n")
        place = Place(file, len(lines), len(lines[-1]) + 1)
    plain = _AT.sub("", message).replace("(at end of document)", "").strip()
    hint = "correct the line, or compare it with an example lesson"
    for start, words, cure in _PLAIN:
        if message.startswith(start):
            plain, hint = words, cure
            break
    return Finding(Severity.FATAL, "toml-broken", f"this is not complete TOML: {plain}", hint, place)


def _place(file: str, text: str, offset: int) -> Place:
    before = text[:offset]
    return Place(file, before.count("\n") + 1, offset - before.rfind("\n"))
