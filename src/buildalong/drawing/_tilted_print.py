"""Names on the upper faces of long ICs in the tilted view: no leader crosses what stands around them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from buildalong.circuit import Part
from buildalong.drawing import _text
from buildalong.drawing._frame import Point, Pose
from buildalong.drawing._look import look_of, marking_of
from buildalong.drawing._svg import Svg, number
from buildalong.drawing._tilt import Eye, within
from buildalong.drawing._wires import THICK, near

__all__ = ["Print", "print_of"]

BESIDE = 13.0
"""So far from the ends of a body its print stays, at one of which is the notch; the dot is beside it."""
CAP = 0.334
"""From the middle of capitals to their baseline, in sizes of the text."""


@dataclass(frozen=True)
class Print:
    """A name along the upper face of a body; ``turn`` is that of its line in the plan [degrees]."""

    text: str
    size: float
    pose: Pose
    turn: float
    height: float
    colour: str

    def write(self, svg: Svg, eye: Eye) -> None:
        """Write it on the face."""
        lying = f"translate({number(self.pose.x)} {number(self.pose.y)}) rotate({number(self.turn)})"
        with svg.group(transform=eye.matrix(self.height)), svg.group(transform=lying):
            svg.text(
                0, CAP * self.size, self.text, self.size, anchor="middle", style="bold", fill=self.colour
            )


def print_of(
    part: Part, pose: Pose, eye: Eye, size: float, fronts: Sequence[Sequence[Point]],
    lines: Sequence[Sequence[Point]],
) -> Print | None:  # fmt: skip
    """Reference and type of an IC that is long enough, and before which nothing stands; None for others.

    ``size`` is that of the picture's other texts, ``fronts`` are outlines of nearer parts, ``lines`` wires
    that run over it.
    """
    if part.type.body.shape != "dip":
        return None
    text = f"{part.id} {marking_of(part)}"
    # As large as the others by its area, though the view foreshortens it (see Svg).
    (ax, ay), (bx, by) = eye.project(1.0, 0.0), eye.project(0.0, 1.0)
    size /= math.sqrt(abs(ax * by - ay * bx))
    half, high = _text.width(text, size, "bold") / 2, part.type.body.height * 10
    if half > part.type.body.length * 5 - BESIDE:
        return None
    along = math.radians(pose.angle + 90)
    way = math.cos(along), math.sin(along)
    if eye.project(*way)[0] < 0:  # it is read from left to right
        way = -way[0], -way[1]
    shares = [(u * half, v * size) for u in np.linspace(-1.0, 1.0, 9) for v in (-0.5, 0.0, 0.5)]
    plan = [(pose.x + way[0] * u - way[1] * v, pose.y + way[1] * u + way[0] * v) for u, v in shares]
    places = [eye.project(*at, high) for at in plan]
    if any((within(front, places) > -2).any() for front in fronts):
        return None
    if any(near(at, line) < THICK for at in places for line in lines):
        return None
    turn = math.degrees(math.atan2(way[1], way[0]))
    return Print(text, size, pose, round(turn, 3), high, look_of(part.type).print)
