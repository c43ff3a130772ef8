"""What lies under leads from beside the board, which come in along their rows over the nearest edge."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

from buildalong.build.place._ground import EDGE, Box

__all__ = ["LEAD_HALF", "MIDDLE", "hides", "under_leads"]

Point = tuple[float, float]

MIDDLE = 5.5
"""The column in which the trench has its middle."""
LEAD_HALF = 0.25
"""Half the thickness of a lead, pitches."""


def hides(lead: Point, hole: Point) -> bool:
    """Whether a lead lies over a hole."""
    return hole[1] == lead[1] and _beyond(lead, hole[0])


def under_leads(
    leads: Iterable[Point], boxes: Sequence[Box], wires: Sequence[Sequence[Point]], legs: Iterable[Point]
) -> int:
    """How many bodies, wires and holes in use the leads lie over; ``legs``: of parts on the board."""
    held = [*legs, *(point for wire in wires for point in (wire[0], wire[-1]))]
    count = 0
    for lead in leads:
        count += sum(_beyond(lead, _edge(lead, box)) for box in boxes if _in_row(lead, box))
        count += sum(any(_over(lead, a, b) for a, b in pairwise(wire)) for wire in wires)
        count += sum(hides(lead, point) for point in held)
    return count


def _beyond(lead: Point, x: float) -> bool:
    """Whether a column lies between a lead's hole and the edge over which it comes in."""
    return x > lead[0] + EDGE if lead[0] > MIDDLE else x < lead[0] - EDGE


def _in_row(lead: Point, box: Box) -> bool:
    return box.y0 - LEAD_HALF + EDGE < lead[1] < box.y1 + LEAD_HALF - EDGE


def _edge(lead: Point, box: Box) -> float:
    """The column that a body reaches towards the edge, in the lead's row."""
    half = (box.x1 - box.x0) / 2
    if box.round:
        # A lead that runs past the middle's height has only a part of the circle under it.
        away = max(0.0, abs(lead[1] - (box.y0 + box.y1) / 2) - LEAD_HALF)
        half = max(0.0, half * half - away * away) ** 0.5
    return (box.x0 + box.x1) / 2 + (half if lead[0] > MIDDLE else -half)


def _over(lead: Point, a: Point, b: Point) -> bool:
    """Whether a piece of wire lies under a lead."""
    low, high = sorted((a[1], b[1]))
    if not low <= lead[1] <= high:
        return False
    if low == high:
        return _beyond(lead, a[0]) or _beyond(lead, b[0])
    x = a[0] + (b[0] - a[0]) * (lead[1] - a[1]) / (b[1] - a[1])
    return x == lead[0] or _beyond(lead, x)
