"""Where each key and value of a TOML text stands: dotted path -> line and column.

The tree-sitter grammar reads half-typed text too, so positions exist even where the standard
reader gives up.  Paths are written ``parts.R1.pins.2``; members of arrays are counted from 0.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import TYPE_CHECKING

from buildalong.finding import Place

if TYPE_CHECKING:
    from tree_sitter import Node, Parser, Tree

__all__ = ["MAX_DEPTH", "Positions", "TooDeepError", "positions"]

MAX_DEPTH = 12
"""Deepest path of keys and array members that is read; a lesson needs five."""

_KEYS = ("bare_key", "quoted_key", "dotted_key")


class TooDeepError(ValueError):
    """The text nests deeper than :data:`MAX_DEPTH`; ``place`` says where."""

    def __init__(self, place: Place) -> None:
        self.place = place
        super().__init__(f"nested deeper than {MAX_DEPTH} levels")


@dataclass(frozen=True)
class Positions:
    """Places of keys and values by dotted path; a path not known falls back to its nearest parent."""

    file: str
    keys: Mapping[str, Place] = field(default_factory=dict)
    values: Mapping[str, Place] = field(default_factory=dict)

    def key(self, *path: str | int) -> Place:
        """Place of a key (its first letter), or of the nearest parent that is known."""
        return self._find(self.keys, path)

    def value(self, *path: str | int) -> Place:
        """Place of a value, or of the nearest parent that is known."""
        return self._find(self.values, path)

    def _find(self, first: Mapping[str, Place], path: tuple[str | int, ...]) -> Place:
        names = [str(step) for step in path]
        while names:
            dotted = ".".join(names)
            for places in (first, self.keys, self.values):
                if dotted in places:
                    return places[dotted]
            names.pop()
        return Place(self.file, 1, 1)

    def __contains__(self, dotted: object) -> bool:
        """Whether the text has a key or value at this dotted path."""
        return dotted in self.keys or dotted in self.values


@cache
def _parser() -> Parser:
    import tree_sitter_toml
    from tree_sitter import Language, Parser

    return Parser(Language(tree_sitter_toml.language()))


def positions(text: str, file: str) -> Positions:
    """Find the place of every key and value of a TOML text, whole or half-typed; raises TooDeepError."""
    source = text.encode()
    return _Reader(file, source).read(_parser().parse(source))


class _Reader:
    def __init__(self, file: str, source: bytes) -> None:
        self.file = file
        self.lines = source.split(b"\n")
        self.keys: dict[str, Place] = {}
        self.values: dict[str, Place] = {}
        self.counts: dict[str, int] = {}

    def read(self, tree: Tree) -> Positions:
        for node in tree.root_node.named_children:
            if node.type == "pair":
                self.pair(node, ())
            elif node.type in ("table", "table_array_element"):
                self.table(node)
            elif node.type == "ERROR":
                self.broken(node)
        return Positions(self.file, self.keys, self.values)

    def place(self, node: Node) -> Place:
        row, column = node.start_point
        before = self.lines[row][:column].decode(errors="replace")
        return Place(self.file, row + 1, len(before) + 1)

    def table(self, node: Node) -> None:
        children = node.named_children
        if not children or children[0].type not in _KEYS:
            return
        path = self.resolved(tuple(self.names(children[0])))
        if node.type == "table_array_element":
            dotted = ".".join(path)
            number = self.counts.get(dotted, 0)
            self.counts[dotted] = number + 1
            self.keys.setdefault(dotted, self.place(children[0]))
            path = (*path, str(number))
        self.keys.setdefault(".".join(path), self.place(children[0]))
        self.values.setdefault(".".join(path), self.place(children[0]))
        for child in children[1:]:
            if child.type == "pair":
                self.pair(child, path)

    def resolved(self, path: tuple[str, ...]) -> tuple[str, ...]:
        """Put the number of the latest array element into a table name ([trial.extra] -> trial.0.extra)."""
        out: list[str] = []
        for name in path[:-1]:
            out.append(name)
            number = self.counts.get(".".join(out), 0)
            if number:
                out.append(str(number - 1))
        return (*out, path[-1])

    def pair(self, node: Node, path: tuple[str, ...]) -> None:
        children = [child for child in node.named_children if child.type not in ("ERROR", "comment")]
        if not children or children[0].type not in _KEYS:
            return
        key = children[0]
        here = (*path, *self.names(key))
        if len(here) > MAX_DEPTH:
            raise TooDeepError(self.place(key))
        self.keys.setdefault(".".join(here), self.place(key))
        if len(children) > 1:
            self.value(children[1], here)

    def value(self, node: Node, path: tuple[str, ...]) -> None:
        if len(path) > MAX_DEPTH:
            raise TooDeepError(self.place(node))
        self.values.setdefault(".".join(path), self.place(node))
        if node.type == "inline_table":
            for child in node.named_children:
                if child.type == "pair":
                    self.pair(child, path)
        elif node.type == "array":
            members = [child for child in node.named_children if child.type not in ("comment", "ERROR")]
            for number, child in enumerate(members):
                self.value(child, (*path, str(number)))

    def broken(self, node: Node) -> None:
        """Keep the places of whatever can still be read inside a piece that is not yet TOML."""
        for child in node.named_children:
            if child.type == "pair":
                self.pair(child, ())
            elif child.type in _KEYS:
                self.keys.setdefault(".".join(self.names(child)), self.place(child))

    def names(self, key: Node) -> Iterator[str]:
        """Names in a key; a dotted key is nested to the left, so walk it without recursion."""
        if key.type != "dotted_key":
            yield self.name(key)
            return
        out: list[str] = []
        node: Node | None = key
        while node is not None and node.type == "dotted_key":
            children = node.named_children
            if len(children) > 1:
                out.append(self.name(children[-1]))
            node = children[0] if children else None
            if len(out) > MAX_DEPTH:
                raise TooDeepError(self.place(key))
        if node is not None:
            out.append(self.name(node))
        yield from reversed(out)

    def name(self, node: Node) -> str:
        text = (node.text or b"").decode(errors="replace")
        return text[1:-1] if node.type == "quoted_key" else text
