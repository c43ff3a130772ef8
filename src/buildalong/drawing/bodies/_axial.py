"""Bodies that lie between their leads: resistors with bands, diodes with a cathode ring."""

from __future__ import annotations

from collections.abc import Sequence

from buildalong.circuit import Part, bands_on
from buildalong.drawing import _palette as palette
from buildalong.drawing._frame import Point
from buildalong.drawing._svg import path
from buildalong.drawing.bodies._shape import Body

__all__ = ["band_places", "cylinder", "stands_on_end", "stripes"]

BAND = {3: (0.15, 0.32, 0.49), 4: (0.15, 0.32, 0.49, 0.84), 5: (0.13, 0.27, 0.41, 0.55, 0.86),
        6: (0.12, 0.25, 0.38, 0.51, 0.73, 0.88), 1: (0.5,)}  # fmt: skip
"""Places of the bands along the body: the last stands apart, so that the reading end is seen."""
BAND_WIDTH = 0.085
"""Of a band, as a share of the body's length."""
RING, RING_LEAST = 0.14, 5.0
"""Width of the ring at a diode's cathode, as a share of the body's length, and at least [user units]."""


def band_places(count: int) -> tuple[float, ...]:
    """Where the bands stand, as shares of the body's length from the first lead."""
    return BAND[count]


def stripes(part: Part) -> tuple[tuple[float, float], ...]:
    """Where each band, or the ring of a diode, begins and ends: shares of the length from the first lead."""
    bands = bands_on(part)
    if bands:
        return tuple((at - BAND_WIDTH / 2, at + BAND_WIDTH / 2) for at in band_places(len(bands)))
    if part.type.family == "resistor":
        return ()
    thick = _ring(part.type.body.length * 10) / (part.type.body.length * 10)
    return ((1 - thick * 1.9, 1 - thick * 0.9),)


def _ring(length: float) -> float:
    """How wide the ring of a diode of this length is, in user units."""
    return max(length * RING, RING_LEAST)


def stands_on_end(part: Part, legs: Sequence[Point]) -> bool:
    """Whether the two holes are too near for a cylinder to lie between them."""
    (x1, _), (x2, _) = legs
    return x2 - x1 < part.type.body.length * 10 + 6


def cylinder(body: Body) -> None:
    """A cylinder between two leads; it stands on end where the holes are too near."""
    (x1, _), (x2, _) = body.legs
    length, width = body.length, body.width
    pen = body.pen
    if stands_on_end(body.part, body.legs):
        # On end over the first hole, the upper lead bent down to the second.
        pen.lead((x1, 0), (x2, 0))
        pen.circle((x1, 0), width / 2, body.look.body, body.look.edge)
        pen.circle((x1, 0), 3, palette.METAL, palette.METAL_EDGE, 1.4)
        return
    pen.lead((x1, 0), (-length / 2, 0))
    pen.lead((length / 2, 0), (x2, 0))
    bands = bands_on(body.part)
    if bands:
        _resistor(body, bands)
    elif body.part.type.family == "resistor":
        pen.rect(-length / 2, -width / 2, length, width, body.look.body, body.look.edge, width / 2.4)
    else:
        pen.rect(-length / 2, -width / 2, length, width, body.look.body, body.look.edge, 3)
        thick = _ring(length)
        pen.rect(length / 2 - thick * 1.9, -width / 2, thick, width, body.look.detail, body.look.edge, 0, 1.2)


def _resistor(body: Body, bands: tuple[str, ...]) -> None:
    length, width, pen = body.length, body.width, body.pen
    cap, waist = length * 0.24, width / 2 * 0.84
    left, half = -length / 2, width / 2
    outline = path(
        "M", (left + 4, -half), "L", (left + cap - 3, -half), "Q", (left + cap, -half),
        (left + cap + 3, -waist), "L", (-left - cap - 3, -waist), "Q", (-left - cap, -half),
        (-left - cap + 3, -half),
        "L", (-left - 4, -half), "Q", (-left, -half), (-left, -half + 4), "L", (-left, half - 4),
        "Q", (-left, half), (-left - 4, half), "L", (-left - cap + 3, half),
        "Q", (-left - cap, half), (-left - cap - 3, waist), "L", (left + cap + 3, waist),
        "Q", (left + cap, half), (left + cap - 3, half), "L", (left + 4, half),
        "Q", (left, half), (left, half - 4), "L", (left, -half + 4), "Q", (left, -half), (left + 4, -half),
        "Z",
    )  # fmt: skip
    pen.shape(outline, body.look.body)
    thick = length * BAND_WIDTH
    for share, colour in zip(band_places(len(bands)), bands, strict=True):
        x = left + share * length
        high = half if share < 0.2 or share > 0.8 else waist
        pen.rect(x - thick / 2, -high, thick, 2 * high, palette.BANDS[colour], palette.BAND_EDGE, 0, 0.8)
    pen.shape(outline, "none", body.look.edge)
