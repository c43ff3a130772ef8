"""Parts in a row, and rows that are alike: they are to look alike."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from itertools import pairwise

from buildalong.drawing.schematic._items import GROUND, Item, base_of

__all__ = ["Branch", "alike", "branches", "columns"]

Branch = tuple[tuple[int, int], ...]
"""(item, number of the terminal it is entered by) of each part in a row."""


PARALLEL, AKIN = 300, 60
"""100 times the price of another position, where both ends of branches are the same or only one."""


def alike(items: Sequence[Item], still: Collection[int]) -> list[tuple[int, int, int]]:
    """Pairs of items that like to stand in one row in the same position, with a price; none of ``still``.

    They are parts of branches of the same kinds, two parts or more, that begin at the same net; and
    transistors with their emitters at 0 V, which are stages: for them another position has no price.
    """
    found: dict[tuple[int, int], int] = {}
    rows: dict[object, list[Branch]] = {}
    for branch in branches(items):
        back = tuple((i, 1 - entry) for i, entry in reversed(branch))
        for row in (branch, back) if len(branch) > 1 else ():
            (first, entry), kinds = row[0], tuple((items[i].part.type.family, k) for i, k in row)
            rows.setdefault((items[first].nets[entry], kinds), []).append(row)
    for like in rows.values():
        for one, other in pairwise(sorted(like)):
            ends = [items[row[-1][0]].nets[1 - row[-1][1]] for row in (one, other)]
            for (i, _), (j, _) in zip(one, other, strict=True):
                if i != j and not {i, j} & set(still):
                    pair = (min(i, j), max(i, j))
                    found[pair] = max(found.get(pair, 0), PARALLEL if ends[0] == ends[1] else AKIN)
    stages = [i for i, item in enumerate(items) if base_of(item) is not None and _grounded(item)]
    found.update(((i, j), 0) for i, j in pairwise(stages) if not {i, j} & set(still))
    return sorted((i, j, price) for (i, j), price in found.items())


def _grounded(item: Item) -> bool:
    """Whether a transistor's emitter is at 0 V."""
    return any(
        net == GROUND and item.part.type.terminal(name).role == "emitter"
        for name, net in zip(item.terminals, item.nets, strict=True)
    )


def columns(items: Sequence[Item], still: Collection[int]) -> list[tuple[int, int]]:
    """Pairs of parts of two leads that meet at a net: where they stand in one column, so do their texts."""
    two = [i for i, item in enumerate(items) if len(item.nets) == 2 and i not in still]
    return [
        (i, j) for i in two for j in two
        if i < j and any(net > GROUND for net in {*items[i].nets} & {*items[j].nets})
    ]  # fmt: skip


def branches(items: Sequence[Item]) -> list[Branch]:
    """Every longest row of two-lead parts, each once, from the net of the lower number."""
    touching: dict[int, list[tuple[int, int]]] = {}
    for i, item in enumerate(items):
        for k, net in enumerate(item.nets):
            touching.setdefault(net, []).append((i, k))

    def goes_on(net: int) -> bool:
        return (
            net > GROUND
            and len(touching[net]) == 2
            and all(len(items[i].nets) == 2 for i, _ in touching[net])
        )

    out = []
    for i, item in enumerate(items):
        for k, net in enumerate(item.nets):
            if len(item.nets) != 2 or net < 0 or goes_on(net):
                continue
            row = [(i, k)]
            while goes_on(ahead := items[row[-1][0]].nets[1 - row[-1][1]]):
                nexts = [end for end in touching[ahead] if end[0] != row[-1][0]]
                if not nexts:
                    break
                row.append(nexts[0])
            last, end = row[-1]
            if (net, i) <= (items[last].nets[1 - end], last):
                out.append(tuple(row))
    return sorted(set(out))
