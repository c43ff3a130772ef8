"""The compiled price of the wires: a placement is judged by really routing them."""

# mypy: disable-error-code="no-untyped-def,untyped-decorator,assignment"

from __future__ import annotations

import numpy as np

from buildalong.drawing.schematic._arrays import GH, GW, helper
from buildalong.drawing.schematic._router import (
    BEND,
    NO_WAY,
    STEP,
    count,
    delta,
    detour,
    lay_straight,
    search,
)  # fmt: skip

__all__ = ["wires"]

LOST = 200.0
"""Price of a terminal that no wire reaches: more than the longest way round."""
TIGHT = 0.25
"""Price of a dot right at the lead of a part of two leads."""
UNLIKE = 8.0
"""Price of a stage with a mark of its own among others without, or the other way round."""
ANY = 1 << 30


@helper
def _start(P, S, W, height):
    """Put symbols on the emptied grid; the columns in use, the price of what stands in the way."""
    w_node = W.node
    s_sym = S.sym
    p_v = P.v
    p_blocks = P.blocks
    p_t = P.t
    s_ter = S.ter
    w_done = W.done
    cost = 0.0
    xlo = GW
    xhi = 0
    for i in range(s_sym.columns):
        v = s_sym[2, i]
        for b in range(p_v[4, v], p_v[4, v + 1]):
            x = s_sym[0, i] + p_blocks[b, 0]
            xlo = min(xlo, x)
            xhi = max(xhi, x)
    for t in range(p_t.columns):
        x = s_sym[0, p_t[0, t]] + s_ter[0, t]
        xlo = min(xlo, x)
        xhi = max(xhi, x)
    xlo = max(1, xlo - 3)
    xhi = min(GW - 2, xhi + 3)
    for k in range(5):
        fill = -1 if k < 2 else 0
        for y in range(height + 1):
            for x in range(max(0, xlo - 2), min(GW, xhi + 3)):
                w_node[k, y * GW + x] = fill
    for i in range(s_sym.columns):
        v = s_sym[2, i]
        for b in range(p_v[4, v], p_v[4, v + 1]):
            x = s_sym[0, i] + p_blocks[b, 0]
            y = s_sym[1, i] + p_blocks[b, 1]
            if 0 <= x < GW and 0 <= y <= height:
                w_node[3, y * GW + x] = 1
    for t in range(p_t.columns):
        s = p_t[0, t]
        x = s_sym[0, s] + s_ter[0, t]
        node = (s_sym[1, s] + s_ter[1, t]) * GW + x
        if w_node[3, node] != 0 or w_node[0, node] != -1:
            cost += 30.0
        w_node[0, node] = 1000 + t if p_t[1, t] < 0 else p_t[1, t]
        w_node[1, node] = w_node[0, node]
        w_node[2, node] |= 1 << ((s_ter[2, t] + 2) & 3)
        w_done[t] = 0
        if p_t[1, t] < 0:
            w_done[t] = 1
            # A wire must not pass straight over the end of an open lead, nor over a supply mark.
            if p_t[1, t] == -2:
                w_node[3, node + delta(s_ter[2, t])] = 1
    return xlo, xhi, cost


@helper
def _least(P, S, W, height):
    """Least length of the wires; leaves the extent of each net in ``net_key`` and their order."""
    p_n_t0 = P.n_t0
    p_rails = P.rails
    p_n_terms = P.n_terms
    s_sym = S.sym
    p_t = P.t
    s_ter = S.ter
    w_net_key = W.net_key
    w_net_order = W.net_order
    bound = 0.0
    m = 0
    for net in range(p_n_t0.columns - 1):
        x1, x2, y1, y2 = GW, 0, GH, 0
        if net < 2 and p_rails[net]:
            # A drop is as long as its way, or else a bend dearer than a step aside.
            for k in range(p_n_t0[net], p_n_t0[net + 1]):
                t = p_n_terms[k]
                y = s_sym[1, p_t[0, t]] + s_ter[1, t]
                bound += min(y if net == 0 else height - y, 6)
            continue
        for k in range(p_n_t0[net], p_n_t0[net + 1]):
            t = p_n_terms[k]
            x = s_sym[0, p_t[0, t]] + s_ter[0, t]
            y = s_sym[1, p_t[0, t]] + s_ter[1, t]
            x1, x2, y1, y2 = min(x1, x), max(x2, x), min(y1, y), max(y2, y)
        w_net_key[net] = max(0, x2 - x1 + y2 - y1)
        bound += w_net_key[net]
        i = m
        while i > 0 and w_net_key[w_net_order[i - 1]] > w_net_key[net]:
            w_net_order[i] = w_net_order[i - 1]
            i -= 1
        w_net_order[i] = net
        m += 1
    return bound, m


@helper
def _nearest(P, S, W, a, b, begun):
    """The terminal to join next: cheapest from those joined, or (at the beginning) from any other."""
    p_n_terms = P.n_terms
    w_done = W.done
    s_sym = S.sym
    p_t = P.t
    s_ter = S.ter
    w_node = W.node
    best = ANY
    pick = p_n_terms[a]
    for k in range(a, b):
        t = p_n_terms[k]
        if w_done[t]:
            continue
        x = s_sym[0, p_t[0, t]] + s_ter[0, t]
        y = s_sym[1, p_t[0, t]] + s_ter[1, t]
        for j in range(a, b if begun else k):
            u = p_n_terms[j]
            if begun and w_done[u] != 1:
                continue
            dx = s_sym[0, p_t[0, u]] + s_ter[0, u] - x
            dy = s_sym[1, p_t[0, u]] + s_ter[1, u] - y
            joined = False
            if begun:
                mask = w_node[2, (y + dy) * GW + x + dx]
                joined = (mask & (mask - 1)) != 0
            d = detour(dx, dy, s_ter[2, t], s_ter[2, u], joined)
            if d < best:
                best = d
                pick = t
    return pick


@helper
def _mark(w_node, way, r, node, height):
    """Set a rail mark of its own at a terminal if there is room for it."""
    if way != (0 if r == 0 else 2):
        return False
    ahead = node + delta(way)
    y = ahead // GW
    if y < 1 or y >= height or w_node[3, ahead] or w_node[0, ahead] != -1 or w_node[1, ahead] != -1:
        return False
    for at in (ahead + 1, ahead + 2, ahead - 1):
        if (r == 0 or at < ahead + 2) and w_node[3, at]:
            return False
    if r == 0:
        for at in (node + 1, node + 2, ahead + 1, ahead + 2):
            if w_node[3, at] or w_node[0, at] != -1 or w_node[1, at] != -1:
                return False
        for at in (node + 1, node + 2, ahead + 1, ahead + 2):
            w_node[3, at] = 1
    w_node[3, ahead] = 1
    return True


@helper
def wires(P, S, W, cost, limit):
    """Route every net; the price with ``cost``, or a number above ``limit`` once it exceeds it."""
    s_size = S.size
    p_rails = P.rails
    w_node = W.node
    p_n_t0 = P.n_t0
    p_n_terms = P.n_terms
    s_ter = S.ter
    s_sym = S.sym
    p_t = P.t
    w_done = W.done
    w_net_key = W.net_key
    w_span = W.span
    w_net_order = W.net_order
    p_s = P.s
    height = s_size[0]
    w_epoch = W.epoch
    xlo, xhi, blocked = _start(P, S, W, height)
    cost += blocked
    least, m = _least(P, S, W, height)
    w_epoch[1] += ((height * (xhi - xlo)) >> 5) + 2 * p_t.columns
    if cost + least > limit:
        return cost + least
    for r in range(2):
        if not p_rails[r]:
            continue
        row = 0 if r == 0 else height
        for x in range(xlo, xhi + 1):
            node = row * GW + x
            w_node[0, node] = r
            w_node[2, node] = 10
            w_node[4, node] = r + 1
    # Straight drops to the rails first, then the nets, short ones first, then what is left of the rails.
    for r in range(2):
        if not p_rails[r]:
            continue
        for k in range(p_n_t0[r], p_n_t0[r + 1]):
            t = p_n_terms[k]
            way = 0 if r == 0 else 2
            if s_ter[2, t] != way:
                continue
            if p_t[6, t]:
                continue
            node = (s_sym[1, p_t[0, t]] + s_ter[1, t]) * GW + s_sym[0, p_t[0, t]] + s_ter[0, t]
            c = lay_straight(w_node, r, node, way, height)
            if c >= 0:
                w_done[t] = 1
                cost += c / 2.0
    rest = 0.0
    for i in range(m):
        rest += w_net_key[w_net_order[i]]
    for i in range(m + 2):
        net = w_net_order[i] if i < m else np.int64(i - m)
        rail_row = np.int64(-1)
        if i >= m:
            if not p_rails[net]:
                continue
            rail_row = np.int64(0) if net == 0 else height
            w_span[0] = xlo
            w_span[1] = w_span[3] = rail_row
            w_span[2] = xhi
        else:
            rest -= w_net_key[net]
        a = p_n_t0[net]
        b = p_n_t0[net + 1]
        begun = rail_row >= 0
        for k in range(a, b):
            t = p_n_terms[k]
            if rail_row >= 0:
                if w_done[t]:
                    continue
            else:
                if b - a < 2:
                    break
                t = _nearest(P, S, W, a, b, begun)
            node = (s_sym[1, p_t[0, t]] + s_ter[1, t]) * GW + s_sym[0, p_t[0, t]] + s_ter[0, t]
            if not begun:
                begun = True
                w_done[t] = 1
                w_node[4, node] = net + 1
                w_span[0] = w_span[2] = node % GW
                w_span[1] = w_span[3] = node // GW
                continue
            # Beyond this price the placement is refused; the price of a bend may still be given back.
            left = np.int64(ANY)
            if limit - cost - rest < ANY / 4:
                left = np.int64(2.0 * (limit - cost - rest)) + BEND
            # A mark of its own saves no length: it is for a stub that would cross or go round.
            dearest = left
            if rail_row >= 0:
                dearest = min(left, p_t[4, t] + STEP * abs(node // GW - rail_row))
            c = search(W, net, node, s_ter[2, t], xlo, xhi, height, rail_row, dearest)
            if c == NO_WAY and rail_row >= 0 and _mark(w_node, s_ter[2, t], net, node, height):
                w_done[t] = 3
                cost += dearest / 2.0
            elif c == NO_WAY and dearest < left:
                c = search(W, net, node, s_ter[2, t], xlo, xhi, height, rail_row, left)
            if c != NO_WAY:
                w_done[t] = 1
                cost += c / 2.0
            elif w_done[t] == 0:
                w_done[t] = 2
                cost += LOST
            if cost > limit + BEND / 2:
                return cost
    for t in range(p_t.columns):
        s = p_t[0, t]
        if p_t[1, t] > 1 and p_s[2, s] == 0 and p_s[0, s + 1] - p_s[0, s] == 2:
            node = (s_sym[1, s] + s_ter[1, t]) * GW + s_sym[0, s] + s_ter[0, t]
            if count(np.int64(w_node[2, node])) == 3:
                cost += TIGHT
    # Either all of a row of stages have a mark of their own, or none.
    alone = 0
    joined = 0
    for t in range(p_t.columns):
        if p_t[6, t] == 2 and p_t[1, t] < 2:
            alone += w_done[t] == 3
            joined += w_done[t] != 3
    cost += UNLIKE * min(alone, joined)
    # A rail is as long as it must be.
    for r in range(2):
        if p_rails[r]:
            row = 0 if r == 0 else height
            first = -1
            last = -1
            for x in range(xlo, xhi + 1):
                if w_node[2, row * GW + x] & 5:
                    if first < 0:
                        first = x
                    last = x
            if first >= 0:
                cost += 0.3 * (last - first)
    return cost
