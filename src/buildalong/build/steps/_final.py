"""What to look at before the supply is connected."""

from __future__ import annotations

from buildalong.board import Layout
from buildalong.build.steps._marks import position_words
from buildalong.build.steps._order import ordered_parts
from buildalong.build.steps._say import facts
from buildalong.build.steps._words import FINAL
from buildalong.circuit import Circuit
from buildalong.words import say

__all__ = ["final_checks"]


def final_checks(circuit: Circuit, layout: Layout) -> tuple[str, ...]:
    """List the last checks: direction of ICs and polarised parts, wires, bare leads, supply leads."""
    out: list[str] = []
    last: list[str] = []
    placed = ordered_parts(circuit.parts, layout)
    for part in placed:
        shape, known = part.type.body.shape, facts(part, layout)
        if position := position_words(part):
            out.append(say(FINAL["turn"], id=part.id, position=position))
        if part.type.family == "supply":
            last.append(say(FINAL["supply"], **known))
        elif shape == "tact":
            out.append(say(FINAL["tact"], **known))
        elif part.type.polarised and part.type.body.kind != "off-board":
            out.append(say(FINAL[shape if shape in FINAL else "polarised"], **known))
    if layout.wires:
        key = "one-wire" if len(layout.wires) == 1 else "wires"
        out.append(say(FINAL[key], count=len(layout.wires)))
    out.append(say(FINAL["bare"]))
    out.append(say(FINAL["parts"], count=sum(part.type.family != "supply" for part in placed)))
    return (*out, *last)
