"""The search: take a few parts off, put each back where it costs least, lay the wires, keep or undo.

Every step works on arrays over all the places a part can take, so the best place of thousands is
found in well under a millisecond.  Nothing here looks at a clock except the caller's safety stop;
the same problem, seed and number of steps give the same result.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from heapq import heapify, heappop, heappush

import numpy as np

from buildalong.build.place._route import Lattice, Path, Router, make_path
from buildalong.build.place._score import WEIGHTS, supply_terms
from buildalong.build.place._space import Bits, Box, Floats, Geometry, Ints, Unit, gap
from buildalong.circuit import Circuit, Part

__all__ = ["FixedWire", "Joiner", "Problem", "Solution", "evaluate", "search", "stands_anywhere"]

UNJOINED = 450.0
"""Cost of a join for which no wire could be laid; such a layout is never handed out."""
MISSING = 20000.0
"""Cost of a unit that found no place."""
MOST_TRIED = 40
"""Places that are tested for collisions at a time."""
CLOSE = 15.0
"""A rough cost this near to the least so far is worth laying the wires for."""
LAY_AGAIN = 4
"""Times that wires are laid, nets that failed going first."""
EARLY = 1000.0
MOST_EARLY = 6
WORK_STEP, WORK_PUT, WORK_PLACES = 0.4, 0.12, 0.00004
"""Work of a step, of putting a unit down, and of each place it may take (about a millisecond each 1.0)."""
GENEROUS = (1.0, 1.0, 1.0, 0.4, 0.1)
"""Shares of the cost of a wire that putting a unit down reckons with: now and then a new strip is tried."""
CROWDED = 0.5
"""Bodies nearer than this leave no room for fingers, pitches."""
UNTANGLE = 12
"""Times that wires are taken up for a join that failed."""
RIP = 15.0
"""Cost of taking up a wire; more each time for wires of the same net."""
FULL_STRIP = 6.0
"""Taking the last free hole of a strip that may need a wire."""


@dataclass(frozen=True, slots=True)
class FixedWire:
    """A wire that must stay: its holes and its bends."""

    start: int
    end: int
    points: tuple[tuple[float, float], ...]


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


@dataclass
class Problem:
    """Everything that stays the same during a search."""

    circuit: Circuit
    geometry: Geometry
    units: list[Unit]
    nets: int
    router: Router
    links: list[tuple[tuple[str, int], tuple[str, int]]]
    """Legs that a part joins inside itself."""
    fixed_wires: tuple[FixedWire, ...] = ()
    group: Ints = field(init=False)
    """Strip -> the lowest strip that a fixed wire joins it to."""

    def __post_init__(self) -> None:
        group = np.arange(len(self.geometry.strip_names))
        for wire in self.fixed_wires:
            a, b = group[self.geometry.strip[wire.start]], group[self.geometry.strip[wire.end]]
            group[group == max(a, b)] = min(a, b)
        self.group = group
        g = self.geometry
        rows = np.abs(g.row[:, None] - g.row[None, :])
        rows[g.rail] = 0
        rows[:, g.rail] = 0
        side = g.right[:, None] != g.right[None, :]
        self.apart = rows + 6.0 * side + 3.0 * (g.rail[:, None] | g.rail[None, :])
        self.points = [(float(x), float(y)) for x, y in zip(self.geometry.x, self.geometry.y, strict=True)]
        self.apart_list = self.apart.tolist()
        self.rows = g.row.tolist()
        self.rails = g.rail.tolist()
        self.strip_masks = [sum(1 << h for h in holes) for holes in g.strip_holes]
        self.wire_mask = sum(1 << h for w in self.fixed_wires for h in (w.start, w.end))
        self.sizes = np.array([len(h) for h in g.strip_holes])
        for wire in self.fixed_wires:
            self.sizes[g.strip[wire.start]] -= 1
            self.sizes[g.strip[wire.end]] -= 1
        self._masks: dict[tuple[int, int], tuple[int, int]] = {}
        self._solid: dict[tuple[int, int], int] = {}
        self.habits = Habits(self)
        self._strips: dict[tuple[int, int], list[int]] = {}
        self._holes: dict[tuple[int, int], list[int]] = {}
        self._boxes: dict[tuple[int, int], list[Box]] = {}
        self._collide: dict[tuple[int, int, int, int], bool] = {}
        self.fixed_lattice = Lattice(self.router.outside)
        for wire in self.fixed_wires:
            self.fixed_lattice.add(make_path(wire.points))

    def masks(self, unit: int, k: int) -> tuple[int, int]:
        """The holes that a unit in this place takes, and those under it, as integers."""
        found = self._masks.get((unit, k))
        if found is None:
            u = self.units[unit]
            found = self._masks[unit, k] = (_whole(u.leg_bits[k]), _whole(u.cover_bits[k]))
        return found

    def leg_strips(self, unit: int, k: int) -> list[int]:
        """The strips of a unit's legs in this place."""
        found = self._strips.get((unit, k))
        if found is None:
            found = self._strips[unit, k] = self.units[unit].strips[k].tolist()
        return found

    def leg_holes(self, unit: int, k: int) -> list[int]:
        """The holes of a unit's legs in this place."""
        found = self._holes.get((unit, k))
        if found is None:
            found = self._holes[unit, k] = self.units[unit].holes[k].tolist()
        return found

    def boxes(self, unit: int, k: int) -> list[Box]:
        """The bodies of a unit in this place."""
        found = self._boxes.get((unit, k))
        if found is None:
            u = self.units[unit]
            found = [
                Box(corners[0], corners[1], corners[2], corners[3], is_round)
                for corners, is_round in zip(u.boxes[k].tolist(), u.rounds, strict=True)
            ]
            self._boxes[unit, k] = found
        return found

    def solid(self, unit: int, k: int) -> int:
        """The lattice bits that no wire may touch when a unit stands in this place."""
        found = self._solid.get((unit, k))
        if found is None:
            found = 0
            for hole in self.units[unit].holes[k].tolist():
                found |= self.router.hole_bit[hole]
            for box in self.boxes(unit, k):
                found |= self.router.body(box)
            self._solid[unit, k] = found
        return found

    def collide(self, i: int, k: int, j: int, m: int) -> bool:
        """Whether two units in these places touch."""
        key = (i, k, j, m)
        found = self._collide.get(key)
        if found is None:
            found = any(gap(a, b) < -1e-6 for a in self.boxes(i, k) for b in self.boxes(j, m))
            self._collide[key] = found
        return found


def _whole(words: Bits) -> int:
    return int.from_bytes(words.astype("<u8").tobytes(), "little")


@dataclass
class Solution:
    """Chosen candidates (unit -> index, -1 for none), the wires laid, and what it all costs."""

    choice: list[int]
    wires: list[tuple[int, Path]] = field(default_factory=list)
    cost: float = float("inf")
    unjoined: int = 0
    laid: bool = False
    first: dict[int, int] = field(default_factory=dict)
    """Which nets' wires are laid before the others: learnt from the joins that failed."""

    @property
    def valid(self) -> bool:
        """Whether every unit stands and every net is joined."""
        return not self.unjoined and -1 not in self.choice


class Habits:
    """The tidiness of a layout as a whole, weighed fast: the same terms as in the score table."""

    def __init__(self, problem: Problem) -> None:
        self.p = problem
        self._known: dict[tuple[int, int], _Habit] = {}
        self._near: dict[tuple[int, int, int, int], int] = {}
        self.supply = [
            i
            for i, unit in enumerate(problem.units)
            if problem.circuit.by_id[unit.legs[0][0]].type.family == "supply"
        ]

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
        bodies = [(i, k) for i, k in placed if p.units[i].rounds]
        near = sum(self.near(a, b) for n, a in enumerate(bodies) for b in bodies[n + 1 :])
        return float(cost + WEIGHTS["crowded"][0] * near)

    def near(self, one: tuple[int, int], other: tuple[int, int]) -> int:
        """How many pairs of bodies of two units are less than half a pitch apart."""
        key = (*one, *other)
        found = self._near.get(key)
        if found is None:
            found = sum(gap(a, b) < CROWDED for a in self.p.boxes(*one) for b in self.p.boxes(*other))
            self._near[key] = found
        return found


class _State:
    """The board while parts are put down one by one."""

    def __init__(self, problem: Problem, choice: Sequence[int]) -> None:
        p = self.p = problem
        g = p.geometry
        self.used = p.wire_mask
        self.covered = 0
        self.owner = np.full(len(g.strip_names), -1)
        self.free = p.sizes.copy()
        self.strips: dict[int, list[int]] = {}
        self.placed: list[tuple[int, int]] = []
        for i, k in enumerate(choice):
            if k >= 0:
                self.put(i, k)

    def put(self, i: int, k: int) -> None:
        unit = self.p.units[i]
        legs, under = self.p.masks(i, k)
        self.used |= legs
        self.covered |= under
        for strip, net in zip(self.p.leg_strips(i, k), unit.nets, strict=True):
            self.owner[self.p.group[strip]] = net
            self.free[strip] -= 1
            mine = self.strips.setdefault(net, [])
            if strip not in mine:
                mine.append(strip)
        if unit.rounds:
            self.placed.append((i, k))

    def leg_costs(self, net: int, centre: float, wire: float) -> Floats:
        """What a leg of this net costs on each strip; infinite on a strip of another net."""
        p, g = self.p, self.p.geometry
        owner = self.owner[p.group]
        cost = np.where(self.free <= 1, FULL_STRIP, 0.0)
        fresh = owner == -1
        mine = self.strips.get(net)
        if mine:
            here = np.array(mine)
            away = p.apart[:, here].min(axis=1)
            cost[fresh] = wire + away[fresh]
        else:
            cost[fresh] = 0.25 * np.abs(g.row[fresh] - centre) * ~g.rail[fresh]
        cost[~fresh & (owner != net)] = np.inf
        return cost

    def best(self, i: int, centre: float, noise: np.random.Generator, warmth: float, wire: float) -> int:
        """The place of a unit that adds least (with some noise), -1 where it can stand nowhere."""
        p = self.p
        unit = p.units[i]
        cost = unit.static.copy()
        known: dict[int, Floats] = {}
        for leg, net in enumerate(unit.nets):
            if net not in known:
                known[net] = self.leg_costs(net, centre, wire)
            cost += known[net][unit.strips[:, leg]]
        if warmth:
            cost += warmth * noise.random(len(cost))
        most = MOST_TRIED
        while True:
            if most < len(cost):
                order = np.argpartition(cost, most - 1)[:most]
                order = order[np.lexsort((order, cost[order]))]
            else:
                order = np.lexsort((np.arange(len(cost)), cost))
            for k, c in zip(order.tolist(), cost[order].tolist(), strict=True):
                if c == np.inf:
                    return -1
                if self.stands(i, k):
                    return int(k)
            if most >= len(cost):
                return -1
            cost[order] = np.inf
            most *= 4

    def stands(self, i: int, k: int) -> bool:
        """Whether a unit in this place touches nothing that is on the board."""
        legs, under = self.p.masks(i, k)
        if legs & (self.used | self.covered) or under & self.used:
            return False
        return not any(self.p.collide(i, k, j, m) for j, m in self.placed)


class Joiner:
    """Which strips belong together already, net by net."""

    def __init__(self, problem: Problem, choice: Sequence[int]) -> None:
        self.up: dict[int, int] = {}
        group = problem.group
        where: dict[tuple[str, int], int] = {}
        self.members: dict[int, list[int]] = {}
        for i, k in enumerate(choice):
            if k < 0:
                continue
            unit = problem.units[i]
            for leg, net, strip in zip(unit.legs, unit.nets, problem.leg_strips(i, k), strict=True):
                where[leg] = strip
                mine = self.members.setdefault(net, [])
                if strip not in mine:
                    mine.append(strip)
                self.up.setdefault(strip, strip)
                self.join(strip, int(group[strip]))
        for one, other in problem.links:
            if one in where and other in where:
                self.join(where[one], where[other])

    def root(self, strip: int) -> int:
        self.up.setdefault(strip, strip)
        while self.up[strip] != strip:
            strip = self.up[strip]
        return strip

    def join(self, one: int, other: int) -> None:
        a, b = self.root(one), self.root(other)
        if a != b:
            self.up[max(a, b)] = min(a, b)

    def copy(self) -> Joiner:
        """The same joins, to add more to."""
        other = Joiner.__new__(Joiner)
        other.up, other.members = dict(self.up), self.members
        return other

    def missing(self) -> list[int]:
        """The net of each wire that it takes to join everything."""
        return [
            net
            for net, strips in self.members.items()
            if len(strips) > 1
            for _ in range(len({self.root(s) for s in strips}) - 1)
        ]


def rough(problem: Problem, solution: Solution) -> None:
    """Weigh without laying wires: their number and an estimate of their length."""
    choice = solution.choice
    joiner = Joiner(problem, choice)
    cost = choice.count(-1) * MISSING
    rows: list[float] = []
    taken = problem.wire_mask
    for i, k in enumerate(choice):
        if k >= 0:
            unit = problem.units[i]
            cost += float(unit.static[k])
            legs, under = problem.masks(i, k)
            taken |= legs | under
            rows += [problem.rows[s] for s in problem.leg_strips(i, k) if not problem.rails[s]]
    wires = 0
    for strips in joiner.members.values():
        parts: dict[int, list[int]] = {}
        for strip in strips:
            parts.setdefault(joiner.root(strip), []).append(strip)
        if len(parts) < 2:
            continue
        groups = list(parts.values())
        wires += len(groups) - 1
        room = [sum((problem.strip_masks[s] & ~taken).bit_count() for s in group) for group in groups]
        cost += UNJOINED * max(0, 2 * (len(groups) - 1) - sum(room)) + UNJOINED * room.count(0)
        inside, rest = groups[0], groups[1:]
        while rest:
            away, k = min(
                (min(problem.apart_list[a][b] for a in inside for b in group), k)
                for k, group in enumerate(rest)
            )
            cost += away * WEIGHTS["wire length"][0]
            inside = inside + rest.pop(k)
    cost += WEIGHTS["wire"][0] * (wires + len(problem.fixed_wires))
    if rows:
        cost += WEIGHTS["rows"][0] * (max(rows) - min(rows) + 1)
    solution.cost = cost


def evaluate(
    problem: Problem,
    solution: Solution,
    limit: float = float("inf"),
    patience: int = 1_000_000,
    untangle: int = 0,
) -> None:
    """Lay the wires and weigh everything; stops early where the wires alone exceed ``limit``.

    Wires are laid again in another order only where at most ``patience`` joins failed, and taken up
    for one another where at most ``untangle`` failed.
    """
    choice = solution.choice
    joiner = Joiner(problem, choice)
    absent = choice.count(-1)
    base = absent * MISSING + WEIGHTS["wire"][0] * (len(joiner.missing()) + len(problem.fixed_wires))
    base += sum(float(u.static[k]) for u, k in zip(problem.units, choice, strict=True) if k >= 0)
    solution.wires, solution.unjoined, solution.laid = [], 0, False
    if base > limit:
        solution.cost = base
        return
    fixed = problem.fixed_lattice
    lattice = Lattice(fixed.solid, fixed.h, fixed.v)
    for i, k in enumerate(choice):
        if k < 0:
            continue
        lattice.solid |= problem.solid(i, k)
    first = dict(solution.first)
    for _ in range(LAY_AGAIN):
        wires, failed = _lay(problem, joiner.copy(), Lattice(lattice.solid, lattice.h, lattice.v), first)
        if not solution.wires or len(failed) < solution.unjoined:
            solution.wires, solution.unjoined, solution.first = wires, len(failed), first
        if not failed or len(failed) > patience:
            break
        most = max(first.values(), default=0)
        first = {**first, **{net: min(most + 1, MOST_EARLY) for net in failed}}
    if 0 < solution.unjoined <= untangle:
        solution.wires, solution.unjoined = _untangle(problem, joiner, lattice, solution)
    solution.cost = (
        base
        + problem.habits.cost(choice, solution.wires)
        + solution.unjoined * (UNJOINED - WEIGHTS["wire"][0])
    )
    solution.laid = True


def _lay(
    problem: Problem, joiner: Joiner, lattice: Lattice, first: Mapping[int, int]
) -> tuple[list[tuple[int, Path]], list[int]]:
    """Join every net by the cheapest wire that is left, nets with a higher ``first`` before the others.

    Gives the wires and, once for each join that failed, its net.
    """
    router = problem.router
    queue: list[tuple[float, int, int, int]] = []
    for net, strips in joiner.members.items():
        for i, one in enumerate(strips):
            for other in strips[i + 1 :]:
                if joiner.root(one) != joiner.root(other):
                    a, b = min(one, other), max(one, other)
                    queue.append((router.least(a, b) - EARLY * first.get(net, 0), net, a, b))
    heapify(queue)
    known: dict[tuple[int, int], tuple[Path, int]] = {}
    laid: list[tuple[int, Path]] = []
    while queue:
        _, net, one, other = heappop(queue)
        if joiner.root(one) == joiner.root(other):
            continue
        path, since = known.get((one, other), (None, 0))
        if path is None or any(path.touches(wire) for _, wire in laid[since:]):
            path = router.best(lattice, one, other)
            if path is not None:
                known[one, other] = (path, len(laid))
                heappush(queue, (path.cost - EARLY * first.get(net, 0), net, one, other))
            continue
        laid.append((net, path))
        lattice.add(path)
        joiner.join(one, other)
    return laid, joiner.missing()


def _untangle(
    problem: Problem, joiner: Joiner, lattice: Lattice, solution: Solution
) -> tuple[list[tuple[int, Path]], int]:
    """Take up the wires that stand in the way of a join, lay it, and lay those wires elsewhere."""
    g, router = problem.geometry, problem.router
    laid, todo = list(solution.wires), -1
    best, least = list(laid), solution.unjoined
    blame: dict[int, int] = {}
    for _ in range(UNTANGLE):
        here = joiner.copy()
        board = Lattice(lattice.solid, lattice.h, lattice.v)
        for _, path in laid:
            a, b = (g.at[p] for p in (path.points[0], path.points[-1]))
            here.join(int(g.strip[a]), int(g.strip[b]))
            board.add(path)
        more, failed = _lay(problem, here, board, {})
        laid += more
        if len(failed) < least:
            best, least = list(laid), len(failed)
        if not failed:
            break
        todo = next((net for net in failed if net != todo), failed[0])
        strips = joiner.members[todo]
        wires = [(RIP * (1 + blame.get(net, 0)) + 1e6 * (net == todo), path) for net, path in laid]
        found: tuple[float, Path, list[int]] | None = None
        for n, one in enumerate(strips):
            for other in strips[n + 1 :]:
                if here.root(one) != here.root(other):
                    limit = found[0] if found else 1e6
                    found = router.through(lattice.solid, one, other, wires, limit) or found
        if found is None:
            break
        for number in found[2]:
            blame[laid[number][0]] = blame.get(laid[number][0], 0) + 1
        laid = [wire for number, wire in enumerate(laid) if number not in found[2]]
        laid.append((todo, found[1]))
    return best, least


def search(
    problem: Problem,
    *,
    work: float,
    seed: int = 1,
    start: Solution | None = None,
    heat: float = 40.0,
    quick: bool = False,
    untangle: int = 0,
    stop: Callable[[], bool] = lambda: False,
) -> Solution:
    """Improve a layout for an amount of work; gives the best one met (it may still be incomplete)."""
    rng = random.Random(seed)  # noqa: S311 - a search, not a secret
    noise = np.random.default_rng(seed)
    units = problem.units
    neighbours = _neighbours(units)
    movable = [i for i, unit in enumerate(units) if len(unit) > 1]
    if start is None:
        now = Solution([-1] * len(units))
        _insert(problem, now.choice, list(range(len(units))), noise, 0.0)
    else:
        now = start
    best = _weighed(problem, now, untangle=untangle)
    if quick:
        now = Solution(list(now.choice))
        rough(problem, now)
        least, seen = now.cost, {tuple(now.choice)}
    else:
        now = best
    begun, step = problem.router.work, 0
    while movable:
        share = (problem.router.work - begun) / work
        if share >= 1 or (step % 64 == 0 and stop()):
            break
        step += 1
        problem.router.work += WORK_STEP
        warmth = heat * (1 - share) ** 1.5
        chosen = _pick(rng, movable, neighbours, len(units))
        trial = Solution(list(now.choice), first=now.first)
        missing = [i for i, k in enumerate(trial.choice) if k < 0]
        for i in chosen:
            trial.choice[i] = -1
        order = sorted(set(chosen) | set(missing))
        rng.shuffle(order)
        if rng.random() < 0.7:
            order.sort(key=lambda i: -len(units[i].legs))
        _insert(problem, trial.choice, order, noise, 0.3 * warmth * rng.random())
        if trial.choice == now.choice:
            continue
        if quick:
            rough(problem, trial)
        else:
            evaluate(problem, trial, now.cost + warmth, now.unjoined + 1, untangle)
            if not trial.laid:
                continue
        if trial.cost > now.cost + warmth * rng.random():
            continue
        now = trial
        if not quick:
            best = min(best, now, key=lambda s: s.cost)
        elif trial.cost < least + CLOSE and tuple(trial.choice) not in seen:
            least = min(least, trial.cost)
            seen.add(tuple(trial.choice))
            best = min(best, _weighed(problem, trial, best.cost), key=lambda s: s.cost)
    return best


def _weighed(
    problem: Problem, solution: Solution, limit: float = float("inf"), untangle: int = 0
) -> Solution:
    """The same places with the wires laid."""
    full = Solution(list(solution.choice), first=solution.first)
    evaluate(problem, full, limit, untangle=untangle)
    if not full.laid:
        full.cost = float("inf")
    return full


def stands_anywhere(problem: Problem, i: int, others: Sequence[int]) -> bool:
    """Whether a unit finds any place beside these others, each of which has only one place."""
    choice = [-1] * len(problem.units)
    for j in others:
        choice[j] = 0
    choice[i] = -1
    return _State(problem, choice).best(i, 0.0, np.random.default_rng(0), 0.0, 0.0) >= 0


def _neighbours(units: Sequence[Unit]) -> list[list[int]]:
    return [
        [j for j, other in enumerate(units) if j != i and set(unit.nets) & set(other.nets)]
        for i, unit in enumerate(units)
    ]


def _pick(rng: random.Random, movable: list[int], neighbours: list[list[int]], count: int) -> list[int]:
    want = rng.choice((1, 1, 2, 2, 2, 3, 3, 4, 5))
    if rng.random() < 0.03:
        want = count
    chosen = [rng.choice(movable)]
    while len(chosen) < min(want, len(movable)):
        near = [i for i in neighbours[rng.choice(chosen)] if i not in chosen and i in movable]
        pool = near if near and rng.random() < 0.8 else [i for i in movable if i not in chosen]
        chosen.append(rng.choice(pool))
    return chosen


def _insert(
    problem: Problem, choice: list[int], order: Sequence[int], noise: np.random.Generator, warmth: float
) -> None:
    """Put units down in this order, each where it adds least (with some noise)."""
    state = _State(problem, choice)
    rows = [problem.rows[s] for strips in state.strips.values() for s in strips]
    centre = sum(rows) / len(rows) if rows else min(problem.geometry.rows, 24) / 2
    for i in order:
        unit = problem.units[i]
        if not len(unit):
            continue
        wire = WEIGHTS["wire"][0]
        if warmth:
            wire *= GENEROUS[int(noise.integers(len(GENEROUS)))]
        problem.router.work += WORK_PUT + WORK_PLACES * len(unit)
        k = state.best(i, centre, noise, warmth, wire)
        if k >= 0:
            choice[i] = k
            state.put(i, k)
