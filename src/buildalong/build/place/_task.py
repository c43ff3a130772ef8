"""What stays the same during a search: units, strips, bodies that collide, legs that a part joins inside."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from buildalong.build.place._gentle import Hurts
from buildalong.build.place._geometry import Geometry
from buildalong.build.place._ground import Bits, Box, Ints, gap
from buildalong.build.place._route import Lattice, Path, Router, make_path
from buildalong.build.place._units import Unit
from buildalong.circuit import Circuit

if TYPE_CHECKING:
    from buildalong.build.place._habits import Habits
    from buildalong.build.place._slip_costs import SlipCosts

__all__ = ["FixedWire", "Problem", "Solution"]


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
    hurts: Hurts | None = None
    """What comes of slips, where a gentle layout is wanted."""
    group: Ints = field(init=False)
    """Strip -> the lowest strip that a fixed wire joins it to."""
    habits: Habits = field(init=False)
    """Weighs the tidiness of a whole layout; set by whoever makes the problem."""
    slips: SlipCosts | None = field(init=False, default=None)
    """What slips would cost, where a gentle layout is wanted; set together with the habits."""
    barred: Mapping[str, str] | None = field(init=False, default=None)
    """Units that the author's wishes leave no place -> the piece of the board asked for, "" for none.

    None where no place is wished for."""

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
        self._strips: dict[tuple[int, int], list[int]] = {}
        self._holes: dict[tuple[int, int], list[int]] = {}
        self._boxes: dict[tuple[int, int], list[Box]] = {}
        self._collide: dict[tuple[int, int, int, int], bool] = {}
        self.fixed_lattice = Lattice(self.router.outside)
        for wire in self.fixed_wires:
            self.fixed_lattice.add(make_path(wire.points, self.router.edges))

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

    def rank(self) -> tuple[int, int, int, float]:
        """Fewest parts without a place, fewest joins without a way, fewest wires, least cost."""
        return (self.choice.count(-1), self.unjoined, len(self.wires), self.cost)
