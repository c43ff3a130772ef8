"""The compiled moves: small changes of a placement, and which placements make sense."""

# mypy: disable-error-code="no-untyped-def,untyped-decorator,assignment"

from __future__ import annotations

import numpy as np

from buildalong.drawing.schematic._arrays import GH, GW, helper

__all__ = ["inside", "propose", "random"]


@helper
def random(rng):
    rng[0] = rng[0] * np.uint64(6364136223846793005) + np.uint64(1442695040888963407)
    return np.int64((rng[0] >> np.uint64(33)) & np.uint64(0x7FFFFFFF))


@helper
def _below(rng, n):
    return (random(rng) * n) >> 31


@helper
def _shift(P, S, g, dx, dy):
    p_g = P.g
    p_g_members = P.g_members
    s_sym = S.sym
    for k in range(p_g[0, g], p_g[0, g + 1]):
        s = p_g_members[k]
        s_sym[0, s] += dx
        s_sym[1, s] += dy
    m = p_g[1, g]
    if m >= 0:
        s = p_g_members[p_g[0, m]]
        s_sym[0, s] -= dx
        s_sym[1, s] += dy


@helper
def _dress(P, S, s, v):
    """Give a symbol a variant."""
    s_sym = S.sym
    p_s = P.s
    p_t = P.t
    s_ter = S.ter
    p_v = P.v
    p_vt = P.vt
    s_sym[2, s] = v
    t0 = p_s[0, s]
    if p_s[2, s]:
        for t in range(t0, p_s[0, s + 1]):
            if p_t[2, t] == 2:
                s_ter[1, t] = p_v[1, v] + 1
        return
    for t in range(t0, p_s[0, s + 1]):
        row = p_v[0, v] + t - t0
        s_ter[0, t] = p_vt[row, 0]
        s_ter[1, t] = p_vt[row, 1]
        s_ter[2, t] = p_vt[row, 2]


@helper
def _redress(P, S, rng, s):
    """Give a symbol another variant, and its mate the mirror image; False where it keeps its own."""
    n = P.s[1, s + 1] - P.s[1, s]
    if n < 2 or P.s[4, s]:
        return False
    v = P.s[1, s] + _below(rng, n)
    m = P.g[1, P.s[3, s]]
    if v == S.sym[2, s] or (m >= 0 and P.v[5, v] < 0):
        return False
    if m >= 0:
        _dress(P, S, P.g_members[P.g[0, m]], P.v[5, v])
    _dress(P, S, s, v)
    return True


@helper
def inside(P, S):
    s_size = S.size
    s_sym = S.sym
    p_t = P.t
    s_ter = S.ter
    p_s = P.s
    p_v = P.v
    height = s_size[0]
    if height < 4 or height > GH - 2:
        return False
    for s in range(s_sym.columns):
        if s_sym[0, s] < 6 or s_sym[0, s] > GW - 12:
            return False
    for t in range(p_t.columns):
        y = s_sym[1, p_t[0, t]] + s_ter[1, t]
        x = s_sym[0, p_t[0, t]] + s_ter[0, t]
        if y < 1 or y > height - 1 or x < 5 or x > GW - 6:
            return False
        s = p_t[0, t]
        if p_s[2, s]:
            v = s_sym[2, s]
            if p_t[2, t] & 1:
                if s_ter[1, t] < 2 or s_ter[1, t] > p_v[1, v] - 2:
                    return False
            elif s_ter[0, t] < 1 or s_ter[0, t] > p_v[2, v] - 1:
                return False
            for u in range(p_s[0, s], t):
                least = 1 if p_t[1, u] < 0 and p_t[1, t] < 0 else 2
                apart = abs(s_ter[0, u] - s_ter[0, t]) + abs(s_ter[1, u] - s_ter[1, t])
                if p_t[2, u] == p_t[2, t] and apart < least:
                    return False
    return True


@helper
def propose(P, S, rng, reach):
    """Change the placement a little; False where the change makes no sense."""
    s_sym = S.sym
    p_g = P.g
    p_t = P.t
    s_size = S.size
    p_g_members = P.g_members
    p_n_t0 = P.n_t0
    p_n_terms = P.n_terms
    p_s = P.s
    s_ter = S.ter
    ns = s_sym.columns
    ng = p_g.columns - 1
    nt = p_t.columns
    kind = _below(rng, np.int64(100))
    if kind < 26:
        g = _below(rng, ng)
        dx = _below(rng, 2 * reach + 1) - reach
        dy = _below(rng, 2 * reach + 1) - reach
        if kind < 4:
            # Up or down as far as the next room may be.
            _shift(P, S, g, np.int64(0), _below(rng, np.int64(17)) - 8)
        elif kind < 16 or s_size[1] > 0:
            if p_s[2, p_g_members[p_g[0, g]]] == 0 and _below(rng, np.int64(3)) == 0:
                _redress(P, S, rng, np.int64(p_g_members[p_g[0, g]]))
            _shift(P, S, g, dx, dy)
        else:
            # A column of symbols sideways; or all that stands left of a line, up, down or sideways.
            x = s_sym[0, p_g_members[p_g[0, g]]]
            for h in range(ng):
                there = s_sym[0, p_g_members[p_g[0, h]]]
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
        net = p_t[1, t]
        if net < 0:
            return False
        a = p_n_t0[net]
        u = p_n_terms[a + _below(rng, p_n_t0[net + 1] - a)]
        s = p_t[0, t]
        r = p_t[0, u]
        if p_s[3, s] == p_s[3, r]:
            return False
        if p_s[2, s] == 0 and _below(rng, np.int64(3)) == 0:
            _redress(P, S, rng, s)
        dx = s_sym[0, r] + s_ter[0, u] - s_sym[0, s] - s_ter[0, t]
        dy = s_sym[1, r] + s_ter[1, u] - s_sym[1, s] - s_ter[1, t]
        how = _below(rng, np.int64(6))
        if how == 0:
            dx = 0
        elif how == 1:
            dy = 0
        else:
            # Beside the other terminal, in the direction in which one of them looks.
            gap = 1 + _below(rng, np.int64(3))
            way = s_ter[2, u] if how < 4 else (s_ter[2, t] + 2) & 3
            if way == 0:
                dy -= gap
            elif way == 1:
                dx += gap
            elif way == 2:
                dy += gap
            else:
                dx -= gap
        _shift(P, S, p_s[3, s], dx, dy)
    elif kind < 66:
        return _redress(P, S, rng, _below(rng, ns))
    elif kind < 74:
        g = _below(rng, ng)
        h = _below(rng, ng)
        if g == h or p_g[1, g] >= 0 or p_g[1, h] >= 0:
            return False
        s = p_g_members[p_g[0, g]]
        r = p_g_members[p_g[0, h]]
        dx = s_sym[0, r] - s_sym[0, s]
        dy = s_sym[1, r] - s_sym[1, s]
        if _below(rng, np.int64(3)) == 0:
            dy = 0
        _shift(P, S, g, dx, dy)
        _shift(P, S, h, -dx, -dy)
    elif kind < 84:
        # Insert or delete a row.
        step = 1 if _below(rng, np.int64(2)) == 0 else -1
        y = _below(rng, s_size[0] + 1)
        for g in range(ng):
            if s_sym[1, p_g_members[p_g[0, g]]] >= y:
                for k in range(p_g[0, g], p_g[0, g + 1]):
                    s_sym[1, p_g_members[k]] += step
        s_size[0] += step
    elif kind < 92:
        # Insert or delete a column (on both sides of the axis where there is one).
        step = 1 if _below(rng, np.int64(2)) == 0 else -1
        x = s_sym[0, _below(rng, ns)]
        if s_size[1] > 0:
            off = abs(2 * x - s_size[1])
            for s in range(ns):
                d = 2 * s_sym[0, s] - s_size[1]
                if d >= off and d > 0:
                    s_sym[0, s] += step
                elif -d >= off and d < 0:
                    s_sym[0, s] -= step
        else:
            for g in range(ng):
                if s_sym[0, p_g_members[p_g[0, g]]] >= x:
                    for k in range(p_g[0, g], p_g[0, g + 1]):
                        s_sym[0, p_g_members[k]] += step
    else:
        # Move a pin of a box along its side, or exchange two.
        t = _below(rng, nt)
        s = p_t[0, t]
        if p_s[2, s] == 0:
            g = _below(rng, ng)
            _shift(P, S, g, np.int64(0), _below(rng, np.int64(3)) - 1)
            return True
        if p_t[3, t]:
            return False
        u = p_s[0, s] + _below(rng, p_s[0, s + 1] - p_s[0, s])
        if u != t and p_t[2, u] == p_t[2, t] and p_t[3, u] == 0:
            x = s_ter[0, t]
            y = s_ter[1, t]
            s_ter[0, t] = s_ter[0, u]
            s_ter[1, t] = s_ter[1, u]
            s_ter[0, u] = x
            s_ter[1, u] = y
        elif p_t[2, t] & 1:
            s_ter[1, t] += 1 - 2 * _below(rng, np.int64(2))
        else:
            s_ter[0, t] += 1 - 2 * _below(rng, np.int64(2))
    return True
