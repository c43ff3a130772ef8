"""Where each table, pair and value of a whole TOML text stands, from its first letter to its last.

The places of findings (:mod:`buildalong.lesson`) are beginnings only and exist in half-typed text too; an
edit needs both ends, and is made only in text that is TOML.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass, field
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tree_sitter import Node, Parser

__all__ = ["MARK", "Pair", "Path", "Piece", "Section", "Tree", "Value", "read_tree"]

Path = tuple[str | int, ...]
Span = tuple[int, int]
Piece = tuple[int, int, str]
"""Two places in a text, and what comes between them."""
MARK = "\ufeff"
"""A byte order mark: kept, and no part of TOML."""


@dataclass(frozen=True, slots=True)
class Value:
    """A value: ``kind`` is "inline", "array" or "plain".

    ``pairs`` are those of an inline table; ``members`` those of an array, and ``commas`` tells where the
    comma behind each of them stands (-1: there is none).
    """

    path: Path
    kind: str
    start: int
    end: int
    pairs: tuple[Pair, ...] = ()
    members: tuple[Value, ...] = ()
    commas: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Pair:
    """A key with its value; ``names`` are the spans of the names in the key, which may be dotted."""

    path: Path
    names: tuple[Span, ...]
    value: Value

    @property
    def start(self) -> int:
        """First letter of the key."""
        return self.names[0][0]

    @property
    def end(self) -> int:
        """Behind the last letter of the value."""
        return self.value.end


@dataclass(frozen=True, slots=True)
class Section:
    """The pairs under one header; the first section has none.  ``member``: its header is ``[[...]]``."""

    path: Path
    names: tuple[Span, ...]
    head: Span
    pairs: tuple[Pair, ...]
    member: bool = False


@dataclass(frozen=True)
class Tree:
    """A TOML text: its sections in order, and every pair and value by its path."""

    text: str
    sections: tuple[Section, ...]
    pairs: dict[Path, Pair] = field(default_factory=dict)
    values: dict[Path, Value] = field(default_factory=dict)

    def under(self, path: Path) -> tuple[Section, ...]:
        """The sections of a table and of what is in it."""
        return tuple(s for s in self.sections if s.path[: len(path)] == path)

    def line_start(self, at: int) -> int:
        """Where the line of this letter begins."""
        return self.text.rfind("\n", 0, at) + 1

    def line_end(self, at: int) -> int:
        """Where the line of this letter ends, before its line break."""
        end = self.text.find("\n", at)
        end = len(self.text) if end < 0 else end
        return end - 1 if end > at and self.text[end - 1] == "\r" else end

    @property
    def newline(self) -> str:
        """The line break that the author uses."""
        return "\r\n" if "\r\n" in self.text else "\n"


@cache
def _parser() -> Parser:
    import tree_sitter_toml
    from tree_sitter import Language, Parser

    return Parser(Language(tree_sitter_toml.language()))


def read_tree(text: str) -> Tree:
    """Read a TOML text that is known to be whole.  Raises ValueError where a piece is strange."""
    source = text.encode()
    root = _parser().parse(source).root_node
    reader = _Reader(text, source)
    sections = reader.read(root)
    tree = Tree(text, sections)
    for section in sections:
        for pair in section.pairs:
            _note(tree, pair)
    return tree


def _note(tree: Tree, pair: Pair) -> None:
    tree.pairs[pair.path] = pair
    _note_value(tree, pair.value)


def _note_value(tree: Tree, value: Value) -> None:
    tree.values[value.path] = value
    for pair in value.pairs:
        _note(tree, pair)
    for member in value.members:
        _note_value(tree, member)


class _Reader:
    """One reading; byte offsets of the grammar become letters of the text."""

    def __init__(self, text: str, source: bytes) -> None:
        self.source = source
        self.counts: dict[Path, int] = {}
        self.letters: list[int] | None = None
        if not text.isascii():
            self.letters = [number for number, letter in enumerate(text) for _ in letter.encode()]
            self.letters.append(len(text))
        # a byte order mark is no part of the grammar
        self.skip = len("\ufeff".encode()) if text.startswith("\ufeff") else 0

    def span(self, node: Node) -> Span:
        start, end = node.start_byte, node.end_byte
        return (start, end) if self.letters is None else (self.letters[start], self.letters[end])

    def read(self, root: Node) -> tuple[Section, ...]:
        head: list[Pair] = []
        rest: list[Section] = []
        for node in root.children:
            if node.type == "pair":
                head.append(self.pair(node, ()))
            elif node.type in ("table", "table_array_element"):
                rest.append(self.section(node))
            elif node.type == "ERROR" and node.end_byte > self.skip:
                raise ValueError("the text has a piece that is no TOML")
        return (Section((), (), (0, 0), tuple(head)), *rest)

    def section(self, node: Node) -> Section:
        if node.has_error:
            raise ValueError("a table has a piece that is no TOML")
        member = node.type == "table_array_element"
        key = node.named_children[0]
        names, spans = self.key(key)
        path: Path = ()
        for name in names[:-1]:
            path = (*path, name)
            if path in self.counts:
                path = (*path, self.counts[path] - 1)
        path = (*path, names[-1])
        if member:
            number = self.counts.get(path, 0)
            self.counts[path] = number + 1
            path = (*path, number)
        close = next(child for child in node.children if child.type in ("]", "]]"))
        pairs = tuple(self.pair(child, path) for child in node.named_children[1:] if child.type == "pair")
        return Section(path, spans, (self.span(node)[0], self.span(close)[1]), pairs, member)

    def pair(self, node: Node, path: Path) -> Pair:
        if node.has_error:
            raise ValueError("a line has a piece that is no TOML")
        key, value = (child for child in node.named_children if child.type != "comment")
        names, spans = self.key(key)
        here = (*path, *names)
        return Pair(here, spans, self.value(value, here))

    def value(self, node: Node, path: Path) -> Value:
        start, end = self.span(node)
        if node.type == "inline_table":
            pairs = tuple(self.pair(child, path) for child in node.named_children if child.type == "pair")
            return Value(path, "inline", start, end, pairs)
        if node.type != "array":
            return Value(path, "plain", start, end)
        members: list[Value] = []
        commas: list[int] = []
        for child in node.children:
            if child.type == ",":
                commas[-1] = self.span(child)[0]
            elif child.is_named and child.type != "comment":
                members.append(self.value(child, (*path, len(members))))
                commas.append(-1)
        return Value(path, "array", start, end, (), tuple(members), tuple(commas))

    def key(self, node: Node) -> tuple[tuple[str, ...], tuple[Span, ...]]:
        """The names in a key and their spans; a dotted key is nested to the left."""
        pieces: list[Node] = []
        while node.type == "dotted_key":
            children = [child for child in node.children if child.type in _KEYS]
            pieces.append(children[-1])
            node = children[0]
        pieces.append(node)
        pieces.reverse()
        names = tuple(_name((piece.text or b"").decode()) for piece in pieces)
        return names, tuple(self.span(piece) for piece in pieces)


_KEYS = ("bare_key", "quoted_key", "dotted_key")


def _name(written: str) -> str:
    """What a key says, without its quotes and escapes."""
    if written[:1] not in "\"'":
        return written
    return next(iter(tomllib.loads(f"{written}=0")))
