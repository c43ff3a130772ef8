"""Colours of wires: their names, and which net gets which."""

from __future__ import annotations

from collections.abc import Mapping

from buildalong.circuit import Circuit

__all__ = ["WIRE_COLOURS", "net_colours"]

WIRE_COLOURS = (
    "red", "black", "yellow", "green", "blue", "orange", "white", "violet", "grey", "brown", "purple",
    "teal", "pink",
)  # fmt: skip
"""Colours of insulation that a layout may name."""
_IN_TURN = ("yellow", "green", "blue", "orange", "white", "violet", "grey", "brown")


def net_colours(circuit: Circuit) -> Mapping[str, str]:
    """A wire colour for every net: red for plus, black for ground, then a fixed palette in net order."""
    out = {circuit.plus: "red", circuit.ground: "black"}
    rest = [net for net in circuit.nets if net not in out]
    return {**out, **{net: _IN_TURN[i % len(_IN_TURN)] for i, net in enumerate(rest)}}
