"""Small names of the nets beside their wires, where there is room."""

from __future__ import annotations

from dataclasses import replace

from buildalong.circuit import Circuit
from buildalong.drawing.schematic._beside import beside, lines_of
from buildalong.drawing.schematic._check import free_for
from buildalong.drawing.schematic._layout import SchematicLayout
from buildalong.drawing.schematic._readback import wires_of_nets

__all__ = ["name_nets"]


def name_nets(circuit: Circuit, layout: SchematicLayout) -> SchematicLayout:
    """The layout with the name of each net but the supply's at one of its wires; no room, no name."""
    rails = {circuit.plus, circuit.ground} if any(p.type.family == "supply" for p in circuit.parts) else set()
    out = layout
    for net, wires in wires_of_nets(circuit, layout).items():
        if net in rails:
            continue
        rows = sorted(wires, key=lambda s: (s.start.x == s.end.x, -s.length, s))
        places = (
            place
            for line in lines_of(circuit, layout, net, rows)
            for place in beside(net, line, "italic", "net")
            if free_for(out, place)
        )
        label = next(places, None)
        if label is not None:
            out = replace(out, labels=(*out.labels, label))
    return out
