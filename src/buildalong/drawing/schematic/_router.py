"""The maze router: cheapest wires on the grid, one terminal at a time."""

# mypy: disable-error-code="no-untyped-def,untyped-decorator,assignment"
from __future__ import annotations

import numpy as np

from buildalong.drawing.schematic._arrays import BUCKETS, GW, compiled

__all__ = ["delta", "lay_straight", "search"]

STEP, BEND, CROSS, DOT, OFF_RAIL = 2, 8, 24, 2, 8
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
