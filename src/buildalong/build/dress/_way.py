"""The cheapest way from place to place over a map: first in half pitches, then pulled taut."""

from __future__ import annotations

import heapq
import math

import numpy as np

from buildalong.build.dress._ground import CELL, Ground, Point

__all__ = ["way"]

STEP = 2
"""Cells from one place of a way to the next before it is pulled taut."""
BEND = 0.6
"""What a bend costs, as pitches of wire."""
ASIDE = 8.0
"""A way goes so far beyond its two ends at most [pitches]."""
_SIDES = (-STEP, 0, STEP)
_TURNS = [(dx, dy, math.hypot(dx, dy) * CELL) for dx in _SIDES for dy in _SIDES if dx or dy]
"""Steps of a way in cells, with their lengths [pitches]."""
Cell = tuple[int, int]


def way(ground: Ground, start: Point, end: Point) -> tuple[Point, ...]:
    """The corners of the cheapest way [pitches], both ends included; the same map, the same way."""
    with ground.entered(start, end):
        return _taut(ground, _steps(ground, start, end))


def _steps(ground: Ground, start: Point, end: Point) -> list[Point]:
    """The way from one half pitch to the next."""
    first, last = ground.cell(start), ground.cell(end)
    # the lattice goes through the start; the end is reached from whatever is next to it
    low = [max(0, round(min(a, b) - ASIDE / CELL)) for a, b in zip(first, last, strict=True)]
    size = ground.cost.shape
    high = [min(n - 1, round(max(a, b) + ASIDE / CELL)) for a, b, n in zip(first, last, size, strict=True)]
    cost = ground.cost.tolist()
    came: dict[Cell, Cell] = {}
    best = {first: 0.0}
    heap = [(0.0, 0.0, first)]
    while heap:
        _, paid, at = heapq.heappop(heap)
        if at == last:
            break
        if paid > best[at]:
            continue
        i, j = at
        here, turns = cost[i][j], _TURNS
        if max(abs(i - last[0]), abs(j - last[1])) < STEP:
            dx, dy = last[0] - i, last[1] - j
            turns = [(dx, dy, math.hypot(dx, dy) * CELL), *_TURNS]
        for dx, dy, length in turns:
            x, y = i + dx, j + dy
            if low[0] <= x <= high[0] and low[1] <= y <= high[1]:
                new = paid + length * (here + 2 * cost[(i + x) // 2][(j + y) // 2] + cost[x][y]) / 4
                if new < best.get((x, y), math.inf) - 1e-9:
                    best[x, y] = new
                    came[x, y] = at
                    rest = math.hypot(x - last[0], y - last[1]) * CELL
                    heapq.heappush(heap, (new + rest, new, (x, y)))
    cells = [last]
    while cells[-1] != first:
        cells.append(came[cells[-1]])
    inner = [(float(ground.x[i]), float(ground.y[j])) for i, j in cells[-2:0:-1]]
    return [start, *inner, end]


def _taut(ground: Ground, places: list[Point]) -> tuple[Point, ...]:
    """The cheapest way with corners at some of the places only, straight from each to the next."""
    at = np.array(places)
    best = [0.0, *[math.inf] * (len(places) - 1)]
    came = [0] * len(places)
    for i, place in enumerate(places[:-1]):
        costs = best[i] + ground.along(place, at[i + 1 :]) + BEND
        for j, cost in enumerate(costs.tolist(), i + 1):
            if cost < best[j] - 1e-9:
                best[j], came[j] = cost, i
    corners = [len(places) - 1]
    while corners[-1]:
        corners.append(came[corners[-1]])
    return tuple(places[i] for i in reversed(corners))
