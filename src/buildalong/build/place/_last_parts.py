"""The last step for parts among flexible wires: out of the way of what is led around them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import product

from buildalong.board import Layout
from buildalong.build.dress import dressed
from buildalong.build.place._geometry import RAIL_SLANT
from buildalong.build.place._ground import EDGE, body_boxes, edges_of, gap
from buildalong.build.place._last import Ask, better, bodies, taken_up
from buildalong.build.place._score import measure
from buildalong.circuit import Part

__all__ = ["parts_moved"]

MOST = 6
"""Places that are weighed exactly, those first that promise most."""
DEARER = 12.0
"""A place that costs so much more by itself is not weighed: no wire gains as much."""
FAR = 4.0
"""How far along its strip a leg moves at most [pitches]."""


def parts_moved(ask: Ask, layout: Layout) -> Layout:
    """The layout with each part of two leads where, in the same strips, it and the flexible wires lie best.

    The search weighs such wires as straight ones, so only now it shows what they have to be led around.
    """
    if not any(wire.dress for wire in layout.wires):
        return layout
    for part in ask.circuit.parts:
        body = part.type.body
        bends = not body.legs and body.kind != "off-board" and len(layout.holes.get(part.id, ())) == 2
        if bends and not ask.held(part.id):
            for _, pair in sorted(_places(ask, layout, part))[:MOST]:
                trial = dressed(ask.circuit, replace(layout, holes={**layout.holes, part.id: pair}))
                if better(ask, trial, layout):
                    layout = trial
    return layout


def _places(ask: Ask, layout: Layout, part: Part) -> Iterator[tuple[float, tuple[str, str]]]:
    """Other places in the same strips, with what all parts cost without wires."""
    board, now = layout.board, layout.holes[part.id]
    without, open_now = taken_up(ask, layout, part)
    choices = [
        [
            hole
            for hole, (x, y) in open_now.items()
            if board.strip_of[hole] == board.strip_of[own]
            and max(abs(x - board.holes[own][0]), abs(y - board.holes[own][1])) <= FAR
        ]
        for own in now
    ]
    legs = {name: [board.holes[h] for h in holes] for name, holes in without.holes.items()}
    edges, rails = edges_of(board), bool(board.rail_holes)

    def cost(pair: tuple[str, ...]) -> float:
        places = {**legs, part.id: [board.holes[h] for h in pair]}
        return measure(ask.circuit, places, (), (), edges, rails).total

    used = [board.holes[hole] for hole, _ in without.used()]
    standing = bodies(ask.circuit, without)
    limit = cost(now) + DEARER
    least, most = part.type.body.span
    for pair in product(*choices):
        (ax, ay), (bx, by) = (board.holes[hole] for hole in pair)
        leans = RAIL_SLANT if any(map(board.rail_of, pair)) else 0.0
        straight = ax == bx or abs(ay - by) <= leans
        fits = straight and least <= max(abs(ax - bx), abs(ay - by)) <= most + leans
        plan = body_boxes(part, [(ax, ay), (bx, by)])
        if pair == now or not fits or any(box.holds(*hole) for box in plan for hole in used):
            continue
        if any(gap(box, other) < -EDGE for box in plan for other in standing):
            continue
        if (weight := cost(pair)) < limit:
            yield weight, (pair[0], pair[1])
