"""How far a built board is from the wanted circuit, strip by strip.

Each strip in use is given the net that it seems meant for.  What is then wrong is counted: a lead in
a strip of another net, a wire between strips of two nets, a net whose strips are not all joined.
How the strips' nets are chosen so that the count is least: ``_guess``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from buildalong.board._board import Board
from buildalong.board._layout import Layout
from buildalong.board._readback import Joints, leg_strips
from buildalong.circuit import Circuit, Part

__all__ = ["Built", "Case", "Misfit", "alone"]

_WEIGHTS = {1: 1.0, 2: 1.0, 3: 1.2}
_SMALL = 2
"""Up to so many strips the main piece of a net may be the one that is astray."""
_RIGID = 2.5
"""What a wrong lead counts, by the number of legs: with four or more no leg can be wrong alone."""


def alone(part: str, terminal: str) -> str:
    """A name for the net of a terminal that meets nothing."""
    return f"~{part}.{terminal}"


@dataclass(frozen=True)
class Built:
    """Where the legs and wire ends are: strips, in leg order, None for a lead in no hole."""

    legs: Mapping[str, tuple[str | None, ...]]
    wires: tuple[tuple[str | None, str | None], ...]

    @classmethod
    def of(cls, parts: Iterable[Part], layout: Layout) -> Built:
        """Read legs and wire ends from a layout."""
        strip = layout.board.strip_of.get
        return cls(
            {part.id: leg_strips(part, layout) for part in parts},
            tuple((strip(wire.start), strip(wire.end)) for wire in layout.wires),
        )

    def with_part(self, part: str, strips: tuple[str | None, ...]) -> Built:
        """The same with one part's legs elsewhere."""
        return Built({**self.legs, part: strips}, self.wires)

    def with_wire(self, index: int, ends: tuple[str | None, str | None]) -> Built:
        """The same with one wire elsewhere."""
        return Built(self.legs, (*self.wires[:index], ends, *self.wires[index + 1 :]))


@dataclass
class Misfit:
    """What is wrong, given the net of each strip.

    ``leads``: (part, leg number, net it should be on); ``wires``: indices; ``gaps``: net -> groups of
    strips that ought to be joined, the main one first.
    """

    cost: float
    leads: list[tuple[str, int, str]] = field(default_factory=list)
    wires: list[int] = field(default_factory=list)
    gaps: dict[str, list[list[str]]] = field(default_factory=dict)

    def trouble(self, built: Built) -> set[str]:
        """The strips where something is wrong: of leads, of wire ends, of pieces cut off from their net."""
        out = {built.legs[part][leg] for part, leg, _ in self.leads}
        out |= {strip for index in self.wires for strip in built.wires[index]}
        for groups in self.gaps.values():
            main = groups[:1] if len(groups[0]) <= _SMALL else []
            out |= {strip for group in (*main, *groups[1:]) for strip in group}
        return {strip for strip in out if strip is not None}


@dataclass(frozen=True)
class Case:
    """The wanted circuit as far as its parts are on the board; ``missing`` parts are left out."""

    board: Board
    circuit: Circuit
    missing: frozenset[str]

    @cached_property
    def parts(self) -> tuple[Part, ...]:
        """The parts that are on the board."""
        return tuple(part for part in self.circuit.parts if part.id not in self.missing)

    @cached_property
    def _linked(self) -> Joints:
        joints = Joints()
        for net in self.circuit.nets:
            joints.root(net)
        for part in self.circuit.parts:
            for one, other in part.type.internal_links:
                first, second = part.net(one), part.net(other)
                if first is not None and second is not None:
                    joints.join(first, second)
        return joints

    @cached_property
    def want(self) -> dict[str, tuple[tuple[str, ...], ...]]:
        """Part -> the net of each leg, once for each way round that is right."""
        out: dict[str, tuple[tuple[str, ...], ...]] = {}
        for part in self.parts:
            net_of = {}
            for terminal, net in zip(part.type.terminals, part.nets, strict=True):
                net_of[terminal.name] = (
                    alone(part.id, terminal.name) if net is None else self._linked.root(net)
                )
            ways = [net_of]
            names = list(net_of)
            if part.type.swappable and len(names) == 2:
                ways.append({names[0]: net_of[names[1]], names[1]: net_of[names[0]]})
            out[part.id] = tuple(
                dict.fromkeys(tuple(way[terminal] for terminal in part.type.leg_terminals) for way in ways)
            )
        return out

    @cached_property
    def forgiven(self) -> frozenset[str]:
        """Nets in which a missing part may have joined strips inside itself."""
        out: set[str] = set()
        for part in self.circuit.parts:
            if part.id in self.missing:
                legs = part.type.leg_terminals
                out |= {
                    self._linked.root(net)
                    for terminal in part.type.terminals
                    if legs.count(terminal.name) > 1 and (net := part.net(terminal.name)) is not None
                }
        return frozenset(out)

    @cached_property
    def weight(self) -> dict[str, float]:
        """How much it counts when a lead of the part is in the wrong place."""
        return {part.id: _WEIGHTS.get(len(part.type.leg_terminals), _RIGID) for part in self.parts}

    @cached_property
    def inner(self) -> dict[str, tuple[tuple[int, int], ...]]:
        """Part -> pairs of leg numbers that are joined inside it."""
        out: dict[str, tuple[tuple[int, int], ...]] = {}
        for part in self.parts:
            legs = part.type.leg_terminals
            pairs = [(legs.index(t), i) for i, t in enumerate(legs) if legs.index(t) != i]
            pairs += [(legs.index(one), legs.index(other)) for one, other in part.type.internal_links]
            out[part.id] = tuple(pairs)
        return out

    def way(self, part: str, strips: tuple[str | None, ...], nets: Mapping[str, str]) -> tuple[str, ...]:
        """The way round in which fewest of a part's leads are wrong."""
        ways = self.want[part]
        if len(ways) == 1:
            return ways[0]
        return min(
            ways,
            key=lambda way: sum(
                s is not None and nets.get(s) != net for s, net in zip(strips, way, strict=True)
            ),
        )

    def misfit(self, built: Built, nets: Mapping[str, str]) -> Misfit:
        """Count what is wrong when the strips carry these nets."""
        out = Misfit(0.0)
        joints: dict[str, str] = {}

        def root(strip: str) -> str:
            while (up := joints.setdefault(strip, strip)) != strip:
                strip = up
            return strip

        right: dict[str, dict[str, int]] = {}
        for part, strips in built.legs.items():
            way = self.way(part, strips, nets)
            for number, (strip, net) in enumerate(zip(strips, way, strict=True)):
                if strip is None:
                    continue
                if nets.get(strip) == net:
                    tally = right.setdefault(net, {})
                    tally[strip] = tally.get(strip, 0) + 1
                else:
                    out.leads.append((part, number, net))
                    out.cost += self.weight[part]
            for one, other in self.inner[part]:
                first, second = strips[one], strips[other]
                if first and second and nets.get(first) == way[one] and nets.get(second) == way[other]:
                    joints[root(second)] = root(first)
        for index, (start, end) in enumerate(built.wires):
            if start is None or end is None:
                continue
            if nets.get(start) != nets.get(end):
                out.wires.append(index)
                out.cost += 1.0
            else:
                joints[root(end)] = root(start)
        for net, tally in right.items():
            if len(tally) < 2 or net in self.forgiven:
                continue
            groups: dict[str, list[str]] = {}
            for strip in tally:
                groups.setdefault(root(strip), [])
            if len(groups) > 1:
                for strip, carried in nets.items():
                    if carried == net and (top := root(strip)) in groups:
                        groups[top].append(strip)
                out.gaps[net] = sorted(
                    (sorted(group, key=self.rank) for group in groups.values()),
                    key=lambda group: (
                        not self._fed(built, group),
                        -sum(tally.get(strip, 0) for strip in group),
                        self.rank(group[0]),
                    ),
                )
                out.cost += len(groups) - 1
        return out

    @cached_property
    def _order(self) -> dict[str, int]:
        return {strip: number for number, strip in enumerate(self.board.strips)}

    def rank(self, strip: str) -> int:
        """The place of a strip in the order of the board."""
        return self._order[strip]

    def _fed(self, built: Built, group: list[str]) -> bool:
        """Whether the supply's leads stand in one of the strips."""
        return any(
            strip in group
            for part in self.parts
            if part.type.family == "supply"
            for strip in built.legs[part.id]
        )
