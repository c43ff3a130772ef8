"""The last step for straight wires: the ends that the exact score likes best, bodies passed over first."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from buildalong.board import Layout, Wire, joined_strips
from buildalong.build.place._ground import EDGE
from buildalong.build.place._last import Ask, Built, Point, better, in_order, open_holes
from buildalong.build.place._last_flat import FlatWays
from buildalong.build.place._leads import under_leads
from buildalong.build.place._route import WIRE_ROOM
from buildalong.build.place._score import WEIGHTS, crosses, passes_over

__all__ = ["wire_ends_moved"]

ASTRAY = 5.0
"""Rows beyond the outermost legs of parts on the board in which a wire may end [pitches]: one that goes round
everything in a wide bow hides no body, but the eye loses it."""

MOST = 6
"""Ways of a wire that are weighed exactly, those first that promise most."""
ROUNDS = 8
"""Times that all wires are looked at, at most."""


def wire_ends_moved(ask: Ask, layout: Layout) -> Layout:
    """The layout with each straight wire from the best open hole of one piece of its net to one of the other.

    Flexible ones go over everything, others lie as flat as before.
    The pieces are those into which the net falls without the wire, so a wire may also leave from another
    strip than before.  Nets and the number of wires stay as they are.
    """
    for _ in range(ROUNDS):
        before = layout
        for wire in before.wires:
            if not wire.path and wire in layout.wires and not ask.stays(wire):
                layout = _laid_again(ask, layout, wire)
        if layout == before:
            break
    return layout


def _laid_again(ask: Ask, layout: Layout, wire: Wire) -> Layout:
    without = replace(layout, wires=tuple(other for other in layout.wires if other != wire))
    for _, start, end in sorted(_ways(ask, without, wire))[:MOST]:
        new = replace(wire, start=start, end=end)
        trial = in_order(ask, replace(without, wires=(*without.wires, new)))
        if better(ask, trial, layout):
            return trial
    return layout


def _ways(ask: Ask, without: Layout, wire: Wire) -> Iterator[tuple[float, str, str]]:
    """Ways that promise more than the present one, with what each costs by itself."""
    board = without.board
    weigh = _Weigh(ask, without)
    limit = weigh(board.holes[wire.start], board.holes[wire.end])
    rows = [y for _, y in weigh.built.legs]
    low, high = min(rows, default=0.0) - ASTRAY, max(rows, default=0.0) + ASTRAY
    places = {hole: p for hole, p in open_holes(ask, without, WIRE_ROOM).items() if low <= p[1] <= high}
    pieces = [joined_strips(ask.circuit, without, [board.strip_of[hole]]) for hole in (wire.start, wire.end)]
    ends = [[(h, p) for h, p in places.items() if board.strip_of[h] in piece] for piece in pieces]
    lies = FlatWays(ask, without).open if wire.style != "flexible" else lambda a, b: True
    for start, a in ends[0]:
        for end, b in ends[1]:
            if _plain(a, b) < limit and (cost := weigh(a, b)) < limit - EDGE and lies(a, b):
                yield cost, start, end


def _plain(a: Point, b: Point) -> float:
    """What a wire costs whatever lies about it."""
    slant = a[0] != b[0] and abs(a[1] - b[1]) > 0.51
    return WEIGHTS["wire length"][0] * math.dist(a, b) + WEIGHTS["slant"][0] * slant


class _Weigh:
    """What the score counts of one straight wire among what stands already."""

    def __init__(self, ask: Ask, layout: Layout) -> None:
        self.built = Built(ask.circuit, layout)
        holes = layout.board.holes
        beside = [part for part in ask.circuit.parts if part.type.body.kind == "off-board"]
        self.leads = [holes[h] for part in beside for h in layout.holes.get(part.id, ())]

    def __call__(self, a: Point, b: Point) -> float:
        over = sum(passes_over(box, a, b) for box in self.built.boxes)
        crossed = sum(crosses(a, b, c, d) for line in self.built.wires for c, d in pairwise(line))
        under = under_leads(self.leads, (), [(a, b)], ())
        more = max(0.0, self.built.first - min(a[1], b[1])) + max(0.0, max(a[1], b[1]) - self.built.last)
        found = {"over a part": over, "crossing": crossed, "under a lead": under, "rows": more}
        return _plain(a, b) + sum(WEIGHTS[name][0] * amount for name, amount in found.items())
