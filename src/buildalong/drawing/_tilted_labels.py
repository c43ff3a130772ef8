"""The labels of the tilted view: where they stand, and where their leaders end."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from buildalong.board import hole_name
from buildalong.drawing._frame import Point
from buildalong.drawing._label_field import Obstacles
from buildalong.drawing._labels import Placed, Tag, place
from buildalong.drawing._look import marking_of, value_of
from buildalong.drawing._obstacles import pieces
from buildalong.drawing._scene import Scene
from buildalong.drawing._tags import wordings_of
from buildalong.drawing._tilt import Eye, slices, within
from buildalong.drawing._wires import THICK, Rect, around, near
from buildalong.drawing._words import BEHIND
from buildalong.words import say

__all__ = ["Drawn", "place_labels"]

SLICE, INSIDE = 10.0, 6.0
"""Height of the slices that stand for a body, and how deep in it a leader ends."""


@dataclass(frozen=True)
class Drawn:
    """What a tilted picture shows, on the page; ``size`` is that of its text."""

    scene: Scene
    eye: Eye
    size: float
    outlines: Mapping[str, Sequence[Point]]
    """Of each part; "" is the board."""
    leads: Mapping[str, Sequence[Sequence[Point]]]
    """Bare leads of each part."""
    wires: Sequence[Sequence[Point]]
    order: Sequence[str]
    """The parts from the farthest to the nearest."""
    over: Sequence[tuple[int, Sequence[Point]]]
    """Stretches of flexible wires, each with the number of the part before which it is drawn."""
    lost: Mapping[str, Point]
    """Hidden holes of leads from beside the board, and where each lead is last seen."""
    marks: Sequence[Rect]
    """Boxes of letters and numbers."""
    top: Sequence[Point]
    """The upper face of the board."""
    printed: Collection[str] = ()
    """Parts that bear their names."""


def place_labels(drawn: Drawn, limits: Rect) -> tuple[Placed, ...]:
    """A label for each part, and for each hole of a lead from beside the board that a part hides."""
    size = drawn.size * 1.1
    obstacles = Obstacles((limits[0] + 3, limits[1] + 3, limits[2] - 3, limits[3] - 3))
    tags = []
    for name, outline in drawn.outlines.items():
        if not name:
            continue
        part = drawn.scene.circuit.by_id[name]
        rects = slices(outline, SLICE)
        obstacles.bodies += [(f"part {name}", rect) for rect in rects]
        if name in drawn.printed:
            continue
        words = value_of(part) or marking_of(part)
        ends, front = _in_sight(drawn, name)
        if part.type.body.shape == "dip":  # on its middle: dot, notch and pins tell which way round
            middle = _middle_of(outline)
            ends = tuple(sorted(ends, key=lambda at: math.dist(at, middle))[: max(1, len(ends) // 5)])
        if front:  # nothing of it can be pointed at: its label stands at what hides it
            whole = drawn.outlines[front]
            hidden = tuple(say(BEHIND, part=said, other=front) for said in wordings_of(name, words))
            tags.append(
                Tag(f"part {front}", hidden, size, around(whole), slack=math.inf,
                    own=tuple(slices(whole, SLICE)))
            )  # fmt: skip
            continue
        tags.append(
            Tag(
                f"part {name}", wordings_of(name, words), size, around(outline), insist=500.0,
                clear=6.0, own=tuple(rects), ends=ends,
            )
        )  # fmt: skip
    for hole, (x, y) in drawn.lost.items():
        box = (x - 4, y - 4, x + 4, y + 4)
        named = (hole_name(hole),)
        tags.append(Tag(f"hole {hole}", named, size, box, slack=0.0, ends=((x, y),)))
    for name, leads in drawn.leads.items():
        obstacles.leads += [(f"part {name}", piece) for lead in leads for piece in pieces(lead, 4)]
    for line in drawn.wires:
        obstacles.wires += pieces(line, 6)
        obstacles.much += pieces(line, 2)  # bodies stand close: what is free is better further off
    for side in (drawn.outlines[""], drawn.top):
        obstacles.edges += pieces((*side, side[0]), 3)
    for hole in drawn.scene.used:
        x, y = drawn.eye.project(*drawn.scene.frame.hole(hole))
        obstacles.used.append((x - 7, y - 6, x + 7, y + 6))
    obstacles.never += obstacles.used
    obstacles.marks += drawn.marks
    return place(tags, obstacles)


def _in_sight(drawn: Drawn, name: str) -> tuple[tuple[Point, ...], str]:
    """Places of a body, well inside its outline, before which no other body or flexible wire stands.

    Where there is none, the part that hides most of it.
    """
    outline = drawn.outlines[name]
    order = list(drawn.order)
    rank = order.index(name) if name in order else -1
    before = {other: drawn.outlines[other] for other in order[rank + 1 :]}
    lines = [line for first, line in drawn.over if first > rank]

    def beside(some: list[Point], hulls: Iterable[Sequence[Point]]) -> list[Point]:
        """Those that lie in none of the hulls, nor close to one."""
        off = np.all([within(each, some) < -2 for each in hulls], axis=0)
        return [at for at, free in zip(some, np.broadcast_to(off, len(some)), strict=True) if free]

    left, top, right, bottom = around(outline)
    places = [
        (left + (right - left) * u / 10, top + (bottom - top) * v / 10)
        for v in range(1, 10) for u in range(1, 10)
    ]  # fmt: skip
    depths = within(outline, places)
    inner = [places[n] for deep in (INSIDE, INSIDE / 2) for n in np.flatnonzero(depths > deep)]
    free = beside(inner, before.values())
    clear = [at for at in free if all(near(at, line) > THICK / 2 + 3 for line in lines)]
    others = [each for other, each in drawn.outlines.items() if other not in ("", name)]
    # Over no part behind it either, where there is such a place: a leader then ends upon one part alone.
    alone = beside(clear, others)
    if alone or clear or free or not before:
        return tuple(alone or clear or free or inner), ""
    return (), max(before, key=lambda other: int((within(before[other], inner) > -2).sum()))


def _middle_of(points: Sequence[Point]) -> Point:
    left, top, right, bottom = around(points)
    return (left + right) / 2, (top + bottom) / 2
