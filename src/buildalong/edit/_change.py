"""A change of text and its exact inverse: the one way in which a lesson's files come to differ."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

__all__ = ["Change", "after", "inverse"]


@dataclass(frozen=True, slots=True)
class Change:
    """From the letter ``start`` on, ``old`` stands in a file and ``new`` takes its place."""

    file: str
    start: int
    old: str
    new: str


def after(texts: Mapping[str, str], changes: Iterable[Change]) -> dict[str, str]:
    """The texts after some changes, one after the other.  Raises ValueError where one does not fit."""
    found = dict(texts)
    for change in changes:
        text, end = found.get(change.file), change.start + len(change.old)
        if text is None or change.start < 0 or text[change.start : end] != change.old:
            raise ValueError(f"the change does not fit {change.file} at {change.start}")
        found[change.file] = text[: change.start] + change.new + text[end:]
    return found


def inverse(changes: Iterable[Change]) -> tuple[Change, ...]:
    """The changes that lead back, to the last byte."""
    return tuple(Change(c.file, c.start, c.new, c.old) for c in reversed(tuple(changes)))
