"""The translations of a language: all its .po files in one mapping; and what they lack."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from buildalong.words._po import Entry

__all__ = ["catalogue", "lacking"]

FOLDER = Path(__file__).parent / "catalogues"


@cache
def catalogue(tag: str) -> Mapping[str, tuple[str, ...]]:
    """Message, with its sense before it, -> its forms in a language; untranslated ones are left out."""
    out: dict[str, tuple[str, ...]] = {}
    for entry in _entries(tag):
        if entry.translated:
            out.setdefault(entry.key, entry.forms)
    return MappingProxyType(out)


@cache
def lacking(tag: str) -> tuple[str, ...]:
    """The program's messages that have no translation into a language, in English, each once."""
    known = catalogue(tag)
    return tuple(dict.fromkeys(entry.key for entry in _entries(tag) if entry.key not in known))


@cache
def _entries(tag: str) -> tuple[Entry, ...]:
    from buildalong.words._po import read_po

    files = sorted((FOLDER / tag).glob("*.po"))
    return tuple(entry for path in files for entry in read_po(path.read_text(encoding="utf-8")))
