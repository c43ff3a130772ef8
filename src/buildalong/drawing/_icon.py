"""A part without any words beside it, small enough for a label or a list."""

from __future__ import annotations

from contextlib import AbstractContextManager
from dataclasses import replace

from buildalong.circuit import Part, bands_on
from buildalong.drawing import _palette as palette
from buildalong.drawing._frame import PITCH, pose
from buildalong.drawing._look import look_of
from buildalong.drawing._pen import Pen
from buildalong.drawing._picture import Picture
from buildalong.drawing._svg import Svg, number
from buildalong.drawing._words import card_words
from buildalong.drawing.bodies import Body, draw_body
from buildalong.drawing.bodies._axial import cylinder
from buildalong.drawing.bodies._beside import BESIDE, draw_loose
from buildalong.drawing.bodies._hand import HANDS, height, lead_length

__all__ = ["part_icon"]

WIDTH, HEIGHT = 180.0, 90.0
LEAD = 44.0
"""How far the leads of a part beside the board reach, of the units in which its body is 150 wide."""


def part_icon(part: Part, *, words: bool = True) -> Picture:
    """Draw one part by itself, 180 by 90 units, as it lies on the table, and with ``words`` its print."""
    svg = Svg(
        WIDTH, HEIGHT, title=part.type.title, alt=card_words(part), background=palette.PAPER, words=words
    )
    pen = Pen(svg, ground=palette.PAPER)
    body, shape = part.type.body, part.type.body.shape
    if bands_on(part):
        scale = 1.9
        with _at(svg, WIDTH / 2, HEIGHT / 2, scale):
            reach = (WIDTH / 2 - 10) / scale
            fine = replace(pen, fine=1.2 / scale)
            cylinder(Body(fine, part, look_of(part.type), ((-reach, 0), (reach, 0))))
    elif body.kind == "off-board":
        wide, high = BESIDE[0] + LEAD, BESIDE[1]
        scale = min(0.9 * WIDTH / wide, 0.9 * HEIGHT / high)
        with _at(svg, (WIDTH - wide * scale) / 2, (HEIGHT - high * scale) / 2, scale):
            draw_loose(replace(pen, fine=1.2 / scale), part, LEAD)
    elif shape in HANDS and len(part.type.leg_terminals) <= 3:
        if shape == "cylinder":
            with _at(svg, WIDTH / 2, HEIGHT / 2, 1.2):
                HANDS[shape](replace(pen, fine=1.0), part)
        else:
            _lying(svg, pen, part)
    else:
        _from_above(svg, pen, part)
    return svg.picture()


def _lying(svg: Svg, pen: Pen, part: Part) -> None:
    """A part with its leads on one side: on its back, the body on the left, whole, its print upright."""
    lead = lead_length(part)
    long = height(part) + lead
    across = max(part.type.body.length * 10, 2 * PITCH + 7)
    scale = min((WIDTH - 14) / long, (HEIGHT - 12) / across, 1.2)
    with (
        svg.group(transform=f"translate({number(WIDTH / 2)} {number(HEIGHT / 2)}) rotate(-90)"),
        _at(svg, 0, -scale * lead / 2, scale),
    ):
        HANDS[part.type.body.shape](replace(pen, angle=-90.0, fine=1.2 / scale), part)


def _from_above(svg: Svg, pen: Pen, part: Part) -> None:
    """A part on stiff legs, turned so that its longer side lies level."""
    legs = part.type.body.legs
    points = [(leg.at[0] * PITCH, leg.at[1] * PITCH) for leg in legs] or [
        (index * PITCH, 0.0) for index in range(len(part.type.leg_terminals))
    ]
    at = pose(part, points)
    xs, ys = [x for x, _ in at.legs], [y for _, y in at.legs]
    across = max(max(xs) - min(xs), part.type.body.width * 10) + 10
    along = max(max(ys) - min(ys), part.type.body.length * 10) + 10
    scale = min((WIDTH - 12) / along, (HEIGHT - 8) / across, 1.6)
    middle = f"translate({number(-(max(xs) + min(xs)) / 2)} {number(-(max(ys) + min(ys)) / 2)})"
    centre = f"translate({number(WIDTH / 2)} {number(HEIGHT / 2)})"
    turned = f"{centre} rotate(-90) scale({number(scale)}) {middle}"
    with svg.group(transform=turned):
        draw_body(
            Body(replace(pen, angle=-90.0, fine=1.2 / scale), part, look_of(part.type), at.legs, named=False)
        )


def _at(svg: Svg, x: float, y: float, scale: float) -> AbstractContextManager[None]:
    return svg.group(transform=f"translate({number(x)} {number(y)}) scale({number(scale)})")
