"""Compiled: what lies on the lattice, whether a piece of wire is free, laying wires and taking them up."""

# mypy: disable-error-code="no-untyped-def,untyped-decorator,assignment"

from __future__ import annotations

import numpy as np

from buildalong.build.place._lns_arrays import MOST_WIRES, PER_WORD, WIDE, WORDS, helper

__all__ = ["LEAD", "across", "along", "below", "close", "free_run", "lay", "open_cell", "reopen", "rip"]

CLOSED, ACROSS, ALONG, LEAD = 0, 1, 2, 3
LEADS = 2
"""Crossings for which a lead counts that a wire passes under: about its weight."""


@helper
def below(rng, n):
    """A random number from 0 to n - 1."""
    rng[0] = rng[0] * np.uint64(6364136223846793005) + np.uint64(1442695040888963407)
    return (np.int64((rng[0] >> np.uint64(33)) & np.uint64(0x7FFFFFFF)) * n) >> 31


@helper
def _set(S, kind, X, Y):
    S.bits[kind, Y] |= np.int64(1) << X
    S.columns[kind, X * WORDS + Y // PER_WORD] |= np.int64(1) << (Y % PER_WORD)


@helper
def _clear(S, kind, X, Y):
    S.bits[kind, Y] &= ~(np.int64(1) << X)
    S.columns[kind, X * WORDS + Y // PER_WORD] &= ~(np.int64(1) << (Y % PER_WORD))


@helper
def close(S, X, Y):
    """One thing more closes a cell."""
    c = Y * WIDE + X
    if S.solid[c] == 0:
        _set(S, CLOSED, X, Y)
    S.solid[c] += 1


@helper
def reopen(S, X, Y):
    """One thing less closes a cell."""
    c = Y * WIDE + X
    S.solid[c] -= 1
    if S.solid[c] == 0:
        _clear(S, CLOSED, X, Y)


@helper
def open_cell(S, X, Y):
    """Whether neither a body, nor a lead, nor a wire is here."""
    return ((S.bits[CLOSED, Y] | S.bits[ACROSS, Y] | S.bits[ALONG, Y]) >> X) & 1 == 0


@helper
def _count(m):
    n = 0
    while m:
        m &= m - 1
        n += 1
    return n


@helper
def across(S, Y, a, b):
    """How many wires a piece across crosses, a lead above it counting as LEADS; -1 where it is not free."""
    if a > b:
        a, b = b, a
    m = ((np.int64(1) << (b - a + 1)) - 1) << a
    if (S.bits[CLOSED, Y] | S.bits[ACROSS, Y]) & m:
        return -1
    return _count(S.bits[ALONG, Y] & m) + LEADS * (S.bits[LEAD, Y] & m != 0)


@helper
def along(S, X, a, b):
    """The same for a piece along a column."""
    if a > b:
        a, b = b, a
    n = 0
    for w in range(a // PER_WORD, b // PER_WORD + 1):
        low = max(a - w * PER_WORD, 0)
        high = min(b - w * PER_WORD, PER_WORD - 1)
        m = ((np.int64(1) << (high - low + 1)) - 1) << low
        at = X * WORDS + w
        if (S.columns[CLOSED, at] | S.columns[ALONG, at]) & m:
            return -1
        n += _count(S.columns[ACROSS, at] & m) + LEADS * _count(S.columns[LEAD, at] & m)
    return n


@helper
def free_run(S, X, Y, last, run):
    """How far a wire is free from a cell across to the left and right, and along up and down."""
    closed = S.bits[CLOSED, Y] | S.bits[ACROSS, Y]
    left, right, up, down = X, X, Y, Y
    while left > 0 and (closed >> (left - 1)) & 1 == 0:
        left -= 1
    while right < WIDE - 1 and (closed >> (right + 1)) & 1 == 0:
        right += 1
    while up > 0 and ((S.bits[CLOSED, up - 1] | S.bits[ALONG, up - 1]) >> X) & 1 == 0:
        up -= 1
    while down < last - 1 and ((S.bits[CLOSED, down + 1] | S.bits[ALONG, down + 1]) >> X) & 1 == 0:
        down += 1
    run[0], run[1], run[2], run[3] = left, right, up, down


@helper
def _mark(S, w, on, style):
    """Write a wire into the lattice, or wipe it out."""
    points = S.wire[3, w]
    if style != 2:
        for k in range(points - 1):
            X, Y, x, y = (
                S.wire[4 + 2 * k, w],
                S.wire[5 + 2 * k, w],
                S.wire[6 + 2 * k, w],
                S.wire[7 + 2 * k, w],
            )
            if x == X:
                for row in range(min(Y, y), max(Y, y) + 1):
                    c = row * WIDE + X
                    if on:
                        S.along[c] = w + 1
                        _set(S, ALONG, X, row)
                    else:
                        S.along[c] = 0
                        _clear(S, ALONG, X, row)
            else:
                for column in range(min(X, x), max(X, x) + 2):
                    row = Y
                    if column > max(X, x):
                        column = x
                        row = y
                    c = row * WIDE + column
                    if on:
                        S.across[c] = w + 1
                        _set(S, ACROSS, column, row)
                    else:
                        S.across[c] = 0
                        _clear(S, ACROSS, column, row)
    for k in (0, points - 1):
        X, Y = S.wire[4 + 2 * k, w], S.wire[5 + 2 * k, w]
        if on:
            close(S, X, Y)
        else:
            reopen(S, X, Y)


@helper
def lay(S, style, net, one, other, path):
    """Lay a wire of a net between two strips; whether there was room for one more."""
    for w in range(MOST_WIRES):
        if S.wire[0, w] < 0:
            S.wire[0, w], S.wire[1, w], S.wire[2, w] = net, one, other
            for k in range(9):
                S.wire[3 + k, w] = path[k]
            _mark(S, w, True, style)
            S.rank[2] = max(S.rank[2], w + 1)
            for s in (one, other):
                S.owner[0, s] = net
                S.owner[2, s] += 1
            return True
    return False


@helper
def rip(S, style, w):
    """Take a wire up."""
    _mark(S, w, False, style)
    for k in (1, 2):
        s = S.wire[k, w]
        S.owner[2, s] -= 1
        if S.owner[1, s] + S.owner[2, s] == 0:
            S.owner[0, s] = -1
    S.wire[0, w] = -1
    while S.rank[2] > 0 and S.wire[0, S.rank[2] - 1] < 0:
        S.rank[2] -= 1
