"""The compiled price of all that needs no wires: overlaps, order, extent, the spread of pins."""

# mypy: disable-error-code="no-untyped-def,untyped-decorator,assignment"

from __future__ import annotations

import numpy as np

from buildalong.drawing.schematic._arrays import GW, helper

__all__ = ["penalty"]

CELL, GAP = 20.0, 8.0
NUMBER_HIGH, NUMBER_WIDE = 12.0, 17.0
"""Room for a pin's number beside its lead, user units."""
CROSS_ROOM = 12.0
"""About the cross of an open pin, from its middle: it must not be read as part of a text beside it."""
TOO_WIDE = 20.0
"""Price of a cell by which the drawing is wider than a page."""
IN_LINE, AT_TOP = 0.7, 0.15
"""Price of a cell between a part and the rail it hangs at; between an IC's supply pin and the rail."""
OFF_AXIS = 4.0
"""Price of half a cell by which what is its own mirror image stands off the axis."""
FACES = 10.0
"""Price of a lead of another net that looks at a lead of what stands on the axis: they would seem joined."""
ROW, STAGE, SIDE = 2.5, 4.0, 0.6
"""Price of a row between parts of like branches, between stages; of texts on both sides of a column."""
COPY, LOOKS, SHAPE = 0.8, 0.8, 0.5
"""Price of a cell by which a part stands otherwise to its transistor or IC than the like part to the next
one; of another position of it; of a cell by which a pin stands elsewhere on the next IC of the same type."""
LEG, AWAY = 3.0, 15.0
"""Price of a cell between the columns of the two switching parts of a leg of a bridge, and by which their
load is not between their rows; of a lead of the load that looks away from its leg."""
FROM_ONE = 14.0
"""Price of a lead in line with one base or emitter of two transistors that drive one output together."""


@helper
def _one_sided(P, S, i, j):
    """How many leads of other symbols meet a net of two transistors in line with one of them."""
    p_t = P.t
    p_s = P.s
    s_sym = S.sym
    s_ter = S.ter
    found = 0
    for t in range(p_s[0, i], p_s[0, i + 1]):
        for u in range(p_s[0, j], p_s[0, j + 1]):
            net = p_t[1, t]
            if net != p_t[1, u] or net < 2:
                continue
            for k in range(P.n_t0[net], P.n_t0[net + 1]):
                other = P.n_terms[k]
                if other in (t, u):
                    continue
                y = s_sym[1, p_t[0, other]] + s_ter[1, other]
                if y <= s_sym[1, i] + s_ter[1, t] or y >= s_sym[1, j] + s_ter[1, u]:
                    found += 1
    return found


@helper
def _facing(P, S, i):
    """How many leads of other nets look at the level leads of a symbol, as if they were joined to them."""
    p_t = P.t
    p_s = P.s
    s_sym = S.sym
    s_ter = S.ter
    found = 0
    for t in range(p_s[0, i], p_s[0, i + 1]):
        if not s_ter[2, t] & 1:
            continue
        for u in range(p_t.columns):
            j = p_t[0, u]
            if j == i or p_t[1, u] == p_t[1, t] or s_ter[2, u] != 4 - s_ter[2, t]:
                continue
            ahead = s_sym[0, j] + s_ter[0, u] - s_sym[0, i] - s_ter[0, t]
            if s_sym[1, j] + s_ter[1, u] == s_sym[1, i] + s_ter[1, t] and (ahead > 0) == (s_ter[2, t] == 1):
                found += 1
    return found


@helper
def penalty(P, S, W, limit):
    """Overlaps, order, extent: everything that needs no wires."""
    s_sym = S.sym
    s_size = S.size
    p_v_cost = P.v_cost
    p_v = P.v
    w_box = W.box
    p_rects = P.rects
    w_owner = W.owner
    p_s = P.s
    p_t = P.t
    s_ter = S.ter
    p_f = P.f
    p_v_body = P.v_body
    p_f_w = P.f_w
    p_a = P.a
    p_a_w = P.a_w
    p_near = P.near
    p_line = P.line
    p_alike = P.alike
    p_column = P.column
    p_copy = P.copy
    ns = s_sym.columns
    height = s_size[0]
    w_epoch = W.epoch
    cost = 0.0
    left = 1e9
    right = -1e9
    # Every rectangle in place, then the leads of boxes with their pin numbers.
    n = 0
    for i in range(ns):
        v = s_sym[2, i]
        cost += p_v_cost[v]
        for a in range(p_v[3, v], p_v[3, v + 1]):
            w_box[n, 0] = p_rects[a, 0] + s_sym[0, i] * CELL
            w_box[n, 1] = p_rects[a, 1] + s_sym[1, i] * CELL
            w_box[n, 2] = p_rects[a, 2] + s_sym[0, i] * CELL
            w_box[n, 3] = p_rects[a, 3] + s_sym[1, i] * CELL
            w_owner[n, 0] = p_s[3, i]
            left = min(left, w_box[n, 0])
            right = max(right, w_box[n, 2])
            high = GAP - w_box[n, 1]
            low = w_box[n, 3] + GAP - height * CELL
            if high > 0:
                cost += 10.0 + 0.3 * high
            if low > 0:
                cost += 10.0 + 0.3 * low
            n += 1
    bodies = n
    for t in range(p_t.columns):
        s = p_t[0, t]
        if p_s[2, s] == 0:
            continue
        tx = (s_sym[0, s] + s_ter[0, t]) * CELL
        ty = (s_sym[1, s] + s_ter[1, t]) * CELL
        side = p_t[2, t]
        w_box[n, 0] = tx - (CELL if side == 1 else 0.0)
        w_box[n, 1] = ty - (NUMBER_HIGH if side & 1 else CELL if side == 2 else 0.0)
        w_box[n, 2] = w_box[n, 0] + (CELL if side & 1 else NUMBER_WIDE)
        w_box[n, 3] = w_box[n, 1] + (NUMBER_HIGH if side & 1 else CELL)
        if p_t[1, t] == -1:
            w_box[n, 0] = min(w_box[n, 0], tx - CROSS_ROOM)
            w_box[n, 2] = max(w_box[n, 2], tx + CROSS_ROOM)
        w_owner[n, 0] = p_s[3, s]
        n += 1
    # Stand left of, stand above, stand close to, stand in line with.
    for k in range(p_f.columns):
        i = p_f[0, k]
        j = p_f[1, k]
        over = (p_v_body[s_sym[2, i], 2] - p_v_body[s_sym[2, j], 0]) / CELL + s_sym[0, i] - s_sym[0, j] + 1.0
        if over > 0:
            cost += p_f_w[k] * min(1.0 + over, 8.0)
    for k in range(p_a.columns):
        i = p_a[0, k]
        j = p_a[1, k]
        over = (p_v_body[s_sym[2, i], 3] - p_v_body[s_sym[2, j], 1]) / CELL + s_sym[1, i] - s_sym[1, j]
        if over > 0:
            cost += p_a_w[k] * (2.0 + over)
    for k in range(p_near.columns):
        i = p_near[0, k]
        j = p_near[1, k]
        ahead = (p_v_body[s_sym[2, j], 0] - p_v_body[s_sym[2, i], 2]) / CELL + s_sym[0, j] - s_sym[0, i]
        behind = (p_v_body[s_sym[2, i], 0] - p_v_body[s_sym[2, j], 2]) / CELL + s_sym[0, i] - s_sym[0, j]
        cost += 0.01 * p_near[2, k] * max(0.0, max(ahead, behind) - 2.0)
    # What is its own mirror image stands on the axis.
    if s_size[1] > 0:
        for g in range(P.g.columns - 1):
            if P.g[1, g] < 0:
                i = np.int64(P.g_members[P.g[0, g]])
                cost += OFF_AXIS * abs(2 * s_sym[0, i] - s_size[1])
                cost += FACES * _facing(P, S, i)
    for k in range(p_line.columns):
        i = p_line[0, k]
        j = p_line[1, k]
        v = s_sym[2, i]
        u = s_sym[2, j]
        dx = (p_v_body[v, 0] + p_v_body[v, 2] - p_v_body[u, 0] - p_v_body[u, 2]) / 2 / CELL
        dy = (p_v_body[v, 1] + p_v_body[v, 3] - p_v_body[u, 1] - p_v_body[u, 3]) / 2 / CELL
        cost += 6.0 * min(abs(dx + s_sym[0, i] - s_sym[0, j]), abs(dy + s_sym[1, i] - s_sym[1, j]))
    # Like branches stand in like rows, in like positions; stages only in like rows.
    for k in range(p_alike.columns):
        i = p_alike[0, k]
        j = p_alike[1, k]
        cost += (ROW if p_alike[2, k] else STAGE) * min(abs(s_sym[1, i] - s_sym[1, j]), 4)
        if s_sym[2, i] - p_s[1, i] != s_sym[2, j] - p_s[1, j]:
            cost += 0.01 * p_alike[2, k]
    for k in range(p_copy.columns):
        i = p_copy[0, k]
        j = p_copy[1, k]
        a = p_copy[2, k]
        b = p_copy[3, k]
        cost += COPY * min(abs(s_sym[0, i] - s_sym[0, a] - s_sym[0, j] + s_sym[0, b]), 6)
        cost += COPY * min(abs(s_sym[1, i] - s_sym[1, a] - s_sym[1, j] + s_sym[1, b]), 6)
        if s_sym[2, i] - p_s[1, i] != s_sym[2, j] - p_s[1, j]:
            cost += LOOKS
    for k in range(P.shape.columns):
        t = P.shape[0, k]
        u = P.shape[1, k]
        cost += SHAPE * (abs(s_ter[0, t] - s_ter[0, u]) + abs(s_ter[1, t] - s_ter[1, u]))
    for k in range(P.pair.columns):
        i = P.pair[0, k]
        j = P.pair[1, k]
        cost += FROM_ONE * (_one_sided(P, S, i, j) if s_sym[1, i] < s_sym[1, j] else _one_sided(P, S, j, i))
    for k in range(P.leg.columns):
        t = P.leg[0, k]
        i = P.leg[1, k]
        j = P.leg[2, k]
        b = p_t[0, t]
        y = s_sym[1, b] + s_ter[1, t]
        cost += LEG * min(abs(s_sym[0, i] - s_sym[0, j]), 6)
        cost += LEG * min(max(0, s_sym[1, i] + 2 - y) + max(0, y + 2 - s_sym[1, j]), 6)
        if s_ter[0, t] * (s_sym[0, i] - s_sym[0, b]) <= 0:
            cost += AWAY
    for k in range(p_column.columns):
        i = p_column[0, k]
        j = p_column[1, k]
        if s_sym[0, i] == s_sym[0, j] and p_v[6, s_sym[2, i]] * p_v[6, s_sym[2, j]] == 2:
            cost += SIDE
    if cost > limit:
        return cost
    w_epoch[1] += (n * n) >> 6
    for i in range(n):
        for j in range(min(i, bodies)):
            if w_owner[i, 0] == w_owner[j, 0]:
                continue
            ox = min(w_box[i, 2], w_box[j, 2]) - max(w_box[i, 0], w_box[j, 0]) + GAP
            if ox <= 1e-6:
                continue
            oy = min(w_box[i, 3], w_box[j, 3]) - max(w_box[i, 1], w_box[j, 1]) + GAP
            if oy > 1e-6:
                cost += (14.0 if i < bodies else 10.0) + 0.4 * min(ox, oy)
        if cost > limit:
            return cost
    first = np.int64(GW)
    last = np.int64(0)
    for t in range(p_t.columns):
        first = min(first, s_sym[0, p_t[0, t]] + s_ter[0, t])
        last = max(last, s_sym[0, p_t[0, t]] + s_ter[0, t])
    left = min(left, first * CELL - P.sheet[0])
    right = max(right, last * CELL)
    cost += 0.9 * height + 0.4 * (right - left) / CELL
    over = (right - left - P.sheet[1]) / CELL
    if over > 0:
        cost += TOO_WIDE * (1.0 + over)
    # Boxes like their pins evenly spread, in the order of the catalogue; rail parts like to stand in line.
    for t in range(p_t.columns):
        s = p_t[0, t]
        if p_s[2, s] == 0:
            y = s_sym[1, s] + s_ter[1, t]
            # What stands between both rails is in the row of what hangs at the lower one.
            other = p_s[0, s] + p_s[0, s + 1] - 1 - t
            if p_t[5, t]:
                continue
            if p_t[1, t] == 0 and s_ter[2, t] == 0 and p_t[1, other] != 1:
                cost += IN_LINE * (y - 1)
            elif p_t[1, t] == 1 and s_ter[2, t] == 2:
                cost += IN_LINE * (height - 1 - y)
            continue
        if p_t[1, t] == 0 and p_t[2, t] == 0:
            cost += AT_TOP * (s_sym[1, s] + s_ter[1, t])
        if t + 1 < p_t.columns and p_t[0, t + 1] == s and p_t[2, t + 1] == p_t[2, t]:
            if p_t[2, t] & 1:
                if s_ter[1, t + 1] < s_ter[1, t]:
                    cost += 0.8 if p_t[2, t] == 3 else 2.5
            elif s_ter[0, t + 1] < s_ter[0, t]:
                cost += 0.5
    return cost
