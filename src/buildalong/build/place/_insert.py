"""Putting units down one by one, each where it adds least to what is on the board."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from buildalong.build.place._ground import Floats
from buildalong.build.place._score import WEIGHTS
from buildalong.build.place._slip_costs import SlipState
from buildalong.build.place._task import Problem

__all__ = ["insert", "put_clear", "stands_anywhere"]

MOST_TRIED = 40
"""Places that are tested for collisions at a time."""
WORK_PUT, WORK_PLACES = 0.12, 0.00004
"""Work of putting a unit down, and of each place it may take (about a millisecond each 1.0)."""
GENEROUS = (1.0, 1.0, 1.0, 0.4, 0.1)
"""Shares of the cost of a wire that putting a unit down reckons with: now and then a new strip is tried."""
FULL_STRIP = 6.0
"""Taking the last free hole of a strip that may need a wire."""


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
        self.slips = SlipState(p.slips, len(g.strip_names)) if p.slips is not None else None
        for i, k in enumerate(choice):
            if k >= 0:
                self.put(i, k)

    def put(self, i: int, k: int) -> None:
        unit = self.p.units[i]
        legs, under = self.p.masks(i, k)
        if self.slips is not None:
            self.slips.put(unit.legs, unit.nets, self.p.leg_strips(i, k))
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
            if self.slips is not None:
                cost += self.slips.of(unit.legs[leg], net)[unit.strips[:, leg]]
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

    def fits(self, i: int, k: int) -> bool:
        """Whether every leg of a unit would stand on a free strip or on one of its own net."""
        own = zip(self.p.leg_strips(i, k), self.p.units[i].nets, strict=True)
        return all(self.owner[self.p.group[strip]] in (-1, net) for strip, net in own)

    def stands(self, i: int, k: int) -> bool:
        """Whether a unit in this place touches nothing that is on the board."""
        legs, under = self.p.masks(i, k)
        if legs & (self.used | self.covered) or under & self.used:
            return False
        return not any(self.p.collide(i, k, j, m) for j, m in self.placed)


def stands_anywhere(problem: Problem, i: int, others: Sequence[int]) -> bool:
    """Whether a unit finds any place beside these others, each of which has only one place."""
    choice = [-1] * len(problem.units)
    for j in others:
        choice[j] = 0
    choice[i] = -1
    return _State(problem, choice).best(i, 0.0, np.random.default_rng(0), 0.0, 0.0) >= 0


def put_clear(problem: Problem, choice: Sequence[int]) -> list[int]:
    """The same places, without those that touch something put down before; the plan's bodies are rough."""
    state = _State(problem, [-1] * len(choice))
    out = [-1] * len(choice)
    for i, k in enumerate(choice):
        if k >= 0 and state.stands(i, k) and state.fits(i, k):
            out[i] = k
            state.put(i, k)
    return out


def insert(
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
