"""Where on a body the dot of a leader may stand: beside what is to be read there."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise, product

from buildalong.circuit import Part, bands_on
from buildalong.drawing._frame import Point
from buildalong.drawing._look import marking_of
from buildalong.drawing.bodies._axial import band_places, stands_on_end

__all__ = ["ANYWHERE", "plain_places"]

ANYWHERE = tuple((u, v) for v, u in product((0.0, -0.45, 0.45), (0.0, -0.3, 0.3, -0.6, 0.6)))
"""Places as shares of half a body's length and half its width, from its middle; the best first."""
END = 0.88
"""Behind the last band of a resistor, clear of it by more than a dot's half."""
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
    """The middle of the widest stretch between two bands, or the stretch before the ring of a diode.

    Then more of that stretch, and the end behind the last band.
    """
    bands = bands_on(part)
    if not bands:
        return ((0.0, -0.3, -0.5),)
    places = (*band_places(len(bands)), 1.0)
    _, middle = max((after - before, (before + after) / 2) for before, after in pairwise(places))
    return (2 * middle - 1,), (2 * middle - 1.14, 2 * middle - 0.86), (END,)
