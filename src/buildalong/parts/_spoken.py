"""Which texts of part data are words for a reader."""

from __future__ import annotations

from collections.abc import Iterator

__all__ = ["SPOKEN", "spoken_texts"]

SPOKEN = frozenset({"title", "title_false", "noun", "about", "reading", "sentence", "cautions", "says"})
"""Keys of part data that hold words for a reader; what stands below such a key is words too."""

Path = tuple[str | int, ...]


def spoken_texts(data: object, path: Path = ()) -> Iterator[tuple[Path, str]]:
    """(path, text) of all words for a reader in part data, in their order."""
    if isinstance(data, dict):
        for name, value in data.items():
            yield from spoken_texts(value, (*path, name))
    elif isinstance(data, list):
        for index, value in enumerate(data):
            yield from spoken_texts(value, (*path, index))
    elif isinstance(data, str) and data and not SPOKEN.isdisjoint(path):
        yield path, data
