"""Compiled: the cheapest way of a wire between two strips, and joining all strips of a net."""

# mypy: disable-error-code="no-untyped-def,untyped-decorator,assignment"

from __future__ import annotations

import numpy as np

from buildalong.build.place._lns_arrays import X0, Y0, helper
from buildalong.build.place._lns_lattice import across, along, below, free_run, lay, open_cell, rip

__all__ = ["FAR_OFF", "gather", "join_net", "off_board", "root", "unite", "way"]

FAR_OFF = 1 << 40
PITCH, BEND, CROSS = 112, 300, 1400
"""Cost of a pitch of wire (a little more than in the score: no wire lies over holes for nothing), of a bend
and of a crossing."""
WIRE = 10_000
CHANGES = 10
"""Where W.counts holds how often the lattice has changed."""
SCAN, LOOK = 3, 1
"""Work of looking at two strips for a way, and of each pair of holes there."""


@helper
def _keep(W, cost, n, a, b, c, d, e, f, g, h):
    if cost >= W.best[9]:
        return
    best = W.best
    best[9] = cost
    best[0], best[1], best[2], best[3], best[4] = n, a, b, c, d
    best[5], best[6], best[7], best[8] = e, f, g, h


@helper
def off_board(B, X, Y):
    """Whether a place on the lattice lies beside the board."""
    size = B.size
    return size[20] > X or size[21] < X or size[22] > Y or size[23] < Y


@helper
def _three(S, W, base, ax, ay, t, bx, by):
    """Across to a track, along it, across to the other end."""
    cost = base + 2 * BEND
    if cost >= W.best[9]:
        return
    m = along(S, t, ay, by)  # the ends are mostly known to be free
    if m < 0 or cost + CROSS * m >= W.best[9]:
        return
    n = across(S, ay, ax, t)
    if n < 0:
        return
    k = across(S, by, t, bx)
    if k >= 0:
        # A corner of the track is counted with the pieces across only.
        _keep(W, cost + CROSS * (n + m + k), 4, ax, ay, t, ay, t, by, bx, by)


@helper
def _three_down(S, W, base, ax, ay, y, bx, by):
    """Along to a row, across in it, along to the other end."""
    cost = base + 2 * BEND
    if cost >= W.best[9]:
        return
    m = across(S, y, ax, bx)
    if m < 0 or cost + CROSS * m >= W.best[9]:
        return
    n = along(S, ax, ay, y)
    if n < 0:
        return
    k = along(S, bx, y, by)
    if k >= 0:
        _keep(W, cost + CROSS * (n + m + k), 4, ax, ay, ax, y, bx, y, bx, by)


@helper
def _two(S, W, cost, ax, ay, cx, cy, bx, by):
    """One bend at (cx, cy)."""
    if cost >= W.best[9]:
        return
    if cy == ay:
        n = across(S, ay, ax, cx)
        m = along(S, cx, cy, by) if n >= 0 else -1
    else:
        n = along(S, ax, ay, cy)
        m = across(S, cy, cx, bx) if n >= 0 else -1
    if m >= 0:
        _keep(W, cost + CROSS * (n + m), 3, ax, ay, cx, cy, bx, by, 0, 0)


@helper
def _one(S, W, cost, ax, ay, bx, by):
    """Straight on."""
    if cost >= W.best[9]:
        return
    n = along(S, ax, ay, by) if ax == bx else across(S, ay, ax, bx)
    if n >= 0 and (ax == bx or ay == by or open_cell(S, bx, by)):
        _keep(W, cost + CROSS * n, 2, ax, ay, bx, by, 0, 0, 0, 0)


@helper
def _look_around(B, S, W, h):
    """How far it is free from a hole into W.runs, if that is not known since the last change."""
    if W.runs[h, 4] != W.counts[CHANGES]:
        W.runs[h, 4] = W.counts[CHANGES]
        free_run(S, B.hole[0, h], B.hole[1, h], B.last, W.runs[h])


@helper
def _formed(B, S, W, rows, ax, ay, bx, by, i, j):
    """Ways that are formed from the hole ``i`` to ``j``; W.runs tells how far it is free from them."""
    runs = W.runs
    base = PITCH * abs(ax - bx) + PITCH // 2 * abs(ay - by)
    if ax == bx or ay == by:
        _one(S, W, base, ax, ay, bx, by)
        if W.best[9] <= base:
            return
    else:
        if runs[i, 0] <= bx and bx <= runs[i, 1] and runs[j, 2] <= ay and ay <= runs[j, 3]:
            _two(S, W, base + BEND, ax, ay, bx, ay, bx, by)
        if runs[j, 0] <= ax and ax <= runs[j, 1] and runs[i, 2] <= by and by <= runs[i, 3]:
            _two(S, W, base + BEND, ax, ay, ax, by, bx, by)
    if base + 2 * BEND >= W.best[9]:
        return
    if ay != by:
        low, high = min(ax, bx), max(ax, bx)
        left, right = max(X0 - 2, runs[i, 0], runs[j, 0]), min(X0 + 13, runs[i, 1], runs[j, 1])
        for t in range(left, right + 1):
            if t != ax and t != bx:
                extra = 2 * PITCH * max(0, low - t, t - high)
                _three(S, W, base + extra + B.size[19] * off_board(B, t, ay), ax, ay, t, bx, by)
    if ax != bx:
        low, high = min(ay, by), max(ay, by)
        up = max(Y0 - 2, runs[i, 2], runs[j, 2])
        down = min(Y0 + 2 * rows + 3, runs[i, 3], runs[j, 3])
        for k in range(9):
            if k < 4:
                y = low + (-4, -2, 2, 4)[k]
            elif k < 8:
                y = high + (-4, -2, 2, 4)[k - 4]
            else:
                y = Y0 + ((low + high) // 2 - Y0) // 2 * 2
            if y != ay and y != by and up <= y and y <= down:
                extra = PITCH * max(0, low - y, y - high)
                _three_down(S, W, base + extra + B.size[19] * off_board(B, ax, y), ax, ay, y, bx, by)


@helper
def _railed(B, S, W, rows, style, ax, ay, bx, by, both):
    """Ways to a rail: the second end is on it; ``both``: the first too."""
    dx, dy = abs(ax - bx), abs(ay - by)
    base = PITCH * dx + PITCH // 2 * dy
    if base >= W.best[9]:
        return
    if both:
        if ax == bx:
            if dy <= 4:
                _one(S, W, base, ax, ay, bx, by)
        elif ay == by:
            if style == 1:
                _one(S, W, base, ax, ay, bx, by)
            else:
                for y in (Y0, Y0 - 1, Y0 + 2 * rows + 2, Y0 + 2 * rows + 3):
                    if abs(y - ay) < 8 and y != ay:
                        cost = base + PITCH * abs(y - ay) + B.size[19] * off_board(B, ax, y)
                        _three_down(S, W, cost, ax, ay, y, bx, by)
        return
    if style == 0 and dy > 1 and dy <= 12:
        _two(S, W, base + BEND, ax, ay, ax, by, bx, by)
    if dy > 5 or dx > 10:
        return
    if dy <= 1:
        _one(S, W, base, ax, ay, bx, by)
    elif style == 0:
        first, second = (X0 - 2, X0 - 1) if bx < X0 else (X0 + 12, X0 + 13)
        _three(S, W, base, ax, ay, first, bx, by)
        _three(S, W, base, ax, ay, second, bx, by)


@helper
def _rail_range(B, W, rail, Y):
    """Which holes of a rail are near a row: first and last into W.counts[6] and [7]."""
    first, last = B.strip[0, rail], B.strip[0, rail + 1]
    while first < last and B.hole[1, B.holes[first]] < Y - 12:
        first += 1
    while last > first and B.hole[1, B.holes[last - 1]] > Y + 12:
        last -= 1
    W.counts[6], W.counts[7] = first, last


@helper
def way(B, S, W, one, other, limit):
    """The cheapest way between free holes of two strips, into W.best; its cost, or FAR_OFF."""
    W.best[9] = limit
    style, rows = B.size[0], B.size[1]
    strip, hole, holes = B.strip, B.hole, B.holes
    if strip[3, one] > strip[3, other]:
        one, other = other, one
    railed = strip[3, other] == 1
    both = strip[3, one] == 1
    low, high = strip[0, other], strip[0, other + 1]
    straight = style == 1 and not railed
    upright = straight and strip[2, one] == strip[2, other]
    if straight and not upright and strip[1, one] != strip[1, other]:
        return FAR_OFF
    W.counts[0] += SCAN
    if railed and not both and style != 2:
        if strip[2, one] != strip[2, other]:
            return FAR_OFF
        _rail_range(B, W, other, strip[1, one])
        low, high = W.counts[6], W.counts[7]
    formed = style == 0 and not railed
    for i in range(strip[0, one], strip[0, one + 1]):
        ax, ay = hole[0, holes[i]], hole[1, holes[i]]
        if not open_cell(S, ax, ay):
            continue
        if formed:
            _look_around(B, S, W, holes[i])
        if upright:
            low = strip[0, other] + i - strip[0, one]
            high = low + 1
        for j in range(low, high):
            bx, by = hole[0, holes[j]], hole[1, holes[j]]
            if not open_cell(S, bx, by):
                continue
            W.counts[0] += LOOK
            if style == 2:
                d = np.sqrt(np.float64((ax - bx) * (ax - bx) * 4 + (ay - by) * (ay - by)))
                _keep(W, np.int64(50.0 * d), 2, ax, ay, bx, by, 0, 0, 0, 0)
            elif railed:
                _railed(B, S, W, rows, style, ax, ay, bx, by, both)
            elif style == 1:
                _one(S, W, PITCH * abs(ax - bx) + PITCH // 2 * abs(ay - by), ax, ay, bx, by)
            else:
                if PITCH * abs(ax - bx) + PITCH // 2 * abs(ay - by) < W.best[9]:
                    _look_around(B, S, W, holes[j])
                    _formed(B, S, W, rows, ax, ay, bx, by, holes[i], holes[j])
    return W.best[9] if W.best[9] < limit else FAR_OFF


@helper
def root(parent, s):
    """The strip that stands for the piece of a strip."""
    while parent[s] != s:
        s = parent[s]
    return s


@helper
def unite(parent, a, b):
    """Make one piece of two."""
    a, b = root(parent, a), root(parent, b)
    if a != b:
        parent[max(a, b)] = min(a, b)


@helper
def _strip_of_leg(B, S, u, leg):
    """The strip of a leg; -1 where its unit does not stand."""
    k = S.choice[u]
    if k < 0:
        return -1
    legs = B.unit[0, u + 1] - B.unit[0, u]
    return B.hole[2, B.legs_at[B.unit[3, u] + k * legs + leg]]


@helper
def gather(B, S, W, net, wires):
    """The strips of a net into W.order, joined in W.parent as they are; how many there are.

    ``wires``: those at its wires too, and joined by them.
    """
    order, parent = W.order, W.parent
    n = 0
    for i in range(B.net[0, net], B.net[0, net + 1]):
        s = _strip_of_leg(B, S, B.net_legs[i, 0], B.net_legs[i, 1])
        if s < 0:
            continue
        known = False
        for k in range(n):
            known = known or order[k] == s
        if not known:
            order[n] = s
            n += 1
    legs = n
    for w in range(S.rank[2] if wires else 0):
        if S.wire[0, w] == net:
            for e in (1, 2):
                s = S.wire[e, w]
                known = False
                for k in range(n):
                    known = known or order[k] == s
                if not known:
                    order[n] = s
                    n += 1
    for k in range(n):
        s = order[k]
        parent[s] = s
        parent[B.strip[5, s]] = B.strip[5, s]
    for k in range(n):
        unite(parent, order[k], B.strip[5, order[k]])
    for w in range(S.rank[2] if wires else 0):
        if S.wire[0, w] == net:
            unite(parent, S.wire[1, w], S.wire[2, w])
    for k in range(len(B.links)):
        if B.legs[B.unit[0, B.links[k, 0]] + B.links[k, 1]] == net:
            a = _strip_of_leg(B, S, B.links[k, 0], B.links[k, 1])
            b = _strip_of_leg(B, S, B.links[k, 2], B.links[k, 3])
            if a >= 0 and b >= 0:
                unite(parent, a, b)
    W.counts[2] = legs
    return n


@helper
def _least(B, a, b):
    """No way between two strips costs less."""
    rails = B.strip[3, a] + B.strip[3, b]
    if rails and B.size[0] != 2:
        return 3 * PITCH if rails == 1 and B.strip[2, a] == B.strip[2, b] else 16 * PITCH
    if rails:
        return 0
    return PITCH // 2 * abs(B.strip[1, a] - B.strip[1, b]) + 3 * PITCH * abs(B.strip[2, a] - B.strip[2, b])


@helper
def _chain(B, S, W, net, n, start):
    """Join the piece of ``start`` to another by several wires through free strips; whether one was found."""
    order, parent, far, came = W.order, W.parent, W.far, W.came
    strips = len(far)
    formed = B.size[0] == 0
    for s in range(strips):
        far[s] = FAR_OFF
        came[s] = -1
    piece = root(parent, start)
    for k in range(n):
        if root(parent, order[k]) == piece:
            far[order[k]] = 0
    goal = -1
    limit = FAR_OFF
    while True:
        s = -1
        for t in range(strips):
            if far[t] >= 0 and far[t] < limit and (s < 0 or far[t] < far[s]):
                s = t
        if s < 0:
            break
        d = far[s]
        far[s] = -1 - d
        if formed and d >= 2 * WIRE:
            continue
        for t in range(strips):
            if far[t] < 0 or d + WIRE >= far[t]:
                continue
            if S.owner[0, t] == net:
                mine = False
                for k in range(n):
                    mine = mine or order[k] == t
                if not mine or root(parent, t) == piece:
                    continue
            elif S.owner[0, t] >= 0 or B.strip[5, t] != t or B.strip[4, t] not in (0, B.net[1, net]):
                continue
            most = min(far[t], limit) - d - WIRE
            if _least(B, s, t) >= most:
                continue
            cost = way(B, S, W, s, t, most)
            if cost < FAR_OFF:
                far[t] = d + WIRE + cost
                came[t] = s
                if S.owner[0, t] == net:
                    limit = far[t]
                    goal = t
    if goal < 0:
        return False
    laid = 0
    t = goal
    good = True
    while came[t] >= 0:
        s = came[t]
        if way(B, S, W, s, t, FAR_OFF) >= FAR_OFF or not lay(S, B.size[0], net, s, t, W.best):
            good = False
            break
        W.counts[CHANGES] += 1
        laid += 1
        if far[s] == -1:
            break
        t = s
    if not good:
        t = goal
        for _ in range(laid):
            for w in range(S.rank[2]):
                if S.wire[0, w] == net and (
                    (S.wire[1, w] == came[t] and S.wire[2, w] == t)
                    or (S.wire[2, w] == came[t] and S.wire[1, w] == t)
                ):
                    rip(S, B.size[0], w)
                    W.counts[CHANGES] += 1
                    break
            t = came[t]
    return good


@helper
def _keys(B, S, W, n, a):
    """Look from a strip that belongs to the piece now at all that do not."""
    order, parent, key, near = W.order, W.parent, W.key, W.near
    piece = root(parent, a)
    for j in range(n):
        b = order[j]
        if root(parent, b) != piece and _least(B, a, b) < key[j]:
            cost = way(B, S, W, a, b, key[j])
            if cost < key[j]:
                key[j] = cost
                near[j] = a


@helper
def _grow(B, S, W, net, n, start):
    """Lay the cheapest wires from the piece of ``start`` on, until no way is left; whether all is joined."""
    order, parent, key, near = W.order, W.parent, W.key, W.near
    for j in range(n):
        key[j] = FAR_OFF
        near[j] = -1
    piece = root(parent, start)
    for i in range(n):
        if root(parent, order[i]) == piece:
            _keys(B, S, W, n, order[i])
    while True:
        pick = -1
        left = False
        for j in range(n):
            if root(parent, order[j]) != piece:
                left = True
                if key[j] < FAR_OFF and (pick < 0 or key[j] < key[pick]):
                    pick = j
        if pick < 0:
            return not left
        b = order[pick]
        known = key[pick]
        if way(B, S, W, near[pick], b, FAR_OFF) > known:
            # A wire laid meanwhile is in the way: look again.
            key[pick] = FAR_OFF
            for i in range(n):
                if root(parent, order[i]) == piece:
                    cost = way(B, S, W, order[i], b, key[pick])
                    if cost < key[pick]:
                        key[pick] = cost
                        near[pick] = order[i]
            continue
        if not lay(S, B.size[0], net, near[pick], b, W.best):
            return False
        W.counts[CHANGES] += 1
        other = root(parent, b)
        piece = min(piece, other)
        for i in range(n):
            if root(parent, order[i]) == other:
                W.fresh[i] = 1
            else:
                W.fresh[i] = 0
        unite(parent, near[pick], b)
        piece = root(parent, b)
        for i in range(n):
            if W.fresh[i]:
                _keys(B, S, W, n, order[i])


@helper
def join_net(B, S, W, net, chains):
    """Join all strips of a net by the cheapest wires that are free; S.lost tells what could not be joined."""
    order, parent = W.order, W.parent
    S.lost[net] = 0
    W.counts[CHANGES] += 1
    again = True
    while again:
        again = False
        n = gather(B, S, W, net, True)
        if n < 2:
            return
        start = order[below(W.rng, n)]
        while not _grow(B, S, W, net, n, start):
            if chains and _chain(B, S, W, net, n, start):
                again = True
                break
            # No way is left: go on as if there were one.
            S.lost[net] += 1
            for i in range(n):
                if root(parent, order[i]) != root(parent, start):
                    unite(parent, start, order[i])
                    break
