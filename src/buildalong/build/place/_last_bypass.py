"""The last step for capacitors across the supply: near an IC, where their nets come by already."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from buildalong.board import Layout, joined_strips
from buildalong.build.place._bypass import bypasses, rows_astray
from buildalong.build.place._geometry import RAIL_SLANT
from buildalong.build.place._last import Ask, Point, better, taken_up
from buildalong.build.place._score import WEIGHTS
from buildalong.circuit import Part

__all__ = ["bypasses_moved"]

MOST = 24
"""Places that are weighed exactly, those first that promise most."""


def bypasses_moved(ask: Ask, layout: Layout) -> Layout:
    """The layout with each such capacitor in the open holes of its two nets that the exact score likes best.

    No wire is laid and none moves, so a capacitor stays where a wire leads to it alone.
    """
    for part in bypasses(ask.circuit):
        if part.id in layout.holes and not ask.held(part.id):
            for _, pair in sorted(_places(ask, layout, part))[:MOST]:
                trial = replace(layout, holes={**layout.holes, part.id: pair})
                if better(ask, trial, layout):
                    layout = trial
    return layout


def _places(ask: Ask, layout: Layout, part: Part) -> Iterator[tuple[float, tuple[str, str]]]:
    """Places that promise more than the present one, with what each costs by itself."""
    board, now = layout.board, layout.holes[part.id]
    without, places = taken_up(ask, layout, part)
    nets = [joined_strips(ask.circuit, without, [board.strip_of[hole]]) for hole in now]
    stands = {board.strip_of[hole] for hole, _ in without.used()}
    if not all(board.strip_of[hole] in stands for hole in now if not board.rail_of(hole)):
        return
    ends = [[(h, p) for h, p in places.items() if board.strip_of[h] in net] for net in nets]
    legs = {name: [board.holes[h] for h in holes] for name, holes in without.holes.items()}

    def cost(a: Point, b: Point) -> float:
        astray = rows_astray(ask.circuit, {**legs, part.id: [a, b]})
        span = abs(math.dist(a, b) - part.type.body.ideal_span)
        return WEIGHTS["bypass"][0] * astray + WEIGHTS["span"][0] * span

    limit = cost(board.holes[now[0]], board.holes[now[1]])
    least, most = part.type.body.span
    for one, a in ends[0]:
        for other, b in ends[1]:
            leans = RAIL_SLANT if board.rail_of(one) or board.rail_of(other) else 0.0
            straight = a[0] == b[0] or abs(a[1] - b[1]) <= leans
            if straight and least <= math.dist(a, b) <= most + leans and (weight := cost(a, b)) < limit:
                yield weight, (one, other)
