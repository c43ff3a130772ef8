"""The last step for straight wires: the ends that the exact score likes best, bodies passed over first."""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from buildalong.board import Layout, Wire, joined_strips
from buildalong.build.dress import Dressing
from buildalong.build.place._ground import EDGE
from buildalong.build.place._last import Ask, Built, Point, better, in_order, open_holes, sounder
from buildalong.build.place._last_flat import FlatWays
from buildalong.build.place._leads import under_leads
from buildalong.build.place._led import led_terms
from buildalong.build.place._route import WIRE_ROOM
from buildalong.build.place._score import AROUND, WEIGHTS, crosses, passes_over

__all__ = ["wire_ends_moved"]

ASTRAY = 5.0
"""Rows beyond the outermost legs of parts on the board in which a wire may end [pitches]: one that goes round
everything in a wide bow hides no body, but the eye loses it."""

MOST = 6
"""Ways of a wire that are weighed exactly, those first that promise most."""
NEAREST = 20
"""Pairs of holes between which a flexible wire is led, to see what that costs, those first whose straight
line costs least."""
ROUNDS = 8
"""Times that all wires are looked at, at most."""


def wire_ends_moved(ask: Ask, layout: Layout) -> Layout:
    """The layout with each straight wire from the best open hole of one piece of its net to one of the other.

    Flexible ones are led around things, others lie as flat as before.
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
    clear = _clear(ask, without, wire)
    ways = (_led if wire.style == "flexible" else _ways)(ask, without, wire, clear)
    for _, start, end, line in sorted(ways)[:MOST]:
        new = replace(wire, start=start, end=end, dress=line)
        trial = in_order(ask, replace(without, wires=(*without.wires, new)))
        if better(ask, trial, layout) or (not clear and sounder(ask, trial, layout)):
            return trial
    return layout


Way = tuple[float, str, str, tuple[Point, ...]]
"""What a way costs by itself, its two holes, and the places past which a flexible wire is led."""


def _led(ask: Ask, without: Layout, wire: Wire, clear: bool) -> Iterator[Way]:
    """Ways of a flexible wire that promise more than the present one; the nearest holes are looked at.

    Where that is not ``clear``, all do.
    """
    board, dressing = without.board, Dressing(ask.circuit, without)
    weigh = _Weigh(ask, without, led=True)
    limit = weigh(replace(without, wires=(wire,)).line(wire)) if clear else math.inf
    starts, ends = _ends(ask, without, wire)
    for _, least, start, end in heapq.nsmallest(NEAREST, _pairs(dressing, starts, ends)):
        line = dressing.led(board.holes[start], board.holes[end])
        if least < limit and (cost := weigh(line)) < limit - EDGE:
            yield cost, start, end, line


def _pairs(
    dressing: Dressing, starts: Mapping[str, Point], ends: Mapping[str, Point]
) -> Iterator[tuple[float, float, str, str]]:
    """Pairs of holes, with what a straight line between them costs, as far as no way around is cheaper."""
    places = list(ends.values())
    for start, a in starts.items():
        lain = dressing.straight(a, places) if places else []
        for (end, b), cost in zip(ends.items(), lain, strict=True):
            least = _plain((a, b))
            yield least + min(cost - math.dist(a, b), AROUND), least, start, end


def _ways(ask: Ask, without: Layout, wire: Wire, clear: bool) -> Iterator[Way]:
    """Ways of a stiff wire that promise more than the present one, with what each costs by itself."""
    board = without.board
    weigh = _Weigh(ask, without)
    limit = weigh((board.holes[wire.start], board.holes[wire.end])) if clear else math.inf
    starts, ends = _ends(ask, without, wire)
    lies = FlatWays(ask, without).open
    for start, a in starts.items():
        for end, b in ends.items():
            if _plain((a, b)) < limit and (cost := weigh((a, b))) < limit - EDGE and lies(a, b):
                yield cost, start, end, ()


def _clear(ask: Ask, without: Layout, wire: Wire) -> bool:
    """Whether a wire lies over no hole in use, and no flat wire over its own ends."""
    holes = without.board.holes
    if wire.style != "flexible":
        return FlatWays(ask, without).open(holes[wire.start], holes[wire.end])
    return {wire.start, wire.end} <= open_holes(ask, without).keys()


def _ends(ask: Ask, without: Layout, wire: Wire) -> tuple[dict[str, Point], dict[str, Point]]:
    """Open holes of the two pieces into which the net falls without a wire."""
    board = without.board
    rows = [y for _, y in Built(ask.circuit, without).legs]
    low, high = min(rows, default=0.0) - ASTRAY, max(rows, default=0.0) + ASTRAY
    places = {hole: p for hole, p in open_holes(ask, without, WIRE_ROOM).items() if low <= p[1] <= high}
    one, other = (
        joined_strips(ask.circuit, without, [board.strip_of[hole]]) for hole in (wire.start, wire.end)
    )
    return (
        {hole: place for hole, place in places.items() if board.strip_of[hole] in one},
        {hole: place for hole, place in places.items() if board.strip_of[hole] in other},
    )


def _plain(line: Sequence[Point]) -> float:
    """What a wire costs whatever lies about it."""
    slant = len(line) > 2 or (line[0][0] != line[1][0] and abs(line[0][1] - line[1][1]) > 0.51)
    length = sum(math.dist(a, b) for a, b in pairwise(line))
    return WEIGHTS["wire length"][0] * length + WEIGHTS["slant"][0] * slant


class _Weigh:
    """What the score counts of one wire, straight or led past places, among what stands already."""

    def __init__(self, ask: Ask, layout: Layout, *, led: bool = False) -> None:
        self.built, self.led = Built(ask.circuit, layout), led
        holes = layout.board.holes
        beside = [part for part in ask.circuit.parts if part.type.body.kind == "off-board"]
        self.leads = [holes[h] for part in beside for h in layout.holes.get(part.id, ())]

    def __call__(self, line: Sequence[Point]) -> float:
        built, pieces = self.built, list(pairwise(line))
        rows = (line[0][1], line[-1][1])
        found = {
            "over a part": sum(any(passes_over(box, *piece) for piece in pieces) for box in built.boxes),
            "crossing": sum(
                crosses(*piece, *p) for piece in pieces for w in built.wires for p in pairwise(w)
            ),
            "under a lead": under_leads(self.leads, (), [line], ()),
            "rows": max(0.0, built.first - min(rows)) + max(0.0, max(rows) - built.last),
            **(led_terms([line], built.boxes) if self.led else {}),
        }
        return _plain(line) + sum(WEIGHTS[name][0] * amount for name, amount in found.items())
