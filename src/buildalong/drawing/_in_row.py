"""Where the name of a hole or net stands: in its own row, where one reads along.

A name in another row reads as that row's, above all between the row's number and its first hole.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from buildalong.drawing._label_field import Floats, Rect, gaps, overlaps

__all__ = ["Lane", "beside_rows", "outside_row", "places_in_row", "row_costs"]

LEVEL = 2.0
"""A name whose middle lies no further than this from the row's stands in the row."""
NEAREST, STEP, FARTHEST = 4.0, 7.0, 110.0
"""From a hole to its name in the same row, in steps."""
OUTSIDE, OVER_GAP, MISREAD, TOUCHING = 240.0, 80.0, 400.0, 60.0
"""What it costs a name to stand in another row; there between the two halves of the board, where no hole is;
before the first hole or at another hole in use; and to touch one in its own row."""
OFF, ASTRAY = 75.0, 90.0
"""What it costs the name of a net to stand in no row of its own; and there beside the rows, where numbers
name them."""
TOUCH = 7.0
"""Nearer than this to a hole in use a name reads as its."""


@dataclass(frozen=True)
class Lane:
    """The row of a hole: it runs along an axis of the picture (0 across, 1 down) from first to last hole."""

    axis: int
    least: float
    most: float
    gap: tuple[float, float]
    """Between the last hole of the one half and the first of the other."""


def places_in_row(lane: Lane, around: Rect, w: float, h: float) -> tuple[Floats, Floats]:
    """Centres of a name of this size on both sides of its hole, and what each costs."""
    middle = np.array([(around[0] + around[2]) / 2, (around[1] + around[3]) / 2])
    far = np.arange(NEAREST, FARTHEST, STEP) + (w, h)[lane.axis] / 2
    along = np.concatenate([around[lane.axis + 2] + far, around[lane.axis] - far])
    centres = np.tile(middle, (len(along), 1))
    centres[:, lane.axis] = along
    each = 0.35 * np.arange(NEAREST, FARTHEST, STEP)
    return centres, np.concatenate([each, each + 0.4])


def outside_row(lane: Lane, around: Rect, rects: Floats) -> NDArray[np.bool_]:
    """Which of the places lie in another row."""
    across = 1 - lane.axis
    own = (around[across] + around[across + 2]) / 2
    return np.asarray(np.abs((rects[:, across] + rects[:, across + 2]) / 2 - own) > LEVEL)


def row_costs(lane: Lane, around: Rect, rects: Floats, used: Floats) -> Floats:
    """What it costs each place to be read as another row's or as another hole's; ``used``: those in use."""
    off = outside_row(lane, around, rects)
    a, b = lane.gap
    free = (rects[:, lane.axis] > a) & (rects[:, lane.axis + 2] < b)
    before = _off_holes(lane, rects)
    others = used[overlaps(used, np.array([around]))[:, 0] <= 0]
    touch = (gaps(rects, others) < TOUCH).any(axis=1) if len(others) else np.zeros(len(rects), bool)
    outside = np.where(free, OVER_GAP, OUTSIDE) * off
    return np.asarray(outside + MISREAD * (off & (before | touch)) + TOUCHING * (~off & touch))


def beside_rows(level: Sequence[tuple[Lane, Rect]], rects: Floats) -> Floats:
    """What it costs each place of a net's name to be in no row of the net's strips."""
    off = np.all([outside_row(lane, strip, rects) for lane, strip in level], axis=0)
    return np.asarray(OFF * off + ASTRAY * (off & _off_holes(level[0][0], rects)))


def _off_holes(lane: Lane, rects: Floats) -> NDArray[np.bool_]:
    """Which of the places reach beyond the first or last hole of a row, to where numbers stand."""
    return np.asarray(
        (rects[:, lane.axis] < lane.least - TOUCH) | (rects[:, lane.axis + 2] > lane.most + TOUCH)
    )
