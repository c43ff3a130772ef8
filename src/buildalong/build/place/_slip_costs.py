"""What slips would cost, strip by strip, while parts are put down one by one."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from buildalong.build.place._gentle import ACROSS, AWAY, Hurts
from buildalong.build.place._geometry import Geometry
from buildalong.build.place._ground import Floats, Ints
from buildalong.build.place._score import WEIGHTS
from buildalong.circuit import Circuit

__all__ = ["SlipCosts", "SlipState"]


class SlipCosts:
    """Tables that stay the same: which strips are near one another, and what each leg does in each net."""

    def __init__(self, circuit: Circuit, geometry: Geometry, nets: int, hurts: Hurts) -> None:
        g = geometry
        at = {
            (bool(right), int(row)): number
            for number, (right, row, rail) in enumerate(zip(g.right, g.row, g.rail, strict=True))
            if not rail
        }
        strips = range(len(g.strip_names))
        self.near: list[tuple[float, Ints]] = []
        """Share of slips, and for each strip the one they lead to (the last of all for none)."""
        ways = [(share, sign * rows, False) for rows, share in AWAY.items() for sign in (-1, 1)]
        for share, rows, across in (*ways, (ACROSS, 0, True)):
            target = np.full(len(g.strip_names) + 1, len(g.strip_names))
            for s in strips:
                if not g.rail[s]:
                    place = (bool(g.right[s]) != across, int(g.row[s]) + rows)
                    target[s] = at.get(place, len(g.strip_names))
            self.near.append((share * WEIGHTS["harm"][0], target))
        self.nets = nets
        self.names = list(circuit.nets)
        self.tables: dict[tuple[str, int], Floats] = {}
        for part in circuit.parts:
            for leg in range(len(part.type.leg_terminals)):
                table = np.zeros(nets + 1)
                if not part.type.body.legs:
                    table[: len(self.names)] = [
                        hurts.leads.get((f"{part.id} {leg}", name), 0.0) for name in self.names
                    ]
                self.tables[part.id, leg] = table
        self.none = np.zeros(nets + 1)


class SlipState:
    """What slips would cost with what stands on the board so far."""

    def __init__(self, costs: SlipCosts, strips: int) -> None:
        self.costs = costs
        self.owner = np.full(strips + 1, costs.nets)
        """Strip -> the net in it; a number beyond the nets where there is none."""
        self.caused = np.zeros((strips + 1, costs.nets + 1))
        """What comes of it where a net moves into a strip: those beside it may slip into it."""

    def put(self, legs: Sequence[tuple[str, int]], nets: Sequence[int], strips: Sequence[int]) -> None:
        """Take note of what was put down."""
        for leg, net, strip in zip(legs, nets, strips, strict=True):
            self.owner[strip] = net
            table = self.costs.tables.get(leg, self.costs.none)
            if table.any():
                for share, target in self.costs.near:
                    self.caused[target[strip]] += share * table

    def of(self, leg: tuple[str, int], net: int) -> Floats:
        """For each strip what it would cost to have this leg there."""
        table = self.costs.tables.get(leg, self.costs.none)
        cost = np.where(self.owner == self.costs.nets, self.caused[:, net], 0.0)
        if table.any():
            here = table.copy()
            here[net] = 0.0
            for share, target in self.costs.near:
                cost = cost + share * here[self.owner[target]]
        return np.asarray(cost[:-1])
