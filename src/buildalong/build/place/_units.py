"""Units: legs that are put down together, and all the places that each may take.

A *unit* is one part, one lead of an off-board part, or a whole row of like lamps.  Its *candidates* are all
the places it may take, as arrays the search can work on.  Lengths are in pitches.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np
import numpy.typing as npt

from buildalong.build.place._frames import gaps
from buildalong.build.place._geometry import Geometry, Stands, stands
from buildalong.build.place._ground import EDGE, PITCH, Bits, Floats, Ints
from buildalong.circuit import Circuit, Part

__all__ = ["LEADS_APART", "Unit", "net_numbers", "row_unit", "single_unit", "supply_unit"]

WIRE_HALF = 0.24
"""Half the thickness of a wire, pitches."""
OUTER_COLUMNS = (0.0, 1.0, 10.0, 11.0)
"""Where supply leads may stand beside the rails."""
LEADS_APART = 5.0
"""Rows between the two leads of a supply at most."""


@dataclass(frozen=True)
class Unit:
    """Legs that are put down together, and everywhere they may stand.

    ``legs``: (part id, leg index).  Arrays over the candidates: ``holes`` (n, legs), ``boxes``
    (n, bodies, 4), ``leg_bits`` and ``cover_bits`` (n, words) = holes taken and holes under the
    bodies, ``static`` (n) = cost of the place by itself.  ``rounds``: which bodies are round.
    """

    name: str
    legs: tuple[tuple[str, int], ...]
    nets: tuple[int, ...]
    holes: Ints
    boxes: Floats
    rounds: tuple[bool, ...]
    leg_bits: Bits
    cover_bits: Bits
    static: Floats
    geometry: Geometry = field(repr=False)

    def __len__(self) -> int:
        """Count the candidates."""
        return len(self.holes)

    def only(self, kept: Ints) -> Unit:
        """The same unit with only these candidates."""
        return replace(
            self,
            holes=self.holes[kept],
            boxes=self.boxes[kept],
            leg_bits=self.leg_bits[kept],
            cover_bits=self.cover_bits[kept],
            static=self.static[kept],
        )

    @cached_property
    def strips(self) -> Ints:
        """The strip of each leg, (n, legs)."""
        return self.geometry.strip[self.holes]


def net_numbers(circuit: Circuit) -> dict[tuple[str, str], tuple[int, str]]:
    """(part, terminal) -> (net number, net name); an open terminal has a number of its own and no name."""
    numbers = {net: i for i, net in enumerate(circuit.nets)}
    out: dict[tuple[str, str], tuple[int, str]] = {}
    fresh = len(numbers)
    for pin, net in circuit.pins():
        if net is None:
            out[pin.part, pin.terminal] = (fresh, "")
            fresh += 1
        else:
            out[pin.part, pin.terminal] = (numbers[net], net)
    return out


def single_unit(
    part: Part,
    legs: Sequence[int],
    nets: Sequence[tuple[int, str]],
    geometry: Geometry,
    plus: str,
    ground: str,
    given: Sequence[int | None] = (),
) -> Unit:
    """The unit of one part (``legs`` = all its legs) or of one lead of an off-board part.

    ``given``: the hole that a leg must stand in, None where it is free.  A part whose every hole is
    given stands there whatever the rules say.
    """
    g = geometry
    off_board = part.type.body.kind == "off-board"
    own = [nets[i][0] for i in legs]
    if given and None not in given:
        stood = stands([part], [tuple(h for h in given if h is not None)], g)
        kept = np.array([True])
    else:
        stood = g.stands(part)
        kept = np.ones(len(stood.holes), bool)
        for leg, want in enumerate(given):
            if want is not None:
                kept &= stood.holes[:, leg] == want
        strips, sign = g.strip[stood.holes], g.sign[stood.holes]
        for a, i in enumerate(legs):
            legal = 1 if nets[i][1] == plus else -1 if nets[i][1] == ground else 0
            kept &= (sign[:, a] == 0) | (sign[:, a] == legal)
            for b in range(a):
                if own[a] != own[b]:
                    kept &= strips[:, a] != strips[:, b]
    name = f"{part.id}.{part.type.leg_names[legs[0]]}" if off_board else part.id
    return _unit(name, [(part.id, i) for i in legs], own, stood, kept, g)


def supply_unit(
    part: Part, nets: Sequence[tuple[int, str]], geometry: Geometry, plus: str, ground: str
) -> Unit:
    """Both leads of a supply as one unit: side by side on a pair of rails, or in the outer columns of a side.

    The leads come in on one side of the board, at most LEADS_APART rows apart, so that neither crosses
    what is built.
    """
    g = geometry
    sides: list[list[int]] = [[], []]
    for hole, (x, y) in enumerate(zip(g.x.tolist(), g.y.tolist(), strict=True)):
        if x in OUTER_COLUMNS and y <= g.rows:
            sides[x > 5.5].append(hole)
    sets = [
        (a, b)
        for side in sides
        for a in side
        for b in side
        if g.strip[a] != g.strip[b] and abs(g.y[a] - g.y[b]) <= LEADS_APART
    ]
    legal = {plus: "+", ground: "-"}
    one, two = (legal.get(name, "") for _, name in nets)
    if one and two:
        for number in range(1, g.board.rail_holes + 1):
            for side in "LR":
                # The minus lead one hole further on: leads that come in below one another do not cross.
                pair = [g.number.get(f"{side}{sign}{number + (sign == '-')}") for sign in (one, two)]
                found = tuple(h for h in pair if h is not None)
                if len(found) == 2:
                    sets.append((found[0], found[1]))
    holes = np.array(sets, np.int64).reshape(len(sets), 2)
    leg_bits = g.bits(holes)
    stood = Stands(holes, np.zeros((len(sets), 0, 4)), (), leg_bits, np.zeros_like(leg_bits))
    own = [number for number, _ in nets]
    return _unit(part.id, [(part.id, 0), (part.id, 1)], own, stood, np.ones(len(sets), bool), g)


def row_unit(parts: Sequence[Part], nets: Sequence[tuple[int, int]], geometry: Geometry) -> Unit:
    """A row of like two-legged lamps, in the given order, all facing the same way, in one column.

    A long row may be parted in its middle.
    """
    g = geometry
    body = parts[0].type.body
    least, most = body.span
    pitch = max(math.ceil(body.length / PITCH - EDGE), least + 1)
    sets = []
    columns = sorted({float(x) for x in g.x[~g.rail[g.strip]]})
    count = len(parts)
    for span in range(least, min(most, pitch - 1) + 1):
        for gap in gaps(count):
            long = pitch * (count - 1) + gap + span
            for x in columns:
                for top in range(1, g.rows - long + 1):
                    for order in (1, -1):
                        for first in (0, 1):
                            holes: list[int] = []
                            for number in range(count):
                                place = number if order > 0 else count - 1 - number
                                row = top + pitch * place + gap * (place >= count // 2)
                                pair = [g.at[x, float(row)], g.at[x, float(row + span)]]
                                holes += pair if first == 0 else pair[::-1]
                            sets.append(tuple(holes))
    stood = stands(parts, sets, g)
    legs = [(part.id, leg) for part in parts for leg in (0, 1)]
    flat = [n for pair in nets for n in pair]
    return _unit("+".join(p.id for p in parts), legs, flat, stood, np.ones(len(sets), bool), g)


def _unit(
    name: str,
    legs: Sequence[tuple[str, int]],
    nets: Sequence[int],
    stood: Stands,
    kept: npt.NDArray[np.bool_],
    g: Geometry,
) -> Unit:
    return Unit(
        name=name,
        legs=tuple(legs),
        nets=tuple(nets),
        holes=stood.holes[kept],
        boxes=stood.boxes[kept],
        rounds=stood.rounds,
        leg_bits=stood.leg_bits[kept],
        cover_bits=stood.cover_bits[kept],
        static=np.zeros(int(kept.sum())),
        geometry=g,
    )
