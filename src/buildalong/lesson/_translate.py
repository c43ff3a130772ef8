"""The author's words in another language: ``lesson.de.md``, and ``[words.de]`` in lesson.toml."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any

from buildalong.finding import Finding, Place, Severity
from buildalong.lesson._positions import Positions
from buildalong.lesson._schema import LessonTable
from buildalong.words import LANGUAGES, bare, catalogue, lacking, spoken

__all__ = ["MAX_MISSING", "own_tag", "said_in", "translated", "unknown_language", "unsaid"]

MAX_MISSING = 20
"""Most untranslated words, of the author and of the program, that are told for one lesson."""

_ONE = ("title", "summary")
_EACH = (("parts", "does"), ("parts", "label"), ("trial", "name"), ("promise", "says"))


def own_tag(table: LessonTable, wanted: str) -> str:
    """The key of the translation that is wanted; "" where the author's own words serve."""
    tag = wanted.lower()
    return "" if not tag or tag.partition("-")[0] == table.language.lower().partition("-")[0] else tag


def unknown_language(tag: str) -> Finding | None:
    """A Finding for a language that the program does not speak."""
    if spoken(tag):
        return None
    known = ", ".join(f"{name} ({language.name})" for name, language in LANGUAGES.items())
    return Finding(
        Severity.FATAL, "unknown-language", f"'{tag}' is not a language spoken here", f"known are {known}"
    )


def said_in(table: LessonTable, tag: str) -> Mapping[str, str]:
    """The author's translations into a language: source words -> words."""
    return table.words.get(tag) or table.words.get(tag.partition("-")[0]) or {}


def unsaid(language: str, own: Mapping[str, str], places: Positions) -> list[Finding]:
    """What of the program's own words cannot be said in the lesson's language, ``own`` translations aside."""
    tag = spoken(language)
    if tag is None:
        known = ", ".join(tongue.name for tongue in LANGUAGES.values())
        return [
            Finding(
                Severity.WARNING,
                "words-untranslated",
                f"the program's own words have no translation into '{language}'; they come in English",
                f"the program speaks {known}",
                places.value("language"),
            )
        ]
    told = [
        Finding(
            Severity.WARNING,
            "words-untranslated",
            f"the program's words '{bare(text)}' have no translation into {LANGUAGES[tag].name};"
            " they come in English",
            f'translate them in words/catalogues/{tag}, or write under [words.{tag}]: "{bare(text)}" = "..."',
            places.key("words", tag),
        )
        for text in lacking(tag)
        if text not in own
    ]
    return _some(told, f"translate them in words/catalogues/{tag}")


def translated(
    values: Mapping[str, Any],
    table: LessonTable,
    tag: str,
    places: Positions,
    parts: Iterable[tuple[str, Place]] = (),
) -> tuple[LessonTable, list[Finding]]:
    """The facts with the author's words in a language, and what has no translation there.

    ``values`` are the facts as written, whose words are told with their places, and ``parts`` those of the
    lesson's own parts.  Names of trials are translated wherever they are named.
    """
    own = said_in(table, tag)
    program = catalogue(spoken(tag) or "en")
    words = [(text, places.value(*path)) for path, text in _words_of(values)]
    words += [(text, place) for text, place in dict(reversed(list(parts))).items() if text not in program]
    found = [
        Finding(
            Severity.WARNING,
            "words-untranslated",
            f"'{text}' has no translation into {LANGUAGES[spoken(tag) or 'en'].name}; it stays as it is",
            f'write it under [words.{tag}]: "{text}" = "..."',
            place,
        )
        for text, place in words
        if text not in own
    ]
    return _with(table, own), _some(found, f"write them under [words.{tag}]")


def _some(found: list[Finding], hint: str) -> list[Finding]:
    """So many findings as are told, the last of them on how many there are besides."""
    more = len(found) - MAX_MISSING + 1
    if more <= 1:
        return found
    last = replace(found[MAX_MISSING - 1], message=f"{more} more words have no translation", hint=hint)
    return [*found[: MAX_MISSING - 1], last]


def _words_of(values: Mapping[str, Any]) -> Iterator[tuple[tuple[str | int, ...], str]]:
    """(path, text) of each of the author's words, each text once."""
    seen: set[str] = set()
    for path, text in _all_words(values):
        if isinstance(text, str) and text.strip() and text.strip() not in seen:
            seen.add(text.strip())
            yield path, text.strip()


def _all_words(values: Mapping[str, Any]) -> Iterator[tuple[tuple[str | int, ...], Any]]:
    for key in _ONE:
        yield (key,), values.get(key)
    for table, key in _EACH:
        entries = values.get(table)
        pairs = entries.items() if isinstance(entries, dict) else enumerate(entries or ())
        for name, entry in pairs:
            if isinstance(entry, dict):
                yield (table, name, key), entry.get(key)
    mistakes = values.get("mistakes")
    for number, entry in enumerate(mistakes.get("add", ()) if isinstance(mistakes, dict) else ()):
        if isinstance(entry, dict):
            yield ("mistakes", "add", number, "what"), entry.get("what")


def _with(table: LessonTable, own: Mapping[str, str]) -> LessonTable:
    def said(text: str) -> str:
        return own.get(text, text)

    changed: dict[str, Any] = {key: said(getattr(table, key)) for key in (*_ONE, "ages", "time")}
    changed["author"] = said(table.author) if isinstance(table.author, str) else [*map(said, table.author)]
    changed["parts"] = {
        name: part.model_copy(update={"does": said(part.does), "label": said(part.label)})
        for name, part in table.parts.items()
    }
    changed["trial"] = [entry.model_copy(update={"name": said(entry.name)}) for entry in table.trial]
    changed["promise"] = [
        entry.model_copy(update={"says": said(entry.says), "trial": said(entry.trial)})
        for entry in table.promise
    ]
    if table.mistakes is not None:
        added = [entry.model_copy(update={"what": said(entry.what)}) for entry in table.mistakes.add]
        changed["mistakes"] = table.mistakes.model_copy(update={"add": added})
    return table.model_copy(update=changed)
