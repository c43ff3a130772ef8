"""The search: take a few parts off, put each back where it costs least, lay the wires, keep or undo.

Every step works on arrays over all the places a part can take, so the best place of thousands is
found in well under a millisecond.  Nothing here looks at a clock except the caller's safety stop;
the same problem, seed and number of steps give the same result.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from buildalong.build.place._route import Lattice, Path, Router, make_path
from buildalong.build.place._score import WEIGHTS, Score, measure
from buildalong.build.place._space import Box, Floats, Geometry, Ints, Unit
from buildalong.circuit import Circuit

__all__ = ["FixedWire", "Problem", "Solution", "search"]

UNJOINED = 600.0
"""Cost of a join for which no wire could be laid; such a layout is never handed out."""
MISSING = 3000.0
"""Cost of a unit that found no place."""
FULL_STRIP = 6.0
"""Taking the last free hole of a strip that may need a wire."""


@dataclass(frozen=True, slots=True)
class FixedWire:
    """A wire that must stay: its holes and its bends."""

    start: int
    end: int
    points: tuple[tuple[float, float], ...]


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
        self.points = [(float(x), float(y)) for x, y in zip(self.geometry.x, self.geometry.y, strict=True)]
        self.wire_bits = np.zeros(self.geometry.words, np.uint64)
        self.fixed_lattice = Lattice(self.router.outside)
        for wire in self.fixed_wires:
            for hole in (wire.start, wire.end):
                self.wire_bits[hole // 64] |= np.uint64(1) << np.uint64(hole % 64)
            self.fixed_lattice.add(make_path(wire.points))


@dataclass
class Solution:
    """Chosen candidates (unit -> index, -1 for none), the wires laid, and what it all costs."""

    choice: list[int]
    wires: list[tuple[int, Path]] = field(default_factory=list)
    cost: float = float("inf")
    unjoined: int = 0
    score: Score | None = None

    @property
    def valid(self) -> bool:
        """Whether every unit stands and every net is joined."""
        return not self.unjoined and -1 not in self.choice


class _State:
    """The board while parts are put down one by one."""

    def __init__(self, problem: Problem, choice: Sequence[int]) -> None:
        p = self.p = problem
        g = p.geometry
        self.used = p.wire_bits.copy()
        self.covered = np.zeros(g.words, np.uint64)
        self.owner = np.full(len(g.strip_names), -1)
        self.free = np.array([len(h) for h in g.strip_holes])
        for wire in p.fixed_wires:
            self.free[g.strip[wire.start]] -= 1
            self.free[g.strip[wire.end]] -= 1
        self.strips: dict[int, list[int]] = {}
        self.boxes: list[tuple[Floats, bool]] = []
        for unit, k in zip(p.units, choice, strict=True):
            if k >= 0:
                self.put(unit, k)

    def put(self, unit: Unit, k: int) -> None:
        self.used |= unit.leg_bits[k]
        self.covered |= unit.cover_bits[k]
        for strip, net in zip(unit.strips[k].tolist(), unit.nets, strict=True):
            self.owner[self.p.group[strip]] = net
            self.free[strip] -= 1
            mine = self.strips.setdefault(net, [])
            if strip not in mine:
                mine.append(strip)
        for body, is_round in enumerate(unit.rounds):
            self.boxes.append((unit.boxes[k, body], is_round))

    def costs(self, unit: Unit, centre: float) -> Floats:
        """What each place of the unit would add; infinite where it cannot stand."""
        p, g = self.p, self.p.geometry
        cost = unit.static.copy()
        bad = ((unit.leg_bits & (self.used | self.covered)) | (unit.cover_bits & self.used)).any(axis=1)
        for body, is_round in enumerate(unit.rounds):
            mine = unit.boxes[:, body]
            for box, other_round in self.boxes:
                gap = _gaps(mine, is_round, box, other_round)
                bad |= gap < -1e-6
                cost += WEIGHTS["crowded"][0] * (gap < 0.5)
        strips = unit.strips
        for leg, net in enumerate(unit.nets):
            s = strips[:, leg]
            owner = self.owner[p.group[s]]
            bad |= (owner != -1) & (owner != net)
            fresh = owner == -1
            cost += FULL_STRIP * (self.free[s] <= 1) * ~fresh
            mine_strips = self.strips.get(net)
            if mine_strips:
                here = np.array(mine_strips)
                rows = np.abs(g.row[:, None] - g.row[None, here])
                rows[g.rail] = 0
                rows[:, g.rail[here]] = 0
                away = (rows + 5.0 * (g.right[:, None] != g.right[None, here])).min(axis=1)
                cost += np.where(fresh, WEIGHTS["wire"][0] + away[s], 0.0)
            else:
                cost += np.where(fresh, 0.25 * np.abs(g.row[s] - centre) * ~g.rail[s], 0.0)
        cost[bad] = np.inf
        return cost


def _gaps(mine: Floats, is_round: bool, box: Floats, other_round: bool) -> Floats:
    """The gap between each of the bodies and one other, pitches; negative where they overlap."""
    if is_round or other_round:
        cx, cy = (mine[:, 0] + mine[:, 2]) / 2, (mine[:, 1] + mine[:, 3]) / 2
        ox, oy = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
        r, q = (mine[:, 2] - mine[:, 0]) / 2, (box[2] - box[0]) / 2
        if is_round and other_round:
            return np.hypot(cx - ox, cy - oy) - r - q
        if is_round:
            dx = np.maximum(np.maximum(box[0] - cx, cx - box[2]), 0)
            dy = np.maximum(np.maximum(box[1] - cy, cy - box[3]), 0)
            return np.hypot(dx, dy) - r
        dx = np.maximum(np.maximum(mine[:, 0] - ox, ox - mine[:, 2]), 0)
        dy = np.maximum(np.maximum(mine[:, 1] - oy, oy - mine[:, 3]), 0)
        return np.hypot(dx, dy) - q
    dx = np.maximum(mine[:, 0] - box[2], box[0] - mine[:, 2])
    dy = np.maximum(mine[:, 1] - box[3], box[1] - mine[:, 3])
    return np.maximum(dx, dy)


class _Joiner:
    """Which strips belong together already, net by net."""

    def __init__(self, problem: Problem, choice: Sequence[int]) -> None:
        self.up: dict[int, int] = {}
        group = problem.group
        where: dict[tuple[str, int], int] = {}
        self.members: dict[int, list[int]] = {}
        for unit, k in zip(problem.units, choice, strict=True):
            if k < 0:
                continue
            for leg, net, strip in zip(unit.legs, unit.nets, unit.strips[k].tolist(), strict=True):
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

    def missing(self) -> int:
        """How many wires it takes to join every net."""
        return sum(len({self.root(s) for s in strips}) - 1 for strips in self.members.values())


def evaluate(problem: Problem, solution: Solution, limit: float = float("inf")) -> None:
    """Lay the wires and weigh everything; stops early where the wires alone exceed ``limit``."""
    choice = solution.choice
    joiner = _Joiner(problem, choice)
    absent = choice.count(-1)
    base = absent * MISSING + WEIGHTS["wire"][0] * (joiner.missing() + len(problem.fixed_wires))
    base += sum(float(u.static[k]) for u, k in zip(problem.units, choice, strict=True) if k >= 0)
    solution.wires, solution.unjoined, solution.score = [], 0, None
    if base > limit:
        solution.cost = base
        return
    router, fixed = problem.router, problem.fixed_lattice
    lattice = Lattice(fixed.solid, fixed.h, fixed.v)
    legs: dict[str, dict[int, tuple[float, float]]] = {}
    for unit, k in zip(problem.units, choice, strict=True):
        if k < 0:
            continue
        for (part, leg), hole in zip(unit.legs, unit.holes[k].tolist(), strict=True):
            lattice.solid |= router.hole_bit[hole]
            legs.setdefault(part, {})[leg] = problem.points[hole]
        for body, is_round in enumerate(unit.rounds):
            x0, y0, x1, y1 = unit.boxes[k, body].tolist()
            lattice.solid |= router.body(Box(x0, y0, x1, y1, is_round))
    solution.wires, solution.unjoined = _lay(problem, joiner, lattice)
    lines = [w.points for w in problem.fixed_wires] + [path.points for _, path in solution.wires]
    points = {part: [p for _, p in sorted(found.items())] for part, found in legs.items()}
    board = problem.geometry.board
    solution.score = measure(problem.circuit, points, lines, board.rows, bool(board.rail_holes))
    solution.cost = solution.score.total + absent * MISSING + solution.unjoined * UNJOINED


def _lay(problem: Problem, joiner: _Joiner, lattice: Lattice) -> tuple[list[tuple[int, Path]], int]:
    """Join every net, always by the cheapest wire that is left; give the wires and the joins that failed."""
    router = problem.router
    open_pairs: list[tuple[int, int, int]] = []
    for net, strips in sorted(joiner.members.items()):
        for i, one in enumerate(strips):
            for other in strips[i + 1 :]:
                if joiner.root(one) != joiner.root(other):
                    open_pairs.append((net, min(one, other), max(one, other)))
    known: dict[tuple[int, int], Path | None] = {}
    laid: list[tuple[int, Path]] = []
    while open_pairs:
        best: tuple[float, int, int, int] | None = None
        for net, one, other in open_pairs:
            path = known.get((one, other))
            if path is None and (one, other) in known:
                continue
            if path is None or _hit(path, lattice):
                path = known[one, other] = router.best(lattice, one, other)
            if path is not None and (best is None or (path.cost, net, one, other) < best):
                best = (path.cost, net, one, other)
        if best is None:
            break
        _, net, one, other = best
        path = known[one, other]
        assert path is not None
        laid.append((net, path))
        lattice.add(path)
        joiner.join(one, other)
        open_pairs = [p for p in open_pairs if joiner.root(p[1]) != joiner.root(p[2])]
    return laid, joiner.missing()


def _hit(path: Path, lattice: Lattice) -> bool:
    both = path.h | path.v
    return bool(both & lattice.solid or path.h & lattice.h or path.v & lattice.v or both & (lattice.h | lattice.v))


def search(
    problem: Problem,
    *,
    steps: int,
    seed: int = 1,
    start: Solution | None = None,
    heat: float = 40.0,
    stop: Callable[[], bool] = lambda: False,
    tick: Callable[[int, Solution], None] | None = None,
) -> Solution:
    """Improve a layout for a number of steps; gives the best one met (it may still be incomplete)."""
    rng = random.Random(seed)  # noqa: S311 - a search, not a secret
    noise = np.random.default_rng(seed)
    units = problem.units
    neighbours = _neighbours(units)
    movable = [i for i, unit in enumerate(units) if len(unit) > 1]
    if start is None:
        now = Solution([-1] * len(units))
        _insert(problem, now.choice, list(range(len(units))), noise, 0.0)
        evaluate(problem, now)
    else:
        now = start
    best = now
    for step in range(steps):
        if not movable or (step % 64 == 0 and stop()):
            break
        warmth = heat * (1 - step / steps) ** 1.5
        chosen = _pick(rng, movable, neighbours, len(units))
        trial = Solution(list(now.choice))
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
        evaluate(problem, trial, now.cost + warmth)
        if trial.score is not None and trial.cost <= now.cost + warmth * rng.random():
            now = trial
            if now.cost < best.cost - 1e-9:
                best = now
        if tick is not None:
            tick(step, best)
    return best


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
    rows = [float(problem.geometry.row[s]) for strips in state.strips.values() for s in strips]
    centre = sum(rows) / len(rows) if rows else min(problem.geometry.board.rows, 24) / 2
    for i in order:
        unit = problem.units[i]
        if not len(unit):
            continue
        cost = state.costs(unit, centre)
        if warmth:
            cost = cost + warmth * noise.random(len(cost))
        k = int(np.argmin(cost))
        if np.isfinite(cost[k]):
            choice[i] = k
            state.put(unit, k)
