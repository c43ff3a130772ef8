"""Compiled: the term of :mod:`_halves`, in hundredths of the score."""

# mypy: disable-error-code="no-untyped-def,untyped-decorator,assignment"

from __future__ import annotations

from buildalong.build.place._halves import LEANING
from buildalong.build.place._lns_arrays import X0, helper

__all__ = ["halves"]

RIGHT = X0 + 11
"""Lattice column of x = 11, the last."""
HALF_ROWS = int(2 * LEANING)


@helper
def _railed(x):
    return x < X0 or x > RIGHT


@helper
def _onto(B, u, v, legs, kind, dx, dy):
    """Whether a move takes the legs from the number ``u`` on in ``legs_at`` onto those from ``v`` on.

    ``kind``: 1 where left and right change, 2 where top and bottom do, 3 both; ``dx``, ``dy``: the sum of
    both where they change, else by how much they differ.
    """
    across, along = kind & 1 > 0, kind & 2 > 0
    changes = across or abs(dx) > 5
    for leg in range(legs):
        p, q = B.legs_at[u + leg], B.legs_at[v + leg]
        ax, ay, bx, by = B.hole[0, p], B.hole[1, p], B.hole[0, q], B.hole[1, q]
        away = abs((by + ay if along else by - ay) - dy)
        if _railed(ax) or _railed(bx):
            other = (ax < X0) != (bx < X0)
            if not (_railed(ax) and _railed(bx)) or other != changes or away > HALF_ROWS:
                return False
        elif away or (bx + ax if across else bx - ax) != dx:
            return False
    return True


@helper
def halves(B, S, W):
    """What pairs of units count for that are not moved onto one another as most of them are."""
    pairs, moves = B.pairs, W.moves
    found = most = 0
    for i in range(len(pairs)):
        u, v = pairs[i, 0], pairs[i, 1]
        if S.choice[u] < 0 or S.choice[v] < 0:
            continue
        legs = B.unit[0, u + 1] - B.unit[0, u]
        u0 = B.unit[3, u] + S.choice[u] * legs
        v0 = B.unit[3, v] + S.choice[v] * legs
        leg = 0
        while leg < legs and (
            _railed(B.hole[0, B.legs_at[u0 + leg]]) or _railed(B.hole[0, B.legs_at[v0 + leg]])
        ):
            leg += 1
        if leg == legs:
            continue
        p, q = B.legs_at[u0 + leg], B.legs_at[v0 + leg]
        for kind in range(4):
            dx = B.hole[0, q] + B.hole[0, p] if kind & 1 else B.hole[0, q] - B.hole[0, p]
            dy = B.hole[1, q] + B.hole[1, p] if kind & 2 else B.hole[1, q] - B.hole[1, p]
            if (not kind & 1 or dx == X0 + RIGHT) and _onto(B, u0, v0, legs, kind, dx, dy):
                like = 1
                for j in range(found):
                    like += moves[j, 0] == kind and moves[j, 1] == dx and moves[j, 2] == dy
                moves[found, 0], moves[found, 1], moves[found, 2] = kind, dx, dy
                found += 1
                most = max(most, like)
    return B.size[16] * (len(pairs) - most)
