"""Simulated annealing: small changes, each judged by the score."""

# mypy: disable-error-code="no-untyped-def,untyped-decorator,assignment"
from __future__ import annotations

import numpy as np

from buildalong.drawing.schematic._arrays import GH, GW, compiled, entry
from buildalong.drawing.schematic._score import evaluate

__all__ = ["anneal"]


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
