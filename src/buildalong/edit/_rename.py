"""Where a lesson names a part: all the places that follow when it gets another name."""

from __future__ import annotations

import re
from collections.abc import Iterator

from buildalong.edit._change import Change
from buildalong.edit._sheet import Sheet
from buildalong.edit._tree import Path

__all__ = ["renamed_in_sheet", "renamed_in_words"]

_DESIGNATOR = re.compile(r"[A-Z]{1,3}\d{1,3}[a-z]?")
"""A name that means the part wherever it stands in the words (class letters and a number, IEC 81346-2)."""
_FIGURE = re.compile(r"\{\{.*?\}\}", re.DOTALL)


def renamed_in_sheet(sheet: Sheet, old: str, new: str) -> None:
    """Rename a part in lesson.toml: keys and texts; nets, types and values are left alone."""
    word = _word(old)
    for path in list(_keys(sheet.values, ())):
        if path[-1] == old and (path[0] in ("parts", "layout") or path[0] == "mistakes"):
            sheet.rename(path, new)
    if sheet.get("supply", "id") == old:
        sheet.put(("supply", "id"), new)
    for path, text in list(_texts(sheet.values, ())):
        if _means_parts(path) and (_DESIGNATOR.fullmatch(old) or not _is_prose(path)) and word.search(text):
            sheet.put(path, word.sub(new, text))
    if _DESIGNATOR.fullmatch(old):
        for path in list(_keys(sheet.values, ())):
            if path[0] == "words" and len(path) == 3 and word.search(str(path[-1])):
                sheet.rename(path, word.sub(new, str(path[-1])))


def renamed_in_words(file: str, text: str, old: str, new: str) -> list[Change]:
    """Rename a part in prose or in a build list: in figures always, in words where the name is a part's."""
    word = _word(old)
    pieces = [(0, len(text))]
    if not _DESIGNATOR.fullmatch(old) and file.endswith(".md"):
        pieces = [found.span() for found in _FIGURE.finditer(text)]
    spots = [found.start() for start, end in pieces for found in word.finditer(text, start, end)]
    return [Change(file, spot, old, new) for spot in reversed(spots)]


def _word(name: str) -> re.Pattern[str]:
    return re.compile(rf"(?<![\w-]){re.escape(name)}(?![\w-])")


def _keys(node: object, path: Path) -> Iterator[Path]:
    if isinstance(node, dict):
        for key, value in node.items():
            yield (*path, key)
            yield from _keys(value, (*path, key))
    elif isinstance(node, list):
        for number, value in enumerate(node):
            yield from _keys(value, (*path, number))


def _texts(node: object, path: Path) -> Iterator[tuple[Path, str]]:
    if isinstance(node, str):
        yield path, node
    elif isinstance(node, dict):
        for key, value in node.items():
            yield from _texts(value, (*path, key))
    elif isinstance(node, list):
        for number, value in enumerate(node):
            yield from _texts(value, (*path, number))


def _means_parts(path: Path) -> bool:
    """Whether a text at this path may name parts: not nets, types, values, holes."""
    if path[0] == "parts":
        return path[-1] in ("does", "label")
    if path[0] == "layout":
        return len(path) > 1 and path[1] == "where"
    return path[0] not in ("supply", "board", "licence", "language", "author", "source")


def _is_prose(path: Path) -> bool:
    """Whether a text is for readers, so that a common word in it need not be a part."""
    return path[0] in ("title", "summary", "words") or path[-1] in ("does", "label", "says", "name", "what")
