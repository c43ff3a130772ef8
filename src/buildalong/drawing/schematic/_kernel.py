"""The compiled heart of the placer: every placement is judged by really routing its wires.

Plain arrays in, plain arrays out; :mod:`._problem` fills and reads them.  Coordinates are cells;
rectangles are user units.  Net 0 is the plus rail on row 0, net 1 the ground rail on the last row.
Directions: 0 up, 1 right, 2 down, 3 left; a point's ``mask`` has a bit for each direction in which
a wire or a symbol's lead leaves it, and never more than three.
"""

# mypy: disable-error-code="no-untyped-def,untyped-decorator"
# ruff: noqa: ANN001, D103

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numba import njit

__all__ = ["GH", "GW", "Problem", "State", "Work", "anneal", "evaluate", "new_work"]

GW, GH = 96, 64
"""Size of the grid."""
BUCKETS = 64
STEP, BEND, CROSS, DOT, OFF_RAIL = 2, 6, 24, 2, 8
"""Prices of the router, twice those of the score: a cell, a bend, a crossing, a dot, leaving a rail's side."""
CELL, GAP = 20.0, 8.0
LOST = 60.0
"""Price of a terminal that no wire reaches."""


class Problem(NamedTuple):
    """What does not change while placing."""

    t_sym: Any
    t_net: Any
    t_side: Any
    t_fixed: Any
    s_t0: Any
    s_v0: Any
    s_box: Any
    s_group: Any
    v_t0: Any
    v_h: Any
    v_w: Any
    v_cost: Any
    v_r0: Any
    v_b0: Any
    v_mate: Any
    vt: Any
    rects: Any
    blocks: Any
    g_m0: Any
    g_members: Any
    g_mate: Any
    f_i: Any
    f_j: Any
    f_w: Any
    a_i: Any
    a_j: Any
    n_t0: Any
    n_terms: Any
    s_fixed: Any
    rails: Any


class State(NamedTuple):
    """A placement: symbols' origins and variants, terminals' offsets and directions, [height, axis]."""

    sx: Any
    sy: Any
    sv: Any
    tx: Any
    ty: Any
    td: Any
    size: Any


class Work(NamedTuple):
    """Scratch of the router; after :func:`evaluate` it holds the wires."""

    hn: Any
    vn: Any
    mask: Any
    shut: Any
    tree: Any
    dist: Any
    par: Any
    stamp: Any
    head: Any
    pool: Any
    link: Any
    done: Any
    epoch: Any
    net_key: Any
    net_order: Any


def new_work(terminals: int, nets: int) -> Work:
    """Scratch arrays for a problem of that size."""
    nodes = GW * GH
    return Work(
        np.zeros(nodes, np.int16), np.zeros(nodes, np.int16), np.zeros(nodes, np.int8),
        np.zeros(nodes, np.int8), np.zeros(nodes, np.int16), np.zeros(nodes * 4, np.int32),
        np.zeros(nodes * 4, np.int32), np.zeros(nodes * 4, np.int32), np.zeros(BUCKETS, np.int32),
        np.zeros(nodes * 12, np.int32), np.zeros(nodes * 12, np.int32), np.zeros(terminals, np.int8),
        np.zeros(4, np.int64), np.zeros(max(nets, 2), np.float64), np.zeros(max(nets, 2), np.int32),
    )  # fmt: skip


_jit = njit(cache=True, nogil=True)


@_jit
def _random(rng):
    rng[0] = rng[0] * np.uint64(6364136223846793005) + np.uint64(1442695040888963407)
    return np.int64((rng[0] >> np.uint64(33)) & np.uint64(0x7FFFFFFF))


@_jit
def _below(rng, n):
    return (_random(rng) * n) >> 31


@_jit
def _count(mask):
    return (mask & 1) + ((mask >> 1) & 1) + ((mask >> 2) & 1) + ((mask >> 3) & 1)


@_jit
def _delta(way):
    if way == 0:
        return -GW
    if way == 1:
        return 1
    if way == 2:
        return GW
    return -1


@_jit
def _push(W, state, cost, par, n):
    if W.stamp[state] == W.epoch[0] and W.dist[state] <= cost:
        return n
    if n >= W.pool.shape[0]:
        return n
    W.stamp[state] = W.epoch[0]
    W.dist[state] = cost
    W.par[state] = par
    b = cost % BUCKETS
    W.pool[n] = state
    W.link[n] = W.head[b]
    W.head[b] = n
    return n + 1


@_jit
def _search(W, net, source, way_out, xlo, xhi, height, rail_row):
    """Cheapest wire from a terminal's node to the net's tree; lays it; returns its price or -1."""
    W.epoch[0] += 1
    for b in range(BUCKETS):
        W.head[b] = -1
    n = 0
    lead_only = _count(W.mask[source]) == 1
    for way in range(4):
        if W.mask[source] & (1 << way):
            continue
        extra = 0
        if lead_only and way != way_out:
            extra = BEND
        n = _push(W, source * 4 + way, extra, -1, n)
    cost = 0
    empty = 0
    goal = -1
    goal_cost = 1 << 30
    goal_from = -1
    while empty < BUCKETS:
        b = cost % BUCKETS
        at = W.head[b]
        if at < 0:
            cost += 1
            empty += 1
            if cost >= goal_cost:
                break
            continue
        empty = 0
        W.head[b] = W.link[at]
        state = W.pool[at]
        if W.dist[state] != cost:
            continue
        if cost >= goal_cost:
            break
        node = state >> 2
        way = state & 3
        to = node + _delta(way)
        x = to % GW
        y = to // GW
        if x < xlo or x > xhi or y < 0 or y > height:
            continue
        if (y == 0 or y == height) and y != rail_row:
            continue
        back = (way + 2) & 3
        level = way & 1
        mine = W.hn[to] == net or W.vn[to] == net
        if mine:
            if W.tree[to] != net + 1:
                continue
            count = _count(W.mask[to])
            if count > 2 or (W.mask[to] & (1 << back)) != 0:
                continue
            if not (W.hn[to] == net or W.hn[to] == -1) or not (W.vn[to] == net or W.vn[to] == -1):
                continue
            c = cost + STEP
            if count == 2:
                if y != rail_row:
                    c += DOT
                    if rail_row >= 0:
                        c += OFF_RAIL
            elif W.mask[to] & (1 << way) == 0:
                c += BEND
            if c < goal_cost:
                goal_cost = c
                goal = to
                goal_from = state
            continue
        if y == rail_row or W.shut[to] != 0:
            continue
        if W.hn[to] == -1 and W.vn[to] == -1:
            c = cost + STEP
            n = _push(W, to * 4 + way, c, state, n)
            n = _push(W, to * 4 + ((way + 1) & 3), c + BEND, state, n)
            n = _push(W, to * 4 + ((way + 3) & 3), c + BEND, state, n)
        elif (level == 1 and W.hn[to] == -1) or (level == 0 and W.vn[to] == -1):
            n = _push(W, to * 4 + way, cost + STEP + CROSS, state, n)
    if goal < 0:
        return -1
    # Lay the wire backwards from the goal.
    way = goal_from & 3
    W.mask[goal] |= 1 << ((way + 2) & 3)
    W.hn[goal] = net
    W.vn[goal] = net
    state = goal_from
    while True:
        node = state >> 2
        way = state & 3
        before = W.par[state]
        W.mask[node] |= 1 << way
        if before < 0:
            W.hn[node] = net
            W.vn[node] = net
            W.tree[node] = net + 1
            break
        came = before & 3
        W.mask[node] |= 1 << ((came + 2) & 3)
        if W.tree[node] != net + 1:
            crossing = (W.hn[node] != -1 and W.hn[node] != net) or (W.vn[node] != -1 and W.vn[node] != net)
            if not crossing:
                W.tree[node] = net + 1
        if came == way:
            if way & 1:
                W.hn[node] = net
            else:
                W.vn[node] = net
        else:
            W.hn[node] = net
            W.vn[node] = net
        state = before
    return goal_cost


@_jit
def _straight(W, net, node, way, height):
    """Lay a straight wire from a terminal to its rail if nothing at all is in the way; its price or -1."""
    d = _delta(way)
    at = node + d
    steps = 1
    while 0 < at // GW < height:
        if W.shut[at] != 0 or W.hn[at] != -1 or W.vn[at] != -1:
            return -1
        at += d
        steps += 1
    if W.mask[at] & (1 << ((way + 2) & 3)):
        return -1
    W.mask[node] |= 1 << way
    W.hn[node] = net
    W.vn[node] = net
    W.tree[node] = net + 1
    run = node + d
    while run != at:
        W.mask[run] |= (1 << way) | (1 << ((way + 2) & 3))
        W.vn[run] = net
        W.tree[run] = net + 1
        run += d
    W.mask[at] |= 1 << ((way + 2) & 3)
    W.vn[at] = net
    return STEP * steps


@_jit
def _penalty(P, S, limit):
    """Overlaps, order, extent: everything that needs no wires."""
    ns = S.sx.shape[0]
    height = S.size[0]
    cost = 0.0
    left = 1e9
    right = -1e9
    for i in range(ns):
        v = S.sv[i]
        cost += P.v_cost[v]
        for a in range(P.v_r0[v], P.v_r0[v + 1]):
            al = P.rects[a, 0] + S.sx[i] * CELL
            at = P.rects[a, 1] + S.sy[i] * CELL
            ar = P.rects[a, 2] + S.sx[i] * CELL
            ab = P.rects[a, 3] + S.sy[i] * CELL
            left = min(left, al)
            right = max(right, ar)
            if at < GAP:
                cost += 10.0 + 0.3 * (GAP - at)
            if ab > height * CELL - GAP:
                cost += 10.0 + 0.3 * (ab - height * CELL + GAP)
            for j in range(i):
                if P.s_group[i] == P.s_group[j] and P.g_m0[P.s_group[i] + 1] - P.g_m0[P.s_group[i]] > 1:
                    continue
                u = S.sv[j]
                for b in range(P.v_r0[u], P.v_r0[u + 1]):
                    ox = (
                        min(ar, P.rects[b, 2] + S.sx[j] * CELL)
                        - max(al, P.rects[b, 0] + S.sx[j] * CELL)
                        + GAP
                    )
                    if ox <= 1e-6:
                        continue
                    oy = (
                        min(ab, P.rects[b, 3] + S.sy[j] * CELL)
                        - max(at, P.rects[b, 1] + S.sy[j] * CELL)
                        + GAP
                    )
                    if oy > 1e-6:
                        cost += 14.0 + 0.4 * min(ox, oy)
        if cost > limit:
            return cost
    for k in range(P.f_i.shape[0]):
        i = P.f_i[k]
        j = P.f_j[k]
        over = (
            P.rects[P.v_r0[S.sv[i]], 2] + S.sx[i] * CELL - P.rects[P.v_r0[S.sv[j]], 0] - S.sx[j] * CELL + CELL
        )
        if over > 0:
            cost += P.f_w[k] * min(1.0 + over / CELL, 8.0)
    for k in range(P.a_i.shape[0]):
        i = P.a_i[k]
        j = P.a_j[k]
        over = P.rects[P.v_r0[S.sv[i]], 3] + S.sy[i] * CELL - P.rects[P.v_r0[S.sv[j]], 1] - S.sy[j] * CELL
        if over > 0:
            cost += 2.0 + over / CELL
    cost += 1.2 * height + 0.6 * (right - left) / CELL
    # Boxes like their pins evenly spread, in the order of the catalogue; rail parts like to stand in line.
    for t in range(P.t_sym.shape[0]):
        s = P.t_sym[t]
        if P.s_box[s] == 0:
            y = S.sy[s] + S.ty[t]
            if P.t_net[t] == 0 and S.td[t] == 0:
                cost += 0.15 * (y - 1)
            elif P.t_net[t] == 1 and S.td[t] == 2:
                cost += 0.15 * (height - 1 - y)
        elif t + 1 < P.t_sym.shape[0] and P.t_sym[t + 1] == s and P.t_side[t + 1] == P.t_side[t]:
            if P.t_side[t] & 1:
                if S.ty[t + 1] < S.ty[t]:
                    cost += 0.8
            elif S.tx[t + 1] < S.tx[t]:
                cost += 0.5
    return cost


@_jit
def evaluate(P, S, W, limit):
    """Score of a placement, or any number above ``limit`` as soon as it is known to exceed it."""
    height = S.size[0]
    cost = _penalty(P, S, limit)
    if cost > limit:
        return cost
    ns = S.sx.shape[0]
    nt = P.t_sym.shape[0]
    nn = P.n_t0.shape[0] - 1
    for i in range((height + 1) * GW):
        W.hn[i] = -1
        W.vn[i] = -1
        W.mask[i] = 0
        W.shut[i] = 0
        W.tree[i] = 0
    xlo = GW
    xhi = 0
    for i in range(ns):
        v = S.sv[i]
        for b in range(P.v_b0[v], P.v_b0[v + 1]):
            x = S.sx[i] + P.blocks[b, 0]
            y = S.sy[i] + P.blocks[b, 1]
            if 0 <= x < GW and 0 <= y <= height:
                W.shut[y * GW + x] = 1
                xlo = min(xlo, x)
                xhi = max(xhi, x)
    for t in range(nt):
        s = P.t_sym[t]
        x = S.sx[s] + S.tx[t]
        y = S.sy[s] + S.ty[t]
        xlo = min(xlo, x)
        xhi = max(xhi, x)
        node = y * GW + x
        if W.shut[node] != 0 or W.hn[node] != -1:
            cost += 30.0
        W.hn[node] = 1000 + t if P.t_net[t] < 0 else P.t_net[t]
        W.vn[node] = W.hn[node]
        W.mask[node] |= 1 << ((S.td[t] + 2) & 3)
        W.done[t] = 0
        if P.t_net[t] < 0:
            W.done[t] = 1
            # A wire must not pass straight over the end of an open lead, nor over a supply mark.
            out = node + _delta(S.td[t])
            if P.t_net[t] == -2:
                W.shut[out] = 1
    if cost > limit:
        return cost
    xlo = max(1, xlo - 3)
    xhi = min(GW - 2, xhi + 3)
    # Least length of the wires.
    bound = cost
    for net in range(nn):
        a = P.n_t0[net]
        b = P.n_t0[net + 1]
        if net < 2 and P.rails[net]:
            for k in range(a, b):
                t = P.n_terms[k]
                y = S.sy[P.t_sym[t]] + S.ty[t]
                bound += y if net == 0 else height - y
            continue
        x1 = GW
        x2 = 0
        y1 = GH
        y2 = 0
        for k in range(a, b):
            t = P.n_terms[k]
            x = S.sx[P.t_sym[t]] + S.tx[t]
            y = S.sy[P.t_sym[t]] + S.ty[t]
            x1 = min(x1, x)
            x2 = max(x2, x)
            y1 = min(y1, y)
            y2 = max(y2, y)
        W.net_key[net] = 0.0
        if b > a:
            W.net_key[net] = x2 - x1 + y2 - y1
            bound += W.net_key[net]
    if bound > limit:
        return bound
    for x in range(xlo, xhi + 1):
        for r in range(2):
            if P.rails[r]:
                node = (0 if r == 0 else height) * GW + x
                W.hn[node] = r
                W.mask[node] = 10
                W.tree[node] = r + 1
    # Straight drops to the rails first.
    for r in range(2):
        if not P.rails[r]:
            continue
        for k in range(P.n_t0[r], P.n_t0[r + 1]):
            t = P.n_terms[k]
            way = 0 if r == 0 else 2
            if S.td[t] != way:
                continue
            node = (S.sy[P.t_sym[t]] + S.ty[t]) * GW + S.sx[P.t_sym[t]] + S.tx[t]
            c = _straight(W, r, node, way, height)
            if c >= 0:
                W.done[t] = 1
                cost += c / 2.0
    # Then the nets, short ones first.
    m = 0
    for net in range(nn):
        if net < 2 and P.rails[net]:
            continue
        i = m
        while i > 0 and W.net_key[W.net_order[i - 1]] > W.net_key[net]:
            W.net_order[i] = W.net_order[i - 1]
            i -= 1
        W.net_order[i] = net
        m += 1
    for i in range(m):
        net = W.net_order[i]
        cost += _route_net(P, S, W, net, xlo, xhi, height)
        if cost > limit:
            return cost
    for r in range(2):
        if P.rails[r]:
            for k in range(P.n_t0[r], P.n_t0[r + 1]):
                t = P.n_terms[k]
                if W.done[t] == 0:
                    node = (S.sy[P.t_sym[t]] + S.ty[t]) * GW + S.sx[P.t_sym[t]] + S.tx[t]
                    c = _search(W, r, node, S.td[t], xlo, xhi, height, 0 if r == 0 else height)
                    if c >= 0:
                        W.done[t] = 1
                    cost += LOST if c < 0 else c / 2.0
                    if cost > limit:
                        return cost
            # The rail is as long as it must be.
            row = 0 if r == 0 else height
            first = -1
            last = -1
            for x in range(xlo, xhi + 1):
                if W.mask[row * GW + x] & 5:
                    if first < 0:
                        first = x
                    last = x
            if first >= 0:
                cost += 0.3 * (last - first)
    return cost


@_jit
def _route_net(P, S, W, net, xlo, xhi, height):
    """Join a net's terminals one by one, always the one nearest to those joined already."""
    a = P.n_t0[net]
    b = P.n_t0[net + 1]
    if b - a < 2:
        return 0.0
    cost = 0.0
    # Begin with the two terminals nearest to each other.
    best = 1 << 30
    start = a
    for k in range(a, b):
        t = P.n_terms[k]
        x = S.sx[P.t_sym[t]] + S.tx[t]
        y = S.sy[P.t_sym[t]] + S.ty[t]
        for j in range(a, k):
            u = P.n_terms[j]
            d = abs(x - S.sx[P.t_sym[u]] - S.tx[u]) + abs(y - S.sy[P.t_sym[u]] - S.ty[u])
            if d < best:
                best = d
                start = k
    t = P.n_terms[start]
    W.done[t] = 1
    node = (S.sy[P.t_sym[t]] + S.ty[t]) * GW + S.sx[P.t_sym[t]] + S.tx[t]
    W.tree[node] = net + 1
    for _ in range(b - a - 1):
        best = 1 << 30
        pick = -1
        for k in range(a, b):
            t = P.n_terms[k]
            if W.done[t]:
                continue
            x = S.sx[P.t_sym[t]] + S.tx[t]
            y = S.sy[P.t_sym[t]] + S.ty[t]
            for j in range(a, b):
                u = P.n_terms[j]
                if W.done[u] == 1:
                    d = abs(x - S.sx[P.t_sym[u]] - S.tx[u]) + abs(y - S.sy[P.t_sym[u]] - S.ty[u])
                    if d < best:
                        best = d
                        pick = t
        node = (S.sy[P.t_sym[pick]] + S.ty[pick]) * GW + S.sx[P.t_sym[pick]] + S.tx[pick]
        c = _search(W, net, node, S.td[pick], xlo, xhi, height, -1)
        if c < 0:
            cost += LOST
            W.done[pick] = 2
        else:
            cost += c / 2.0
            W.done[pick] = 1
    return cost


@_jit
def _shift(P, S, g, dx, dy):
    for k in range(P.g_m0[g], P.g_m0[g + 1]):
        s = P.g_members[k]
        S.sx[s] += dx
        S.sy[s] += dy
    m = P.g_mate[g]
    if m >= 0:
        s = P.g_members[P.g_m0[m]]
        S.sx[s] -= dx
        S.sy[s] += dy


@_jit
def _dress(P, S, s, v):
    """Give a symbol a variant."""
    S.sv[s] = v
    t0 = P.s_t0[s]
    if P.s_box[s]:
        for t in range(t0, P.s_t0[s + 1]):
            if P.t_side[t] == 2:
                S.ty[t] = P.v_h[v] + 1
        return
    for t in range(t0, P.s_t0[s + 1]):
        row = P.v_t0[v] + t - t0
        S.tx[t] = P.vt[row, 0]
        S.ty[t] = P.vt[row, 1]
        S.td[t] = P.vt[row, 2]


@_jit
def _inside(P, S):
    height = S.size[0]
    if height < 4 or height > GH - 2:
        return False
    for s in range(S.sx.shape[0]):
        if S.sx[s] < 6 or S.sx[s] > GW - 12:
            return False
    for t in range(P.t_sym.shape[0]):
        y = S.sy[P.t_sym[t]] + S.ty[t]
        x = S.sx[P.t_sym[t]] + S.tx[t]
        if y < 1 or y > height - 1 or x < 5 or x > GW - 6:
            return False
        s = P.t_sym[t]
        if P.s_box[s]:
            v = S.sv[s]
            if P.t_side[t] & 1:
                if S.ty[t] < 2 or S.ty[t] > P.v_h[v] - 2:
                    return False
            elif S.tx[t] < 1 or S.tx[t] > P.v_w[v] - 1:
                return False
            for u in range(P.s_t0[s], t):
                if P.t_side[u] == P.t_side[t] and abs(S.tx[u] - S.tx[t]) + abs(S.ty[u] - S.ty[t]) < 2:
                    return False
    return True


@_jit
def _propose(P, S, rng, reach):
    """Change the placement a little; False where the change makes no sense."""
    ns = S.sx.shape[0]
    ng = P.g_mate.shape[0]
    nt = P.t_sym.shape[0]
    kind = _below(rng, 100)
    if kind < 26:
        g = _below(rng, ng)
        _shift(P, S, g, _below(rng, 2 * reach + 1) - reach, _below(rng, 2 * reach + 1) - reach)
    elif kind < 52:
        # Bring a terminal into line with another one of its net, sometimes the symbol's other side too.
        t = _below(rng, nt)
        net = P.t_net[t]
        if net < 0:
            return False
        a = P.n_t0[net]
        u = P.n_terms[a + _below(rng, P.n_t0[net + 1] - a)]
        s = P.t_sym[t]
        r = P.t_sym[u]
        if P.s_group[s] == P.s_group[r]:
            return False
        if _below(rng, 3) == 0:
            n = P.s_v0[s + 1] - P.s_v0[s]
            if n > 1 and P.s_fixed[s] == 0 and P.s_box[s] == 0:
                v = P.s_v0[s] + _below(rng, n)
                m = P.g_mate[P.s_group[s]]
                if m < 0:
                    _dress(P, S, s, v)
        dx = S.sx[r] + S.tx[u] - S.sx[s] - S.tx[t]
        dy = S.sy[r] + S.ty[u] - S.sy[s] - S.ty[t]
        how = _below(rng, 6)
        if how == 0:
            dx = 0
        elif how == 1:
            dy = 0
        else:
            # Beside the other terminal, in the direction in which one of them looks.
            gap = 1 + _below(rng, 3)
            way = S.td[u] if how < 4 else (S.td[t] + 2) & 3
            if way == 0:
                dy -= gap
            elif way == 1:
                dx += gap
            elif way == 2:
                dy += gap
            else:
                dx -= gap
        _shift(P, S, P.s_group[s], dx, dy)
    elif kind < 66:
        s = _below(rng, ns)
        n = P.s_v0[s + 1] - P.s_v0[s]
        if n < 2 or P.s_fixed[s]:
            return False
        v = P.s_v0[s] + _below(rng, n)
        if v == S.sv[s]:
            return False
        m = P.g_mate[P.s_group[s]]
        if m >= 0:
            if P.v_mate[v] < 0:
                return False
            _dress(P, S, P.g_members[P.g_m0[m]], P.v_mate[v])
        _dress(P, S, s, v)
    elif kind < 74:
        g = _below(rng, ng)
        h = _below(rng, ng)
        if g == h or P.g_mate[g] >= 0 or P.g_mate[h] >= 0:
            return False
        s = P.g_members[P.g_m0[g]]
        r = P.g_members[P.g_m0[h]]
        dx = S.sx[r] - S.sx[s]
        dy = S.sy[r] - S.sy[s]
        if _below(rng, 3) == 0:
            dy = 0
        _shift(P, S, g, dx, dy)
        _shift(P, S, h, -dx, -dy)
    elif kind < 84:
        # Insert or delete a row.
        step = 1 if _below(rng, 2) == 0 else -1
        y = _below(rng, S.size[0] + 1)
        for g in range(ng):
            if S.sy[P.g_members[P.g_m0[g]]] >= y:
                for k in range(P.g_m0[g], P.g_m0[g + 1]):
                    S.sy[P.g_members[k]] += step
        S.size[0] += step
    elif kind < 92:
        # Insert or delete a column (on both sides of the axis where there is one).
        step = 1 if _below(rng, 2) == 0 else -1
        x = S.sx[_below(rng, ns)]
        if S.size[1] > 0:
            off = abs(2 * x - S.size[1])
            for s in range(ns):
                d = 2 * S.sx[s] - S.size[1]
                if d >= off and d > 0:
                    S.sx[s] += step
                elif -d >= off and d < 0:
                    S.sx[s] -= step
        else:
            for g in range(ng):
                if S.sx[P.g_members[P.g_m0[g]]] >= x:
                    for k in range(P.g_m0[g], P.g_m0[g + 1]):
                        S.sx[P.g_members[k]] += step
    else:
        # Move a pin of a box along its side, or exchange two.
        t = _below(rng, nt)
        s = P.t_sym[t]
        if P.s_box[s] == 0:
            g = _below(rng, ng)
            _shift(P, S, g, 0, _below(rng, 3) - 1)
            return True
        if P.t_fixed[t]:
            return False
        u = P.s_t0[s] + _below(rng, P.s_t0[s + 1] - P.s_t0[s])
        if u != t and P.t_side[u] == P.t_side[t] and P.t_fixed[u] == 0:
            x = S.tx[t]
            y = S.ty[t]
            S.tx[t] = S.tx[u]
            S.ty[t] = S.ty[u]
            S.tx[u] = x
            S.ty[u] = y
        elif P.t_side[t] & 1:
            S.ty[t] += 1 - 2 * _below(rng, 2)
        else:
            S.tx[t] += 1 - 2 * _below(rng, 2)
    return True


@_jit
def _copy(A, B):
    B.sx[:] = A.sx
    B.sy[:] = A.sy
    B.sv[:] = A.sv
    B.tx[:] = A.tx
    B.ty[:] = A.ty
    B.td[:] = A.td
    B.size[:] = A.size


@_jit
def anneal(P, S, T, B, W, rng, rounds, hot, cold):
    """Anneal from S; T is scratch, B receives the best placement.  Returns its score."""
    current = evaluate(P, S, W, 1e18)
    best = current
    _copy(S, B)
    for k in range(rounds):
        share = k / rounds
        heat = hot * (cold / hot) ** share
        reach = 3 if share < 0.5 else 2 if share < 0.8 else 1
        _copy(S, T)
        u = (_random(rng) + 1.0) / 2147483649.0
        if not _propose(P, S, rng, reach) or not _inside(P, S):
            _copy(T, S)
            continue
        limit = current - heat * np.log(u)
        score = evaluate(P, S, W, limit)
        if score > limit:
            _copy(T, S)
            continue
        current = score
        if current < best - 1e-9:
            best = current
            _copy(S, B)
    return best
