"""The author's hints, as wishes of the structure."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from buildalong.drawing.schematic._items import Structure

__all__ = ["FIRM", "follow"]

FIRM, CLOSE = 12.0, 1.5
"""Weight of an order that the author wants; price of a cell between parts that are to be near."""


def follow(structure: Structure, hints: Collection[tuple[str, str, str]]) -> Structure:
    """Put hints (kind, part, other part) into a structure; parts that are not placed are passed over."""
    if not hints:
        return structure
    number: dict[str, int] = {}
    for i, item in enumerate(structure.items):
        number.setdefault(item.part.id, i)
    items = list(structure.items)
    before, above = list(structure.before), list(structure.above)
    near, line = list(structure.near), list(structure.line)
    for kind, part, other in hints:
        if part not in number or (other and other not in number):
            continue
        i, j = number[part], number.get(other, -1)
        if kind == "left of":
            before = [pair for pair in before if {*pair[:2]} != {i, j}] + [(i, j, FIRM)]
        elif kind == "above":
            above = [pair for pair in above if {*pair[:2]} != {i, j}] + [(i, j, FIRM)]
        elif kind == "in line with":
            line.append((i, j))
        elif kind == "near":
            near.append((i, j, CLOSE))
        elif kind in ("upright", "lying"):
            wanted = [v for v in items[i].variants if v.turn % 2 == (kind == "lying")]
            items[i] = replace(items[i], variants=tuple(wanted) or items[i].variants)
    return replace(
        structure, items=tuple(items), before=tuple(before), above=tuple(above), near=tuple(near),
        line=tuple(line),
    )  # fmt: skip
