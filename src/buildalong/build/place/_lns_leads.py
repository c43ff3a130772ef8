"""Compiled: the rows that leads of parts beside the board lie over, and what is under them there."""

# mypy: disable-error-code="no-untyped-def,untyped-decorator,assignment"

from __future__ import annotations

from buildalong.build.place._leads import LEAD_HALF, MIDDLE
from buildalong.build.place._lns_arrays import PER_WORD, WIDE, WORDS, X0, Y0, helper
from buildalong.build.place._lns_lattice import LEAD

__all__ = ["mark_leads", "under_leads"]

EDGE = 1e-6
RIGHT = X0 + 6
"""The first lattice column right of the trench's middle."""


@helper
def mark_leads(B, S):
    """Write into the lattice what the leads that stand now lie over."""
    for i in range(B.last):
        S.bits[LEAD, i] = 0
    for i in range(WIDE * WORDS):
        S.columns[LEAD, i] = 0
    for u in range(len(S.choice)):
        if not B.unit[10, u] or S.choice[u] < 0:
            continue
        legs = B.unit[0, u + 1] - B.unit[0, u]
        for leg in range(legs):
            h = B.legs_at[B.unit[3, u] + S.choice[u] * legs + leg]
            x, row = B.hole[0, h], B.hole[1, h]
            low, high = (x, WIDE - 1) if x >= RIGHT else (0, x)
            for column in range(low, high + 1):
                S.bits[LEAD, row] |= 1 << column
                S.columns[LEAD, column * WORDS + row // PER_WORD] |= 1 << (row % PER_WORD)


@helper
def _beyond(x, at):
    """Whether a lattice column lies between a lead's hole and the edge over which it comes in."""
    return at > x if x >= RIGHT else at < x


@helper
def under_leads(B, S, wires):
    """Bodies and legs under the leads, or wires and their ends there."""
    n = 0
    for u in range(len(S.choice)):
        if not B.unit[10, u] or S.choice[u] < 0:
            continue
        legs = B.unit[0, u + 1] - B.unit[0, u]
        for leg in range(legs):
            h = B.legs_at[B.unit[3, u] + S.choice[u] * legs + leg]
            if wires:
                n += _wires(S, B.hole[0, h], B.hole[1, h])
            else:
                n += _bodies(B, S, B.hole[0, h] - X0, (B.hole[1, h] - Y0) / 2)
                n += _legs(B, S, B.hole[0, h], B.hole[1, h])
    return n


@helper
def _bodies(B, S, x, y):
    boxes = B.boxes
    n = 0
    for v in range(len(S.choice)):
        if S.choice[v] < 0:
            continue
        first = B.unit[4, v] + S.choice[v] * B.unit[5, v]
        for b in range(first, first + B.unit[5, v]):
            if y <= boxes[b, 1] - LEAD_HALF + EDGE or y >= boxes[b, 3] + LEAD_HALF - EDGE:
                continue
            half = (boxes[b, 2] - boxes[b, 0]) / 2
            if boxes[b, 4] > 0.5:
                away = max(0.0, abs(y - (boxes[b, 1] + boxes[b, 3]) / 2) - LEAD_HALF)
                half = max(0.0, half * half - away * away) ** 0.5
            middle = (boxes[b, 0] + boxes[b, 2]) / 2
            n += middle + half > x + EDGE if x > MIDDLE else middle - half < x - EDGE
    return n


@helper
def _legs(B, S, x, row):
    n = 0
    for v in range(len(S.choice)):
        if S.choice[v] < 0 or B.unit[10, v]:
            continue
        legs = B.unit[0, v + 1] - B.unit[0, v]
        for leg in range(legs):
            h = B.legs_at[B.unit[3, v] + S.choice[v] * legs + leg]
            if B.hole[1, h] == row:
                n += _beyond(x, B.hole[0, h])
    return n


@helper
def _wires(S, x, row):
    """Wires and their ends under the lead of a hole."""
    n = 0
    for w in range(S.rank[2]):
        if S.wire[0, w] < 0:
            continue
        last = S.wire[3, w] - 1
        for k in (0, last):
            n += S.wire[5 + 2 * k, w] == row and _beyond(x, S.wire[4 + 2 * k, w])
        under = False
        for k in range(last):
            ax, ay = S.wire[4 + 2 * k, w], S.wire[5 + 2 * k, w]
            bx, by = S.wire[6 + 2 * k, w], S.wire[7 + 2 * k, w]
            if row < min(ay, by) or row > max(ay, by):
                continue
            if ay == by:
                under = under or _beyond(x, ax) or _beyond(x, bx)
            else:
                at = ax + (bx - ax) * (row - ay) / (by - ay)
                under = under or at == x or _beyond(x, at)
        n += under
    return n
