"""Small names of the nets beside their wires, where there is room."""

from __future__ import annotations

from dataclasses import replace

from buildalong.circuit import Circuit
from buildalong.drawing.schematic._beside import beside, lines_of
from buildalong.drawing.schematic._check import free_for
from buildalong.drawing.schematic._layout import Label, SchematicLayout
from buildalong.drawing.schematic._readback import wires_of_nets

__all__ = ["name_nets"]

PILED = 26.0
"""A name so near over or under a symbol's text seems to belong to it: two lines, user units."""


def name_nets(circuit: Circuit, layout: SchematicLayout) -> SchematicLayout:
    """The layout with the name of each net but the supply's at one of its wires; no room, no name."""
    rails = {circuit.plus, circuit.ground} if any(p.type.family == "supply" for p in circuit.parts) else set()
    out = layout
    for net, wires in wires_of_nets(circuit, layout).items():
        if net in rails:
            continue
        rows = sorted(wires, key=lambda s: (s.start.x == s.end.x, -s.length, s))
        places = [
            place
            for line in lines_of(circuit, layout, net, rows)
            for place in beside(net, line, "italic", "net")
            if free_for(out, place)
        ]
        label = next((place for place in places if not _piled(out, place)), next(iter(places), None))
        if label is not None:
            out = replace(out, labels=(*out.labels, label))
    return out


def _piled(layout: SchematicLayout, label: Label) -> bool:
    """Whether a name stands right over or under a symbol's text, as if it were one more line of it."""
    left, top, right, bottom = label.box
    texts = (text.box for symbol in layout.symbols for text in symbol.labels if text.role in ("ref", "value"))
    return any(
        x0 < right and left < x1 and max(y0 - bottom, top - y1) < PILED and min(bottom, y1) <= max(top, y0)
        for x0, y0, x1, y1 in texts
    )
