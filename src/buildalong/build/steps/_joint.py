"""Legs that are always joined inside their part, and what hangs on that joint on this board."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from buildalong.board import Layout, hole_name, joined_strips
from buildalong.build.steps._words import JOINED
from buildalong.circuit import Circuit, Part
from buildalong.words import in_parts, listed, say

__all__ = ["joint_words", "supplied", "through"]


@dataclass(frozen=True)
class _Joint:
    """Legs of one part, by their numbers from 0, that are joined inside it and stand in several strips."""

    part: str
    legs: tuple[int, ...]

    def lifted(self, layout: Layout) -> Layout:
        """The layout with these legs in no hole."""
        holes = tuple("" if n in self.legs else hole for n, hole in enumerate(layout.holes[self.part]))
        return replace(layout, holes={**layout.holes, self.part: holes})

    def holes(self, layout: Layout) -> tuple[str, ...]:
        """The holes of its legs, row by row."""
        at = layout.board.holes
        found = (layout.holes[self.part][leg] for leg in self.legs)
        return tuple(sorted(found, key=lambda hole: at[hole][::-1]))

    def carries(self, circuit: Circuit, layout: Layout) -> bool:
        """Whether leads of other parts meet each other through it alone."""
        rest, of = self.lifted(layout), layout.board.strip_of
        others = [holes for name, holes in layout.holes.items() if name != self.part]
        met = {of[hole] for holes in others for hole in holes if hole in of}
        sides = {joined_strips(circuit, rest, [of[hole]]) for hole in self.holes(layout)}
        return sum(not met.isdisjoint(side) for side in sides) > 1


def _joints(part: Part, layout: Layout) -> Iterator[_Joint]:
    of, kind = layout.board.strip_of, part.type
    linked = {frozenset(pair) for pair in kind.internal_links} | {frozenset((t,)) for t in kind.leg_terminals}
    groups: dict[int, list[int]] = {}
    where: dict[int, str] = {}
    for leg, (name, hole) in enumerate(zip(kind.leg_terminals, layout.holes.get(part.id, ()), strict=False)):
        if hole not in of:
            continue
        where[leg] = of[hole]
        groups[leg] = [leg]
        for first in [one for one in groups if one != leg]:
            if any(frozenset((kind.leg_terminals[n], name)) in linked for n in groups[first]):
                groups[leg] = groups.pop(first) + groups[leg]
    for legs in groups.values():
        if len({where[leg] for leg in legs}) > 1:
            yield _Joint(part.id, tuple(sorted(legs)))


def joint_words(circuit: Circuit, layout: Layout, part: Part, nets: Mapping[str, str]) -> str:
    """Say what a part's joined legs carry that would not meet without them; '' where nothing hangs on them.

    ``nets``: strip -> its net in words.
    """
    rows: list[tuple[int, str]] = []
    said: list[str] = []
    for joint in _joints(part, layout):
        holes = joint.holes(layout)
        net = nets.get(layout.board.strip_of[holes[0]], "")
        if not net or not joint.carries(circuit, layout):
            continue
        one, other = (layout.board.row_of(hole) for hole in (holes[0], holes[-1]))
        if len(holes) == 2 and one is not None and one == other:
            rows.append((one, net))
        else:
            where = listed([hole_name(hole) for hole in holes])
            said.append(say(JOINED["holes"], id=part.id, holes=where, net=net))
    if len(rows) == 1:
        said.insert(0, say(JOINED["row"], id=part.id, row=rows[0][0], net=rows[0][1]))
    elif rows:
        each = [say(JOINED["in-row"], row=row, net=net) for row, net in sorted(rows)]
        said.insert(0, say(JOINED["rows"], id=part.id, rows=in_parts(each)))
    return " ".join(said)


def through(circuit: Circuit, layout: Layout, strip: str) -> list[str]:
    """The parts with a leg in this strip by whose joints alone the supply reaches it."""
    found = []
    for part in circuit.besides_supply:
        for joint in _joints(part, layout):
            here = strip in {layout.board.strip_of[hole] for hole in joint.holes(layout)}
            if here and strip not in supplied(circuit, joint.lifted(layout)):
                found.append(part.id)
    return list(dict.fromkeys(found))


def supplied(circuit: Circuit, layout: Layout) -> frozenset[str]:
    """The strips that a lead of the supply reaches through wires and joined legs alone."""
    leads = (layout.board.strip_of.get(hole) for hole in layout.holes.get(circuit.supply.id, ()))
    return joined_strips(circuit, layout, [strip for strip in leads if strip is not None])
