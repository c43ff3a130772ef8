"""Compiled: about how many straight wires a join takes where few columns are left to pass along.

Before wires are laid: each row of a side has as many columns for wires as it has free holes. A join
along one side where they are taken goes round by the other, which takes three wires more; a join from
side to side one.
"""

# mypy: disable-error-code="no-untyped-def,untyped-decorator,assignment"

from __future__ import annotations

from buildalong.build.place._lns_arrays import ROWS, helper

__all__ = ["free_holes", "linked", "look_at_rows"]

WIRE, OVER = 10_000, 6_000
"""A wire; a row in which a wire finds no column."""
ROOM, STRIP = 2 * ROWS, 4 * ROWS
"""In W.cut, after wires in each row of both sides: columns there, and the strip."""


@helper
def free_holes(B, S, s):
    """Holes of a strip that no lead and no body takes."""
    free = 0
    for i in range(B.strip[0, s], B.strip[0, s + 1]):
        h = B.holes[i]
        free += S.used[h] + S.covered[h] == 0
    return free


@helper
def look_at_rows(B, S, W):
    """Note the columns of each row; no wire is there yet."""
    for i in range(2 * ROWS):
        W.cut[i] = 0
    for s in range(len(S.owner[0])):
        if not B.strip[3, s]:
            i = ROWS * B.strip[2, s] + B.strip[1, s]
            W.cut[ROOM + i] = free_holes(B, S, s)
            W.cut[STRIP + i] = s


@helper
def _over(W, side, a, b):
    """Rows from one to another in which no column is left."""
    n = 0
    for row in range(min(a, b), max(a, b) + 1, 2):
        i = ROWS * side + row
        n += W.cut[i] >= W.cut[ROOM + i]
    return n


@helper
def _take(W, side, a, b):
    for row in range(min(a, b), max(a, b) + 1, 2):
        W.cut[ROWS * side + row] += 1


@helper
def _enters(S, W, net, side, row):
    """Whether a wire across may begin in a row of a side."""
    s = W.cut[STRIP + ROWS * side + row]
    return S.owner[1, s] == 0 or S.owner[0, s] == net


@helper
def linked(B, S, W, net, s, t):
    """What joining two strips costs besides one wire and its length, in the score's hundredths."""
    strip = B.strip
    one, other = strip[2, s], strip[2, t]
    if strip[3, s] + strip[3, t]:
        return WIRE * (one != other and strip[3, s] != strip[3, t])
    a, b = strip[1, s], strip[1, t]
    if one == other:
        cost = OVER * _over(W, one, a, b)
        around = 3 * WIRE + OVER * _over(W, 1 - one, a, b) if cost > 0 else cost
        if around < cost:
            _take(W, 1 - one, a, b)
            return around
        _take(W, one, a, b)
        return cost
    if a == b:
        return 0
    first = _enters(S, W, net, one, b)
    second = _enters(S, W, net, other, a)
    least = OVER * _over(W, one, a, b)
    most = OVER * _over(W, other, a, b)
    if second and (not first or most < least):
        _take(W, other, a, b)
        return WIRE + most
    _take(W, one, a, b)
    return WIRE + least + (0 if first else WIRE)
