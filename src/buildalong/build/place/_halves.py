"""The halves of a symmetric circuit: whether they stand as copies or mirror images of one another."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from buildalong.build.place._mirror import swapped
from buildalong.circuit import Circuit

__all__ = ["halves_terms", "pairs_of"]

Point = tuple[float, float]
LEANING = 1.0
"""How far out of line two legs on rails may stand, pitches: their holes come in groups."""


def pairs_of(circuit: Circuit) -> tuple[tuple[str, str], ...]:
    """The parts that change places in a swap that leaves the circuit as it is; none where there is none."""
    return tuple((one, other) for one, other in swapped(circuit).items() if one < other)


def halves_terms(pairs: Sequence[tuple[Sequence[Point], Sequence[Point]]]) -> dict[str, float]:
    """How many pairs are not moved onto one another as most of them are, by the legs of both."""
    found = Counter(move for one, other in pairs for move in _moves(one, other))
    return {"halves": len(pairs) - max(found.values(), default=0)}


def _moves(one: Sequence[Point], other: Sequence[Point]) -> Iterator[tuple[bool, bool, float, float]]:
    """The moves that take legs onto others: whether left and right, top and bottom change, and how far.

    A rail has no column, for plus and minus may be in another order on the other side, and no exact row.
    """
    free = [(a, b) for a, b in zip(one, other, strict=False) if not _railed(a) and not _railed(b)]
    if not free or len(one) != len(other):
        return
    for across in (False, True):
        for along in (False, True):
            (ax, ay), (bx, by) = free[0]
            move = (bx + ax if across else bx - ax, by + ay if along else by - ay)
            ends = zip(one, other, strict=True)
            if (not across or move[0] == 11) and all(_onto(a, b, across, along, move) for a, b in ends):
                yield (across, along, *move)


def _railed(place: Point) -> bool:
    return not 0 <= place[0] <= 11


def _onto(a: Point, b: Point, across: bool, along: bool, move: Point) -> bool:
    away = abs((b[1] + a[1] if along else b[1] - a[1]) - move[1])
    if _railed(a) or _railed(b):
        changes = across or abs(move[0]) > 5
        return _railed(a) and _railed(b) and ((a[0] < 0) != (b[0] < 0)) == changes and away <= LEANING
    return away == 0 and (b[0] + a[0] if across else b[0] - a[0]) == move[0]
