"""What an order of steps costs: one table of weights; less is better."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise

from buildalong.board import Layout, outline_of
from buildalong.build.hand import ListStep
from buildalong.build.steps._order import kind_of
from buildalong.build.steps._wiring import Wiring
from buildalong.circuit import Circuit, Part

__all__ = ["ORDER_WEIGHTS", "Cost"]

ORDER_WEIGHTS: Mapping[str, tuple[float, str]] = {
    "untried": (1.0, "for each thing put down, each further thing put down before the next test"),
    "test": (10.0, "each test: the supply goes on and comes off again"),
    "change": (6.0, "each change between IC, wire, flat, standing, beside the board; beyond one for each"),
    "reach": (8.0, "each thing that goes in beside something taller, less than two pitches away"),
    "covered": (60.0, "each thing that goes in under a jumper lead that is there already"),
    "tall first": (1.5, "each pair of which the taller thing goes in first"),
    "out of turn": (4.0, "each pair of like things that do not follow along the rows"),
    "landmark": (6.0, "each thing that goes in before an IC, from which holes are counted"),
    "beside": (20.0, "each thing that goes in when something beside the board hangs on it already"),
    "unlike": (1.0, "each part between two of one type and value that are not beside one another"),
    "other net": (6.0, "each wire of another net than the wire before; beyond one for each net"),
    "jump": (0.2, "each row from one wire to the next, at the end where they are farther apart"),
    "late supply": (1.0, "each pair of wires of which the one of plus or 0 V goes in later"),
    "long below": (30.0, "each wire that goes in over a longer one that it crosses"),
    "bow below": (4.0, "each pair of wires of which one lies flat and the jumper lead goes in first"),
}
"""Name -> (weight, what is counted) of an order of steps.  The only weights there are."""
NEAR = 2.0
"""Fingers need so much room [pitches] (common practice: a finger's width is about six pitches; parts are
held by their leads)."""
TALLER = 4.0
"""So much taller [mm] a thing is in the way of fingers beside it."""
OVER = 0.5
"""A hole so near to a jumper lead lies under it [pitches]; the lead itself is about that thick."""
TALL = 3.0
"""So much taller [mm] a thing should come later than a flat one, wherever it is."""


class Cost:
    """The costs of one layout's orders: pairs are weighed once."""

    def __init__(
        self,
        circuit: Circuit,
        layout: Layout,
        steps: Sequence[ListStep],
        turns: Sequence[int] = (),
        wiring: Wiring | None = None,
    ) -> None:
        """``turns``: where each step stands in the order of the trade; without it as they come."""
        self.circuit, self.layout, self.steps = circuit, layout, steps
        self.wiring = wiring or Wiring(circuit, layout)
        self.turns = turns or range(len(steps))
        self.number = {step: number for number, step in enumerate(steps)}
        self.kinds = [_manner(circuit.by_id[step.parts[0]]) if step.parts else "wire" for step in steps]
        self.like = [self._like(step) for step in steps]
        self.holes = [self._holes(step) for step in steps]
        self.heights = [self._height(step) for step in steps]
        self.sizes = [len(step.parts) + len(step.wires) for step in steps]
        count = range(len(steps))
        self.matrix = [[self._pair(a, b) if a != b else 0.0 for b in count] for a in count]

    def of(self, order: Sequence[int], tests: Sequence[frozenset[int]]) -> float:
        """Weigh an order, with a test as soon as each of these sets is there."""
        return self.pairs(order) + self.run(order, tests)

    def pairs(self, order: Sequence[int]) -> float:
        """What it costs that one step comes before another."""
        return sum(self.matrix[a][b] for i, a in enumerate(order) for b in order[i + 1 :])

    def run(self, order: Sequence[int], tests: Sequence[frozenset[int]]) -> float:
        """What depends on the order as a whole: changes, what is not tried yet, like things apart."""
        place = {step: at for at, step in enumerate(order)}
        stops = sorted(max(place[step] for step in wanted) + 1 for wanted in tests)
        total = ORDER_WEIGHTS["test"][0] * len(stops)
        for start, stop in pairwise((0, *stops, len(order))):
            size = sum(self.sizes[step] for step in order[start:stop])
            total += ORDER_WEIGHTS["untried"][0] * size * (size - 1) / 2
        kinds = [self.kinds[step] for step in order]
        changes = sum(a != b for a, b in pairwise(kinds)) - (len(set(kinds)) - 1)
        last: dict[object, int] = {}
        apart = 0
        for at, step in enumerate(order):
            if self.steps[step].parts:
                apart += max(0, at - last.get(self.like[step], at) - 1)
                last[self.like[step]] = at
        wires = [index for step in order for index in self.steps[step].wires]
        total += sum(self.next_to(one, other) for one, other in pairwise(wires))
        if wires:
            total -= ORDER_WEIGHTS["other net"][0] * (len({self.wiring.net[i] for i in wires}) - 1)
        return total + changes * ORDER_WEIGHTS["change"][0] + apart * ORDER_WEIGHTS["unlike"][0]

    def next_to(self, one: int, other: int) -> float:
        """What it costs that one wire comes next to another."""
        changes = self.wiring.net[one] != self.wiring.net[other]
        jump = ORDER_WEIGHTS["jump"][0] * self.wiring.jump(one, other)
        return jump + ORDER_WEIGHTS["other net"][0] * changes

    def _like(self, step: ListStep) -> object:
        """What a step shares with those that put down like things."""
        if not step.parts:
            return "wire", self.layout.wires[step.wires[0]].style
        part = self.circuit.by_id[step.parts[0]]
        return part.type.id, part.value

    def _pair(self, first: int, later: int) -> float:
        cost = 0.0
        tall = self.heights[first] - self.heights[later]
        if tall >= TALL:
            cost += ORDER_WEIGHTS["tall first"][0]
        if self.kinds[later] == "ic" and self.kinds[first] != "ic":
            cost += ORDER_WEIGHTS["landmark"][0]
        if self.kinds[first] == "off-board" and self.kinds[later] != "off-board":
            cost += ORDER_WEIGHTS["beside"][0]
        if self.steps[first].parts and self.turns[first] > self.turns[later]:
            cost += ORDER_WEIGHTS["out of turn"][0] * (self.like[first] == self.like[later])
        cost += sum(self._over(i, j) for i in self.steps[first].wires for j in self.steps[later].wires)
        cost += ORDER_WEIGHTS["reach"][0] * self.reaches(first, later)
        return cost + ORDER_WEIGHTS["covered"][0] * self.covers(first, later)

    def _over(self, first: int, later: int) -> float:
        """What it costs that one wire goes in before another."""
        wiring = self.wiring
        cost = ORDER_WEIGHTS["late supply"][0] * (wiring.supply[later] and not wiring.supply[first])
        if wiring.flexible[first] != wiring.flexible[later]:
            return cost + ORDER_WEIGHTS["bow below"][0] * wiring.flexible[first]
        long = wiring.length[first] > wiring.length[later] and wiring.crosses(first, later)
        return cost + ORDER_WEIGHTS["long below"][0] * long

    def reaches(self, first: int, later: int) -> bool:
        """Whether something taller of one step stands in the way of fingers at another step's holes."""
        if self.heights[first] < self.heights[later] + TALLER:
            return False
        for name in self.steps[first].parts:
            holes = self.layout.holes[name]
            outline = outline_of(self.circuit.by_id[name].type, self.layout.board, holes)
            if outline is not None and any(_gap(place, outline) < NEAR for place in self.holes[later]):
                return True
        return False

    def covers(self, first: int, later: int) -> bool:
        """Whether a jumper lead of one step, as it is led, lies over a hole of another."""
        for index in self.steps[first].wires:
            wire = self.layout.wires[index]
            if wire.style != "flexible":
                continue
            line = self.layout.line(wire)
            for place in self.holes[later]:
                if (
                    place not in (line[0], line[-1])
                    and min(_off(place, *piece) for piece in pairwise(line)) < OVER
                ):
                    return True
        return False

    def _holes(self, step: ListStep) -> list[tuple[float, float]]:
        """Where the holes of a step are [pitches]."""
        names = [hole for name in step.parts for hole in self.layout.holes[name]]
        for wire in (self.layout.wires[index] for index in step.wires):
            names += [wire.start, wire.end]
        return [self.layout.board.holes[name] for name in names if name in self.layout.board.holes]

    def _height(self, step: ListStep) -> float:
        """How tall what a step puts down is [mm]."""
        bodies = [self.circuit.by_id[name].type.body for name in step.parts]
        return max((body.height for body in bodies if body.kind != "off-board"), default=1.0)


def _manner(part: Part) -> str:
    """How a part goes in: that it has a right way round makes no difference to the fingers."""
    kind = kind_of(part)
    return kind if kind != "polarised" else "flat" if part.type.body.kind == "axial" else "standing"


def _gap(place: tuple[float, float], outline: Sequence[tuple[float, float]]) -> float:
    """How far a place is from the nearest edge of an outline [pitches]."""
    edges = zip(outline, (*outline[1:], outline[0]), strict=True)
    return min(_off(place, one, other) for one, other in edges)


def _off(place: tuple[float, float], one: tuple[float, float], other: tuple[float, float]) -> float:
    """How far a place is from a straight piece [pitches]."""
    dx, dy = other[0] - one[0], other[1] - one[1]
    square = dx * dx + dy * dy
    t = 0.0 if square == 0 else ((place[0] - one[0]) * dx + (place[1] - one[1]) * dy) / square
    t = min(max(t, 0.0), 1.0)
    x, y = place[0] - one[0] - t * dx, place[1] - one[1] - t * dy
    return float((x * x + y * y) ** 0.5)
