"""Compiled: what flexible wires, which go straight from hole to hole, cross and run over."""

# mypy: disable-error-code="no-untyped-def,untyped-decorator,assignment"

from __future__ import annotations

from buildalong.build.place._lns_arrays import X0, Y0, helper

__all__ = ["bodies_under", "crossings"]

STEPS = 4
"""Looks on each pitch of a wire."""
EDGE = 1e-6


@helper
def _turn(ax, ay, bx, by, cx, cy):
    return (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)


@helper
def crossings(S):
    """How many pairs of wires cross."""
    n = 0
    for v in range(S.rank[2]):
        if S.wire[0, v] < 0:
            continue
        ax, ay, bx, by = S.wire[4, v], S.wire[5, v], S.wire[6, v], S.wire[7, v]
        for w in range(v + 1, S.rank[2]):
            if S.wire[0, w] < 0:
                continue
            cx, cy, dx, dy = S.wire[4, w], S.wire[5, w], S.wire[6, w], S.wire[7, w]
            if max(ax, bx) < min(cx, dx) or max(cx, dx) < min(ax, bx):
                continue
            if max(ay, by) < min(cy, dy) or max(cy, dy) < min(ay, by):
                continue
            one = _turn(ax, ay, bx, by, cx, cy) * _turn(ax, ay, bx, by, dx, dy)
            n += one <= 0 and _turn(cx, cy, dx, dy, ax, ay) * _turn(cx, cy, dx, dy, bx, by) <= 0
    return n


@helper
def bodies_under(B, S):
    """How many bodies the wires run over."""
    n = 0
    for w in range(S.rank[2]):
        if S.wire[0, w] < 0:
            continue
        ax, ay = S.wire[4, w] - X0, (S.wire[5, w] - Y0) / 2
        bx, by = S.wire[6, w] - X0, (S.wire[7, w] - Y0) / 2
        for u in range(len(S.choice)):
            if S.choice[u] >= 0:
                first = B.unit[4, u] + S.choice[u] * B.unit[5, u]
                for b in range(first, first + B.unit[5, u]):
                    n += _over(B.boxes, b, ax, ay, bx, by)
    return n


@helper
def _over(boxes, b, ax, ay, bx, by):
    x0, y0, x1, y1 = boxes[b, 0], boxes[b, 1], boxes[b, 2], boxes[b, 3]
    if max(ax, bx) <= x0 or min(ax, bx) >= x1 or max(ay, by) <= y0 or min(ay, by) >= y1:
        return False
    steps = max(2, int(STEPS * (abs(ax - bx) + abs(ay - by))))
    for k in range(steps + 1):
        x, y = ax + (bx - ax) * k / steps, ay + (by - ay) * k / steps
        if boxes[b, 4] > 0.5:
            r = (x1 - x0) / 2
            if (x - (x0 + x1) / 2) ** 2 + (y - (y0 + y1) / 2) ** 2 < r * r - EDGE:
                return True
        elif x0 + EDGE < x and x < x1 - EDGE and y0 + EDGE < y and y < y1 - EDGE:
            return True
    return False
