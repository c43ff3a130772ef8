"""Parts at work on the board: an LED that shines, a button that is pressed."""

from __future__ import annotations

import math

from buildalong.circuit import Part
from buildalong.drawing import _palette as palette
from buildalong.drawing._frame import Pose
from buildalong.drawing._look import colour_of
from buildalong.drawing._svg import Svg
from buildalong.drawing._watch import SHOWING

__all__ = ["draw_active", "reach"]

RAYS, NEAR, FAR = 12, 1.3, 1.85
"""Rays around a light, and from where to where they reach, in radii of its body."""


def _radius(part: Part) -> float:
    return max(part.type.body.length, part.type.body.width) * 5


def reach(part: Part) -> float:
    """How far from the middle of a part at work something is drawn, in user units."""
    return _radius(part) * FAR + 2


def draw_active(svg: Svg, part: Part, pose: Pose) -> None:
    """Rays and a glow around a light, a ring around anything else; both are seen in grey printing too."""
    radius = _radius(part)
    if part.type.family not in SHOWING:
        svg.circle(pose.x, pose.y, radius * 1.3, fill="none", stroke=palette.ACCENT, stroke_width=5)
        svg.circle(pose.x, pose.y, radius * 0.35, fill=palette.ACCENT)
        return
    colour = colour_of(part)
    edge = palette.mix(colour, palette.INK, 0.45)
    svg.circle(pose.x, pose.y, radius * FAR, fill=palette.mix(colour, "#FFFFFF", 0.3), fill_opacity=0.45)
    svg.circle(pose.x, pose.y, radius * 0.92, fill=colour, stroke=edge, stroke_width=2)
    svg.circle(pose.x, pose.y, radius * 0.6, fill=palette.mix(colour, "#FFFFFF", 0.75))
    for turn in range(RAYS):
        cos, sin = (f(2 * math.pi * turn / RAYS) for f in (math.cos, math.sin))
        svg.line(
            pose.x + NEAR * radius * cos, pose.y + NEAR * radius * sin,
            pose.x + FAR * radius * cos, pose.y + FAR * radius * sin,
            stroke=edge, stroke_width=3.4, stroke_linecap="round",
        )  # fmt: skip
