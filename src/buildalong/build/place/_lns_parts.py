"""Compiled: putting parts down and taking them off, and the place where one adds least."""

# mypy: disable-error-code="no-untyped-def,untyped-decorator,assignment"

from __future__ import annotations

from buildalong.build.place._lns_arrays import WIDE, X0, Y0, helper
from buildalong.build.place._lns_lattice import below, close, reopen

__all__ = ["gap", "insert", "put", "take_off"]

NEVER = 1 << 40
FULL_STRIP, UNDER_WIRES, WIRE = 600, 300, 10_000
MOST_LOOKED = (40_000, 8_000, 8_000)
"""Leads of the places that are looked at, now and then many: some of a part's places, in other words."""
MARGIN = 0.2
EDGE = 1e-6


@helper
def _cells(B, S, u, k, what, W):
    """Every lattice cell of a unit in a place: 1 closes it, -1 opens it, 0 marks the nets of wires there."""
    hole, legs_at = B.hole, B.legs_at
    legs = B.unit[0, u + 1] - B.unit[0, u]
    at = B.unit[3, u] + k * legs
    for leg in range(legs):
        h = legs_at[at + leg]
        _cell(S, hole[0, h], hole[1, h], what, W)
    bodies = B.unit[5, u]
    for b in range(B.unit[4, u] + k * bodies, B.unit[4, u] + (k + 1) * bodies):
        x0, y0, x1, y1 = B.boxes[b, 0], B.boxes[b, 1], B.boxes[b, 2], B.boxes[b, 3]
        cx, cy, r = (x0 + x1) / 2, (y0 + y1) / 2, (x1 - x0) / 2 + MARGIN
        round_body = B.boxes[b, 4] > 0.5
        for x in range(int(x0) - 1, int(x1) + 2):
            for row in range(int(2 * y0) - 2, int(2 * y1) + 4):
                y = row / 2
                if round_body:
                    inside = (x - cx) ** 2 + (y - cy) ** 2 < r * r - EDGE
                else:
                    inside = (
                        x0 - MARGIN + EDGE < x
                        and x < x1 + MARGIN - EDGE
                        and y0 - MARGIN + EDGE < y
                        and y < y1 + MARGIN - EDGE
                    )
                if inside and x >= -X0 and x < WIDE - X0 and row >= -Y0:
                    _cell(S, x + X0, row + Y0, what, W)


@helper
def _cell(S, X, Y, what, W):
    if what == 1:
        close(S, X, Y)
    elif what == -1:
        reopen(S, X, Y)
    c = Y * WIDE + X
    if what == 1:
        w = S.across[c]
        if w:
            W.hit[w - 1] = 1
        w = S.along[c]
        if w:
            W.hit[w - 1] = 1


@helper
def _hold(B, S, s, net, by):
    S.owner[1, s] += by
    if by > 0:
        S.owner[0, s] = net
    elif S.owner[1, s] + S.owner[2, s] == 0:
        S.owner[0, s] = -1


@helper
def _change(B, S, W, u, k, by):
    legs = B.unit[0, u + 1] - B.unit[0, u]
    at = B.unit[3, u] + k * legs
    for leg in range(legs):
        h = B.legs_at[at + leg]
        net = B.legs[B.unit[0, u] + leg]
        S.used[h] += by
        s = B.hole[2, h]
        _hold(B, S, s, net, by)
        if B.strip[5, s] != s:
            _hold(B, S, B.strip[5, s], net, by)
    c = B.unit[1, u] + k
    for i in range(B.cover_at[c], B.cover_at[c + 1]):
        S.covered[B.cover[i]] += by
    _cells(B, S, u, k, by, W)


@helper
def put(B, S, W, u, k):
    """Put a unit down; W.hit tells the wires that are in its way."""
    _change(B, S, W, u, k, 1)
    S.choice[u] = k


@helper
def take_off(B, S, W, u):
    """Take a unit off the board."""
    _change(B, S, W, u, S.choice[u], -1)
    S.choice[u] = -1


@helper
def gap(boxes, a, b):
    """The gap between two bodies, pitches; negative where they overlap."""
    ra, rb = boxes[a, 4] > 0.5, boxes[b, 4] > 0.5
    if ra and rb:
        cx = (boxes[a, 0] + boxes[a, 2] - boxes[b, 0] - boxes[b, 2]) / 2
        cy = (boxes[a, 1] + boxes[a, 3] - boxes[b, 1] - boxes[b, 3]) / 2
        away = (cx * cx + cy * cy) ** 0.5
        return away - (boxes[a, 2] - boxes[a, 0]) / 2 - (boxes[b, 2] - boxes[b, 0]) / 2
    if rb:
        a, b = b, a
    if ra or rb:
        cx, cy = (boxes[a, 0] + boxes[a, 2]) / 2, (boxes[a, 1] + boxes[a, 3]) / 2
        dx = max(boxes[b, 0] - cx, cx - boxes[b, 2], 0.0)
        dy = max(boxes[b, 1] - cy, cy - boxes[b, 3], 0.0)
        return (dx * dx + dy * dy) ** 0.5 - (boxes[a, 2] - boxes[a, 0]) / 2
    return max(
        max(boxes[a, 0] - boxes[b, 2], boxes[b, 0] - boxes[a, 2]),
        max(boxes[a, 1] - boxes[b, 3], boxes[b, 1] - boxes[a, 3]),
    )


@helper
def _stands(B, S, u, k):
    """Whether a unit in this place touches nothing that stands."""
    legs = B.unit[0, u + 1] - B.unit[0, u]
    at = B.unit[3, u] + k * legs
    for leg in range(legs):
        h = B.legs_at[at + leg]
        if S.used[h] + S.covered[h]:
            return False
    c = B.unit[1, u] + k
    for i in range(B.cover_at[c], B.cover_at[c + 1]):
        if S.used[B.cover[i]]:
            return False
    bodies = B.unit[5, u]
    first = B.unit[4, u] + k * bodies
    for v in range(len(S.choice)):
        m = S.choice[v]
        if m < 0 or v == u:
            continue
        n = B.unit[5, v]
        for a in range(first, first + bodies):
            for b in range(B.unit[4, v] + m * n, B.unit[4, v] + (m + 1) * n):
                if B.boxes[a, 1] > B.boxes[b, 3] or B.boxes[b, 1] > B.boxes[a, 3]:
                    continue
                if gap(B.boxes, a, b) < -EDGE:
                    return False
    return True


@helper
def _leg_costs(B, S, W, row, net, centre, wire):
    """What a leg of a net costs in each strip, into a row of W.leg_cost."""
    cost = W.leg_cost
    strips = len(S.owner[0])
    strip, owner = B.strip, S.owner
    n = 0
    for s in range(strips):
        if owner[0, s] == net and owner[1, s] > 0:
            W.order[n] = s
            n += 1
    for s in range(strips):
        r = strip[5, s]
        mine = owner[0, r]
        if mine >= 0 and mine != net and owner[1, r] > 0:
            cost[row, s] = NEVER
            continue
        free = 0
        for i in range(strip[0, s], strip[0, s + 1]):
            h = B.holes[i]
            free += S.used[h] + S.covered[h] == 0
        c = FULL_STRIP if free <= 1 else 0
        if mine != net:
            if mine >= 0:
                c += UNDER_WIRES
            if n == 0:
                if not strip[3, s]:
                    c += 12 * abs(strip[1, s] - centre)
            else:
                least = NEVER
                for i in range(n):
                    t = W.order[i]
                    away = 300 if strip[3, s] + strip[3, t] else 50 * abs(strip[1, s] - strip[1, t])
                    if strip[2, s] != strip[2, t]:
                        away += 600 if B.size[0] != 1 or strip[1, s] == strip[1, t] else wire
                    least = min(least, away)
                c += wire + least
        cost[row, s] = c


@helper
def insert(B, S, W, u, warmth, wire):
    """Put a unit where it adds least, with some noise; nowhere if it finds no place."""
    legs = B.unit[0, u + 1] - B.unit[0, u]
    first = B.unit[0, u]
    total = 0
    rows = 0
    for s in range(len(S.owner[0])):
        if S.owner[1, s] and not B.strip[3, s]:
            total += B.strip[1, s]
            rows += 1
    centre = total // rows if rows else Y0 + min(B.size[1], 24)
    nets = 0
    for leg in range(legs):
        net = B.legs[first + leg]
        row = -1
        for i in range(nets):
            if W.which[i] == net:
                row = i
        if row < 0:
            row = nets
            W.which[nets] = net
            nets += 1
            _leg_costs(B, S, W, row, net, centre, wire)
        W.counts[16 + leg] = row
    n = B.unit[2, u]
    stride = 1 + n * legs // MOST_LOOKED[below(W.rng, 3)]
    W.counts[0] += 20 + n * legs // (4 * stride)
    base, at, strip_of = B.unit[1, u], B.unit[3, u], B.hole
    best, least = -1, NEVER
    start = below(W.rng, n) if n else 0
    for i in range(n // stride):
        k = (start + i * stride) % n
        c = B.static[base + k]
        if warmth:
            c += below(W.rng, warmth)
        if c >= least:
            continue
        for leg in range(legs):
            c += W.leg_cost[W.counts[16 + leg], strip_of[2, B.legs_at[at + k * legs + leg]]]
            if c >= least:
                break
        if c < least and _stands(B, S, u, k):
            best, least = k, c
            W.counts[0] += 4
    if best >= 0:
        put(B, S, W, u, best)
