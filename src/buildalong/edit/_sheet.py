"""A TOML text under edit: values are put, taken out and renamed by the smallest change of letters.

Each change is proved before it counts: the standard reader must find in the new text what it found in the
old one, with this one value changed.
"""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Callable
from typing import Any

from buildalong.edit._change import Change
from buildalong.edit._literal import key_text, literal
from buildalong.edit._tree import Pair, Path, Section, Tree, Value, read_tree
from buildalong.finding import Finding, Place, Severity, Unreadable
from buildalong.lesson import read_toml

__all__ = ["Sheet"]

MARK = "\ufeff"
"""A byte order mark: kept, and no part of TOML."""
ORDER = ("parts", "trial", "promise", "layout", "picture", "mistakes", "source", "words")
"""The tables of a lesson in the order in which they are usually written."""
Piece = tuple[int, int, str]


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
            raise self._unfit(f"{_shown(path)} is a table; set one of its keys")
        else:
            self._splice([self._addition(path, value, after)], _putting(path, value))

    def insert(self, path: Path, value: object) -> None:
        """Put a member into the array at ``path[:-1]``, at the place ``path[-1]``."""
        array, at = self.tree.values[path[:-1]], int(path[-1])

        def expected(values: Any) -> None:
            _at(values, path[:-1]).insert(at, value)

        self._splice([self._member(array, at, literal(value))], expected)

    def take(self, path: Path) -> None:
        """Take out a pair, a member of an array, or a table with all that is in it."""
        pair, value = self.tree.pairs.get(path), self.tree.values.get(path)
        parent = self.tree.values.get(path[:-1])

        def expected(values: Any) -> None:
            del _at(values, path[:-1])[path[-1]]

        if pair is not None:
            inline = parent is not None and parent.kind == "inline"
            piece = self._without_inner(parent, pair) if inline and parent else self._without_line(pair)
            self._splice([piece], expected)
        elif value is not None and parent is not None:
            self._splice([self._without_member(parent, int(path[-1]))], expected)
        elif self.has(*path):
            pieces = [self._without_section(section) for section in self.tree.under(path)]
            inner = [p for s in self.tree.sections for p in s.pairs if p.path[: len(path)] == path]
            pieces += [self._without_line(p) for p in inner if len(p.path) - len(p.names) < len(path)]
            self._splice(pieces, expected)

    def rename(self, path: Path, name: str) -> None:
        """Give a key another name, wherever it is written; order and values stay."""
        step = len(path) - 1
        if not self.has(*path) or not isinstance(path[-1], str):
            raise self._unfit(f"there is no key {_shown(path)}")
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

    def _addition(self, path: Path, value: object, after: str) -> Piece:
        """The piece that adds a pair."""
        tree, parent, name = self.tree, path[:-1], str(path[-1])
        many = isinstance(value, list | tuple) and any(isinstance(m, list | tuple) for m in value)
        words = f"{key_text(name)} = {literal(value, lines=many)}"
        inline = tree.values.get(parent)
        if inline is not None and inline.kind == "inline":
            return _into_inline(tree, inline, words, after)
        home = next(
            (s for s in reversed(tree.sections) if s.path == parent and (s.names or not parent)), None
        )
        if home is not None and (home.pairs or home.names):
            return self._line_in(home, name, words)
        dotted = [p for s in tree.sections for p in s.pairs if p.path[: len(parent)] == parent]
        if parent and dotted and inline is None:
            last = dotted[-1]
            written = self.text[last.start : last.names[len(parent) - len(last.path)][0]]
            return self._line_behind(last, written + words)
        if not parent:
            return self._first_line(words)
        return self._new_section(parent, path, words, value)

    def _line_in(self, home: Section, name: str, words: str) -> Piece:
        if not home.pairs:
            at = self.tree.line_end(home.head[1])
            return at, at, f"\n{words}"
        width = _key_width(self.text, home)
        if width > len(key_text(name)):
            words = key_text(name).ljust(width) + words[len(key_text(name)) :]
        return self._line_behind(home.pairs[-1], words)

    def _line_behind(self, pair: Pair, words: str) -> Piece:
        start = self.tree.line_start(pair.start)
        at = self.tree.line_end(pair.end)
        return at, at, f"\n{self.text[start : pair.start]}{words}"

    def _first_line(self, words: str) -> Piece:
        at = len(MARK) if self.text.startswith(MARK) else 0
        return at, at, f"{words}\n" if len(self.tree.sections) == 1 else f"{words}\n\n"

    def _new_section(self, parent: Path, path: Path, words: str, value: object) -> Piece:
        """A header of its own: where its table goes on, in the usual order, or at the end."""
        whole = ".".join(key_text(str(step)) for step in parent)
        around = self.tree.under(parent)
        if around and isinstance(value, dict):
            inner = "".join(f"\n{key_text(key)} = {literal(entry)}" for key, entry in value.items())
            last = around[-1]
            at = self.tree.line_end(last.pairs[-1].end if last.pairs else last.head[1])
            return at, at, f"\n\n[{whole}.{key_text(str(path[-1]))}]{inner}"
        if any(not isinstance(step, str) for step in parent) or (len(parent) > 1 and not around):
            raise self._unfit(f"there is no {_shown(parent)}")
        before = around[0] if around else self._next_in_order(str(parent[0]))
        if before is not None:
            at = self._with_comments(before.head[0])
            return at, at, f"[{whole}]\n{words}\n\n"
        gap = "" if not self.text or self.text.endswith("\n\n") else "\n"
        if self.text and not self.text.endswith("\n"):
            gap = "\n\n"
        return len(self.text), len(self.text), f"{gap}[{whole}]\n{words}\n"

    def _next_in_order(self, name: str) -> Section | None:
        later = ORDER[ORDER.index(name) + 1 :] if name in ORDER else ()
        return next((s for s in self.tree.sections if s.names and s.path[0] in later), None)

    def _with_comments(self, at: int) -> int:
        """Where the comments begin that stand right above the line of this letter."""
        start = self.tree.line_start(at)
        while start > 0:
            above = self.tree.line_start(start - 1)
            if not self.text[above:start].lstrip().startswith("#"):
                break
            start = above
        return start

    def _member(self, array: Value, at: int, words: str) -> Piece:
        """The piece that puts a member into an array."""
        text, count = self.text, len(array.members)
        if not count:
            inner = text[array.start + 1 : array.end - 1]
            if inner.strip():  # comments only: the member goes below them
                return array.end - 1, array.end - 1, f"  {words},\n"
            return array.start + 1, array.end - 1, words
        first = array.members[0]
        lines = "\n" in text[array.start : first.start]
        indent = text[self.tree.line_start(first.start) : first.start] if lines else ""
        if at == 0:
            return first.start, first.start, f"{words},\n{indent}" if lines else f"{words}, "
        last, comma = array.members[at - 1], array.commas[at - 1]
        if not lines:
            return (comma + 1, comma + 1, f" {words},") if comma >= 0 else (last.end, last.end, f", {words}")
        behind = comma + 1 if comma >= 0 else last.end
        line = self.tree.line_end(behind)
        rest = text[behind:line].strip()
        if rest and not rest.startswith("#"):  # more stands on this line
            line = behind
        if comma >= 0:
            return line, line, f"\n{indent}{words},"
        return last.end, line, f",{text[last.end : line]}\n{indent}{words}"

    def _without_member(self, array: Value, at: int) -> Piece:
        text, member, comma = self.text, array.members[at], array.commas[at]
        start, end = member.start, comma + 1 if comma >= 0 else member.end
        line, stop = self.tree.line_start(start), self.tree.line_end(end)
        behind = text[end:stop].strip()
        if not text[line:start].strip() and (not behind or behind.startswith("#")) and stop < array.end:
            return line, _line_break(text, stop), ""
        if comma >= 0:
            while end < array.end - 1 and text[end] in " \t":
                end += 1
            return start, end, ""
        if at:
            return array.members[at - 1].end, end, ""
        return start, end, ""

    def _without_inner(self, table: Value, pair: Pair) -> Piece:
        number = table.pairs.index(pair)
        if number + 1 < len(table.pairs):
            return pair.start, table.pairs[number + 1].start, ""
        if number:
            return table.pairs[number - 1].end, pair.end, ""
        return table.start, table.end, "{}"

    def _without_line(self, pair: Pair) -> Piece:
        return self.tree.line_start(pair.start), _line_break(self.text, self.tree.line_end(pair.end)), ""

    def _without_section(self, section: Section) -> Piece:
        end = self.tree.line_end(section.pairs[-1].end if section.pairs else section.head[1])
        end = _line_break(self.text, end)
        while end < len(self.text):
            stop = _line_break(self.text, self.tree.line_end(end))
            if self.text[end:stop].strip():
                break
            end = stop
        return self.tree.line_start(section.head[0]), end, ""

    def _unfit(self, why: str) -> Unreadable:
        place = Place(self.shown, 1, 1)
        hint = "make this change in the text"
        return Unreadable(Finding(Severity.ERROR, "edit-not-possible", why, hint, place))


def _into_inline(tree: Tree, table: Value, words: str, after: str) -> Piece:
    if not table.pairs:
        return table.start, table.end, f"{{ {words} }}"
    behind = next((p for p in table.pairs if p.path[-1] == after), table.pairs[-1])
    return behind.end, behind.end, f", {words}"


def _key_width(text: str, section: Section) -> int:
    """The width to which the keys of a section are filled up, 0 where they are not."""
    widths = set()
    for pair in section.pairs:
        equals = text.index("=", pair.names[-1][1])
        widths.add(equals - pair.start)
    filled = any(text[p.names[-1][1] : p.names[-1][1] + 2] == "  " for p in section.pairs)
    return widths.pop() - 1 if len(widths) == 1 and filled else 0


def _line_break(text: str, at: int) -> int:
    """Behind the line break that stands here."""
    if text[at : at + 2] == "\r\n":
        return at + 2
    return min(at + 1, len(text))


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


def _shown(path: Path) -> str:
    return ".".join(str(step) for step in path)
