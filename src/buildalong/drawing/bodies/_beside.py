"""Parts that lie beside the board: supplies and motors.  They are drawn smaller than life."""

from __future__ import annotations

import math
from dataclasses import dataclass

from buildalong.circuit import Part
from buildalong.drawing import _palette as palette
from buildalong.drawing._frame import Point
from buildalong.drawing._look import Look, look_of
from buildalong.drawing._pen import Pen
from buildalong.drawing._svg import path

__all__ = ["BESIDE", "CAPTION", "Beside", "draw_beside", "draw_grip", "draw_loose", "draw_shell", "exit_at",
    "lead_colour", "plug_rects",
]  # fmt: skip

BESIDE = (150.0, 110.0)
"""Width and height of the picture of a part beside the board."""
CAPTION = 50.0
"""Room for the two lines of text at such a part."""

LARGEST = (50.5, 14.5)
"""The cell that fills a holder from end to end: AA, length and diameter [mm]."""

MOST = 8
"""The most cells that a holder in the catalogue has."""

Rect = tuple[float, float, float, float]


@dataclass(frozen=True)
class Beside:
    """A part beside the board: its corner, the side of the board where it lies, the runs of its leads."""

    part: Part
    left: float
    top: float
    side: str
    leads: tuple[tuple[Point, ...], ...]

    @property
    def caption(self) -> float:
        """Where the caption begins: under the part, or above it where the leads leave downwards."""
        return self.top - CAPTION if self.side == "top" else self.top + BESIDE[1]

    @property
    def rect(self) -> Rect:
        """The rectangle with its caption."""
        top = min(self.top, self.caption)
        return self.left - 8, top, self.left + BESIDE[0] + 8, top + BESIDE[1] + CAPTION


def exit_at(left: float, top: float, side: str, share: float) -> Point:
    """Where a lead leaves a part that lies on this side of the board."""
    width, height = BESIDE
    return {
        "left": (left + width, top + height * share),
        "right": (left, top + height * share),
        "top": (left + width * share, top + height),
        "bottom": (left + width * share, top),
    }[side]


def lead_colour(role: str) -> str:
    """The colour of a lead by the role of its terminal: a supply's two are red and black."""
    return {"positive": "red", "negative": "black"}.get(role, "grey")


def draw_loose(pen: Pen, part: Part, reach: float) -> tuple[Point, ...]:
    """Draw the part at (0, 0) with leads of this reach to its right; gives the ends of the leads."""
    exits = [exit_at(0, 0, "left", share) for share in (1 / 3, 2 / 3)]
    leads = tuple(((x, y), (x + reach, y)) for x, y in exits)
    for lead, terminal in zip(leads, part.type.terminals, strict=True):
        fill = palette.wire_colour(lead_colour(terminal.role))
        pen.stroke(lead, palette.mix(fill, "#000000", pen.svg.tone.casing[0]), 9)
        pen.stroke(lead, fill, 6.4)
    draw_beside(pen, Beside(part, 0, 0, "left", leads))
    return tuple(end for _, end in leads)


def draw_beside(pen: Pen, beside: Beside) -> None:
    """Draw the part into its rectangle of size :data:`BESIDE`."""
    look = look_of(beside.part.type)
    if beside.part.type.body.shape == "motor":
        _motor(pen, look, beside)
        return
    {"cells": _cells, "block": _block, "plug": _plug, "coin": _coin}.get(look.cells, _plain)(
        pen, look, beside
    )


def _signs(pen: Pen, beside: Beside, colour: str, inwards: float) -> None:
    """Plus and minus inside the case, where the leads leave."""
    dx, dy = {"left": (-1, 0), "right": (1, 0), "top": (0, -1), "bottom": (0, 1)}[beside.side]
    for lead, terminal in zip(beside.leads, beside.part.type.terminals, strict=False):
        x, y = lead[0]
        sign = "+" if terminal.role == "positive" else "-"
        _sign(pen, (x + dx * inwards, y + dy * inwards), sign, colour, 6)


def _cells(pen: Pen, look: Look, beside: Beside) -> None:
    left, top = beside.left, beside.top
    width, height = BESIDE
    count = min(max(round(beside.part.setting("count", 1)), 1), MOST)
    pen.rect(left, top, width, height, look.body, look.edge, 8)
    long, thick = (size / whole for size, whole in zip(look.cell, LARGEST, strict=True))
    cell = (width - 28) * long
    start, end = left + (width - cell) / 2, left + (width + cell) / 2
    room = min((height - 12) / count, 36.0 * thick)
    first = _plus_is_left(beside)
    for index in range(count):
        high = min(room - 4, 30.0 * thick)
        y = top + height / 2 + (index - count / 2) * room + (room - high) / 2
        turned = first != (index % 2 == 1)
        pen.rect(start, y, cell, high, look.detail, look.edge, 3, 1.6)
        nose = start - 6 if turned else end
        pen.rect(nose, y + high * 0.3, 6, high * 0.4, palette.METAL, look.edge, 0, 1.2)
        band = start if not turned else end - cell * 0.3
        pen.rect(band, y, cell * 0.3, high, palette.mix(look.body, "#000000", 0.3), look.edge, 3, 1.6)
        sign = end - 20 if not turned else start + 20
        _sign(pen, (sign, y + high / 2), "+", look.edge, min(5.0, high * 0.3))


def _plus_is_left(beside: Beside) -> bool:
    """Whether the first cell has its plus on the left: at the leads it shows the pole of the upper one."""
    if beside.side not in ("left", "right") or not beside.leads:
        return False
    upper = min(range(len(beside.leads)), key=lambda lead: beside.leads[lead][0][1])
    plus = beside.part.type.terminals[upper].role == "positive"
    return plus == (beside.side == "right")


def _block(pen: Pen, look: Look, beside: Beside) -> None:
    left, top = beside.left, beside.top
    width, height = BESIDE
    pen.rect(left, top, width, height, look.body, look.edge, 6)
    band = 34.0
    x, y, w, h = {
        "left": (left + width - band, top, band, height), "right": (left, top, band, height),
        "top": (left, top + height - band, width, band), "bottom": (left, top, width, band),
    }[beside.side]  # fmt: skip
    pen.rect(x, y, w, h, look.detail, look.edge, 6)
    # IEC 60086-2 (6LR61): the smaller, round stud is the plus one, the larger, six-sided one the minus.
    for lead, terminal in zip(beside.leads, beside.part.type.terminals, strict=False):
        if terminal.role == "positive":
            pen.circle(lead[0], 8.5, palette.METAL, look.edge, 1.6)
        else:
            pen.shape(_six_sided(lead[0], 13.0), palette.METAL, look.edge, 1.6)
            pen.circle(lead[0], 7.5, "none", look.edge, 1.2)
    _signs(pen, beside, look.edge, 24)
    centre = {
        "left": (left + (width - band) / 2, top + height / 2),
        "right": (left + (width + band) / 2, top + height / 2),
        "top": (left + width / 2, top + (height - band) / 2),
        "bottom": (left + width / 2, top + (height + band) / 2),
    }[beside.side]
    pen.text(*centre, beside.part.type.marking.text, 28, look.print, width - band - 16, on=look.body)


def _six_sided(at: Point, radius: float) -> str:
    turns = [math.radians(60 * corner + 30) for corner in range(6)]
    first, *others = [(at[0] + radius * math.cos(a), at[1] + radius * math.sin(a)) for a in turns]
    return path("M", first, "L", *others, "Z")


def _plug(pen: Pen, look: Look, beside: Beside) -> None:
    draw_shell(pen, look, beside)
    draw_grip(pen, look, beside)


def plug_rects(beside: Beside) -> tuple[Rect, Rect]:
    """The metal shell of a plug and its grip, from which the leads come: left, top, width, height."""
    left, top = beside.left, beside.top
    width, height = BESIDE
    (x, y), (u, v) = (left + (width - 52) / 2, top + (height - 52) / 2), (left + 33, top + 13)
    return {
        "left": ((left + 14, y, 52, 52), (left + 66, v, 84, 84)),
        "right": ((left + 84, y, 52, 52), (left, v, 84, 84)),
        "top": ((x, top, 52, 40), (u, top + 40, 84, 70)),
        "bottom": ((x, top + 70, 52, 40), (u, top, 84, 70)),
    }[beside.side]


def draw_shell(pen: Pen, look: Look, beside: Beside) -> None:
    """The shell of a plug, with its two windows."""
    left, top, width, height = plug_rects(beside)[0]
    pen.rect(left, top, width, height, palette.METAL, look.edge, 2)
    for each in (-10, 10):
        across, down = left + width / 2 + each, top + height / 2 + each
        x, y = {
            "left": (left + 12, down), "right": (left + width - 12, down),
            "top": (across, top + 12), "bottom": (across, top + height - 12),
        }[beside.side]  # fmt: skip
        pen.rect(x - 4, y - 4, 8, 8, palette.INK, None)


def draw_grip(pen: Pen, look: Look, beside: Beside) -> None:
    """The grip of a plug, with its print."""
    left, top, width, height = plug_rects(beside)[1]
    pen.rect(left, top, width, height, look.body, look.edge, 8)
    words = beside.part.type.marking.text
    pen.text(left + width / 2, top + height / 2, words, 26, look.print, 64, on=look.body)


def _coin(pen: Pen, look: Look, beside: Beside) -> None:
    left, top = beside.left, beside.top
    width, height = BESIDE
    centre = (left + width / 2, top + height / 2)
    pen.rect(left, top, width, height, look.body, look.edge, 10)
    pen.circle(centre, height / 2 - 8, palette.METAL, look.edge)
    pen.circle(centre, height / 2 - 16, "none", look.edge, 1.2)
    _sign(pen, centre, "+", look.edge, 10)


def _plain(pen: Pen, look: Look, beside: Beside) -> None:
    pen.rect(beside.left, beside.top, *BESIDE, look.body, look.edge, 8)


def _motor(pen: Pen, look: Look, beside: Beside) -> None:
    left, top = beside.left, beside.top
    width, height = BESIDE
    middle = top + height / 2
    away = beside.side == "right"

    def x(at: float, wide: float) -> float:
        """Mirrored where the shaft must point away from the board."""
        return left + width - at - wide if away else left + at

    pen.rect(x(4, 30), middle - 4, 30, 8, palette.METAL, palette.METAL_EDGE, 0, 1.4)
    pen.rect(x(30, width - 42), top + 10, width - 42, height - 20, look.body, look.edge, 16)
    pen.rect(x(width - 16, 16), top + 24, 16, height - 48, look.detail, look.edge, 3)
    pen.text(x(30, width - 42) + (width - 42) / 2, middle, "M", 40, look.print, 60, on=look.body)


def _sign(pen: Pen, at: Point, sign: str, colour: str, reach: float) -> None:
    x, y = at
    pen.stroke(((x - reach, y), (x + reach, y)), colour, 2.6)
    if sign == "+":
        pen.stroke(((x, y - reach), (x, y + reach)), colour, 2.6)
