"""Whether a number on a drawing may be read as part of another text, or as another part's."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from buildalong.drawing._text import Box
from buildalong.drawing.schematic._check import wire_box
from buildalong.drawing.schematic._layout import Label, SchematicLayout, Segment, Symbol

__all__ = ["in_foreign_row", "mistaken", "piled", "plus_signs"]

SPACE = 14.0
"""Texts and marks on one line that are nearer than this [units] are read in one go: "3 0 A", "0.09 V +"."""
PILED = 26.0
"""So near over or under a part's texts, or a row, a text seems one line more of them: user units."""
AT_WIRE = 6.0
"""A number so near over or under a level wire is of that wire: user units."""


def mistaken(layout: SchematicLayout, label: Label, owner: Symbol | None = None) -> int:
    """In how many ways a free place of a number invites a wrong reading; ``owner`` is the part it is of.

    A number of a part stands over or under no texts of another part.
    """
    others = (symbol for symbol in layout.symbols if owner is not None and symbol.part != owner.part)
    texts = (text.box for symbol in others for text in symbol.labels if text.role in ("ref", "value"))
    return sum(_in_one_go(label.box, box) for box in _marks(layout)) + sum(
        piled(label.box, box) for box in texts
    )


def in_foreign_row(layout: SchematicLayout, label: Label, own: Iterable[Segment]) -> bool:
    """Whether a voltage beside an upright wire seems to be of a row close over or under it.

    A row is a part that lies, or a level wire that is none of the net's ``own``.
    """
    own = set(own)
    level = [(wire_box(wire), wire in own) for wire in layout.segments if wire.start.y == wire.end.y]
    if any(mine and piled(label.box, box, AT_WIRE) for box, mine in level):
        return False
    lying = (symbol.body for symbol in layout.symbols if _lies(symbol))
    foreign = (box for box, mine in level if not mine)
    return any(piled(label.box, box) for box in (*lying, *foreign))


def _lies(symbol: Symbol) -> bool:
    """Whether a symbol's two leads are level and in line."""
    if len(symbol.terminals) != 2:
        return False
    (_, one), (_, other) = symbol.terminals
    return one.y == other.y


def _marks(layout: SchematicLayout) -> Iterator[Box]:
    """Texts of symbols, numbers written before, and plus signs."""
    for symbol in layout.symbols:
        yield from plus_signs(symbol)
        yield from (text.box for text in symbol.labels if text.role != "name")
    yield from (text.box for text in layout.labels)


def plus_signs(symbol: Symbol) -> list[Box]:
    """Where a symbol bears a plus sign: a level and an upright line that cross in their middles."""
    lines = [stroke.at for stroke in symbol.strokes if stroke.kind == "line"]
    middles = [((x1 + x2) / 2, (y1 + y2) / 2) for x1, y1, x2, y2 in lines]
    return [
        (min(x1, x2), min(v1, v2), max(x1, x2), max(v1, v2))
        for (x1, y1, x2, y2), middle in zip(lines, middles, strict=True)
        for (u1, v1, u2, v2), other in zip(lines, middles, strict=True)
        if abs(y1 - y2) < 0.1 and abs(u1 - u2) < 0.1 and math.dist(middle, other) < 0.1
    ]


def _in_one_go(one: Box, other: Box) -> bool:
    """Whether two rectangles stand side by side on one line."""
    shared = min(one[3], other[3]) - max(one[1], other[1])
    return 2 * shared > one[3] - one[1] and max(other[0] - one[2], one[0] - other[2]) < SPACE


def piled(one: Box, other: Box, near: float = PILED) -> bool:
    """Whether one rectangle stands less than ``near`` over or under the other."""
    left, top, right, bottom = one
    x0, y0, x1, y1 = other
    return x0 < right and left < x1 and max(y0 - bottom, top - y1) < near and min(bottom, y1) <= max(top, y0)
