"""How untidily flexible wires are led around what stands: their turns, and where they squeeze past bodies."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise

from buildalong.build.place._ground import Box

__all__ = ["led_terms"]

Point = tuple[float, float]
LOOKS = 4
"""Looks on each pitch of a wire."""
ROOM = 0.3
"""A wire whose middle is nearer to a body touches it [pitches]."""


def led_terms(lines: Iterable[Sequence[Point]], boxes: Sequence[Box]) -> dict[str, float]:
    """Right angles by which wires turn, and pitches of them that lie on a body or touch it."""
    turns = touching = 0.0
    for line in lines:
        pieces = list(pairwise(line))
        turns += sum(_turn(one, other) for one, other in pairwise(pieces)) / (math.pi / 2)
        touching += sum(_touching(a, b, boxes) for a, b in pieces)
    return {"turn": turns, "squeezed": touching}


def _turn(one: tuple[Point, Point], other: tuple[Point, Point]) -> float:
    """The angle between two pieces of a wire, 0 where it goes straight on [rad]."""
    (ax, ay), (bx, by) = one
    (_, _), (cx, cy) = other
    across = (bx - ax) * (cy - by) - (by - ay) * (cx - bx)
    along = (bx - ax) * (cx - bx) + (by - ay) * (cy - by)
    return abs(math.atan2(across, along))


def _touching(a: Point, b: Point, boxes: Sequence[Box]) -> float:
    """How much of a straight piece of wire touches a body [pitches]."""
    length = math.dist(a, b)
    looks = max(1, round(length * LOOKS))
    low = (min(a[0], b[0]) - ROOM, min(a[1], b[1]) - ROOM)
    high = (max(a[0], b[0]) + ROOM, max(a[1], b[1]) + ROOM)
    near = [
        box for box in boxes if box.x0 < high[0] and box.x1 > low[0] and box.y0 < high[1] and box.y1 > low[1]
    ]
    if not near:
        return 0.0
    shares = [(k + 0.5) / looks for k in range(looks)]
    places = [(a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share) for share in shares]
    return sum(any(box.holds(*place, ROOM) for box in near) for place in places) * length / looks
