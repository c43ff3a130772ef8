"""The last resort: parts in a row, one level wire for every net.  Never pretty, always correct."""

from __future__ import annotations

from itertools import pairwise

from buildalong.circuit import Circuit
from buildalong.drawing.schematic._items import GROUND, LOCAL, PLUS, Structure
from buildalong.drawing.schematic._layout import CELL, GAP, Point, SchematicLayout, Segment
from buildalong.drawing.schematic._shape import DOWN, LEFT, RIGHT, UP, Variant, around

__all__ = ["plain_layout"]


def plain_layout(circuit: Circuit, structure: Structure) -> SchematicLayout:
    """Draw any circuit without a search: every terminal drops in a column of its own to its net's row."""
    from buildalong.drawing.schematic._trace import placed, rail_end

    items = structure.items
    shapes = [item.variants[0] for item in items]
    extents = [around(variant.rects) for variant in shapes]
    up = max(sum(way == UP for *_, way in variant.terminals) for variant in shapes)
    base = up + 2 + max(int(-min(e[1] for e in extents) // CELL) + 1, 1)
    bottom = base + max(max(y for _, _, y, _ in v.terminals) for v in shapes) + 3
    row = {PLUS: bottom}
    others = [n for n in range(2, len(structure.nets)) if sum(n in item.nets for item in items)]
    for k, net in enumerate(others):
        row[net] = bottom + 2 + 2 * k
    row[GROUND] = bottom + 2 + 2 * len(others)
    segments: list[Segment] = []
    drops: dict[int, list[int]] = {}
    symbols = []
    x = 4
    for item, variant, extent in zip(items, shapes, extents, strict=True):
        left = min([int((extent[0] - GAP) // CELL), *(tx for _, tx, _, _ in variant.terminals)])
        right = max([int(-(-(extent[2] + GAP) // CELL)), *(tx for _, tx, _, _ in variant.terminals)])
        wires = _fan_out(variant, left, right)
        origin = x - min([left, *(px for path in wires.values() for px, _ in path)])
        symbols.append(placed(item, variant, origin, base))
        for k, net in enumerate(item.nets):
            net = PLUS if net == LOCAL else net
            if net < 0 or (net not in (PLUS, GROUND) and len(circuit.nets[structure.nets[net]]) < 2):
                continue
            corners = [Point(px + origin, py + base) for px, py in wires[k]]
            corners.append(Point(corners[-1].x, row[net]))
            for one, other in pairwise(corners):
                segments.append(Segment(min(one, other), max(one, other)))
            drops.setdefault(net, []).append(corners[-1].x)
        x = origin + max([right, *(px for path in wires.values() for px, _ in path)]) + 2
    dots = []
    has_supply = any(part.type.family == "supply" for part in circuit.parts)
    for net, columns in sorted(drops.items()):
        level = row[net]
        if net in (PLUS, GROUND) and has_supply:
            columns.append(2)
            symbols.append(rail_end(circuit, net, Point(2, level)))
        columns.sort()
        if len(columns) > 1:
            segments.append(Segment(Point(columns[0], level), Point(columns[-1], level)))
            dots += [Point(c, level) for c in columns[1:-1]]
    return SchematicLayout(
        tuple(symbols), tuple(sorted(segments)), tuple(sorted(dots)), (), (row[PLUS], row[GROUND]), True
    )


def _fan_out(variant: Variant, left: int, right: int) -> dict[int, list[tuple[int, int]]]:
    """For each terminal a path to the head of its own column, relative to the symbol."""
    out: dict[int, list[tuple[int, int]]] = {}
    by_way: dict[int, list[int]] = {way: [] for way in range(4)}
    for k, (_, _, _, way) in enumerate(variant.terminals):
        by_way[way].append(k)
    where = {k: (x, y) for k, (_, x, y, _) in enumerate(variant.terminals)}
    for k in by_way[DOWN]:
        out[k] = [where[k]]
    for n, k in enumerate(sorted(by_way[LEFT], key=lambda k: -where[k][1])):
        out[k] = [where[k], (left - 1 - n, where[k][1])]
    for n, k in enumerate(sorted(by_way[RIGHT], key=lambda k: -where[k][1])):
        out[k] = [where[k], (right + 1 + n, where[k][1])]
    count = len(by_way[RIGHT])
    top = min(y for _, y in where.values())
    for n, k in enumerate(sorted(by_way[UP], key=lambda k: -where[k][0])):
        level = min(top, where[k][1]) - 1 - n
        out[k] = [where[k], (where[k][0], level), (right + 1 + count + n, level)]
    return out
