"""The tidiness of a layout as a whole, weighed fast during a search: the same terms as in the score table."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from buildalong.build.place._gentle import End, harm
from buildalong.build.place._halves import halves_terms, pairs_of
from buildalong.build.place._leads import hides, under_leads
from buildalong.build.place._near import near_terms
from buildalong.build.place._route import Path
from buildalong.build.place._score import WEIGHTS, supply_terms
from buildalong.build.place._task import Problem
from buildalong.circuit import Part

__all__ = ["Habits"]

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class _Habit:
    """How one unit stands: rows, direction if axial, direction if polarised, column if one of many."""

    low: float
    high: float
    lying: int = -1
    facing: tuple[str, int, int] | None = None
    column: tuple[str, float] | None = None


def _habit(part: Part, points: Sequence[tuple[float, float]]) -> _Habit:
    body = part.type.body
    ys = [y for _, y in points]
    if body.kind == "off-board":
        return _Habit(1e9, -1e9)
    (x0, y0), (x1, y1) = points[0], points[-1]
    dx, dy = x1 - x0, y1 - y0
    along = abs(dy) >= abs(dx)
    facing = None
    if part.type.polarised and body.shape != "dip":
        facing = (
            part.type.family,
            0 if along and body.kind != "rigid" else _sign(dx),
            _sign(dy) if along or body.kind == "rigid" else 0,
        )
    column = None
    if body.kind == "rigid":
        column = (part.type.family, x0)
    elif part.type.family == "led":
        column = ("led", (x0 + x1) / 2)
    return _Habit(min(ys), max(ys), int(along) if body.kind == "axial" else -1, facing, column)


def _sign(value: float) -> int:
    return (value > 1e-6) - (value < -1e-6)


class Habits:
    """The tidiness of a layout as a whole, weighed fast: the same terms as in the score table."""

    def __init__(self, problem: Problem) -> None:
        self.p = problem
        self._known: dict[tuple[int, int], _Habit] = {}
        self._near: dict[tuple[int, int, int, int], float] = {}
        self.names = [*problem.circuit.nets, *("" for _ in range(problem.nets))]
        """Net number -> its name, "" for a leg on no net."""
        stiff = [part for part in problem.circuit.parts if part.type.body.legs]
        self.stiff = {f"{part.id} {leg}" for part in stiff for leg in range(len(part.type.leg_terminals))}
        """Legs that do not slip one by one."""
        self.supply = [
            i
            for i, unit in enumerate(problem.units)
            if problem.circuit.by_id[unit.legs[0][0]].type.family == "supply"
        ]
        self.beside = {
            i
            for i, unit in enumerate(problem.units)
            if problem.circuit.by_id[unit.legs[0][0]].type.body.kind == "off-board"
        }
        """Units of parts that lie beside the board."""
        alone = {unit.legs[0][0]: i for i, unit in enumerate(problem.units)}
        self.pairs = [(alone[a], alone[b]) for a, b in pairs_of(problem.circuit) if {a, b} <= alone.keys()]
        """Units that change places in a swap that leaves the circuit as it is."""

    def habit(self, i: int, k: int) -> _Habit:
        """What counts about one unit in one place."""
        found = self._known.get((i, k))
        if found is None:
            unit = self.p.units[i]
            points = [self.p.points[h] for h in unit.holes[k].tolist()]
            if len({part for part, _ in unit.legs}) > 1:
                found = _Habit(min(y for _, y in points), max(y for _, y in points))
            else:
                found = _habit(self.p.circuit.by_id[unit.legs[0][0]], points)
            self._known[i, k] = found
        return found

    def cost(self, choice: Sequence[int], wires: Sequence[tuple[int, Path]]) -> float:
        """Everything that is not a count of wires or a property of one unit."""
        p = self.p
        placed = [(i, k) for i, k in enumerate(choice) if k >= 0]
        habits = [self.habit(i, k) for i, k in placed]
        low, high = 1e9, -1e9
        lying = [0, 0]
        facing: dict[str, dict[tuple[str, int, int], int]] = {}
        columns: dict[str, dict[float, int]] = {}
        for habit in habits:
            low, high = min(low, habit.low), max(high, habit.high)
            if habit.lying >= 0:
                lying[habit.lying] += 1
            if habit.facing:
                family = facing.setdefault(habit.facing[0], {})
                family[habit.facing] = family.get(habit.facing, 0) + 1
            if habit.column:
                column = columns.setdefault(habit.column[0], {})
                column[habit.column[1]] = column.get(habit.column[1], 0) + 1
        cost = WEIGHTS["parallel"][0] * min(lying)
        cost += WEIGHTS["facing"][0] * sum(sum(f.values()) - max(f.values()) for f in facing.values())
        for column in columns.values():
            if sum(column.values()) >= 3:
                most = max(column, key=lambda x: (column[x], -x))
                cost += WEIGHTS["line"][0] * sum(min(4, abs(x - most)) * c for x, c in column.items())
        for _, path in wires:
            cost += path.cost
            for _, y in (path.points[0], path.points[-1]):
                low, high = min(low, y), max(high, y)
        if high >= low:
            cost += WEIGHTS["rows"][0] * (high - low + 1)
        leads = [p.points[h] for i in self.supply if choice[i] >= 0 for h in p.leg_holes(i, choice[i])]
        cost += sum(WEIGHTS[name][0] * amount for name, amount in supply_terms(leads, low, high).items())
        if p.hurts is not None:
            cost += WEIGHTS["harm"][0] * harm(*self.ends(placed, wires), p.hurts)
        halves = halves_terms([self._legs(choice, *pair) for pair in self.pairs])["halves"]
        cost += WEIGHTS["halves"][0] * halves
        bodies = [(i, k) for i, k in placed if p.units[i].rounds]
        near = sum(self.near(a, b) for n, a in enumerate(bodies) for b in bodies[n + 1 :])
        beside = [p.points[h] for i, k in placed if i in self.beside for h in p.leg_holes(i, k)]
        held = [p.points[h] for i, k in placed if i not in self.beside for h in p.leg_holes(i, k)]
        boxes = [box for one in bodies for box in p.boxes(*one)]
        under = under_leads(beside, boxes, [path.points for _, path in wires], held)
        probe = self._without_probe(placed, wires, beside)
        return float(cost + near + WEIGHTS["under a lead"][0] * under + WEIGHTS["probe"][0] * probe)

    def ends(
        self, placed: Sequence[tuple[int, int]], wires: Sequence[tuple[int, Path]]
    ) -> tuple[list[End], list[tuple[Point, str]]]:
        """Ends that may slip, and everything that stands in a strip with a net."""
        p, names = self.p, self.names
        ends: list[End] = []
        for i, k in placed:
            unit = p.units[i]
            for (part, leg), hole, net in zip(unit.legs, p.leg_holes(i, k), unit.nets, strict=True):
                ends.append((p.points[hole], f"{part} {leg}", names[net]))
        for net, path in wires:
            ends += [(point, "", names[net]) for point in (path.points[0], path.points[-1])]
        held = [(point, net) for point, _, net in ends]
        return [end for end in ends if end[1] not in self.stiff], held

    def _without_probe(
        self,
        placed: Sequence[tuple[int, int]],
        wires: Sequence[tuple[int, Path]],
        leads: Sequence[Point],
    ) -> int:
        """How many strips in use have no hole that is neither used nor covered."""
        p = self.p
        taken, lines, strips = p.wire_mask, 0, set()
        for i, k in placed:
            legs, under = p.masks(i, k)
            taken |= legs | under
            strips.update(p.leg_strips(i, k))
        for _, path in wires:
            lines |= path.h | path.v
        holes, bits = p.geometry.strip_holes, p.router.hole_bit
        return sum(
            not any(
                not taken >> h & 1
                and not bits[h] & lines
                and not any(hides(lead, p.points[h]) for lead in leads)
                for h in holes[s]
            )
            for s in strips
            if not p.rails[s]
        )

    def near(self, one: tuple[int, int], other: tuple[int, int]) -> float:
        """What the bodies of two units cost by standing near one another."""
        key = (*one, *other)
        found = self._near.get(key)
        if found is None:
            own, its = (self.p.circuit.by_id[self.p.units[i].legs[0][0]].type.family for i, _ in (one, other))
            terms = [near_terms(a, b, own, its) for a in self.p.boxes(*one) for b in self.p.boxes(*other)]
            found = sum(WEIGHTS[name][0] * n for term in terms for name, n in term.items())
            self._near[key] = found
        return found

    def _legs(self, choice: Sequence[int], *units: int) -> tuple[list[Point], list[Point]]:
        """Where the legs of two units stand; nowhere for one that has no place yet."""
        one, other = (
            [self.p.points[h] for h in self.p.leg_holes(i, choice[i])] if choice[i] >= 0 else []
            for i in units
        )
        return one, other
