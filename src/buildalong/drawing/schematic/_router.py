"""The compiled maze router: cheapest wires on the grid, one net's tree after the other."""

# mypy: disable-error-code="no-untyped-def,untyped-decorator,assignment"

from __future__ import annotations

import numpy as np

from buildalong.drawing.schematic._arrays import BUCKETS, GW, helper

__all__ = ["BEND", "NO_WAY", "STEP", "count", "delta", "detour", "lay_straight", "search"]

STEP, BEND, CROSS, DOT, OFF_RAIL = 2, 18, 44, 2, 20
"""Prices, twice those of the score: a cell, a bend, a crossing, a dot, joining a rail's net off the rail."""
NO_WAY = -1 << 20
"""Instead of a price."""


@helper
def count(mask):
    return (mask & 1) + ((mask >> 1) & 1) + ((mask >> 2) & 1) + ((mask >> 3) & 1)


@helper
def delta(way):
    if way == 0:
        return -GW
    if way == 1:
        return 1
    if way == 2:
        return GW
    return -1


@helper
def _turns(dx, dy, way):
    """Least number of bends of a wire that leaves in a direction for a point at (dx, dy)."""
    ahead = dx if way == 1 else -dx if way == 3 else dy if way == 2 else -dy
    aside = dy if way & 1 else dx
    if ahead > 0:
        return 0 if aside == 0 else 1
    return 1 if ahead == 0 and aside != 0 else 2


@helper
def detour(dx, dy, way, far_way, joined):
    """Price of the best wire to a terminal at (dx, dy), nothing being in the way.

    ``far_way`` is the direction in which a wire leaves that terminal; ``joined``: it has a wire already.
    """
    bends = _turns(dx, dy, way)
    if not joined:
        there = _turns(-dx, -dy, far_way)
        bends = 2 if bends and there and (way + far_way) % 2 == 0 else max(bends, there)
    return STEP * (abs(dx) + abs(dy)) + BEND * bends


@helper
def _ahead(state, w_span, most):
    """Least price from a state to the tree: to the rectangle around it, at most ``most``."""
    node = state >> 2
    x = node % GW
    y = node // GW
    dx = w_span[0] - x if x < w_span[0] else w_span[2] - x if x > w_span[2] else 0
    dy = w_span[1] - y if y < w_span[1] else w_span[3] - y if y > w_span[3] else 0
    if dx == 0 and dy == 0:
        return 0
    return min(most, STEP * (abs(dx) + abs(dy)) + BEND * _turns(dx, dy, state & 3))


@helper
def _push(w_way, w_head, w_queue, w_epoch, state, cost, par, n):
    if w_way[2, state] == w_epoch[0] and w_way[0, state] <= cost:
        return n
    if n >= w_queue.columns:
        return n
    w_way[2, state] = w_epoch[0]
    w_way[0, state] = cost
    w_way[1, state] = par
    b = cost % BUCKETS
    w_queue[0, n] = state
    w_queue[1, n] = w_head[b]
    w_head[b] = n
    return n + 1


@helper
def search(W, net, source, way_out, xlo, xhi, height, rail_row, dearest):
    """Cheapest wire from a terminal's node to the net's tree; lays it; returns its price.

    Goes first where the least price still ahead promises most.  Where it makes a dot of a bend, the bend's
    price is given back.  Returns NO_WAY, and lays nothing, where there is no wire or it costs more than
    ``dearest``.
    """
    w_node = W.node
    w_way = W.way
    w_head = W.head
    w_queue = W.queue
    w_epoch = W.epoch
    w_span = W.span
    w_epoch[0] += 1
    for b in range(BUCKETS):
        w_head[b] = -1
    n = np.int64(0)
    none = np.int64(-1)
    # A rail is joined at its row or, dearer, at any drop.
    most = np.int64(1 << 20)
    if rail_row >= 0:
        most = np.int64(DOT + OFF_RAIL)
    lead_only = count(np.int64(w_node[2, source])) == 1
    cost = np.int64(1 << 30)
    for way in range(4):
        if w_node[2, source] & (1 << way):
            continue
        state = source * 4 + way
        price = _ahead(state, w_span, most)
        if lead_only and way != way_out:
            price += BEND
        cost = min(cost, price)
        n = _push(w_way, w_head, w_queue, w_epoch, state, price, none, n)
    empty = 0
    goal = -1
    goal_cost = dearest + 1
    goal_from = -1
    while empty < BUCKETS:
        b = cost % BUCKETS
        at = np.int64(w_head[b])
        if cost >= goal_cost:
            break
        if at < 0:
            cost += 1
            empty += 1
            continue
        empty = 0
        w_head[b] = w_queue[1, at]
        state = np.int64(w_queue[0, at])
        if w_way[0, state] != cost:
            continue
        w_epoch[1] += 1
        node = state >> 2
        way = state & 3
        to = node + delta(way)
        x = to % GW
        y = to // GW
        if x < xlo or x > xhi or y < 0 or y > height:
            continue
        if (y == 0 or y == height) and y != rail_row:
            continue
        c = cost - _ahead(state, w_span, most) + STEP
        level = w_node[0, to]
        upright = w_node[1, to]
        if level == net or upright == net:
            mask = np.int64(w_node[2, to])
            if w_node[4, to] != net + 1:
                continue
            branches = count(mask)
            if branches > 2 or (mask & (1 << ((way + 2) & 3))) != 0:
                continue
            if not (level == net or level == -1) or not (upright == net or upright == -1):
                continue
            if branches == 2:
                if y != rail_row:
                    c += DOT
                    if mask != 5 and mask != 10:
                        c -= BEND
                    if rail_row >= 0:
                        c += OFF_RAIL
            elif mask & (1 << way) == 0:
                c += BEND
            if c < goal_cost:
                goal_cost = c
                goal = to
                goal_from = state
            continue
        if y == rail_row or w_node[3, to] != 0:
            continue
        free = level == -1 and upright == -1
        if free or (level == -1 if way & 1 else upright == -1):
            for turn in range(4 if free else 1):
                if turn == 2:
                    continue
                then = to * 4 + ((way + turn) & 3)
                price = c + _ahead(then, w_span, most) + (BEND if turn else 0 if free else CROSS)
                n = _push(w_way, w_head, w_queue, w_epoch, then, price, state, n)
    if goal < 0:
        return np.int64(NO_WAY)
    # Lay the wire backwards from the goal.
    w_node[2, goal] |= 1 << (((goal_from & 3) + 2) & 3)
    w_node[0, goal] = net
    w_node[1, goal] = net
    state = goal_from
    while True:
        node = state >> 2
        way = state & 3
        _stretch(w_span, node)
        before = np.int64(w_way[1, state])
        w_node[2, node] |= 1 << way
        if before < 0:
            w_node[0, node] = net
            w_node[1, node] = net
            w_node[4, node] = net + 1
            break
        came = before & 3
        w_node[2, node] |= 1 << ((came + 2) & 3)
        crossing = (w_node[0, node] != -1 and w_node[0, node] != net) or (
            w_node[1, node] != -1 and w_node[1, node] != net
        )
        if not crossing:
            w_node[4, node] = net + 1
        if came != way or way & 1:
            w_node[0, node] = net
        if came != way or not way & 1:
            w_node[1, node] = net
        state = before
    return goal_cost


@helper
def _stretch(w_span, node):
    w_span[0] = min(w_span[0], node % GW)
    w_span[1] = min(w_span[1], node // GW)
    w_span[2] = max(w_span[2], node % GW)
    w_span[3] = max(w_span[3], node // GW)


@helper
def lay_straight(w_node, net, node, way, height):
    """Lay a straight wire from a terminal to its rail if nothing at all is in the way; its price or -1."""
    d = delta(way)
    at = node + d
    steps = 1
    while 0 < at // GW < height:
        if w_node[3, at] != 0 or w_node[0, at] != -1 or w_node[1, at] != -1:
            return -1
        at += d
        steps += 1
    if w_node[2, at] & (1 << ((way + 2) & 3)):
        return -1
    w_node[2, node] |= 1 << way
    w_node[0, node] = net
    w_node[1, node] = net
    w_node[4, node] = net + 1
    run = node + d
    while run != at:
        w_node[2, run] |= (1 << way) | (1 << ((way + 2) & 3))
        w_node[1, run] = net
        w_node[4, run] = net + 1
        run += d
    w_node[2, at] |= 1 << ((way + 2) & 3)
    w_node[1, at] = net
    return STEP * steps
