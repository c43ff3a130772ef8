"""Which colour a net has in every picture of a circuit."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

from buildalong.board import Layout, colour_conflicts, spread_colours
from buildalong.circuit import Circuit
from buildalong.drawing import _palette as palette
from buildalong.drawing._palette import NetColour, Tone

__all__ = ["curve_colours", "net_colours"]

_ALIKE = {"violet": "purple"}
"""Colours of wires that look like one of nets."""


def net_colours(circuit: Circuit, layout: Layout | None = None) -> dict[str, NetColour]:
    """A colour for each net: the supply's two by custom, the others in order of appearance.

    Where the layout's wires name their net, the net takes the colour of its wires; the others take colours
    that no net has that is near them, and few have at all.  Where one must come again, it is the same, not
    one nearly like it; bars tell the nets apart.
    """
    supplies = (part for part in circuit.parts if part.type.family == "supply")
    plus, ground = next((part.nets[:2] for part in supplies), ("", ""))
    wired = {wire.net: wire.colour for wire in reversed(layout.wires) if wire.net} if layout else {}
    shown = {_ALIKE.get(name, name): NetColour(name, palette.wire_colour(name)) for name in wired.values()}
    signals = [net for net in circuit.nets if net not in (plus, ground)]
    kept = {net: _ALIKE.get(wired[net], wired[net]) for net in signals if wired.get(net) in palette.WIRES}
    fresh = {colour.name: colour for colour in palette.NETS}
    conflicts = colour_conflicts(circuit, len(fresh), layout)
    out = {plus: palette.PLUS, ground: palette.GROUND}
    for net, name in spread_colours(signals, tuple(fresh), kept, conflicts).items():
        out[net] = (
            NetColour(wired[net], palette.WIRES[wired[net]]) if net in kept else shown.get(name, fresh[name])
        )
    count: Counter[str] = Counter()
    for net in circuit.nets:
        out[net] = replace(out[net], bars=count[out[net].hex])
        count[out[net].hex] += 1
    return {net: out[net] for net in circuit.nets}


def curve_colours(
    circuit: Circuit, layout: Layout | None = None, tone: Tone = palette.PLAIN
) -> dict[str, str]:
    """The same colours, to draw curves in: one that is too pale on the page is darker (sRGB hex)."""
    page = tone.colour(palette.PAPER)
    colours = {net: tone.colour(colour.hex) for net, colour in net_colours(circuit, layout).items()}
    return {net: palette.seen_on(colour, page, tone.curve) for net, colour in colours.items()}
