"""The language of the moment, and saying a message in it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from typing import Any, TypeVar, cast

from buildalong.words._catalogue import catalogue
from buildalong.words._languages import ENGLISH, LANGUAGES, SOURCE, Language
from buildalong.words._messages import Many, bare

__all__ = ["Speaker", "current", "language", "plainly", "said", "say", "say_many", "speaking"]


Texts = TypeVar("Texts")


@dataclass(frozen=True)
class Speaker:
    """Speaks one language; ``missing`` gathers, in order, the messages that had no translation.

    ``own`` are translations beside the catalogues', such as an author's; they go first.
    """

    tongue: Language
    own: Mapping[str, str] = field(default_factory=dict)
    missing: dict[str, None] = field(default_factory=dict)

    def forms(self, message: str) -> tuple[str, ...]:
        """The forms of a message in this language; none where it is not translated."""
        if message in self.own:
            return (self.own[message],)
        found = catalogue(self.tongue.tag).get(message, ())
        if not found and message:
            self.missing.setdefault(message)
        return found


_current: ContextVar[Speaker | None] = ContextVar("speaker", default=None)


def current() -> Language:
    """The language of the moment."""
    speaker = _current.get()
    return ENGLISH if speaker is None else speaker.tongue


def language() -> str:
    """The tag of the language of the moment: a part of every key under which words are kept."""
    return current().tag


@contextmanager
def speaking(tag: str, own: Mapping[str, str] | None = None) -> Iterator[Speaker]:
    """Speak a language inside the ``with``; gives the speaker, who knows what was missing.

    Threads begun inside do not inherit it; give them a copy of the context.  Raises KeyError for a tag
    that is not in ``LANGUAGES``.
    """
    speaker = Speaker(LANGUAGES[tag], dict(own or {}))
    token = _current.set(speaker)
    try:
        yield speaker
    finally:
        _current.reset(token)


@contextmanager
def plainly() -> Iterator[None]:
    """Speak the source language inside the ``with``: for text that a program reads back."""
    token = _current.set(None)
    try:
        yield
    finally:
        _current.reset(token)


def say(message: str, /, **places: object) -> str:
    """A message in the language of the moment, its places filled; in English where it has no translation."""
    speaker = _current.get()
    if speaker is None or speaker.tongue.tag == SOURCE:
        text = bare(message)
    else:
        found = speaker.forms(message)
        text = found[0] if found else bare(message)
    return current().smooth(text.format(**places)) if places else text


def said(texts: Texts) -> Texts:
    """Every text of a constant (texts in tuples, lists and dictionaries) in the language of the moment."""
    found: Any = texts
    if isinstance(found, str):
        found = say(found)
    elif isinstance(found, dict):
        found = {key: said(value) for key, value in found.items()}
    elif isinstance(found, list | tuple):
        found = type(found)(said(value) for value in found)
    return cast("Texts", found)


def say_many(message: Many, count: int, /, **places: object) -> str:
    """A message in the form for ``count`` things, its places filled."""
    speaker = _current.get()
    tongue = ENGLISH if speaker is None else speaker.tongue
    found: tuple[str, ...] = ()
    if speaker is not None and tongue.tag != SOURCE:
        found = speaker.forms(message.one)
    text = found[min(tongue.form(count), len(found) - 1)] if found else bare(message[ENGLISH.form(count)])
    return tongue.smooth(text.format(**places)) if places else text
