"""Bodies that stand on two leads: electrolytic can, ceramic disc, film block, LED, LDR."""

from __future__ import annotations

import math
from collections.abc import Sequence

from buildalong.circuit import Part
from buildalong.drawing import _palette as palette
from buildalong.drawing._frame import Point
from buildalong.drawing._look import colour_of, marking_of
from buildalong.drawing._svg import path
from buildalong.drawing.bodies._shape import Body

__all__ = ["PRINT", "SIGN", "block", "can", "disc", "dome", "flat_of", "ldr", "minus_sign", "print_room"]

SIGN = 3.2
"""Width of the stroke of a minus on a can."""
PRINT = 20.0
"""Size of a code on a body."""
SHARES = {"disc": 0.7, "block": 0.8}
"""How much of the length of a body its code may take."""


def print_room(part: Part, legs: Sequence[Point]) -> float:
    """How long a code may be on a disc or block between its two leads, in user units; 0 on other bodies."""
    body = part.type.body
    between = 2 * min((abs(x) for x, _ in legs), default=0.0) - 10
    return max(0.0, min(body.length * 10 * SHARES.get(body.shape, 0.0), between))


def _leads(body: Body, reach: float) -> None:
    """Leads that come out from under a body of this half length."""
    for x, y in body.legs:
        if abs(x) > reach:
            body.pen.lead((x, y), (math.copysign(reach - 4, x), y))


def _entries(body: Body, reach: float) -> None:
    """Lead ends seen through the body, where it stands over its own holes."""
    for x, y in body.legs:
        body.pen.entry((x, y), 2.4 if abs(x) <= reach else 2.0)


def can(body: Body) -> None:
    """An electrolytic capacitor: sleeve, minus stripe on the side of the minus lead, value on top."""
    radius = body.length / 2
    pen, look = body.pen, body.look
    _leads(body, radius)
    pen.circle((0, 0), radius, look.body, look.edge)
    # The stripe: the part of the disc beyond a chord, on the side of the second (minus) lead.
    chord = radius * 0.5
    high = math.sqrt(radius**2 - chord**2)
    pen.shape(
        path("M", (chord, -high), "A", radius, radius, 0, 0, 1, (chord, high), "Z"),
        look.detail,
        look.edge,
        1.2,
    )
    (x, y), half = minus_sign(radius, body.legs)
    dx, dy = pen.upright(half, 0)
    pen.stroke(((x - dx, y - dy), (x + dx, y + dy)), look.edge, SIGN)
    _entries(body, radius)


def minus_sign(radius: float, legs: Sequence[Point]) -> tuple[Point, float]:
    """The middle of the minus on the stripe of a can, and half its length; it is level on the page.

    It stands beside the lead where the lead comes out of the stripe.
    """
    hidden = any(math.dist(leg, (radius * 0.76, 0)) < 10 for leg in legs)
    x, y, half = (0.69, 0.38, 0.15) if hidden else (0.76, 0.0, 0.17)
    return (radius * x, radius * y), radius * half


def disc(body: Body) -> None:
    """A ceramic disc seen from above: a lens with its code."""
    length, width, pen = body.length, body.width, body.pen
    _leads(body, length / 2 - 4)
    bow = (length**2 / 4 + width**2 / 4) / width
    lens = path(
        "M",
        (-length / 2, 0),
        "A",
        bow,
        bow,
        0,
        0,
        1,
        (length / 2, 0),
        "A",
        bow,
        bow,
        0,
        0,
        1,
        (-length / 2, 0),
        "Z",
    )
    pen.shape(lens, body.look.body, body.look.edge)
    room = print_room(body.part, body.legs)
    pen.text(0, 0, marking_of(body.part), PRINT, body.look.print, room, along=True, on=body.look.body)
    _entries(body, length / 2 - 4)


def block(body: Body) -> None:
    """A film capacitor: a small box with its code."""
    length, width, pen = body.length, body.width, body.pen
    _leads(body, length / 2)
    pen.rect(-length / 2, -width / 2, length, width, body.look.body, body.look.edge, 3)
    room = print_room(body.part, body.legs)
    pen.text(0, 0, marking_of(body.part), PRINT, body.look.print, room, along=True, on=body.look.body)
    _entries(body, length / 2)


def dome(body: Body) -> None:
    """An LED: rim with the flat side at the cathode (second lead), lens of its colour."""
    pen, colour = body.pen, colour_of(body.part)
    rim, lens = body.length / 2, body.length / 2 - 4
    flat, high = flat_of(rim)
    _leads(body, rim)
    edge = palette.mix(colour, palette.INK, 0.78)
    pen.shape(
        path("M", (flat, -high), "A", rim, rim, 0, 1, 0, (flat, high), "Z"),
        palette.mix(colour, "#FFFFFF", 0.45),
        edge,
    )
    pen.circle((0, 0), lens, colour, edge, 1.4)
    pen.circle((0, 0), lens * 0.62, palette.mix(colour, "#FFFFFF", 0.35))
    _entries(body, rim)


def flat_of(rim: float) -> Point:
    """How far from the middle of an LED with such a rim its flat side is, and half the length of that."""
    flat = rim * 0.86
    return flat, math.sqrt(rim**2 - flat**2)


def ldr(body: Body) -> None:
    """A light-dependent resistor: a disc with its winding track."""
    pen = body.pen
    a, b = body.length / 2, body.width / 2
    _leads(body, a - 5)
    pen.svg.element(
        "ellipse",
        cx=0,
        cy=0,
        rx=a,
        ry=b,
        fill=pen.ink(body.look.body),
        stroke=pen.line(body.look.edge),
        stroke_width=2,
    )
    steps, reach = 6, b * 0.58
    points = []
    for step in range(steps + 1):
        x = -a * 0.55 + step * a * 1.1 / steps
        points += [(x, reach if step % 2 else -reach), (x + a * 1.1 / steps, reach if step % 2 else -reach)]
    pen.stroke(tuple(points[:-1]), body.look.detail, 2.6)
    _entries(body, a - 5)
