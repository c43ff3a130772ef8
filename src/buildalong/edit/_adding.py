"""Where a new pair, table or member goes in a TOML text, and the letters that bring it there."""

from __future__ import annotations

from buildalong.edit._literal import key_text, literal
from buildalong.edit._tree import MARK, Pair, Path, Piece, Section, Tree, Value

__all__ = ["UnfitError", "addition", "member", "shown"]

ORDER = ("parts", "trial", "promise", "layout", "picture", "mistakes", "source", "words")
"""The tables of a lesson in the order in which they are usually written."""


class UnfitError(ValueError):
    """There is no place for it."""


def addition(tree: Tree, path: Path, value: object, after: str) -> Piece:
    """The piece that adds a pair."""
    parent, name = path[:-1], str(path[-1])
    many = isinstance(value, list | tuple) and any(isinstance(m, list | tuple) for m in value)
    words = f"{key_text(name)} = {literal(value, lines=many)}"
    inline = tree.values.get(parent)
    if inline is not None and inline.kind == "inline":
        return _into_inline(tree, inline, words, after)
    home = next((s for s in reversed(tree.sections) if s.path == parent and (s.names or not parent)), None)
    if home is not None and (home.pairs or home.names):
        return _line_in(tree, home, name, words)
    dotted = [p for s in tree.sections for p in s.pairs if p.path[: len(parent)] == parent]
    if parent and dotted and inline is None:
        last = dotted[-1]
        written = tree.text[last.start : last.names[len(parent) - len(last.path)][0]]
        return _line_behind(tree, last, written + words)
    if not parent:
        return _first_line(tree, words)
    return _new_section(tree, parent, path, words, value)


def _line_in(tree: Tree, home: Section, name: str, words: str) -> Piece:
    if not home.pairs:
        at = tree.line_end(home.head[1])
        return at, at, f"\n{words}"
    width = _key_width(tree.text, home)
    if width > len(key_text(name)):
        words = key_text(name).ljust(width) + words[len(key_text(name)) :]
    return _line_behind(tree, home.pairs[-1], words)


def _line_behind(tree: Tree, pair: Pair, words: str) -> Piece:
    start = tree.line_start(pair.start)
    at = tree.line_end(pair.end)
    return at, at, f"\n{tree.text[start : pair.start]}{words}"


def _first_line(tree: Tree, words: str) -> Piece:
    at = len(MARK) if tree.text.startswith(MARK) else 0
    return at, at, f"{words}\n" if len(tree.sections) == 1 else f"{words}\n\n"


def _new_section(tree: Tree, parent: Path, path: Path, words: str, value: object) -> Piece:
    """A header of its own: where its table goes on, in the usual order, or at the end."""
    whole = ".".join(key_text(str(step)) for step in parent)
    around = tree.under(parent)
    if around and isinstance(value, dict):
        inner = "".join(f"\n{key_text(key)} = {literal(entry)}" for key, entry in value.items())
        last = around[-1]
        at = tree.line_end(last.pairs[-1].end if last.pairs else last.head[1])
        return at, at, f"\n\n[{whole}.{key_text(str(path[-1]))}]{inner}"
    if any(not isinstance(step, str) for step in parent) or (len(parent) > 1 and not around):
        raise UnfitError(f"there is no {shown(parent)}")
    before = around[0] if around else _next_in_order(tree, str(parent[0]))
    if before is not None:
        at = _with_comments(tree, before.head[0])
        return at, at, f"[{whole}]\n{words}\n\n"
    gap = "" if not tree.text or tree.text.endswith("\n\n") else "\n"
    if tree.text and not tree.text.endswith("\n"):
        gap = "\n\n"
    return len(tree.text), len(tree.text), f"{gap}[{whole}]\n{words}\n"


def _next_in_order(tree: Tree, name: str) -> Section | None:
    later = ORDER[ORDER.index(name) + 1 :] if name in ORDER else ()
    return next((s for s in tree.sections if s.names and s.path[0] in later), None)


def _with_comments(tree: Tree, at: int) -> int:
    """Where the comments begin that stand right above the line of this letter."""
    start = tree.line_start(at)
    while start > 0:
        above = tree.line_start(start - 1)
        if not tree.text[above:start].lstrip().startswith("#"):
            break
        start = above
    return start


def member(tree: Tree, array: Value, at: int, words: str) -> Piece:
    """The piece that puts a member into an array."""
    text, count = tree.text, len(array.members)
    if not count:
        inner = text[array.start + 1 : array.end - 1]
        if inner.strip():  # comments only: the member goes below them
            return array.end - 1, array.end - 1, f"  {words},\n"
        return array.start + 1, array.end - 1, words
    first = array.members[0]
    lines = "\n" in text[array.start : first.start]
    indent = text[tree.line_start(first.start) : first.start] if lines else ""
    if at == 0:
        return first.start, first.start, f"{words},\n{indent}" if lines else f"{words}, "
    last, comma = array.members[at - 1], array.commas[at - 1]
    if not lines:
        return (comma + 1, comma + 1, f" {words},") if comma >= 0 else (last.end, last.end, f", {words}")
    behind = comma + 1 if comma >= 0 else last.end
    line = tree.line_end(behind)
    rest = text[behind:line].strip()
    if rest and not rest.startswith("#"):  # more stands on this line
        line = behind
    if comma >= 0:
        return line, line, f"\n{indent}{words},"
    return last.end, line, f",{text[last.end : line]}\n{indent}{words}"


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


def shown(path: Path) -> str:
    """A path for people."""
    return ".".join(str(step) for step in path)
