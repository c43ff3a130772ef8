"""The compiled heart of the placer: every placement is judged by really routing its wires.

Four parts: the arrays, the maze router, the score, simulated annealing.  They stand in one file
because the compiler's cache notices a change in a function's own file only.

Coordinates are cells; rectangles are user units.  Net 0 is the plus rail on row 0, net 1 the ground
rail on the last row.  Directions: 0 up, 1 right, 2 down, 3 left; a point's mask has a bit for each
direction in which a wire or a symbol's lead leaves it, and never more than three.
"""

# mypy: disable-error-code="no-untyped-def,untyped-decorator,assignment"

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numba import njit

__all__ = ["GH", "GW", "Problem", "State", "Work", "anneal", "copied", "evaluate", "new_work"]

# --- arrays

GW, GH = 96, 64
"""Size of the grid."""
BUCKETS = 64
"""Of the router's queue; more than the dearest single step."""

compiled: Any = njit(  # type: ignore[call-overload]
    cache=True, nogil=True, no_cpython_wrapper=True, no_cfunc_wrapper=True, error_model="numpy"
)
"""For functions that only compiled functions call."""
entry: Any = njit(cache=True, nogil=True, error_model="numpy")
"""For functions called from Python."""


class Problem(NamedTuple):
    """What does not change while placing.

    Rows of the tables: ``t`` terminals: symbol, net, side (boxes), locked; ``s`` symbols: first
    terminal, first variant, is a box, group, keeps its variant; ``v`` variants: first row in
    ``vt``, height, width (boxes), first rectangle, first blocked point, mirror image; ``vt``: x, y,
    direction; ``g`` groups: first member, mate; ``f`` left of (``f_w`` weight); ``a`` above;
    ``n_t0``, ``n_terms`` terminals of each net; ``rails`` whether plus and ground are rails.
    Tables of firsts have one column more than there are things.
    """

    t: Any
    s: Any
    v: Any
    v_cost: Any
    vt: Any
    rects: Any
    blocks: Any
    g: Any
    g_members: Any
    f: Any
    f_w: Any
    a: Any
    n_t0: Any
    n_terms: Any
    rails: Any


class State(NamedTuple):
    """A placement.

    ``sym``: x, y, variant of each symbol; ``ter``: x, y from its symbol and direction of each
    terminal; ``size``: height (row of the ground rail), twice the mirror axis or 0.
    """

    sym: Any
    ter: Any
    size: Any


class Work(NamedTuple):
    """Scratch of the router; after :func:`evaluate` ``node`` holds the wires.

    ``node``: net of the level wire, net of the upright wire, directions, blocked, part of a tree;
    ``way``: price, parent, stamp of each (point, direction); ``queue``: states and links of the
    buckets that begin at ``head``; ``done`` terminals; ``net_key``, ``net_order`` order of nets.
    """

    node: Any
    way: Any
    head: Any
    queue: Any
    done: Any
    epoch: Any
    net_key: Any
    net_order: Any


def new_work(terminals: int, nets: int) -> Work:
    """Scratch arrays for a problem of that size."""
    nodes = GW * GH
    return Work(
        np.zeros((5, nodes), np.int32), np.zeros((3, nodes * 4), np.int32), np.zeros(BUCKETS, np.int32),
        np.zeros((2, nodes * 12), np.int32), np.zeros(terminals, np.int64), np.zeros(1, np.int64),
        np.zeros(max(nets, 2), np.float64), np.zeros(max(nets, 2), np.int64),
    )  # fmt: skip


def copied(state: State) -> State:
    """A copy that shares nothing."""
    return State(state.sym.copy(), state.ter.copy(), state.size.copy())


# --- router

STEP, BEND, CROSS, DOT, OFF_RAIL = 2, 11, 24, 2, 8
"""Prices, twice those of the score: a cell, a bend, a crossing, a dot, joining a rail's net off the rail."""


@compiled
def _count(mask):
    return (mask & 1) + ((mask >> 1) & 1) + ((mask >> 2) & 1) + ((mask >> 3) & 1)


@compiled
def delta(way):
    if way == 0:
        return -GW
    if way == 1:
        return 1
    if way == 2:
        return GW
    return -1


@compiled
def _push(W, state, cost, par, n):
    if W.way[2, state] == W.epoch[0] and W.way[0, state] <= cost:
        return n
    if n >= W.queue.shape[1]:
        return n
    W.way[2, state] = W.epoch[0]
    W.way[0, state] = cost
    W.way[1, state] = par
    b = cost % BUCKETS
    W.queue[0, n] = state
    W.queue[1, n] = W.head[b]
    W.head[b] = n
    return n + 1


@compiled
def search(W, net, source, way_out, xlo, xhi, height, rail_row):
    """Cheapest wire from a terminal's node to the net's tree; lays it; returns its price or -1."""
    W.epoch[0] += 1
    for b in range(BUCKETS):
        W.head[b] = -1
    n = np.int64(0)
    none = np.int64(-1)
    lead_only = _count(np.int64(W.node[2, source])) == 1
    for way in range(4):
        if W.node[2, source] & (1 << way):
            continue
        extra = np.int64(0)
        if lead_only and way != way_out:
            extra = BEND
        n = _push(W, source * 4 + way, extra, none, n)
    cost = 0
    empty = 0
    goal = -1
    goal_cost = 1 << 30
    goal_from = -1
    while empty < BUCKETS:
        b = cost % BUCKETS
        at = np.int64(W.head[b])
        if at < 0:
            cost += 1
            empty += 1
            if cost >= goal_cost:
                break
            continue
        empty = 0
        W.head[b] = W.queue[1, at]
        state = np.int64(W.queue[0, at])
        if W.way[0, state] != cost:
            continue
        if cost >= goal_cost:
            break
        node = state >> 2
        way = state & 3
        to = node + delta(way)
        x = to % GW
        y = to // GW
        if x < xlo or x > xhi or y < 0 or y > height:
            continue
        if (y == 0 or y == height) and y != rail_row:
            continue
        back = (way + 2) & 3
        level = way & 1
        mine = W.node[0, to] == net or W.node[1, to] == net
        if mine:
            if W.node[4, to] != net + 1:
                continue
            count = _count(np.int64(W.node[2, to]))
            if count > 2 or (W.node[2, to] & (1 << back)) != 0:
                continue
            if not (W.node[0, to] == net or W.node[0, to] == -1) or not (
                W.node[1, to] == net or W.node[1, to] == -1
            ):
                continue
            c = cost + STEP
            if count == 2:
                if y != rail_row:
                    c += DOT
                    if rail_row >= 0:
                        c += OFF_RAIL
            elif W.node[2, to] & (1 << way) == 0:
                c += BEND
            if c < goal_cost:
                goal_cost = c
                goal = to
                goal_from = state
            continue
        if y == rail_row or W.node[3, to] != 0:
            continue
        if W.node[0, to] == -1 and W.node[1, to] == -1:
            c = cost + STEP
            n = _push(W, to * 4 + way, c, state, n)
            n = _push(W, to * 4 + ((way + 1) & 3), c + BEND, state, n)
            n = _push(W, to * 4 + ((way + 3) & 3), c + BEND, state, n)
        elif (level == 1 and W.node[0, to] == -1) or (level == 0 and W.node[1, to] == -1):
            n = _push(W, to * 4 + way, cost + STEP + CROSS, state, n)
    if goal < 0:
        return -1
    # Lay the wire backwards from the goal.
    way = goal_from & 3
    W.node[2, goal] |= 1 << ((way + 2) & 3)
    W.node[0, goal] = net
    W.node[1, goal] = net
    state = goal_from
    while True:
        node = state >> 2
        way = state & 3
        before = np.int64(W.way[1, state])
        W.node[2, node] |= 1 << way
        if before < 0:
            W.node[0, node] = net
            W.node[1, node] = net
            W.node[4, node] = net + 1
            break
        came = before & 3
        W.node[2, node] |= 1 << ((came + 2) & 3)
        if W.node[4, node] != net + 1:
            crossing = (W.node[0, node] != -1 and W.node[0, node] != net) or (
                W.node[1, node] != -1 and W.node[1, node] != net
            )
            if not crossing:
                W.node[4, node] = net + 1
        if came == way:
            if way & 1:
                W.node[0, node] = net
            else:
                W.node[1, node] = net
        else:
            W.node[0, node] = net
            W.node[1, node] = net
        state = before
    return goal_cost


@compiled
def lay_straight(W, net, node, way, height):
    """Lay a straight wire from a terminal to its rail if nothing at all is in the way; its price or -1."""
    d = delta(way)
    at = node + d
    steps = 1
    while 0 < at // GW < height:
        if W.node[3, at] != 0 or W.node[0, at] != -1 or W.node[1, at] != -1:
            return -1
        at += d
        steps += 1
    if W.node[2, at] & (1 << ((way + 2) & 3)):
        return -1
    W.node[2, node] |= 1 << way
    W.node[0, node] = net
    W.node[1, node] = net
    W.node[4, node] = net + 1
    run = node + d
    while run != at:
        W.node[2, run] |= (1 << way) | (1 << ((way + 2) & 3))
        W.node[1, run] = net
        W.node[4, run] = net + 1
        run += d
    W.node[2, at] |= 1 << ((way + 2) & 3)
    W.node[1, at] = net
    return STEP * steps


# --- score

CELL, GAP = 20.0, 8.0
LOST = 60.0
"""Price of a terminal that no wire reaches."""


@compiled
def _penalty(P, S, limit):
    """Overlaps, order, extent: everything that needs no wires."""
    ns = S.sym.shape[1]
    height = S.size[0]
    cost = 0.0
    left = 1e9
    right = -1e9
    for i in range(ns):
        v = S.sym[2, i]
        cost += P.v_cost[v]
        for a in range(P.v[3, v], P.v[3, v + 1]):
            al = P.rects[a, 0] + S.sym[0, i] * CELL
            at = P.rects[a, 1] + S.sym[1, i] * CELL
            ar = P.rects[a, 2] + S.sym[0, i] * CELL
            ab = P.rects[a, 3] + S.sym[1, i] * CELL
            left = min(left, al)
            right = max(right, ar)
            if at < GAP:
                cost += 10.0 + 0.3 * (GAP - at)
            if ab > height * CELL - GAP:
                cost += 10.0 + 0.3 * (ab - height * CELL + GAP)
            for j in range(i):
                if P.s[3, i] == P.s[3, j] and P.g[0, P.s[3, i] + 1] - P.g[0, P.s[3, i]] > 1:
                    continue
                u = S.sym[2, j]
                for b in range(P.v[3, u], P.v[3, u + 1]):
                    ox = (
                        min(ar, P.rects[b, 2] + S.sym[0, j] * CELL)
                        - max(al, P.rects[b, 0] + S.sym[0, j] * CELL)
                        + GAP
                    )
                    if ox <= 1e-6:
                        continue
                    oy = (
                        min(ab, P.rects[b, 3] + S.sym[1, j] * CELL)
                        - max(at, P.rects[b, 1] + S.sym[1, j] * CELL)
                        + GAP
                    )
                    if oy > 1e-6:
                        cost += 14.0 + 0.4 * min(ox, oy)
        if cost > limit:
            return cost
    for k in range(P.f.shape[1]):
        i = P.f[0, k]
        j = P.f[1, k]
        over = (
            P.rects[P.v[3, S.sym[2, i]], 2]
            + S.sym[0, i] * CELL
            - P.rects[P.v[3, S.sym[2, j]], 0]
            - S.sym[0, j] * CELL
            + CELL
        )
        if over > 0:
            cost += P.f_w[k] * min(1.0 + over / CELL, 8.0)
    for k in range(P.a.shape[1]):
        i = P.a[0, k]
        j = P.a[1, k]
        over = (
            P.rects[P.v[3, S.sym[2, i]], 3]
            + S.sym[1, i] * CELL
            - P.rects[P.v[3, S.sym[2, j]], 1]
            - S.sym[1, j] * CELL
        )
        if over > 0:
            cost += 2.0 + over / CELL
    # The leads of boxes with their pin numbers.
    for t in range(P.t.shape[1]):
        s = P.t[0, t]
        if P.s[2, s] == 0:
            continue
        tx = (S.sym[0, s] + S.ter[0, t]) * CELL
        ty = (S.sym[1, s] + S.ter[1, t]) * CELL
        side = P.t[2, t]
        al = tx - (CELL if side == 1 else 0.0)
        at = ty - (9.5 if side & 1 else CELL if side == 2 else 0.0)
        ar = al + (CELL if side & 1 else 14.0)
        ab = at + (9.5 if side & 1 else CELL)
        for j in range(ns):
            if j == s or (P.s[3, j] == P.s[3, s] and P.g[0, P.s[3, s] + 1] - P.g[0, P.s[3, s]] > 1):
                continue
            u = S.sym[2, j]
            for b in range(P.v[3, u], P.v[3, u + 1]):
                ox = (
                    min(ar, P.rects[b, 2] + S.sym[0, j] * CELL)
                    - max(al, P.rects[b, 0] + S.sym[0, j] * CELL)
                    + GAP
                )
                if ox <= 1e-6:
                    continue
                oy = (
                    min(ab, P.rects[b, 3] + S.sym[1, j] * CELL)
                    - max(at, P.rects[b, 1] + S.sym[1, j] * CELL)
                    + GAP
                )
                if oy > 1e-6:
                    cost += 10.0 + 0.4 * min(ox, oy)
    if cost > limit:
        return cost
    cost += 0.9 * height + 0.4 * (right - left) / CELL
    # Boxes like their pins evenly spread, in the order of the catalogue; rail parts like to stand in line.
    for t in range(P.t.shape[1]):
        s = P.t[0, t]
        if P.s[2, s] == 0:
            y = S.sym[1, s] + S.ter[1, t]
            if P.t[1, t] == 0 and S.ter[2, t] == 0:
                cost += 0.4 * (y - 1)
            elif P.t[1, t] == 1 and S.ter[2, t] == 2:
                cost += 0.4 * (height - 1 - y)
        elif t + 1 < P.t.shape[1] and P.t[0, t + 1] == s and P.t[2, t + 1] == P.t[2, t]:
            if P.t[2, t] & 1:
                if S.ter[1, t + 1] < S.ter[1, t]:
                    cost += 0.8
            elif S.ter[0, t + 1] < S.ter[0, t]:
                cost += 0.5
    return cost


@compiled
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
        x = S.sym[0, P.t[0, t]] + S.ter[0, t]
        y = S.sym[1, P.t[0, t]] + S.ter[1, t]
        for j in range(a, k):
            u = P.n_terms[j]
            d = abs(x - S.sym[0, P.t[0, u]] - S.ter[0, u]) + abs(y - S.sym[1, P.t[0, u]] - S.ter[1, u])
            if d < best:
                best = d
                start = k
    t = P.n_terms[start]
    W.done[t] = 1
    node = (S.sym[1, P.t[0, t]] + S.ter[1, t]) * GW + S.sym[0, P.t[0, t]] + S.ter[0, t]
    W.node[4, node] = net + 1
    for _ in range(b - a - 1):
        best = 1 << 30
        pick = -1
        for k in range(a, b):
            t = P.n_terms[k]
            if W.done[t]:
                continue
            x = S.sym[0, P.t[0, t]] + S.ter[0, t]
            y = S.sym[1, P.t[0, t]] + S.ter[1, t]
            for j in range(a, b):
                u = P.n_terms[j]
                if W.done[u] == 1:
                    d = abs(x - S.sym[0, P.t[0, u]] - S.ter[0, u]) + abs(
                        y - S.sym[1, P.t[0, u]] - S.ter[1, u]
                    )
                    if d < best:
                        best = d
                        pick = t
        node = (S.sym[1, P.t[0, pick]] + S.ter[1, pick]) * GW + S.sym[0, P.t[0, pick]] + S.ter[0, pick]
        c = search(W, net, node, S.ter[2, pick], xlo, xhi, height, np.int64(-1))
        if c < 0:
            cost += LOST
            W.done[pick] = 2
        else:
            cost += c / 2.0
            W.done[pick] = 1
    return cost


@entry
def evaluate(P, S, W, limit):
    """Score of a placement, or any number above ``limit`` as soon as it is known to exceed it."""
    height = S.size[0]
    cost = _penalty(P, S, limit)
    if cost > limit:
        return cost
    ns = S.sym.shape[1]
    nt = P.t.shape[1]
    nn = P.n_t0.shape[0] - 1
    for i in range((height + 1) * GW):
        W.node[0, i] = -1
        W.node[1, i] = -1
        W.node[2, i] = 0
        W.node[3, i] = 0
        W.node[4, i] = 0
    xlo = GW
    xhi = 0
    for i in range(ns):
        v = S.sym[2, i]
        for b in range(P.v[4, v], P.v[4, v + 1]):
            x = S.sym[0, i] + P.blocks[b, 0]
            y = S.sym[1, i] + P.blocks[b, 1]
            if 0 <= x < GW and 0 <= y <= height:
                W.node[3, y * GW + x] = 1
                xlo = min(xlo, x)
                xhi = max(xhi, x)
    for t in range(nt):
        s = P.t[0, t]
        x = S.sym[0, s] + S.ter[0, t]
        y = S.sym[1, s] + S.ter[1, t]
        xlo = min(xlo, x)
        xhi = max(xhi, x)
        node = y * GW + x
        if W.node[3, node] != 0 or W.node[0, node] != -1:
            cost += 30.0
        W.node[0, node] = 1000 + t if P.t[1, t] < 0 else P.t[1, t]
        W.node[1, node] = W.node[0, node]
        W.node[2, node] |= 1 << ((S.ter[2, t] + 2) & 3)
        W.done[t] = 0
        if P.t[1, t] < 0:
            W.done[t] = 1
            # A wire must not pass straight over the end of an open lead, nor over a supply mark.
            out = node + delta(S.ter[2, t])
            if P.t[1, t] == -2:
                W.node[3, out] = 1
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
                y = S.sym[1, P.t[0, t]] + S.ter[1, t]
                bound += y if net == 0 else height - y
            continue
        x1 = GW
        x2 = 0
        y1 = GH
        y2 = 0
        for k in range(a, b):
            t = P.n_terms[k]
            x = S.sym[0, P.t[0, t]] + S.ter[0, t]
            y = S.sym[1, P.t[0, t]] + S.ter[1, t]
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
                W.node[0, node] = r
                W.node[2, node] = 10
                W.node[4, node] = r + 1
    # Straight drops to the rails first.
    for r in range(2):
        if not P.rails[r]:
            continue
        for k in range(P.n_t0[r], P.n_t0[r + 1]):
            t = P.n_terms[k]
            way = 0 if r == 0 else 2
            if S.ter[2, t] != way:
                continue
            node = (S.sym[1, P.t[0, t]] + S.ter[1, t]) * GW + S.sym[0, P.t[0, t]] + S.ter[0, t]
            c = lay_straight(W, r, node, way, height)
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
                    node = (S.sym[1, P.t[0, t]] + S.ter[1, t]) * GW + S.sym[0, P.t[0, t]] + S.ter[0, t]
                    c = search(W, r, node, S.ter[2, t], xlo, xhi, height, np.int64(0) if r == 0 else height)
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
                if W.node[2, row * GW + x] & 5:
                    if first < 0:
                        first = x
                    last = x
            if first >= 0:
                cost += 0.3 * (last - first)
    return cost


# --- annealing


@compiled
def _random(rng):
    rng[0] = rng[0] * np.uint64(6364136223846793005) + np.uint64(1442695040888963407)
    return np.int64((rng[0] >> np.uint64(33)) & np.uint64(0x7FFFFFFF))


@compiled
def _below(rng, n):
    return (_random(rng) * n) >> 31


@compiled
def _shift(P, S, g, dx, dy):
    for k in range(P.g[0, g], P.g[0, g + 1]):
        s = P.g_members[k]
        S.sym[0, s] += dx
        S.sym[1, s] += dy
    m = P.g[1, g]
    if m >= 0:
        s = P.g_members[P.g[0, m]]
        S.sym[0, s] -= dx
        S.sym[1, s] += dy


@compiled
def _dress(P, S, s, v):
    """Give a symbol a variant."""
    S.sym[2, s] = v
    t0 = P.s[0, s]
    if P.s[2, s]:
        for t in range(t0, P.s[0, s + 1]):
            if P.t[2, t] == 2:
                S.ter[1, t] = P.v[1, v] + 1
        return
    for t in range(t0, P.s[0, s + 1]):
        row = P.v[0, v] + t - t0
        S.ter[0, t] = P.vt[row, 0]
        S.ter[1, t] = P.vt[row, 1]
        S.ter[2, t] = P.vt[row, 2]


@compiled
def _inside(P, S):
    height = S.size[0]
    if height < 4 or height > GH - 2:
        return False
    for s in range(S.sym.shape[1]):
        if S.sym[0, s] < 6 or S.sym[0, s] > GW - 12:
            return False
    for t in range(P.t.shape[1]):
        y = S.sym[1, P.t[0, t]] + S.ter[1, t]
        x = S.sym[0, P.t[0, t]] + S.ter[0, t]
        if y < 1 or y > height - 1 or x < 5 or x > GW - 6:
            return False
        s = P.t[0, t]
        if P.s[2, s]:
            v = S.sym[2, s]
            if P.t[2, t] & 1:
                if S.ter[1, t] < 2 or S.ter[1, t] > P.v[1, v] - 2:
                    return False
            elif S.ter[0, t] < 1 or S.ter[0, t] > P.v[2, v] - 1:
                return False
            for u in range(P.s[0, s], t):
                if (
                    P.t[2, u] == P.t[2, t]
                    and abs(S.ter[0, u] - S.ter[0, t]) + abs(S.ter[1, u] - S.ter[1, t]) < 2
                ):
                    return False
    return True


@compiled
def _propose(P, S, rng, reach):
    """Change the placement a little; False where the change makes no sense."""
    ns = S.sym.shape[1]
    ng = P.g.shape[1] - 1
    nt = P.t.shape[1]
    kind = _below(rng, np.int64(100))
    if kind < 26:
        g = _below(rng, ng)
        dx = _below(rng, 2 * reach + 1) - reach
        dy = _below(rng, 2 * reach + 1) - reach
        if kind < 16 or S.size[1] > 0:
            _shift(P, S, g, dx, dy)
        else:
            # A column of symbols sideways; or all that stands left of a line, up, down or sideways.
            x = S.sym[0, P.g_members[P.g[0, g]]]
            for h in range(ng):
                there = S.sym[0, P.g_members[P.g[0, h]]]
                if kind < 20:
                    if there == x:
                        _shift(P, S, h, dx, np.int64(0))
                elif there <= x:
                    if kind < 23:
                        _shift(P, S, h, np.int64(0), dy)
                    else:
                        _shift(P, S, h, dx, np.int64(0))
    elif kind < 52:
        # Bring a terminal into line with another one of its net, sometimes the symbol's other side too.
        t = _below(rng, nt)
        net = P.t[1, t]
        if net < 0:
            return False
        a = P.n_t0[net]
        u = P.n_terms[a + _below(rng, P.n_t0[net + 1] - a)]
        s = P.t[0, t]
        r = P.t[0, u]
        if P.s[3, s] == P.s[3, r]:
            return False
        if _below(rng, np.int64(3)) == 0:
            n = P.s[1, s + 1] - P.s[1, s]
            if n > 1 and P.s[4, s] == 0 and P.s[2, s] == 0:
                v = P.s[1, s] + _below(rng, n)
                m = P.g[1, P.s[3, s]]
                if m < 0:
                    _dress(P, S, s, v)
        dx = S.sym[0, r] + S.ter[0, u] - S.sym[0, s] - S.ter[0, t]
        dy = S.sym[1, r] + S.ter[1, u] - S.sym[1, s] - S.ter[1, t]
        how = _below(rng, np.int64(6))
        if how == 0:
            dx = 0
        elif how == 1:
            dy = 0
        else:
            # Beside the other terminal, in the direction in which one of them looks.
            gap = 1 + _below(rng, np.int64(3))
            way = S.ter[2, u] if how < 4 else (S.ter[2, t] + 2) & 3
            if way == 0:
                dy -= gap
            elif way == 1:
                dx += gap
            elif way == 2:
                dy += gap
            else:
                dx -= gap
        _shift(P, S, P.s[3, s], dx, dy)
    elif kind < 66:
        s = _below(rng, ns)
        n = P.s[1, s + 1] - P.s[1, s]
        if n < 2 or P.s[4, s]:
            return False
        v = P.s[1, s] + _below(rng, n)
        if v == S.sym[2, s]:
            return False
        m = P.g[1, P.s[3, s]]
        if m >= 0:
            if P.v[5, v] < 0:
                return False
            _dress(P, S, P.g_members[P.g[0, m]], P.v[5, v])
        _dress(P, S, s, v)
    elif kind < 74:
        g = _below(rng, ng)
        h = _below(rng, ng)
        if g == h or P.g[1, g] >= 0 or P.g[1, h] >= 0:
            return False
        s = P.g_members[P.g[0, g]]
        r = P.g_members[P.g[0, h]]
        dx = S.sym[0, r] - S.sym[0, s]
        dy = S.sym[1, r] - S.sym[1, s]
        if _below(rng, np.int64(3)) == 0:
            dy = 0
        _shift(P, S, g, dx, dy)
        _shift(P, S, h, -dx, -dy)
    elif kind < 84:
        # Insert or delete a row.
        step = 1 if _below(rng, np.int64(2)) == 0 else -1
        y = _below(rng, S.size[0] + 1)
        for g in range(ng):
            if S.sym[1, P.g_members[P.g[0, g]]] >= y:
                for k in range(P.g[0, g], P.g[0, g + 1]):
                    S.sym[1, P.g_members[k]] += step
        S.size[0] += step
    elif kind < 92:
        # Insert or delete a column (on both sides of the axis where there is one).
        step = 1 if _below(rng, np.int64(2)) == 0 else -1
        x = S.sym[0, _below(rng, ns)]
        if S.size[1] > 0:
            off = abs(2 * x - S.size[1])
            for s in range(ns):
                d = 2 * S.sym[0, s] - S.size[1]
                if d >= off and d > 0:
                    S.sym[0, s] += step
                elif -d >= off and d < 0:
                    S.sym[0, s] -= step
        else:
            for g in range(ng):
                if S.sym[0, P.g_members[P.g[0, g]]] >= x:
                    for k in range(P.g[0, g], P.g[0, g + 1]):
                        S.sym[0, P.g_members[k]] += step
    else:
        # Move a pin of a box along its side, or exchange two.
        t = _below(rng, nt)
        s = P.t[0, t]
        if P.s[2, s] == 0:
            g = _below(rng, ng)
            _shift(P, S, g, np.int64(0), _below(rng, np.int64(3)) - 1)
            return True
        if P.t[3, t]:
            return False
        u = P.s[0, s] + _below(rng, P.s[0, s + 1] - P.s[0, s])
        if u != t and P.t[2, u] == P.t[2, t] and P.t[3, u] == 0:
            x = S.ter[0, t]
            y = S.ter[1, t]
            S.ter[0, t] = S.ter[0, u]
            S.ter[1, t] = S.ter[1, u]
            S.ter[0, u] = x
            S.ter[1, u] = y
        elif P.t[2, t] & 1:
            S.ter[1, t] += 1 - 2 * _below(rng, np.int64(2))
        else:
            S.ter[0, t] += 1 - 2 * _below(rng, np.int64(2))
    return True


@compiled
def _copy(A, B):
    for i in range(A.sym.shape[1]):
        for k in range(3):
            B.sym[k, i] = A.sym[k, i]
    for i in range(A.ter.shape[1]):
        for k in range(3):
            B.ter[k, i] = A.ter[k, i]
    B.size[0] = A.size[0]
    B.size[1] = A.size[1]


@entry
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
