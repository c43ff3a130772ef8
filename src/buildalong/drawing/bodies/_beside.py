"""Parts that lie beside the board: supplies and motors.  They are drawn smaller than life."""

from __future__ import annotations

from buildalong.circuit import Part
from buildalong.drawing import _palette as palette
from buildalong.drawing._frame import Point
from buildalong.drawing._look import look_of
from buildalong.drawing._pen import Pen
from buildalong.drawing._svg import path

__all__ = ["BESIDE", "draw_beside"]

BESIDE = (150.0, 110.0)
"""Width and height of the picture of a part beside the board."""


def draw_beside(pen: Pen, part: Part, left: float, top: float) -> None:
    """Draw the part into the rectangle of size :data:`BESIDE` at this corner."""
    if part.type.body.shape == "motor":
        _motor(pen, part, left, top)
        return
    kind = look_of(part.type).cells
    {"cells": _cells, "block": _block, "plug": _plug, "coin": _coin}.get(kind, _plain)(pen, part, left, top)


def _cells(pen: Pen, part: Part, left: float, top: float) -> None:
    look = look_of(part.type)
    width, height = BESIDE
    count = min(max(round(part.setting("count", 1)), 1), 6)
    pen.rect(left, top, width, height, look.body, look.edge, 8)
    room = (height - 12) / count
    for index in range(count):
        y = top + 6 + index * room
        high = min(room - 4, 30.0)
        y += (room - high) / 2
        turned = index % 2 == 1
        pen.rect(left + 14, y, width - 28, high, look.detail, look.edge, 3, 1.6)
        nose = left + 8 if turned else left + width - 14
        pen.rect(nose, y + high * 0.3, 6, high * 0.4, palette.METAL, look.edge, 0, 1.2)
        band = left + 14 if not turned else left + width - 14 - (width - 28) * 0.3
        pen.rect(band, y, (width - 28) * 0.3, high, palette.mix(look.body, "#000000", 0.3), look.edge, 3, 1.6)
        sign = left + width - 34 if not turned else left + 34
        _sign(pen, (sign, y + high / 2), "+", look.edge, min(5.0, high * 0.3))


def _block(pen: Pen, part: Part, left: float, top: float) -> None:
    look = look_of(part.type)
    width, height = BESIDE
    pen.rect(left + 10, top + 18, width - 20, height - 18, look.body, look.edge, 6)
    pen.rect(left + 10, top + 18, width - 20, 26, look.detail, look.edge, 6)
    for x, sign in ((left + 46, "+"), (left + width - 46, "-")):
        pen.circle((x, top + 14), 11, palette.METAL, look.edge, 1.6)
        _sign(pen, (x, top + 31), sign, look.edge, 6)
    pen.text(left + width / 2, top + 78, "9 V", 26, look.print, width - 40)


def _plug(pen: Pen, part: Part, left: float, top: float) -> None:
    look = look_of(part.type)
    middle = top + BESIDE[1] / 2
    pen.rect(left + 14, middle - 24, 44, 48, palette.METAL, look.edge, 2)
    pen.rect(left + 22, middle - 14, 8, 8, palette.INK, None)
    pen.rect(left + 22, middle + 6, 8, 8, palette.INK, None)
    pen.rect(left + 58, middle - 32, 78, 64, look.body, look.edge, 8)
    pen.text(left + 97, middle, "5 V", 26, look.print, 60)


def _coin(pen: Pen, part: Part, left: float, top: float) -> None:
    look = look_of(part.type)
    width, height = BESIDE
    centre = (left + width / 2, top + height / 2)
    pen.rect(left + 14, top + 6, width - 28, height - 12, look.body, look.edge, 10)
    pen.circle(centre, height / 2 - 13, palette.METAL, look.edge)
    pen.circle(centre, height / 2 - 21, "none", look.edge, 1.2)
    _sign(pen, (centre[0], centre[1] - 12), "+", look.edge, 8)


def _plain(pen: Pen, part: Part, left: float, top: float) -> None:
    look = look_of(part.type)
    pen.rect(left, top, *BESIDE, look.body, look.edge, 8)


def _motor(pen: Pen, part: Part, left: float, top: float) -> None:
    look = look_of(part.type)
    width, height = BESIDE
    middle = top + height / 2
    pen.rect(left + 4, middle - 4, 30, 8, palette.METAL, palette.METAL_EDGE, 0, 1.4)
    pen.rect(left + 30, top + 14, width - 50, height - 28, look.body, look.edge, 16)
    pen.rect(left + width - 26, top + 26, 14, height - 52, look.detail, look.edge, 3)
    turn = path("M", (left + 72, middle - 16), "A", 20, 20, 0, 1, 1, (left + 72, middle + 16))
    pen.shape(turn, "none", look.edge, 3)
    pen.shape(
        path("M", (left + 62, middle + 15), "L", (left + 75, middle + 8), "L", (left + 75, middle + 24), "Z"),
        look.edge,
    )  # fmt: skip


def _sign(pen: Pen, at: Point, sign: str, colour: str, reach: float) -> None:
    x, y = at
    pen.stroke(((x - reach, y), (x + reach, y)), colour, 2.6)
    if sign == "+":
        pen.stroke(((x, y - reach), (x, y + reach)), colour, 2.6)
