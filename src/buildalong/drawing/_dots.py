"""Where on a body the dot of a leader may stand: beside what is to be read there."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product

from buildalong.circuit import Part
from buildalong.drawing._frame import Point
from buildalong.drawing._look import marking_of
from buildalong.drawing.bodies._axial import stands_on_end, stripes

__all__ = ["ANYWHERE", "plain_places"]

ANYWHERE = tuple((u, v) for v, u in product((0.0, -0.45, 0.45), (0.0, -0.3, 0.3, -0.6, 0.6)))
"""Places as shares of half a body's length and half its width, from its middle; the best first."""
ROOM = 6.0
"""A stretch between two bands that is longer has room for a dot [user units]."""
WIDTHS = (0.0, -0.3, 0.3)


def plain_places(part: Part, legs: Sequence[Point]) -> tuple[tuple[Point, ...], ...]:
    """Places off the bands of a resistor, the ring of a diode, the stripe of a can, a printed code.

    The best come first; the next serve where a wire hides those.
    """
    shape = part.type.body.shape
    if shape == "cylinder" and not stands_on_end(part, legs):
        return tuple(tuple(product(lengths, WIDTHS)) for lengths in _between_bands(part))
    if shape == "can":  # the stripe begins at half the radius
        return (tuple((u, v) for u, v in ANYWHERE if u <= 0),)
    if shape in ("disc", "block") and marking_of(part):
        return (tuple((u, v) for v in (-0.9, 0.9) for u in (0.0, -0.2, 0.2)),)
    return ()


def _between_bands(part: Part) -> tuple[tuple[float, ...], ...]:
    """The middles of the stretches between two bands and beside them that have room, the widest first.

    Then more of the widest; of a diode the stretch before its ring.
    """
    edges = [0.0, *(edge for stripe in stripes(part) for edge in stripe), 1.0]
    stretches = sorted(zip(edges[::2], edges[1::2], strict=True), key=lambda pair: (pair[0] - pair[1], pair))
    if len(stretches) < 3:
        return ((0.0, -0.3, -0.5, -0.8),)
    least = ROOM / (part.type.body.length * 10)
    middles = [start + end - 1 for start, end in stretches if end - start > least]
    return tuple(middles), (middles[0] - 0.14, middles[0] + 0.14)
