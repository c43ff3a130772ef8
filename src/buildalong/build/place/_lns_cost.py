"""Compiled: what a layout costs, in hundredths of the score, with the same terms."""

# mypy: disable-error-code="no-untyped-def,untyped-decorator,assignment"

from __future__ import annotations

from buildalong.build.place._lns_arrays import ROWS, X0, helper
from buildalong.build.place._lns_flexible import bodies_under, crossings
from buildalong.build.place._lns_halves import halves
from buildalong.build.place._lns_leads import under_leads
from buildalong.build.place._lns_links import free_holes, linked, look_at_rows
from buildalong.build.place._lns_parts import gap
from buildalong.build.place._lns_ways import FAR_OFF, gather, off_board, root
from buildalong.build.place._near import DARK, FINGER, NEAR

__all__ = ["LEADS_COUNT", "PRICE", "rough", "weigh"]

UNJOINED, MISSING = 120_000, 4_000_000
CROWD = 30
"""Times the square of the wires past a row, where wires are not laid: the more there are, the dearer."""
PRICE = 8
"""Where W.counts holds what a join without a way costs, if not what it costs mostly."""
LEADS_COUNT = 9
"""Where W.counts tells whether what lies under leads counts already."""
CLEAR = 0.01
"""Bodies whose rows are farther apart than a distance by so much are no nearer, however it is rounded."""
FACING, LINE, MOST = 64, 64 + 9 * 40, 40
"""Where the counts of facing and of columns begin in W.counts; families at most."""


@helper
def _near(B, S):
    boxes, unit = B.boxes, B.unit
    crowded = fingers = 0
    lit = 0.0
    n = len(S.choice)
    for u in range(n):
        if S.choice[u] < 0:
            continue
        for v in range(u + 1, n):
            if S.choice[v] < 0:
                continue
            handled = unit[11, u] + unit[11, v] > 0
            shone = unit[14, u] + unit[14, v] == 3
            most = FINGER if handled else NEAR
            a0 = unit[4, u] + S.choice[u] * unit[5, u]
            b0 = unit[4, v] + S.choice[v] * unit[5, v]
            for a in range(a0, a0 + unit[5, u]):
                for b in range(b0, b0 + unit[5, v]):
                    if not shone and max(boxes[a, 1] - boxes[b, 3], boxes[b, 1] - boxes[a, 3]) > most + CLEAR:
                        continue
                    away = gap(boxes, a, b)
                    if away < NEAR:
                        crowded += 1
                    if handled and away < FINGER:
                        fingers += 1
                    if shone:
                        dx = boxes[a, 0] + boxes[a, 2] - boxes[b, 0] - boxes[b, 2]
                        dy = boxes[a, 1] + boxes[a, 3] - boxes[b, 1] - boxes[b, 3]
                        lit += max(0.0, DARK - (dx * dx + dy * dy) ** 0.5 / 2)
    return crowded * B.size[10] + fingers * B.size[11] + int(lit * B.size[15])


@helper
def _sign(v):
    return (v > 0) - (v < 0)


@helper
def _standing(B, S, W):
    """Terms of how the units stand; the first and the last row in use into W.counts[3] and [4]."""
    counts, unit, hole = W.counts, B.unit, B.hole
    for i in range(FACING, FACING + 9 * MOST):
        counts[i] = 0
    low, high = 1000, -1
    lying = upright = 0
    cost = 0
    lines = 0
    for u in range(len(S.choice)):
        k = S.choice[u]
        if k < 0:
            cost += MISSING
            continue
        cost += B.static[unit[1, u] + k]
        if unit[10, u]:
            continue
        legs = unit[0, u + 1] - unit[0, u]
        at = unit[3, u] + k * legs
        if not unit[12, u]:
            for leg in range(legs):
                y = hole[1, B.legs_at[at + leg]]
                low, high = min(low, y), max(high, y)
        a, b = B.legs_at[at], B.legs_at[at + legs - 1]
        dx, dy = hole[0, b] - hole[0, a], hole[1, b] - hole[1, a]
        upright_part = abs(dy) >= 2 * abs(dx)
        if unit[6, u]:
            if upright_part:
                upright += 1
            else:
                lying += 1
        if unit[7, u] >= 0:
            sx, sy = _sign(dx), _sign(dy)
            if not unit[9, u]:
                if upright_part:
                    sx = 0
                else:
                    sy = 0
            counts[FACING + 9 * unit[7, u] + 3 * (sx + 1) + sy + 1] += 1
    cost += B.size[6] * min(lying, upright)
    for family in range(MOST):
        total = most = 0
        for i in range(9):
            n = counts[FACING + 9 * family + i]
            total += n
            most = max(most, n)
        cost += B.size[7] * (total - most)
    # Like parts in line: their columns in half pitches.
    for u in range(len(S.choice)):
        family = unit[8, u]
        if family < 0 or S.choice[u] < 0:
            continue
        first = True
        n = 0
        for v in range(len(S.choice)):
            if unit[8, v] == family and S.choice[v] >= 0:
                if v < u:
                    first = False
                n += 1
        if not first or n < 3:
            continue
        best_n, best_x = 0, 0
        for v in range(len(S.choice)):
            if unit[8, v] == family and S.choice[v] >= 0:
                x = _column(B, S, v)
                m = 0
                for t in range(len(S.choice)):
                    if unit[8, t] == family and S.choice[t] >= 0 and _column(B, S, t) == x:
                        m += 1
                if m > best_n or (m == best_n and x < best_x):
                    best_n, best_x = m, x
        for v in range(len(S.choice)):
            if unit[8, v] == family and S.choice[v] >= 0:
                lines += min(8, abs(_column(B, S, v) - best_x))
    counts[3], counts[4] = low, high
    return cost + B.size[8] * lines // 2


@helper
def _column(B, S, u):
    """Twice the column of a unit, or of its middle."""
    legs = B.unit[0, u + 1] - B.unit[0, u]
    at = B.unit[3, u] + S.choice[u] * legs
    x = B.hole[0, B.legs_at[at]]
    return 2 * x if B.unit[9, u] else x + B.hole[0, B.legs_at[at + legs - 1]]


@helper
def _supply(B, S, low, high):
    unit, hole = B.unit, B.hole
    cost = 0
    leads = top = bottom = 0
    a = b = -1
    for u in range(len(S.choice)):
        if not unit[12, u] or S.choice[u] < 0:
            continue
        legs = unit[0, u + 1] - unit[0, u]
        for leg in range(legs):
            h = B.legs_at[unit[3, u] + S.choice[u] * legs + leg]
            leads += 1
            top += abs(hole[1, h] - low)
            bottom += abs(hole[1, h] - high)
            a, b = b, h
    if leads:
        cost += B.size[13] * max(0, min(top, bottom) - 2 * leads) // 2
    if leads == 2:
        ax, bx = hole[0, a] - X0, hole[0, b] - X0
        apart = (ax >= 0 and ax <= 11) != (bx >= 0 and bx <= 11)
        away = 2 * abs(ax - bx) + abs(hole[1, a] - hole[1, b]) - 4
        cost += B.size[14] * (max(0, away) + 6 * apart) // 2
    return cost


@helper
def _beside(B, S, w):
    """Whether a wire leaves the board."""
    outside = False
    for k in range(1, S.wire[3, w] - 1):
        outside = outside or off_board(B, S.wire[4 + 2 * k, w], S.wire[5 + 2 * k, w])
    return outside


@helper
def weigh(B, S, W):
    """The cost of a layout into S.rank[1], and its rank into S.rank[0]: less is better.

    What the parts cost was found by ``rough`` when they were put where they are.
    """
    cost, low, high, under = S.rank[3], S.rank[4], S.rank[5], S.rank[6]
    wires = bends = outside = 0
    for w in range(S.rank[2]):
        if S.wire[0, w] < 0:
            continue
        wires += 1
        points = S.wire[3, w]
        bends += points - 2
        if B.size[0] == 2:
            dx = 2 * (S.wire[4, w] - S.wire[6, w])
            dy = S.wire[5, w] - S.wire[7, w]
            cost += int(B.size[3] * (dx * dx + dy * dy) ** 0.5) // 2
        else:
            length = 0
            for k in range(points - 1):
                length += 2 * abs(S.wire[4 + 2 * k, w] - S.wire[6 + 2 * k, w])
                length += abs(S.wire[5 + 2 * k, w] - S.wire[7 + 2 * k, w])
            cost += (B.size[3] + 12) * length // 2
        outside += _beside(B, S, w)
        for k in (0, points - 1):
            y = S.wire[5 + 2 * k, w]
            low, high = min(low, y), max(high, y)
    crossed = 0
    for row in range(B.last):
        m = S.bits[1, row] & S.bits[2, row]
        while m:
            m &= m - 1
            crossed += 1
    cost += B.size[4] * bends + B.size[5] * max(0, crossed - bends) + B.size[2] * wires
    cost += B.size[19] * outside
    if high >= low:
        cost += B.size[9] * (high - low + 2) // 2
        cost += _supply(B, S, low, high)
    if W.counts[LEADS_COUNT]:
        cost += B.size[17] * (under + under_leads(B, S, True))
    if B.size[0] == 2:
        cost += B.size[5] * crossings(S) + B.size[18] * bodies_under(B, S)
    probe = 0
    for s in range(len(S.owner[0])):
        if S.owner[1, s] > 0 and not B.strip[3, s]:
            free = False
            for i in range(B.strip[0, s], B.strip[0, s + 1]):
                h = B.holes[i]
                row = B.hole[1, h]
                if S.used[h] + S.covered[h] == 0 and (
                    ((S.bits[1, row] | S.bits[2, row] | S.bits[3, row]) >> B.hole[0, h]) & 1 == 0
                ):
                    free = True
                    break
            probe += not free
    cost += B.size[12] * probe
    lost = missing = 0
    for net in range(len(S.lost)):
        lost += S.lost[net]
    for u in range(len(S.choice)):
        missing += S.choice[u] < 0
    cost += (W.counts[PRICE] if W.counts[PRICE] else UNJOINED) * lost
    S.rank[1] = cost
    S.rank[0] = ((missing * 64 + lost) * 256 + wires) * (1 << 24) + min(cost, (1 << 24) - 1)


@helper
def _apart(B, s, t):
    """About how long a wire between two strips is, in the score's hundredths."""
    away = 300 if B.strip[3, s] + B.strip[3, t] else 50 * abs(B.strip[1, s] - B.strip[1, t])
    return away + 600 * (B.strip[2, s] != B.strip[2, t])


@helper
def rough(B, S, W):
    """As weigh, but without wires: their number, their length about, and whether their ends have room."""
    cost = _standing(B, S, W) + _near(B, S) + halves(B, S, W)
    low, high = W.counts[3], W.counts[4]
    S.rank[3], S.rank[4], S.rank[5], S.rank[6] = cost, low, high, 0
    if W.counts[LEADS_COUNT]:
        S.rank[6] = under_leads(B, S, False)
        cost += B.size[17] * S.rank[6]
    if high >= low:
        cost += B.size[9] * (high - low + 2) // 2 + _supply(B, S, low, high)
    wires = missing = tight = 0
    look_at_rows(B, S, W)
    for net in range(len(S.lost)):
        n = gather(B, S, W, net, False)
        pieces, short = _pieces(B, S, W, n)
        if pieces < 2:
            continue
        tight += short
        wires += pieces - 1
        cost += _spanned(B, S, W, net, n)
    for row in range(ROWS if B.size[0] != 1 else 0):
        cost += CROWD * W.cut[row] * W.cut[row]
    for u in range(len(S.choice)):
        missing += S.choice[u] < 0
    cost += UNJOINED * tight + B.size[2] * wires
    S.rank[1] = cost
    S.rank[0] = missing * (1 << 40) + cost


@helper
def _pieces(B, S, W, n):
    """In how many pieces the strips of a net are, and how many holes are short for the ends of wires."""
    order, mine, room = W.order, W.near, W.fresh
    for i in range(n):
        mine[i] = root(W.parent, order[i])
        room[i] = 10 if B.strip[3, order[i]] else free_holes(B, S, order[i])
    pieces = short = everywhere = 0
    for i in range(n):
        first = True
        own = 0
        for j in range(n):
            if mine[j] == mine[i]:
                first = first and j >= i
                own += room[j]
        if first:
            pieces += 1
            everywhere += own
            short += own == 0
    return pieces, short + max(0, 2 * (pieces - 1) - everywhere)


@helper
def _spanned(B, S, W, net, n):
    """About how long the wires of a net are, and into W.cut which rows they pass."""
    key, near, order = W.key, W.near, W.order
    cost = 0
    for i in range(n):
        key[i] = FAR_OFF
    i = 0
    while i >= 0:
        key[i] = -1
        for j in range(n):
            if key[j] >= 0:
                away = _apart(B, order[i], order[j])
                if root(W.parent, order[i]) == root(W.parent, order[j]):
                    away = 0
                if away < key[j]:
                    key[j] = away
                    near[j] = i
        i = -1
        for j in range(n):
            if key[j] >= 0 and (i < 0 or key[j] < key[i]):
                i = j
        if i >= 0 and key[i] > 0:
            cost += key[i]
            a, b = order[i], order[near[i]]
            if B.size[0] == 1:
                cost += linked(B, S, W, net, a, b)
            elif B.strip[3, a] + B.strip[3, b] == 0:
                low, high = min(B.strip[1, a], B.strip[1, b]), max(B.strip[1, a], B.strip[1, b])
                for row in range(low, high, 2):
                    W.cut[row] += 1
    return cost
