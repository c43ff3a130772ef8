"""Flexible wires and leads of the tilted view: how they rise, and which parts stand before them.

Each is cut into short pieces.  A piece is painted before the first part that stands between it and the
eye, and after all parts where none does; parts are painted from the farthest to the nearest.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

from buildalong.circuit import Part
from buildalong.drawing._frame import Point, Pose
from buildalong.drawing._look import look_of
from buildalong.drawing._tilt import FROM_THE_RIGHT, Eye, Space
from buildalong.drawing._wires import BARE, Rect

__all__ = ["Block", "Strand", "block_of", "lead", "rising", "runs"]

LAID, ARCH, HIGHEST = 26.0, 90.0, 170.0
"""Height of a flexible wire as a rule, of a lead from beside the board, and of what must clear bodies."""
CLEAR, BESIDE = 8.0, 1.0
"""It keeps so far above a body under it; its middle so far beside one."""
EACH = 5.0
"""Length of a piece."""
SEAM = 0.2
"""A stretch reaches so far into the next piece, so that no light shows between them."""
LEG = 4.0
"""Half the width of a leg."""
_ARCHED, _LEVEL = (lambda t: 1 - abs(2 * t - 1) ** 5), (lambda t: math.sin(math.pi * t**1.4))
"""How a wire rises between two holes, steeply at both; and from a part beside the board, level at first."""


@dataclass(frozen=True)
class Block:
    """What a part fills: a rectangle of its own frame between two heights, and its legs below."""

    pose: Pose
    rect: Rect
    low: float
    high: float
    eye: Eye = FROM_THE_RIGHT

    def under(self, at: Point) -> bool:
        """Whether the body lies under a place of the plan, or nearly."""
        x, y = self._own(at[0] - self.pose.x, at[1] - self.pose.y)
        left, top, right, bottom = self.rect
        return left - BESIDE < x < right + BESIDE and top - BESIDE < y < bottom + BESIDE

    def hides(self, at: Space) -> bool:
        """Whether the body or a leg stands between a place and the eye."""
        x, y = self._own(at[0] - self.pose.x, at[1] - self.pose.y)
        way_x, way_y = self._own(*self.eye.way[:2])
        boxes = [(*self.rect, self.low, self.high)]
        boxes += [(a - LEG, b - LEG, a + LEG, b + LEG, 0.0, self.low) for a, b in self.pose.legs]
        for left, top, right, bottom, low, high in boxes:
            spans = (
                _span(x, way_x, left, right),
                _span(y, way_y, top, bottom),
                _span(at[2], self.eye.way[2], low, high),
            )
            enters, leaves = max(a for a, _ in spans), min(b for _, b in spans)
            if 0 < enters < leaves:
                return True
        return False

    def _own(self, x: float, y: float) -> Point:
        """A direction of the plan in the part's frame."""
        turn = math.radians(self.pose.angle)
        return x * math.cos(turn) + y * math.sin(turn), y * math.cos(turn) - x * math.sin(turn)


def block_of(part: Part, pose: Pose, rect: Rect, eye: Eye = FROM_THE_RIGHT) -> Block:
    """What a part fills that stands so, for an eye; ``rect`` is its body in its own frame."""
    stand = look_of(part.type).stand * 10
    return Block(pose, rect, stand, stand + part.type.body.height * 10, eye)


def _span(at: float, way: float, low: float, high: float) -> Point:
    """Between which shares of a way a place lies within bounds."""
    if abs(way) < 1e-9:
        return (-math.inf, math.inf) if low < at < high else (math.inf, -math.inf)
    ends = ((low - at) / way, (high - at) / way)
    return min(ends), max(ends)


@dataclass(frozen=True)
class Strand:
    """A wire or lead through places, closely spaced, and how many pieces at its two ends are bare."""

    points: tuple[Space, ...]
    bare: tuple[int, int]
    colour: str


def rising(points: Sequence[Point], colour: str, blocks: Sequence[Block]) -> Strand:
    """A flexible wire over a run in the plan, above the bodies that lie under it."""
    return _strand(points, colour, blocks, _ARCHED, LAID, (BARE, BARE))


def lead(points: Sequence[Point], colour: str, blocks: Sequence[Block]) -> Strand:
    """The same for a lead that begins at a part beside the board."""
    return _strand(points, colour, blocks, _LEVEL, ARCH, (0.0, BARE))


def _strand(
    points: Sequence[Point], colour: str, blocks: Sequence[Block], rise: Callable[[float], float],
    usual: float, bare: tuple[float, float],
) -> Strand:  # fmt: skip
    """The run, cut into pieces; near enough to holes it is bare."""
    plan = [
        (a[0] + (b[0] - a[0]) * step / count, a[1] + (b[1] - a[1]) * step / count)
        for a, b in pairwise(points)
        for count in [max(1, math.ceil(math.dist(a, b) / EACH))]
        for step in range(count)
    ] + [points[-1]]
    last = len(plan) - 1
    shares = [rise(i / last) for i in range(last + 1)]
    high = min(usual, math.dist(plan[0], plan[-1]) * 0.3)
    needed = [
        (block.high + CLEAR) / share
        for at, share in zip(plan, shares, strict=True)
        for block in blocks
        if share > 0.3 and block.under(at)
    ]
    high = max([high, *(need for need in needed if need <= HIGHEST)])
    space = tuple((x, y, high * share) for (x, y), share in zip(plan, shares, strict=True))
    ends = [
        next((i for i in range(last) if math.dist(way[0], way[i]) >= far), last // 5)
        for way, far in ((space, bare[0]), (space[::-1], bare[1]))
    ]
    return Strand(space, (ends[0], ends[1]), colour)


def runs(strand: Strand, blocks: Sequence[Block]) -> Iterator[tuple[int, bool, tuple[Space, ...]]]:
    """Stretches of a strand: the number of the block before which each is painted, whether it is bare."""
    last = len(strand.points) - 1

    def kind(piece: int) -> tuple[int, bool]:
        at = strand.points[piece]
        first = next((i for i, block in enumerate(blocks) if block.hides(at)), len(blocks))
        return first, piece < strand.bare[0] or piece >= last - strand.bare[1]

    for (first, bare), pieces in groupby(range(last), key=kind):
        found = list(pieces)
        stretch = strand.points[found[0] : found[-1] + 2]
        after = strand.points[min(found[-1] + 2, last)]
        x, y, z = (a + (b - a) * SEAM for a, b in zip(stretch[-1], after, strict=True))
        yield first, bare, (*stretch, (x, y, z))
