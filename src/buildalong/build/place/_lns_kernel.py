"""Compiled: the search itself.  Take some parts off and some wires up, put them back, keep the result or not.

The compiler's cache would notice a change in this file only; so a digest of all the files that the search
is made of is a variable of its own, and with it a part of the name under which it is kept.
"""

# mypy: disable-error-code="no-untyped-def,untyped-decorator,assignment"

from __future__ import annotations

from hashlib import sha256
from pathlib import Path
from typing import Any

from buildalong.build.place._lns_arrays import WIDE, entry, helper
from buildalong.build.place._lns_cost import LEADS_COUNT, PRICE, rough, weigh
from buildalong.build.place._lns_lattice import below, rip
from buildalong.build.place._lns_leads import mark_leads
from buildalong.build.place._lns_parts import insert, put, take_off
from buildalong.build.place._lns_ways import join_net

__all__ = ["improve"]

STEP = 400
"""Work of a step besides what it looks at."""
SLACK, LOST_SLACK = 15_000, 40_000
"""A layout is worth laying the wires for if without them it costs at most so much more."""


@helper
def _copy(A, C, last):
    """Make C like A; below the ``last`` row of the lattice both are as they were in the beginning."""
    wires = max(A.rank[2], C.rank[2])
    for k in range(len(A.choice)):
        C.choice[k] = A.choice[k]
    for k in range(len(A.used)):
        C.used[k] = A.used[k]
        C.covered[k] = A.covered[k]
    for k in range(3):
        for i in range(A.owner.shape[1]):
            C.owner[k, i] = A.owner[k, i]
    for k in range(4):
        for i in range(last):
            C.bits[k, i] = A.bits[k, i]
        for i in range(A.columns.shape[1]):
            C.columns[k, i] = A.columns[k, i]
    for i in range(last * WIDE):
        C.solid[i] = A.solid[i]
        C.across[i] = A.across[i]
        C.along[i] = A.along[i]
    for k in range(12):
        for i in range(wires):
            C.wire[k, i] = A.wire[k, i]
    for i in range(len(A.lost)):
        C.lost[i] = A.lost[i]
    for k in range(len(A.rank)):
        C.rank[k] = A.rank[k]


@helper
def _rip_net(B, S, net):
    for w in range(S.rank[2]):
        if S.wire[0, w] == net:
            rip(S, B.size[0], w)


@helper
def _clear_ways(B, S, W):
    """Take up the wires that lie where parts stand now, or that end in strips of other nets."""
    for w in range(S.rank[2]):
        net = S.wire[0, w]
        if net < 0:
            continue
        hit = W.hit[w] > 0
        for k in (1, 2):
            hit = hit or S.owner[0, S.wire[k, w]] != net
        last = 2 * (S.wire[3, w] - 1)
        for k in (0, last):
            hit = hit or S.solid[S.wire[5 + k, w] * WIDE + S.wire[4 + k, w]] > 1
        if hit:
            rip(S, B.size[0], w)
            W.dirty[net] = 1
        W.hit[w] = 0


@helper
def _prune(B, S, net):
    """Take up wires that lead to a strip without legs and go no further."""
    again = True
    while again:
        again = False
        for w in range(S.rank[2]):
            if S.wire[0, w] == net:
                for k in (1, 2):
                    s = S.wire[k, w]
                    if S.wire[0, w] == net and S.owner[1, s] == 0 and S.owner[2, s] == 1:
                        rip(S, B.size[0], w)
                        again = True


@helper
def _join_all(B, S, W, chains):
    """Join the nets that are dirty, those that found no way before first."""
    nets = len(S.lost)
    dirty = W.dirty
    for net in range(nets):
        if dirty[net]:
            _prune(B, S, net)
    left = 0
    for net in range(nets):
        left += dirty[net] > 0
    while left:
        pick = below(W.rng, left)
        found = -1
        if below(W.rng, 4):
            for net in range(nets):
                if dirty[net] and S.lost[net] and found < 0:
                    found = net
        for net in range(nets):
            if dirty[net] and found < 0:
                if pick == 0:
                    found = net
                pick -= 1
        dirty[found] = 0
        left -= 1
        join_net(B, S, W, found, chains)


@helper
def _astray(S, W):
    """One of the nets that found no way; -1 where all did."""
    nets = len(S.lost)
    lost = 0
    for net in range(nets):
        lost += S.lost[net] > 0
    pick = below(W.rng, lost) if lost else 0
    for net in range(nets):
        if S.lost[net]:
            if pick == 0:
                return net
            pick -= 1
    return -1


@helper
def _ruin_parts(B, S, W, warmth):
    """Take off a few related parts and put them back elsewhere."""
    rng, movable = W.rng, B.movable
    count = (1, 1, 2, 2, 2, 3, 3, 4, 5)[below(rng, 9)]
    count = min(count, len(movable))
    chosen = W.chosen
    n = 1
    chosen[0] = movable[below(rng, len(movable))]
    astray = _astray(S, W) if W.counts[PRICE] else -1
    if astray >= 0 and below(rng, 2):
        low, high = B.net[0, astray], B.net[0, astray + 1]
        u = B.net_legs[low + below(rng, high - low), 0]
        if B.unit[2, u] > 1:
            chosen[0] = u
    tries = 0
    while n < count and tries < 40:
        tries += 1
        u = movable[below(rng, len(movable))]
        if below(rng, 5):
            of = chosen[below(rng, n)]
            low, high = B.unit[13, of], B.unit[13, of + 1]
            if high > low:
                u = B.near[low + below(rng, high - low)]
        known = B.unit[2, u] < 2
        for i in range(n):
            known = known or chosen[i] == u
        if not known:
            chosen[n] = u
            n += 1
    for u in range(len(S.choice)):
        known = S.choice[u] >= 0 or n >= len(chosen)
        for i in range(n):
            known = known or chosen[i] == u
        if not known:
            chosen[n] = u
            n += 1
    for i in range(n):
        u = chosen[i]
        if S.choice[u] >= 0:
            take_off(B, S, W, u)
        for leg in range(B.unit[0, u], B.unit[0, u + 1]):
            net = B.legs[leg]
            if not W.dirty[net]:
                W.dirty[net] = 1
                _rip_net(B, S, net)
    # Large ones first, mostly.
    for i in range(n):
        j = i + below(rng, n - i)
        chosen[i], chosen[j] = chosen[j], chosen[i]
    if below(rng, 10) < 7:
        for i in range(1, n):
            j = i
            while j > 0 and _legs(B, chosen[j]) > _legs(B, chosen[j - 1]):
                chosen[j], chosen[j - 1] = chosen[j - 1], chosen[j]
                j -= 1
    noise = below(rng, warmth + 1) * 3 // 10
    for i in range(n):
        wire = 10_000
        if noise:
            wire = wire * (10, 10, 10, 4, 1)[below(rng, 5)] // 10
        insert(B, S, W, chosen[i], noise, wire)
    if W.counts[LEADS_COUNT]:
        mark_leads(B, S)
    _clear_ways(B, S, W)


@helper
def _legs(B, u):
    return B.unit[0, u + 1] - B.unit[0, u]


@helper
def _ruin_wires(B, S, W):
    """Take up the wires of a few nets, those that found no way among them."""
    nets = len(S.lost)
    astray = _astray(S, W)
    if astray >= 0:
        W.dirty[astray] = 1
    wires = 0
    for w in range(S.rank[2]):
        wires += S.wire[0, w] >= 0
    if wires:
        for _ in range(1 + below(W.rng, 5)):
            pick = below(W.rng, wires)
            for w in range(S.rank[2]):
                if S.wire[0, w] >= 0:
                    if pick == 0:
                        W.dirty[S.wire[0, w]] = 1
                    pick -= 1
    for net in range(nets):
        if W.dirty[net]:
            _rip_net(B, S, net)


def _compiled(sources: str) -> Any:
    """The search, kept on disk under what it was made of."""

    @entry
    def improve(B, S, T, best, W, work, total, heat, stage):
        """Search from S; T is scratch, ``best`` receives the best layout met.

        ``work`` is done now, of a ``total`` in which it cools from ``heat``; W.counts[0] is the work so far.
        ``stage`` 0: without wires; 1: lay them first, for they are not there yet; 2: go on with wires.
        What lies under leads is weighed in stage 2 only: before, it would lead away from few wires.
        """
        before = 0
        W.counts[LEADS_COUNT] = stage == 2
        if stage == 1 and sources:
            for net in range(len(S.lost)):
                W.dirty[net] = 1
            _join_all(B, S, W, True)
            rough(B, S, W)
            before = S.rank[1]
            weigh(B, S, W)
            _copy(S, best, B.last)
        if stage == 2:
            mark_leads(B, S)
            rough(B, S, W)
            before = S.rank[1]
            weigh(B, S, W)
            _copy(S, best, B.last)
        if stage == 0 and W.counts[0] == 0:
            for u in range(len(S.choice)):
                k = S.choice[u]
                if k >= 0:
                    put(B, S, W, u, k)
            rough(B, S, W)
            _copy(S, best, B.last)
        begun = W.counts[0]
        while W.counts[0] - begun < work and not W.counts[5]:
            W.counts[0] += STEP
            W.counts[1] += 1
            share = min(1.0, W.counts[0] / total)
            warmth = int(heat * (1.0 - share) ** 1.5)
            _copy(S, T, B.last)
            lost = 0
            for net in range(len(S.lost)):
                lost += S.lost[net]
            after = before
            if not stage and len(B.movable) == 0:
                break
            if stage and (len(B.movable) == 0 or below(W.rng, 10) < (2 if lost else 1)):
                _ruin_wires(B, S, W)
            else:
                _ruin_parts(B, S, W, warmth)
                rough(B, S, W)
                after = S.rank[1]
                if stage and after > before + below(W.rng, warmth + (LOST_SLACK if lost else SLACK)):
                    for net in range(len(S.lost)):
                        W.dirty[net] = 0
                    _copy(T, S, B.last)
                    continue
            if stage:
                _join_all(B, S, W, B.size[0] == 1 or below(W.rng, 8) == 0)
                weigh(B, S, W)
            else:
                for net in range(len(S.lost)):
                    W.dirty[net] = 0
            if S.rank[1] > T.rank[1] + below(W.rng, warmth + 1):
                _copy(T, S, B.last)
            else:
                before = after
                if S.rank[0] < best.rank[0]:
                    _copy(S, best, B.last)
        return best.rank[0]

    return improve


def _sources() -> str:
    """A digest of every file that the search is made of."""
    digest = sha256()
    for name in (
        "arrays",
        "lattice",
        "ways",
        "parts",
        "links",
        "leads",
        "flexible",
        "halves",
        "cost",
        "kernel",
    ):
        digest.update((Path(__file__).parent / f"_lns_{name}.py").read_bytes())
    for name in ("near", "halves", "leads"):
        digest.update((Path(__file__).parent / f"_{name}.py").read_bytes())
    return digest.hexdigest()


improve: Any = _compiled(_sources())
