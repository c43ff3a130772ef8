"""Parts without a right way round, taken the way in which an author has put them down."""

from __future__ import annotations

from dataclasses import replace

from buildalong.board._layout import Layout
from buildalong.board._readback import leg_strips, strip_nets
from buildalong.circuit import Circuit, Part

__all__ = ["oriented"]


def oriented(circuit: Circuit, layout: Layout) -> Circuit:
    """The same circuit with the nets of swappable parts exchanged where a layout has them that way.

    Parts of which both ways are as likely stay as they are.  Decided one by one, the surest first: by
    what the other leads and the wires make of their strips.
    """
    open_parts = [
        part
        for part in circuit.parts
        if part.type.swappable and part.id in layout.holes and len(set(part.nets)) == 2 == len(part.nets)
    ]
    waiting = {part.id for part in open_parts}
    made = circuit
    while waiting:
        sure = Circuit(tuple(part for part in made.parts if part.id not in waiting))
        known = strip_nets(sure, layout)
        leads = {part.id: _lead(part, layout, known) for part in open_parts if part.id in waiting}
        name = max(leads, key=lambda part: abs(leads[part]))
        if leads[name] < 0:
            part = made.by_id[name]
            made = made.with_part(replace(part, nets=part.nets[::-1]))
        waiting.discard(name)
    return made


def _lead(part: Part, layout: Layout, known: dict[str, str]) -> int:
    """How many more legs are on their nets as the part is than the other way round."""
    strips = leg_strips(part, layout)
    legs = [part.net(terminal) for terminal in part.type.leg_terminals]
    other = {part.nets[0]: part.nets[1], part.nets[1]: part.nets[0]}
    right = [known.get(strip or "") for strip in strips]
    score = 0
    for net, there in zip(legs, right, strict=True):
        if there is not None:
            score += (net == there) - (other[net] == there)
    return score
