"""How good a placement is, found out by really routing its wires."""

# mypy: disable-error-code="no-untyped-def,untyped-decorator,assignment"
from __future__ import annotations

import numpy as np

from buildalong.drawing.schematic._arrays import GH, GW, compiled, entry
from buildalong.drawing.schematic._router import delta, lay_straight, search

__all__ = ["evaluate"]

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
