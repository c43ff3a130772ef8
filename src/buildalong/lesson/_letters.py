"""Letters of the author's that pictures, PDF and film cannot draw."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from buildalong.finding import Finding, Place, Severity
from buildalong.lesson._positions import Positions
from buildalong.words import undrawn

__all__ = ["undrawn_in_facts", "undrawn_in_prose", "undrawn_letters"]

MOST_TOLD = 20
"""Letters that are listed at most."""
_UNSEEN = ("words", "link", "links")
"""Tables and keys of the facts that are not drawn as they stand."""


def undrawn_letters(places: Mapping[str, Place]) -> list[Finding]:
    """One finding on the letters that no vendored font has: letter -> where it stands first."""
    if not places:
        return []
    letters = " ".join(list(places)[:MOST_TOLD]) + (" ..." if len(places) > MOST_TOLD else "")
    return [
        Finding(
            Severity.WARNING,
            "letters-missing",
            f"pictures, PDF and film have no font for {letters}: each such letter is an empty box there"
            " (a page in a browser takes the reader's fonts)",
            "write what is to be drawn in Latin, Greek or Cyrillic letters",
            next(iter(places.values())),
        )
    ]


def undrawn_in_facts(
    values: Mapping[str, object],
    own: Mapping[str, str],
    places: Positions,
    parts: Iterable[tuple[str, Place]],
) -> list[Finding]:
    """The finding on lesson.toml and the lesson's own ``parts``; ``own`` are translations that are shown."""
    shown = [(own.get(text.strip(), text), places.value(*path)) for path, text in _texts(values)]
    shown += [(own.get(text, text), place) for text, place in parts]
    found: dict[str, Place] = {}
    for text, place in shown:
        for _, letter in undrawn(text):
            found.setdefault(letter, place)
    return undrawn_letters(found)


def undrawn_in_prose(prose: str, file: str) -> list[Finding]:
    """The finding on the words, at the first such letter."""
    found: dict[str, Place] = {}
    for at, letter in undrawn(prose):
        found[letter] = Place(file, prose.count("\n", 0, at) + 1, at - prose.rfind("\n", 0, at))
    return undrawn_letters(found)


def _texts(values: object, path: tuple[str | int, ...] = ()) -> Iterator[tuple[tuple[str | int, ...], str]]:
    if isinstance(values, str):
        yield path, values
    elif isinstance(values, dict):
        for key, value in values.items():
            if key not in _UNSEEN:
                yield from _texts(value, (*path, key))
    elif isinstance(values, list):
        for number, value in enumerate(values):
            yield from _texts(value, (*path, number))
