"""A wire in words, or several like ones: from where to where, and how they lie among what is there."""

from __future__ import annotations

from collections.abc import Sequence

from buildalong.board import (
    Layout,
    Wire,
    a_wire,
    hole_name,
    hole_words,
    holes_words,
    strip_words,
    the_wire_alone,
)
from buildalong.build.steps._lie import in_the_bow, left_free, passed
from buildalong.build.steps._say import Said
from buildalong.build.steps._words import CHECK, LIE, TEXT, TITLE
from buildalong.circuit import Circuit
from buildalong.words import in_parts, listed, say

__all__ = ["ends_words", "say_wires"]

_MOST_NAMED = 3


def say_wires(circuit: Circuit, layout: Layout, wires: Sequence[int], before: Layout) -> list[Said]:
    """Say how the wires of one step go on the board: like ones that cross nothing at once, others one by one.

    ``before`` is the board without them, ``layout`` the finished one.
    """
    new = [layout.wires[index] for index in wires]
    lying = [[*before.wires, *new[:count]] for count in range(len(new))]
    over = [passed(layout, wire, below) for wire, below in zip(new, lying, strict=True)]
    if len(new) > 1 and len({(wire.colour, wire.style) for wire in new}) == 1 and not any(over):
        return [_several(circuit, layout, new, before)]
    return [_one(circuit, layout, wire, before, below) for wire, below in zip(new, over, strict=True)]


def _one(
    circuit: Circuit, layout: Layout, wire: Wire, before: Layout, over: Sequence[tuple[Wire, int]]
) -> Said:
    around = in_the_bow(circuit, layout, wire, before.holes)
    bent = "wire-around" if around else "wire-bent" if wire.path else "wire"
    text = say(
        TEXT["wire-flexible" if wire.style == "flexible" else bent],
        wire=a_wire(wire),
        start=hole_words(wire.start),
        end=hole_words(wire.end),
        parts=_few(around, LIE["standing"]),
    )
    later = _later(circuit, layout, wire, before)
    free = [] if around or later or wire.style == "flexible" else left_free(layout, wire, before)
    if later or free or over:
        wires = [say(LIE["at"], wire=the_wire_alone(other), row=row) for other, row in over]
        lies = [*(["room"] if later else ["free"] if free else []), *(["over"] if over else [])]
        gaps = {"parts": _few(later, LIE["later"]), "holes": holes_words(free)}
        text += " " + say(LIE["-".join(lies)], **gaps, wires=_few(wires, LIE["many"]))
    strips = [strip_words(layout.board.strip_of[hole]) for hole in (wire.start, wire.end)]
    return Said(
        say(TITLE["wire"], start=hole_name(wire.start), end=hole_name(wire.end)),
        text,
        say(CHECK["wire"], start=strips[0], end=strips[1]),
    )


def _several(circuit: Circuit, layout: Layout, wires: Sequence[Wire], before: Layout) -> Said:
    first = wires[0]
    key = (
        "wires-flexible"
        if first.style == "flexible"
        else "wires-bent"
        if any(w.path for w in wires)
        else "wires"
    )
    pairs = [say(LIE["from-to"], start=hole_words(w.start), end=hole_words(w.end)) for w in wires[1:]]
    start, end = hole_words(first.start), hole_words(first.end)
    text = say(TEXT[key], wire=a_wire(first), start=start, end=end, pairs=listed(pairs))
    text += _room(circuit, layout, wires, before)
    title = say(TITLE["wires"], count=len(wires), pairs=in_parts([ends_words(wire) for wire in wires]))
    return Said(title, text, say(CHECK["wires"]))


def ends_words(wire: Wire) -> str:
    """A wire by its ends, as in headings: 'c6 to d9'."""
    return say(TITLE["wires-pair"], start=hole_name(wire.start), end=hole_name(wire.end))


def _room(circuit: Circuit, layout: Layout, wires: Sequence[Wire], before: Layout) -> str:
    """For which parts several wires leave room: one sentence for those that leave it for the same ones."""
    found = [(wire, _later(circuit, layout, wire, before)) for wire in wires]
    out = ""
    for later in dict.fromkeys(tuple(parts) for _, parts in found if parts):
        bent = [wire for wire, parts in found if tuple(parts) == later]
        key = "room-many" if len(bent) == len(wires) else "room-some" if len(bent) > 1 else "room-one"
        pairs = [say(LIE["from-to"], start=hole_words(w.start), end=hole_words(w.end)) for w in bent]
        out += " " + say(LIE[key], pairs=listed(pairs), parts=_few(later, LIE["later"]))
    return out


def _later(circuit: Circuit, layout: Layout, wire: Wire, before: Layout) -> list[str]:
    """The parts that are not there yet for which a formed wire is bent."""
    if wire.style == "flexible":
        return []
    return in_the_bow(circuit, layout, wire, [name for name in layout.holes if name not in before.holes])


def _few(names: Sequence[str], otherwise: str) -> str:
    """A few names, or words for more of them."""
    return listed(names) if len(names) <= _MOST_NAMED else say(otherwise, count=len(names))
