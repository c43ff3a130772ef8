"""Moulded bodies: ICs in two rows of pins, transistors with a flat face."""

from __future__ import annotations

import math

from buildalong.drawing import _palette as palette
from buildalong.drawing import _text
from buildalong.drawing._look import marking_of
from buildalong.drawing._svg import path
from buildalong.drawing.bodies._shape import Body

__all__ = ["dip", "to92"]


def dip(body: Body) -> None:
    """An IC: notch at the end of pin 1, a dot beside pin 1, reference and type."""
    pen, look = body.pen, body.look
    length, width = body.length, body.width
    pins = []
    for x, y in body.legs:
        inner = math.copysign(width / 2 - 1, x)
        wide, slim = x - math.copysign(7, x), x - math.copysign(5, x)
        pins.append(
            path("M", (inner, y - 6), "L", (wide, y - 6), (slim, y - 3), (x, y - 3), (x, y + 3),
                 (slim, y + 3), (wide, y + 6), (inner, y + 6), "Z")
        )  # fmt: skip
    pen.shape(" ".join(pins), palette.METAL, palette.METAL_EDGE, 1.2)
    top = -length / 2
    notch = path("M", (-9, top), "A", 9, 9, 0, 0, 0, (9, top), "Z")
    pen.rect(-width / 2, top, width, length, look.body, look.edge, 4)
    pen.shape(notch, palette.BOARD, look.edge)
    pin1 = body.legs[0]
    pen.circle((-width / 2 + 9, pin1[1] - 1), 3.4, look.print)
    name = marking_of(body.part)
    if not body.named:
        # As on the real one: along the body, the notch on the left of the print.
        pen.text(0, 8, name, 22, look.print, length - 40, style="regular", down=True, least=10)
        return
    lying = abs(math.sin(math.radians(pen.angle))) > 0.7
    room = (length - 34) if lying else (width - 8)
    if _text.width(name, 20, "regular") <= room:
        pen.text(*pen.upright(0, -12), body.part.id, 24, look.print, room, least=20, on=look.body)
        pen.text(*pen.upright(0, 13), name, 20, look.print, room, style="regular", least=20, on=look.body)
    else:
        # A long type goes along the body, as it is printed on the real one; the reference beside it.
        shift = 12 if pen.angle == 0 or -180 <= (pen.angle + 180) % 360 - 180 < 0 else -12
        pen.text(shift, 6, body.part.id, 24, look.print, length - 22, down=True, least=20, on=look.body)
        pen.text(-shift, 6, name, 20, look.print, length - 22, style="regular", down=True, least=20,
                 on=look.body)  # fmt: skip


def to92(body: Body) -> None:
    """A transistor: the flat face towards the reader of its legs, who stands at the local left."""
    pen, look = body.pen, body.look
    # The legs run along y, a little behind the flat face at x < 0; the round back is at x > 0.
    radius, depth = body.length / 2, body.width
    face = -depth / 3
    centre = face + depth - radius
    half = math.sqrt(radius**2 - (centre - face) ** 2)
    outline = path("M", (face, -half), "A", radius, radius, 0, 1, 1, (face, half), "Z")
    for x, y in body.legs:
        if abs(y) > radius - 4:
            pen.lead((x, y), (x, math.copysign(radius - 8, y)))
    pen.shape(outline, look.body, look.edge)
    pen.stroke(((face + 3.2, -half + 4), (face + 3.2, half - 4)), look.detail, 2.2)
    for x, y in body.legs:
        pen.entry((x, y), 2.4)
