"""Small names of the nets beside their wires, where there is room."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from buildalong.circuit import Circuit
from buildalong.drawing.schematic._beside import beside, lines_of
from buildalong.drawing.schematic._check import free_for, wire_box
from buildalong.drawing.schematic._layout import Label, SchematicLayout, Segment
from buildalong.drawing.schematic._mistaken import piled
from buildalong.drawing.schematic._readback import wires_of_nets

__all__ = ["name_nets"]

ALONG = 16.0
"""A name so near over or under a level wire seems to be its own, user units."""


def name_nets(circuit: Circuit, layout: SchematicLayout) -> SchematicLayout:
    """The layout with the name of each net but the supply's at one of its wires; no room, no name."""
    rails = {circuit.plus, circuit.ground} if any(p.type.family == "supply" for p in circuit.parts) else set()
    out, all_wires = layout, wires_of_nets(circuit, layout)
    for net, wires in all_wires.items():
        if net in rails:
            continue
        rows = sorted(wires, key=lambda s: (s.start.x == s.end.x, -s.length, s))
        places = [
            place
            for line in lines_of(circuit, layout, net, rows)
            for place in beside(net, line, "italic", "net")
        ]
        strangers = [s for other, near in all_wires.items() if other != net for s in near]
        places.sort(key=lambda place: _taken_for_another(out, strangers, place))
        label = next((place for place in places if free_for(out, place)), None)
        if label is not None:
            out = replace(out, labels=(*out.labels, label))
    return out


def _taken_for_another(layout: SchematicLayout, strangers: Iterable[Segment], label: Label) -> bool:
    """Whether a name stands along another net's wire, or near a symbol's text as one more line of it."""
    texts = (text.box for symbol in layout.symbols for text in symbol.labels if text.role in ("ref", "value"))
    level = (wire_box(s) for s in strangers if s.start.y == s.end.y)
    return any(piled(label.box, text) for text in texts) or any(
        piled(label.box, wire, ALONG) for wire in level
    )
