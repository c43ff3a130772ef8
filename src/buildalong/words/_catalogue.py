"""The translations of a language: all its .po files in one mapping."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType

__all__ = ["catalogue"]


@cache
def catalogue(tag: str) -> Mapping[str, tuple[str, ...]]:
    """Message, with its sense before it, -> its forms in a language; untranslated ones are left out."""
    from buildalong.words._po import read_po

    out: dict[str, tuple[str, ...]] = {}
    for path in sorted((Path(__file__).parent / "catalogues" / tag).glob("*.po")):
        for entry in read_po(path.read_text(encoding="utf-8")):
            if entry.translated:
                out.setdefault(entry.key, entry.forms)
    return MappingProxyType(out)
