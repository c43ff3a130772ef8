"""Small names of the nets beside their wires, where there is room."""

from __future__ import annotations

from dataclasses import replace

from buildalong.circuit import Circuit
from buildalong.drawing import _text
from buildalong.drawing.schematic._check import free_for
from buildalong.drawing.schematic._layout import CELL, Label, SchematicLayout, Segment
from buildalong.drawing.schematic._readback import wires_of_nets
from buildalong.drawing.schematic._shape import SMALL

__all__ = ["name_nets"]

OFF = 4.0
"""Distance of a net's name from its wire, user units."""


def name_nets(circuit: Circuit, layout: SchematicLayout) -> SchematicLayout:
    """The layout with the name of each net but the supply's at one of its wires; no room, no name."""
    rails = {circuit.plus, circuit.ground} if any(p.type.family == "supply" for p in circuit.parts) else set()
    out = layout
    for net, wires in wires_of_nets(circuit, layout).items():
        if net in rails:
            continue
        for wire in sorted(wires, key=lambda s: (s.start.x == s.end.x, -s.length, s)):
            label = next((place for place in _places(net, wire) if free_for(out, place)), None)
            if label is not None:
                out = replace(out, labels=(*out.labels, label))
                break
    return out


def _places(net: str, wire: Segment) -> list[Label]:
    """Where a name may stand along a wire: over it, under it; beside an upright one."""
    (x1, y1), (x2, y2) = ((p.x * CELL, p.y * CELL) for p in wire)
    tall = _text.CAP_HEIGHT * SMALL
    if y1 == y2:
        wide = _text.width(net, SMALL, "italic")
        starts = [(x1 + x2 - wide) / 2, x1 + OFF, x2 - OFF - wide]
        fits = [x for x in starts if x1 <= x and x + wide <= x2]
        return [
            Label(net, x, y, SMALL, "start", "italic", "net")
            for y in (y1 - OFF, y1 + OFF + tall)
            for x in fits
        ]
    middles = [(y1 + y2 + tall) / 2, y1 + CELL / 2 + tall / 2, y2 - CELL / 2 + tall / 2]
    right = [Label(net, x1 + OFF + 1, y, SMALL, "start", "italic", "net") for y in middles]
    return right + [Label(net, x1 - OFF - 1, y, SMALL, "end", "italic", "net") for y in middles]
