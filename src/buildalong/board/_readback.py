"""The circuit that a layout really makes, read from holes, strips and leads alone."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace

from buildalong.board._layout import Layout
from buildalong.circuit import Circuit, Part

__all__ = [
    "NOWHERE",
    "Joints",
    "equal",
    "joined_strips",
    "leg_strips",
    "read_back",
    "strip_nets",
    "terminal_strips",
]

NOWHERE = ("", "-")
"""Hole names of a lead that is in no hole."""


class Joints:
    """Things joined in groups (union-find); each group is known by its earliest member."""

    def __init__(self) -> None:
        self._up: dict[str, str] = {}
        self._age: dict[str, int] = {}

    def root(self, item: str) -> str:
        """The earliest member of the item's group."""
        if item not in self._up:
            self._up[item] = item
            self._age[item] = len(self._age)
        top = item
        while self._up[top] != top:
            top = self._up[top]
        while self._up[item] != top:
            self._up[item], item = top, self._up[item]
        return top

    def join(self, one: str, other: str) -> bool:
        """Join two groups; False where they were one already."""
        first, second = self.root(one), self.root(other)
        if first == second:
            return False
        if self._age[second] < self._age[first]:
            first, second = second, first
        self._up[second] = first
        return True


def leg_strips(part: Part, layout: Layout) -> tuple[str | None, ...]:
    """The strip of each leg in leg order; None for a leg in no hole of this board."""
    holes = layout.holes.get(part.id, ())
    strips = [layout.board.strip_of.get(hole) for hole in holes]
    legs = len(part.type.leg_terminals)
    return tuple((strips + [None] * legs)[:legs])


def terminal_strips(part: Part, layout: Layout) -> dict[str, tuple[str, ...]]:
    """Terminal name -> the strips that its legs stand in (several for a terminal with several legs)."""
    out: dict[str, list[str]] = {terminal.name: [] for terminal in part.type.terminals}
    for terminal, strip in zip(part.type.leg_terminals, leg_strips(part, layout), strict=True):
        if strip is not None and strip not in out[terminal]:
            out[terminal].append(strip)
    return {terminal: tuple(strips) for terminal, strips in out.items()}


def read_back(circuit_parts: Iterable[Part], layout: Layout) -> Circuit:
    """Give the circuit that the layout makes.

    It knows holes, strips, leads, wires and what a part joins inside itself (a terminal with several
    legs, ``internal_links``); it looks neither at the nets of ``circuit_parts`` nor at ``Wire.net``.
    Parts without a lead in a hole are left out; a terminal with no leg in a hole is None.  Each net
    carries the name of its first strip in the order of the board ("12L", "L+").
    """
    parts = [p for p in circuit_parts if any(leg_strips(p, layout))]
    where = {part.id: terminal_strips(part, layout) for part in parts}
    joints = _joined(parts, where, layout)
    return Circuit(
        tuple(
            replace(
                part,
                nets=tuple(
                    joints.root(where[part.id][t.name][0]) if where[part.id][t.name] else None
                    for t in part.type.terminals
                ),
            )
            for part in parts
        )
    )


def strip_nets(circuit: Circuit, layout: Layout) -> dict[str, str]:
    """Strip name -> the net of the circuit that it carries, for each strip that carries one.

    Strips that the layout joins carry the net that most of their leads belong to; where two nets
    have as many leads, the one that comes first in the circuit.
    """
    where = {part.id: terminal_strips(part, layout) for part in circuit.parts}
    joints = _joined(circuit.parts, where, layout)
    votes: dict[str, dict[str, int]] = defaultdict(dict)
    for pin, net in circuit.pins():
        for strip in where[pin.part][pin.terminal]:
            if net is not None:
                tally = votes[joints.root(strip)]
                tally[net] = tally.get(net, 0) + 1
    order = {net: number for number, net in enumerate(circuit.nets)}
    winner = {root: max(tally, key=lambda net: (tally[net], -order[net])) for root, tally in votes.items()}
    return {strip: winner[root] for strip in layout.board.strips if (root := joints.root(strip)) in winner}


def joined_strips(circuit: Circuit, layout: Layout, strips: Iterable[str]) -> frozenset[str]:
    """The strips that the layout joins with any of the given ones, themselves among them."""
    where = {part.id: terminal_strips(part, layout) for part in circuit.parts}
    joints = _joined(circuit.parts, where, layout)
    roots = {joints.root(strip) for strip in strips}
    return frozenset(strip for strip in layout.board.strips if joints.root(strip) in roots)


def _joined(parts: Iterable[Part], where: dict[str, dict[str, tuple[str, ...]]], layout: Layout) -> Joints:
    """Strips joined by wires and inside parts; ``where`` as of terminal_strips for each part."""
    joints = Joints()
    for strip in layout.board.strips:
        joints.root(strip)
    for wire in layout.wires:
        start, end = (layout.board.strip_of.get(hole) for hole in (wire.start, wire.end))
        if start is not None and end is not None:
            joints.join(start, end)
    for part in parts:
        mine = where[part.id]
        for strips in mine.values():
            for strip in strips[1:]:
                joints.join(strips[0], strip)
        for one, other in part.type.internal_links:
            if mine[one] and mine[other]:
                joints.join(mine[one][0], mine[other][0])
    return joints


def equal(wanted: Circuit, real: Circuit) -> bool:
    """Whether two circuits join the same pins of the same parts.

    Net names, the order of parts and the two ways round of a swappable part do not matter; a pin on
    a net of its own equals an open one.
    """
    return _meetings(wanted) == _meetings(real)


def _meetings(circuit: Circuit) -> list[list[tuple[str, str]]]:
    """What meets at each net, as sorted lists; a swappable part's terminals share one name.

    A part with interchangeable terminals is known by the nets that it touches, whichever end is on
    which, so equal lists of meetings are the same as an isomorphism that keeps the parts.
    """
    joints = Joints()
    nets: dict[str, list[tuple[str, str]]] = defaultdict(list)
    alone: list[list[tuple[str, str]]] = []
    for part in circuit.parts:
        for one, other in part.type.internal_links:
            first, second = part.net(one), part.net(other)
            if first is not None and second is not None:
                joints.join(first, second)
    for part in circuit.parts:
        for terminal, net in zip(part.type.terminals, part.nets, strict=True):
            token = (part.id, "" if part.type.swappable else terminal.name)
            if net is None:
                alone.append([token])
            else:
                nets[joints.root(net)].append(token)
    return sorted([*alone, *(sorted(tokens) for tokens in nets.values())])
