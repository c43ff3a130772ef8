"""Whether lights flash in turn: one after the other, hardly ever two at once."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

__all__ = ["BRIEF", "in_turn"]

BRIEF = 0.05
"""What is shorter is not promised to a learner, nor held against what is [s] (from memory: a glimpse)."""
_TOGETHER = 0.2
"""In this share of all lit time two may be lit, where a fading light lingers (our choice)."""


def in_turn(lights: Sequence[Sequence[tuple[float, bool]]], start: float, end: float) -> bool:
    """Whether of several lights, given by when they come on (True) and go out, one at a time is lit.

    ``start`` and ``end`` bound the time that is looked at [s].  At a change two may be lit for a glimpse.
    """
    if len(lights) < 2:
        return False
    count = sum(next((on for time, on in reversed(edges) if time < start), False) for edges in lights)
    changes = sorted((t, 1 if on else -1) for edges in lights for t, on in edges if start <= t < end)
    some = several = since = 0.0
    for (begins, change), (ends, _) in pairwise([(start, 0), *changes, (end, 0)]):
        count += change
        some += (ends - begins) * (count > 0)
        since = since + ends - begins if count > 1 else 0.0
        several += (ends - begins) * (count > 1)
        if since > BRIEF:
            return False
    return several <= _TOGETHER * some
