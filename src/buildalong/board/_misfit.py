"""How far a built board is from the wanted circuit, strip by strip.

Each strip in use is given the net that it seems meant for.  What is then wrong is counted: a lead in
a strip of another net, a wire between strips of two nets, a net whose strips are not all joined.
The strips' nets are chosen so that the count is least, by vote first and by local search after.
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

_SWEEPS = 6
_WEIGHTS = {1: 1.0, 2: 1.0, 3: 1.2}
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

    def nets_of(
        self, built: Built, start: Mapping[str, str] | None = None, only: Iterable[str] = ()
    ) -> tuple[dict[str, str], Misfit]:
        """Choose the net of each strip in use; from ``start`` on, looking again at ``only``."""
        inside, beside = self._contents(built)
        used = sorted({*inside, *beside}, key=self.rank)
        nets = dict(start) if start is not None else self._votes(inside)
        for strip in list(nets):
            if strip not in inside and strip not in beside:
                del nets[strip]
        for strip in used:
            if strip not in nets and strip in inside:
                nets[strip] = min(inside[strip], key=lambda net: -inside[strip][net])
        for _ in range(len(used)):
            bare = [s for s in used if s not in nets and any(t in nets for t in beside.get(s, ()))]
            if not bare:
                break
            for strip in bare:
                nets[strip] = next(nets[t] for t in beside[strip] if t in nets)
        best = self.misfit(built, nets)
        look = used if start is None else self._near(only, beside, used)
        groups = self._groups(used, beside)
        for _ in range(_SWEEPS):
            before = best.cost
            for strip in look:
                for group in dict.fromkeys(((strip,), groups[strip])):
                    options = dict.fromkeys(
                        [*inside.get(strip, ()), *(nets[t] for t in beside.get(strip, ()) if t in nets)]
                    )
                    for net in options:
                        trial = nets | dict.fromkeys(group, net)
                        if trial != nets and (found := self.misfit(built, trial)).cost < best.cost - 1e-9:
                            nets, best = trial, found
            if best.cost >= before - 1e-9:
                break
        return nets, best

    def _contents(self, built: Built) -> tuple[dict[str, dict[str, float]], dict[str, list[str]]]:
        """Strip -> nets that its leads may be meant for, with votes; strip -> strips that wires lead to."""
        inside: dict[str, dict[str, float]] = {}
        for part, strips in built.legs.items():
            ways = self.want[part]
            for way in ways:
                for strip, net in zip(strips, way, strict=True):
                    if strip is not None:
                        tally = inside.setdefault(strip, {})
                        tally[net] = tally.get(net, 0.0) + self.weight[part] / len(ways)
        beside: dict[str, list[str]] = {}
        for start, end in built.wires:
            if start is not None and end is not None and start != end:
                beside.setdefault(start, []).append(end)
                beside.setdefault(end, []).append(start)
        return inside, beside

    @staticmethod
    def _votes(inside: Mapping[str, Mapping[str, float]]) -> dict[str, str]:
        return {strip: min(tally, key=lambda net: -tally[net]) for strip, tally in inside.items()}

    @staticmethod
    def _near(only: Iterable[str], beside: Mapping[str, list[str]], used: list[str]) -> list[str]:
        wanted = set(only)
        wanted |= {other for strip in list(wanted) for other in beside.get(strip, ())}
        return [strip for strip in used if strip in wanted]

    @staticmethod
    def _groups(used: list[str], beside: Mapping[str, list[str]]) -> dict[str, tuple[str, ...]]:
        joints = Joints()
        for strip in used:
            for other in beside.get(strip, ()):
                joints.join(strip, other)
        members: dict[str, list[str]] = {}
        for strip in used:
            members.setdefault(joints.root(strip), []).append(strip)
        return {strip: tuple(members[joints.root(strip)]) for strip in used}
