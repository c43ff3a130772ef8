"""Where bodies stand, in the plane of the board, from their true sizes."""

from __future__ import annotations

import math
from collections.abc import Sequence

from buildalong.board._board import PITCH_MM, Board
from buildalong.board._footprint import turn_of
from buildalong.parts import PartType

__all__ = ["Outline", "depth_inside", "outline_of", "overlap", "path_overlap"]

Outline = tuple[tuple[float, float], ...]
"""Corners of a convex outline [pitches], in order around it."""

_ROUND = ("can", "dome", "buzzer")
_CORNERS = 16


def outline_of(kind: PartType, board: Board, holes: Sequence[str]) -> Outline | None:
    """The outline of a part's body over the board [pitches]; None for a part without one there.

    A rigid part's body stands about the middle of its legs; any other lies or stands between its two
    leads.  Round bodies are polygons of 16 corners.
    """
    body = kind.body
    places = [board.holes[hole] for hole in holes if hole in board.holes]
    if body.kind == "off-board" or len(places) != len(holes) or not places:
        return None
    x = (min(p[0] for p in places) + max(p[0] for p in places)) / 2
    y = (min(p[1] for p in places) + max(p[1] for p in places)) / 2
    if body.legs:
        turn = turn_of(kind, board, holes)
        if turn is None:
            return None
        angle = math.pi / 2 if turn % 180 == 0 else 0.0
    elif len(places) == 2:
        (x0, y0), (x1, y1) = places
        angle = math.atan2(y1 - y0, x1 - x0)
    else:
        return None
    along, across = body.length / 2 / PITCH_MM, body.width / 2 / PITCH_MM
    if body.shape in _ROUND:
        turns = (2 * math.pi * (i + 0.5) / _CORNERS for i in range(_CORNERS))
        return tuple((x + along * math.cos(t), y + along * math.sin(t)) for t in turns)
    cos, sin = math.cos(angle), math.sin(angle)
    return tuple(
        (x + a * along * cos - b * across * sin, y + a * along * sin + b * across * cos)
        for a, b in ((1, 1), (-1, 1), (-1, -1), (1, -1))
    )


def overlap(one: Outline, other: Outline) -> float:
    """How deep two outlines reach into each other [mm]; 0 where they do not touch."""
    least = math.inf
    for outline in (one, other):
        for (x0, y0), (x1, y1) in zip(outline, (*outline[1:], outline[0]), strict=True):
            length = math.hypot(x1 - x0, y1 - y0)
            if length < 1e-9:
                continue
            nx, ny = (y1 - y0) / length, (x0 - x1) / length
            first = [x * nx + y * ny for x, y in one]
            second = [x * nx + y * ny for x, y in other]
            least = min(least, max(first) - min(second), max(second) - min(first))
            if least <= 0:
                return 0.0
    return least * PITCH_MM if math.isfinite(least) else 0.0


def depth_inside(place: tuple[float, float], outline: Outline) -> float:
    """How far inside an outline a place lies [mm]; 0 outside."""
    least = math.inf
    signs: set[bool] = set()
    for (x0, y0), (x1, y1) in zip(outline, (*outline[1:], outline[0]), strict=True):
        cross = (x1 - x0) * (place[1] - y0) - (y1 - y0) * (place[0] - x0)
        signs.add(cross > 0)
        least = min(least, abs(cross) / max(math.hypot(x1 - x0, y1 - y0), 1e-9))
    return least * PITCH_MM if len(signs) == 1 else 0.0


def path_overlap(
    start: tuple[float, float], end: tuple[float, float], outline: Outline, width_mm: float
) -> float:
    """How deep a straight wire of some width [mm] reaches into an outline [mm]."""
    length = math.dist(start, end)
    if length < 1e-9:
        return 0.0
    half = width_mm / 2 / PITCH_MM
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    band = tuple(
        (p[0] - side * uy * half, p[1] + side * ux * half)
        for p, side in ((start, 1), (end, 1), (end, -1), (start, -1))
    )
    return overlap(band, outline)
