"""Ends by which a slip of the hand would short the supply: what a gentle layout has few of."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

__all__ = ["ACROSS", "AWAY", "shorting"]

Point = tuple[float, float]

AWAY: Mapping[int, float] = {1: 1.0, 2: 0.25}
"""How likely an end slips by so many rows, each way (our judgement: the weights of the mistakes)."""
ACROSS = 0.375
"""How likely it slips across the trench, by the same judgement."""
_LEFT, _RIGHT = 0.0, 11.0


def shorting(ends: Iterable[tuple[Point, str]], held: Iterable[tuple[Point, str]]) -> float:
    """How many likely slips of one end short the supply.

    ``ends``: where wires and supply leads stand on plus or 0 V (their pole); ``held``: every leg and wire
    end on one of the poles.  Places are in pitches; what stands on a rail is left out, for there both poles
    are side by side by nature.
    """
    poles: dict[tuple[bool, int], str] = {}
    for (x, y), pole in held:
        if _LEFT <= x <= _RIGHT:
            poles.setdefault((x > 5.5, round(y)), pole)
    amount = 0.0
    for (x, y), pole in ends:
        if not _LEFT <= x <= _RIGHT:
            continue
        right, row = x > 5.5, round(y)
        near = [((right, row + sign * rows), share) for rows, share in AWAY.items() for sign in (-1, 1)]
        for place, share in (*near, ((not right, row), ACROSS)):
            amount += share * (poles.get(place, pole) != pole)
    return amount
