"""What tells in which order wires go in: their nets, where they lie, and which of them cross."""

from __future__ import annotations

from itertools import combinations, pairwise
from math import dist

from buildalong.board import Layout, strip_nets
from buildalong.build.steps._lie import crossing
from buildalong.circuit import Circuit

__all__ = ["Wiring"]


class Wiring:
    """The wires of a layout, by their numbers from 0 on."""

    def __init__(self, circuit: Circuit, layout: Layout) -> None:
        at, strip_of, wires = layout.board.holes, layout.board.strip_of, layout.wires
        strips = strip_nets(circuit, layout)
        ends = [(wire.start, wire.end) for wire in wires]
        found = [[strips.get(strip_of.get(hole, ""), "") for hole in pair] for pair in ends]
        self.net = [one or other or wire.net for (one, other), wire in zip(found, wires, strict=True)]
        self.supply = [net in (circuit.plus, circuit.ground) for net in self.net]
        self.flexible = [wire.style == "flexible" for wire in wires]
        rows = [[at[hole][1] for hole in pair if hole in at] or [0.0] for pair in ends]
        self.rows = [(min(both), max(both)) for both in rows]
        lines = [
            layout.line(wire) if {*pair} <= at.keys() else () for wire, pair in zip(wires, ends, strict=True)
        ]
        self.length = [round(sum(dist(a, b) for a, b in pairwise(line)), 6) for line in lines]
        self.crossed = {
            frozenset((i, j))
            for i, j in combinations(range(len(wires)), 2)
            if lines[i] and lines[j] and crossing(layout, wires[i], wires[j])
        }

    def jump(self, one: int, other: int) -> float:
        """How far one wire lies from another along the board, at the ends that are farther apart [rows]."""
        (a, b), (c, d) = self.rows[one], self.rows[other]
        return max(abs(a - c), abs(b - d))

    def crosses(self, one: int, other: int) -> bool:
        """Whether the two cross."""
        return frozenset((one, other)) in self.crossed
