"""Colours of wires: their names, and which net gets which."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from itertools import combinations, pairwise

from buildalong.board._layout import Layout
from buildalong.board._readback import strip_nets
from buildalong.circuit import Circuit

__all__ = ["WIRE_COLOURS", "colour_conflicts", "net_colours", "spread_colours"]

Pair = tuple[str, str]
"""Two nets, in the order of their names."""

WIRE_COLOURS = (
    "red", "black", "yellow", "green", "blue", "orange", "white", "violet", "grey", "brown", "purple",
    "teal", "pink",
)  # fmt: skip
"""Colours of insulation that a layout may name."""
_IN_TURN = ("yellow", "green", "blue", "orange", "white", "violet", "grey", "brown")


PART, WIDE_PART, CLOSE, ANY = 1000, 20, 100, 1
"""What it costs that two nets have one colour: at one part; at a part with more nets than there are colours;
where their strips are neighbours, their wires cross or run side by side; anywhere."""


def net_colours(
    circuit: Circuit, layout: Layout | None = None, kept: Mapping[str, str] | None = None
) -> Mapping[str, str]:
    """A wire colour for every net: red for plus, black for ground, then a fixed palette in net order.

    Where there are more nets than colours, two share one where it misleads least: never at one part that
    could do without, nor, with a ``layout``, in neighbouring strips or wires that meet.  Then ``kept`` nets
    have theirs, and nets that have a wire there choose first.
    """
    out = {circuit.plus: "red", circuit.ground: "black"}
    rest = [net for net in circuit.nets if net not in out]
    if len(rest) <= len(_IN_TURN):
        return {**out, **dict(zip(rest, _IN_TURN, strict=False))}
    own = {net: colour for net, colour in (kept or {}).items() if net in rest}
    conflicts = colour_conflicts(circuit, len(_IN_TURN), layout)
    if layout is not None:
        wired = {wire.net for wire in layout.wires}
        own = spread_colours([net for net in rest if net in wired or net in own], _IN_TURN, own, conflicts)
    return {**out, **spread_colours(rest, _IN_TURN, own, conflicts)}


def spread_colours(
    nets: Sequence[str], colours: Sequence[str], kept: Mapping[str, str], conflicts: Mapping[Pair, int]
) -> dict[str, str]:
    """A colour for each of ``nets``: in turn while there are some, then where ``conflicts`` cost least.

    First each net for itself, then one and two at a time until nothing gets better; ``kept`` ones stay.
    """
    out = dict(kept)

    def cost(net: str, colour: str) -> int:
        same = (other for other, its in out.items() if its == colour and other != net)
        return sum(conflicts.get(_pair(net, other), 0) + ANY for other in same)

    free = [net for net in nets if net not in kept]
    for net in free:
        out[net] = min(colours, key=lambda colour: cost(net, colour))
    better = True
    while better:
        better = False
        for net in free:
            best = min(colours, key=lambda colour: cost(net, colour))
            if cost(net, best) < cost(net, out[net]):
                out[net], better = best, True
        for one, other in combinations(free, 2):
            if out[one] == out[other]:
                continue
            before = cost(one, out[one]) + cost(other, out[other])
            out[one], out[other] = out[other], out[one]
            if cost(one, out[one]) + cost(other, out[other]) < before:
                better = True
            else:
                out[one], out[other] = out[other], out[one]
    return {net: out[net] for net in nets}


def colour_conflicts(circuit: Circuit, colours: int, layout: Layout | None = None) -> dict[Pair, int]:
    """What it costs that two nets have the same of so many ``colours``, beyond what it costs anywhere."""
    out: dict[Pair, int] = {}

    def add(nets: Iterable[str], price: int) -> None:
        for one, other in combinations(sorted(set(nets)), 2):
            out[one, other] = out.get((one, other), 0) + price

    supply = {net for part in circuit.parts if part.type.family == "supply" for net in part.nets}
    for part in circuit.parts:
        nets = {net for net in part.nets if net and net not in supply}
        add(nets, PART if len(nets) <= colours else WIDE_PART)
    if layout is None:
        return out
    board = layout.board
    owners = strip_nets(circuit, layout)
    for strip, net in owners.items():
        holes = board.strips[strip]
        if board.rail_of(holes[0]) is None:
            x, y = board.holes[holes[0]]
            beside = board.hole_at(x, y + 1)
            add({net, owners.get(board.strip_of[beside], net) if beside else net}, CLOSE)
    runs: dict[str, set[tuple[int, int]]] = {}
    for wire in layout.wires:
        net = owners.get(board.strip_of[wire.start], wire.net)
        corners = [board.holes[wire.start], *wire.path, board.holes[wire.end]]
        runs.setdefault(net, set()).update(_cells(corners))
    for (one, here), (other, there) in combinations(sorted(runs.items()), 2):
        if any((x + dx, y + dy) in there for x, y in here for dx in (-1, 0, 1) for dy in (-1, 0, 1)):
            add((one, other), CLOSE)
    return out


def _pair(one: str, other: str) -> Pair:
    return (one, other) if one < other else (other, one)


def _cells(corners: Sequence[tuple[float, float]]) -> set[tuple[int, int]]:
    """The places of the grid that a wire runs over."""
    out = set()
    for (x0, y0), (x1, y1) in pairwise(corners):
        count = max(1, math.ceil(2 * math.dist((x0, y0), (x1, y1))))
        out |= {
            (round(x0 + (x1 - x0) * i / count), round(y0 + (y1 - y0) * i / count)) for i in range(count + 1)
        }
    return out
