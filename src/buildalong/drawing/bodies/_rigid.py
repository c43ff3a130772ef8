"""Bodies on stiff legs: push-button, slide switch, trimmer, buzzer, and a block for anything else."""

from __future__ import annotations

import math

from buildalong.circuit import Part
from buildalong.drawing import _palette as palette
from buildalong.drawing._frame import Point
from buildalong.drawing._look import marking_of
from buildalong.drawing._svg import path
from buildalong.drawing.bodies._shape import Body

__all__ = ["ROTOR", "buzzer", "plain", "slide", "tact", "trimmer", "wiper_arrow"]

ROTOR, SLOT = 0.5, 0.42
"""Half the rotor of a trimmer and half its arrow, as shares of half its case: clear of its legs."""


def tact(body: Body) -> None:
    """A push-button: square case, four legs, round cap."""
    pen, look = body.pen, body.look
    a, b = body.length / 2, body.width / 2
    for x, y in body.legs:
        start = (math.copysign(b - 2, x), math.copysign(min(abs(y), a - 4), y))
        pen.lead(start, (x, y), 6)
    pen.rect(-b, -a, 2 * b, 2 * a, look.body, look.edge, 4)
    for x, y in ((-1, -1), (1, -1), (-1, 1), (1, 1)):
        pen.circle((x * (b - 7), y * (a - 7)), 2.6, palette.mix(look.body, "#000000", 0.35))
    pen.circle((0, 0), 17, look.detail, look.edge)


def _legs(body: Body, radius: float) -> None:
    """On a board, where the legs go into their holes; by itself, the legs that the body hides."""
    for leg in body.legs:
        if body.named:
            body.pen.entry(leg, radius)
        else:
            body.pen.beneath(leg, radius + 1.0)


def slide(body: Body) -> None:
    """A slide switch: a slot with its lever at the set throw (legs along y)."""
    pen, look = body.pen, body.look
    a, b = body.length / 2, body.width / 2
    pen.rect(-b, -a, 2 * b, 2 * a, look.body, look.edge, 3)
    pen.rect(-b * 0.45, -a * 0.52, b * 0.9, a * 1.04, palette.mix(look.body, "#000000", 0.45), None, 2)
    thrown = body.part.setting("thrown", 0.0)
    y = a * (0.22 if thrown else -0.22)
    pen.rect(-b * 0.4, y - a * 0.26, b * 0.8, a * 0.52, look.detail, look.edge, 2, 1.4)
    _legs(body, 2.2)


def trimmer(body: Body) -> None:
    """A trimming potentiometer: square case, rotor with an arrow at the set position."""
    pen, look = body.pen, body.look
    a, b = body.length / 2, body.width / 2
    xs = [x for x, _ in body.legs]
    cx = (min(xs) + max(xs)) / 2
    pen.rect(cx - b, -a, 2 * b, 2 * a, look.body, look.edge, 4)
    pen.circle((cx, 0), b * ROTOR, look.detail, look.edge, 1.6)
    slot, head = wiper_arrow(body.part, (cx, 0), b)
    pen.stroke(slot, look.edge, 5)
    pen.shape(path("M", head[0], "L", head[1], "L", head[2], "Z"), look.edge)
    if not body.named:  # on a board the print would be too small
        pen.text(cx + b - 11, 10 - a, marking_of(body.part), 9, look.print, b, least=9)
    _legs(body, 2.4)


def wiper_arrow(part: Part, middle: Point, half: float) -> tuple[tuple[Point, Point], tuple[Point, ...]]:
    """The slot of a trimmer and the head at its end that tells where the wiper stands, in its local frame.

    Three quarters of a turn from the leg of end A over that of the wiper to that of end B (common practice).
    """
    turn = math.radians(-135 + 270 * part.setting("position", 0.5))
    dx, dy = math.cos(turn), math.sin(turn)

    def at(along: float, aside: float = 0.0) -> Point:
        along, aside = along * SLOT * half, aside * SLOT * half
        return middle[0] + along * dx - aside * dy, middle[1] + along * dy + aside * dx

    return (at(-0.85), at(0.2)), (at(1.0), at(0.0, 0.66), at(0.0, -0.66))


def buzzer(body: Body) -> None:
    """A buzzer: a round case with its sound hole and a plus beside the first leg."""
    pen, look = body.pen, body.look
    radius = body.length / 2
    pen.circle((0, 0), radius, look.body, look.edge)
    pen.circle((0, 0), radius * 0.72, "none", look.detail, 1.6)
    pen.circle((0, 0), radius * 0.16, palette.mix(look.body, "#000000", 0.6), look.detail, 1.4)
    x, y = body.legs[0]
    sign = (x + 13, y)
    pen.stroke(((sign[0] - 5, sign[1]), (sign[0] + 5, sign[1])), look.print, 2.6)
    pen.stroke(((sign[0], sign[1] - 5), (sign[0], sign[1] + 5)), look.print, 2.6)
    _legs(body, 2.4)


def plain(body: Body) -> None:
    """A block of the right size, for a shape that has no drawing of its own."""
    pen, look = body.pen, body.look
    a, b = max(body.length / 2, 8), max(body.width / 2, 8)
    if len(body.legs) == 2 and not body.part.type.body.legs:
        pen.shape(path("M", (-a, -b), "L", (a, -b), "L", (a, b), "L", (-a, b), "Z"), look.body, look.edge)
    else:
        pen.shape(path("M", (-b, -a), "L", (b, -a), "L", (b, a), "L", (-b, a), "Z"), look.body, look.edge)
    _legs(body, 2.4)
