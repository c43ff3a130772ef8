"""Rows of an array on a finished drawing: nets that are the same but for a shift."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from buildalong.circuit import Circuit
from buildalong.drawing.schematic._layout import Point, SchematicLayout, Segment

__all__ = ["at_rest", "rows_of"]

LEAST = 3
"""So many nets make rows; two alone are told apart without help."""


def rows_of(
    circuit: Circuit, layout: SchematicLayout, wires: Mapping[str, Sequence[Segment]]
) -> dict[str, tuple[str, ...]]:
    """For each net that is a row of an array, all rows of it from top to bottom, itself among them."""
    points = {pin: point for symbol in layout.symbols for pin, point in symbol.terminals}
    like: dict[object, list[tuple[Point, str]]] = {}
    for net, pins in circuit.nets.items():
        ends = sorted((_kind(circuit, pin.part), points[pin]) for pin in pins if pin in points)
        if len(ends) < 2 or net in (circuit.plus, circuit.ground):
            continue
        x, y = ends[0][1]
        shape = (
            tuple((kind, at.x - x, at.y - y) for kind, at in ends),
            tuple(sorted((a.x - x, a.y - y, b.x - x, b.y - y) for a, b in wires.get(net, ()))),
        )
        like.setdefault(shape, []).append((Point(x, y), net))
    families = [tuple(net for _, net in sorted(rows)) for rows in like.values() if len(rows) >= LEAST]
    return {net: family for family in families for net in family}


def _kind(circuit: Circuit, part: str) -> str:
    """The family of a part of two leads; an IC is only like itself."""
    found = circuit.by_id[part]
    return found.type.family if len(found.nets) == 2 else part


def at_rest(rows: Sequence[str], told: Mapping[str, str], flowing: Mapping[str, bool]) -> tuple[str, ...]:
    """The rows without a current that have the same voltage as most of them; none where they are few."""
    still = [net for net in rows if net in told and not flowing[net]]
    if not still:
        return ()
    (usual, count), *_ = Counter(told[net] for net in still).most_common()
    return tuple(net for net in still if told[net] == usual) if count >= LEAST else ()
