"""Bringing catalogues up to date with the sources, without losing a translation."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from difflib import get_close_matches
from pathlib import Path

from tools.words._messages import PACKAGES, messages

from buildalong.words._languages import LANGUAGES, SOURCE
from buildalong.words._po import Entry, read_po, write_po

CATALOGUES = Path(__file__).parents[2] / "src" / "buildalong" / "words" / "catalogues"
LIKE = 0.8
"""A message this like to one that has gone takes over its translation as fuzzy; our choice."""


def catalogue_path(tag: str, package: str) -> Path:
    """Where the translations of a package stand."""
    return CATALOGUES / tag / f"{package}.po"


def merged(found: list[Entry], known: list[Entry], elsewhere: dict[str, Entry]) -> list[Entry]:
    """The messages ``found``, each with the translation that is known here, elsewhere, or of one like it."""
    by_key = {entry.key: entry for entry in known}
    left = {key: entry for key, entry in by_key.items() if key not in {e.key for e in found} and entry.forms}
    out = []
    for entry in found:
        old = by_key.get(entry.key) or elsewhere.get(entry.key)
        if old is None or not any(old.forms):
            like = get_close_matches(entry.key, left, 1, LIKE)
            if like and bool(left[like[0]].many) == bool(entry.many):
                out.append(replace(entry, forms=left[like[0]].forms, fuzzy=True))
                continue
        fits = old is not None and bool(old.many) == bool(entry.many)
        out.append(replace(entry, forms=old.forms, fuzzy=old.fuzzy) if old and fits else entry)
    return out


def renewed(tag_given: str = "", given: Iterable[Entry] = ()) -> dict[Path, str]:
    """Every catalogue as it should be: path -> text.

    The translations ``given`` for the language ``tag_given`` go before those in its catalogues.
    """
    better = {entry.key: entry for entry in given if entry.translated}
    out: dict[Path, str] = {}
    found = {package: messages(package) for package in PACKAGES}
    for tag, tongue in LANGUAGES.items():
        if tag == SOURCE:
            continue
        known = {package: entries_of(tag, package) for package in PACKAGES}
        all_known = {e.key: e for entries in known.values() for e in entries if e.translated}
        for package, entries in found.items():
            if entries:
                old = known[package]
                if tag == tag_given:
                    old = [better.get(entry.key, entry) for entry in merged(entries, old, all_known)]
                text = write_po(merged(entries, old, all_known), tag, tongue.plural)
                out[catalogue_path(tag, package)] = text
    return out


def entries_of(tag: str, package: str) -> list[Entry]:
    """The catalogue of a package as it stands; empty where there is none."""
    path = catalogue_path(tag, package)
    return read_po(path.read_text(encoding="utf-8")) if path.exists() else []


def stale(wanted: dict[Path, str]) -> list[Path]:
    """Files of catalogues that differ from those ``wanted``, or are not wanted."""
    there = set(CATALOGUES.rglob("*.po"))
    changed = [p for p, text in wanted.items() if p not in there or p.read_text(encoding="utf-8") != text]
    return sorted([*changed, *(there - set(wanted))])
