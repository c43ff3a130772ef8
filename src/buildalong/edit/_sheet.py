"""A TOML text under edit: values are put, taken out and renamed by the smallest change of letters.

Each change is proved before it counts: the standard reader must find in the new text what it found in the
old one, with this one value changed.
"""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Callable
from typing import Any

from buildalong.edit._adding import UnfitError, addition, member, shown
from buildalong.edit._change import Change
from buildalong.edit._literal import key_text, literal
from buildalong.edit._removing import without_inner, without_line, without_member, without_section
from buildalong.edit._tree import MARK, Path, Piece, Tree, Value, read_tree
from buildalong.finding import Finding, Place, Severity, Unreadable
from buildalong.lesson import read_toml

__all__ = ["Sheet"]


class Sheet:
    """One TOML file; ``changes`` gathers what was done to it.  Raises Unreadable for what cannot be done."""

    def __init__(self, file: str, text: str, shown: str) -> None:
        self.file, self.shown = file, shown
        self.changes: list[Change] = []
        self._read(text)

    def _read(self, text: str) -> None:
        self.values: dict[str, Any] = read_toml(text.removeprefix(MARK), self.shown).values
        try:
            self.tree: Tree = read_tree(text)
        except ValueError as error:
            raise self._unfit(str(error)) from None

    @property
    def text(self) -> str:
        """The text as it is now."""
        return self.tree.text

    # -- what can be asked ------------------------------------------------------------------------

    def has(self, *path: str | int) -> bool:
        """Whether something stands at a path."""
        return self.get(*path) is not None

    def get(self, *path: str | int) -> Any:
        """The value at a path, None where there is none."""
        node: Any = self.values
        for step in path:
            try:
                node = node[step]
            except (KeyError, IndexError, TypeError):
                return None
        return node

    def has_comments(self, name: str) -> bool:
        """Whether a comment stands in a table of this name that has nothing else."""
        section = next((s for s in self.tree.sections if s.path == (name,)), None)
        if section is None:
            return False
        following = [s.head[0] for s in self.tree.sections if s.head[0] > section.head[1]]
        end = min(following, default=len(self.text))
        return "#" in self.text[section.head[1] : end]

    # -- what can be done -------------------------------------------------------------------------

    def put(self, path: Path, value: object, after: str = "") -> None:
        """Set a value: the letters of the old one go, or a pair is added where its table has room.

        ``after`` names the key behind which a new pair of an inline table goes.
        """
        old = self.get(*path)
        if old == value and type(old) is type(value):
            return
        node = self.tree.values.get(path)
        if node is not None:
            self._put_in(node, old, value)
        elif self.tree.under(path):
            raise self._unfit(f"{shown(path)} is a table; set one of its keys")
        else:
            try:
                piece = addition(self.tree, path, value, after)
            except UnfitError as error:
                raise self._unfit(str(error)) from None
            self._splice([piece], _putting(path, value))

    def insert(self, path: Path, value: object) -> None:
        """Put a member into the array at ``path[:-1]``, at the place ``path[-1]``."""
        array, at = self.tree.values[path[:-1]], int(path[-1])

        def expected(values: Any) -> None:
            _at(values, path[:-1]).insert(at, value)

        self._splice([member(self.tree, array, at, literal(value))], expected)

    def take(self, path: Path) -> None:
        """Take out a pair, a member of an array, or a table with all that is in it."""
        pair, value = self.tree.pairs.get(path), self.tree.values.get(path)
        parent = self.tree.values.get(path[:-1])

        def expected(values: Any) -> None:
            del _at(values, path[:-1])[path[-1]]

        if pair is not None:
            inline = parent is not None and parent.kind == "inline"
            piece = without_inner(parent, pair) if inline and parent else without_line(self.tree, pair)
            self._splice([piece], expected)
        elif value is not None and parent is not None:
            self._splice([without_member(self.tree, parent, int(path[-1]))], expected)
        elif self.has(*path):
            pieces = [without_section(self.tree, section) for section in self.tree.under(path)]
            inner = [p for s in self.tree.sections for p in s.pairs if p.path[: len(path)] == path]
            pieces += [without_line(self.tree, p) for p in inner if len(p.path) - len(p.names) < len(path)]
            self._splice(pieces, expected)

    def rename(self, path: Path, name: str) -> None:
        """Give a key another name, wherever it is written; order and values stay."""
        step = len(path) - 1
        if not self.has(*path) or not isinstance(path[-1], str):
            raise self._unfit(f"there is no key {shown(path)}")
        pieces: list[Piece] = []
        for section in self.tree.under(path):
            # the number of a member of an array of tables is not written
            written = [k for k, bit in enumerate(section.path) if isinstance(bit, str)]
            span = section.names[written.index(step)]
            pieces.append((*span, key_text(name)))
        for pair in self.tree.pairs.values():
            first = len(pair.path) - len(pair.names)
            if pair.path[: len(path)] == path and first <= step:
                pieces.append((*pair.names[step - first], key_text(name)))

        def expected(values: Any) -> None:
            table = _at(values, path[:-1])
            table[name] = table.pop(path[-1])

        self._splice(pieces, expected)

    def substitute(self, span: tuple[int, int], words: str) -> None:
        """Put words in the place of a span, whatever comes of it."""
        self._do([(*span, words)])
        self._read(self._after)

    # -- letters ----------------------------------------------------------------------------------

    def _splice(self, pieces: list[Piece], expected: Callable[[Any], None]) -> None:
        wanted = copy.deepcopy(self.values)
        try:
            expected(wanted)
        except (AttributeError, IndexError, KeyError, TypeError):
            raise self._unfit("there is no such place in the file") from None
        before = len(self.changes)
        self._do(pieces)
        try:
            found = tomllib.loads(self._after.removeprefix(MARK))
        except (ValueError, RecursionError):
            found = None
        if found != _plain(wanted):
            del self.changes[before:]
            raise self._unfit("this change does not fit the way in which the file is written")
        self._read(self._after)

    def _do(self, pieces: list[Piece]) -> None:
        text = self.text
        for start, end, new in sorted(pieces, reverse=True):
            new = new.replace("\n", self.tree.newline) if self.tree.newline != "\n" else new
            self.changes.append(Change(self.file, start, text[start:end], new))
            text = text[:start] + new + text[end:]
        self._after = text

    def _put_in(self, node: Value, old: object, value: object) -> None:
        """The new value in the place of the old; lists change member by member."""
        if node.kind == "array" and isinstance(old, list) and isinstance(value, list | tuple):
            self._put_list(node.path, old, list(value))
            return
        words = literal(value, self.text[node.start : node.end])
        found = tomllib.loads(f"x = {words}")["x"]
        self._splice([(node.start, node.end, words)], _putting(node.path, found))

    def _put_list(self, path: Path, old: list[Any], new: list[Any]) -> None:
        """Change as few members as may be: what both ends share stays as it is."""
        head = 0
        while head < min(len(old), len(new)) and old[head] == new[head]:
            head += 1
        tail = 0
        while tail < min(len(old), len(new)) - head and old[-1 - tail] == new[-1 - tail]:
            tail += 1
        pairwise = min(len(old), len(new)) - head - tail
        for number in range(head, head + pairwise):
            self.put((*path, number), new[number])
        for number in reversed(range(head + pairwise, len(old) - tail)):
            self.take((*path, number))
        for number in range(head + pairwise, len(new) - tail):
            self.insert((*path, number), new[number])

    def _unfit(self, why: str) -> Unreadable:
        place = Place(self.shown, 1, 1)
        hint = "make this change in the text"
        return Unreadable(Finding(Severity.ERROR, "edit-not-possible", why, hint, place))


def _putting(path: Path, value: object) -> Callable[[Any], None]:
    def put(values: Any) -> None:
        node = values
        for step in path[:-1]:
            node = node.setdefault(step, {}) if isinstance(node, dict) else node[step]
        node[path[-1]] = value

    return put


def _at(values: Any, path: Path) -> Any:
    for step in path:
        values = values[step]
    return values


def _plain(value: Any) -> Any:
    """Lists for tuples, as the reader gives them."""
    if isinstance(value, dict):
        return {key: _plain(entry) for key, entry in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(entry) for entry in value]
    return value
