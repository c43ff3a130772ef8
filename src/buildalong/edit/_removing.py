"""The letters that go with a pair, a table or a member that is taken out of a TOML text."""

from __future__ import annotations

from buildalong.edit._tree import Pair, Piece, Section, Tree, Value

__all__ = ["without_inner", "without_line", "without_member", "without_section"]


def without_member(tree: Tree, array: Value, at: int) -> Piece:
    """Take a member out of an array: its line where it stands alone."""
    text, member, comma = tree.text, array.members[at], array.commas[at]
    start, end = member.start, comma + 1 if comma >= 0 else member.end
    line, stop = tree.line_start(start), tree.line_end(end)
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


def without_inner(table: Value, pair: Pair) -> Piece:
    """Take a pair out of an inline table."""
    number = table.pairs.index(pair)
    if number + 1 < len(table.pairs):
        return pair.start, table.pairs[number + 1].start, ""
    if number:
        return table.pairs[number - 1].end, pair.end, ""
    return table.start, table.end, "{}"


def without_line(tree: Tree, pair: Pair) -> Piece:
    """Take out the lines of a pair."""
    return tree.line_start(pair.start), _line_break(tree.text, tree.line_end(pair.end)), ""


def without_section(tree: Tree, section: Section) -> Piece:
    """Take out a header, its pairs, and the blank lines behind them."""
    end = tree.line_end(section.pairs[-1].end if section.pairs else section.head[1])
    end = _line_break(tree.text, end)
    while end < len(tree.text):
        stop = _line_break(tree.text, tree.line_end(end))
        if tree.text[end:stop].strip():
            break
        end = stop
    return tree.line_start(section.head[0]), end, ""


def _line_break(text: str, at: int) -> int:
    """Behind the line break that stands here."""
    if text[at : at + 2] == "\r\n":
        return at + 2
    return min(at + 1, len(text))
