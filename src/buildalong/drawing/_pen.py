"""A pen that draws in full colour or muted, in the local frame of a body."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass

from buildalong.drawing import _palette as palette
from buildalong.drawing import _text
from buildalong.drawing._frame import Point, Pose
from buildalong.drawing._svg import Svg, number, path
from buildalong.drawing._text import Style

__all__ = ["THIN", "Pen"]

THIN = 2.0
"""Width of an outline."""


@dataclass(frozen=True)
class Pen:
    """Draws bodies.  ``muted`` mixes every colour with ``ground``; ``angle`` is the body's turn."""

    svg: Svg
    muted: bool = False
    angle: float = 0.0
    ground: str = palette.BOARD
    fine: float = 1.0
    """Share of the usual width of outlines, for a body drawn larger than life."""

    def ink(self, colour: str) -> str:
        """The colour to fill with."""
        tone = self.svg.tone
        return palette.mix(tone.colour(colour), tone.colour(self.ground), tone.fade) if self.muted else colour

    def wire(self, colour: str) -> str:
        """The colour to draw a wire in; muted ones fade less, for nothing but their colour tells them."""
        return self.svg.tone.muted_wire(colour, self.ground) if self.muted else colour

    def line(self, colour: str) -> str:
        """The colour of an outline; muted ones fade less, for they must still be seen."""
        tone = self.svg.tone
        ground = tone.colour(self.ground)
        return palette.mix(tone.colour(colour), ground, tone.fade_line) if self.muted else colour

    def _thick(self, thick: float) -> float:
        return thick * self.fine * self.svg.tone.line

    @contextmanager
    def body(self, pose: Pose) -> Iterator[Pen]:
        """Draw in the local frame of a pose."""
        turn = f" rotate({number(pose.angle)})" if pose.angle else ""
        with self.svg.group(transform=f"translate({number(pose.x)} {number(pose.y)}){turn}"):
            yield Pen(self.svg, self.muted, pose.angle, self.ground, self.fine)

    def rect(
        self, x: float, y: float, width: float, height: float, fill: str, edge: str | None = None,
        radius: float = 0, thick: float = THIN,
    ) -> None:  # fmt: skip
        """A filled rectangle with a thin outline."""
        self.svg.rect(
            x, y, width, height, rx=radius or None, fill=self.ink(fill),
            stroke=self.line(edge) if edge else None, stroke_width=self._thick(thick) if edge else None,
        )  # fmt: skip

    def circle(
        self, at: Point, radius: float, fill: str, edge: str | None = None, thick: float = THIN
    ) -> None:
        """A filled circle with a thin outline."""
        self.svg.circle(
            at[0], at[1], radius, fill=self.ink(fill) if fill != "none" else fill,
            stroke=self.line(edge) if edge else None, stroke_width=self._thick(thick) if edge else None,
        )  # fmt: skip

    def shape(self, data: str, fill: str, edge: str | None = None, thick: float = THIN) -> None:
        """A filled path with a thin outline."""
        self.svg.path(
            data, fill=self.ink(fill) if fill != "none" else fill,
            stroke=self.line(edge) if edge else None, stroke_width=self._thick(thick) if edge else None,
            stroke_linejoin="round" if edge else None,
        )  # fmt: skip

    def stroke(self, points: Sequence[Point], colour: str, thick: float, outline: bool = False) -> None:
        """An open line; ``outline`` where it is the casing of another."""
        shade = self.line(colour) if outline else self.ink(colour)
        if len(points) == 2:
            self.svg.line(
                *points[0], *points[1], stroke=shade, stroke_width=thick, stroke_linecap="round"
            )  # fmt: skip
            return
        self.svg.path(
            path("M", points[0], *(bit for p in points[1:] for bit in ("L", p))), fill="none",
            stroke=shade, stroke_width=thick,
            stroke_linecap="round", stroke_linejoin="round",
        )  # fmt: skip

    def lead(self, start: Point, end: Point, thick: float = 5.0) -> None:
        """A bare lead from a body to its hole."""
        self.stroke((start, end), palette.METAL_EDGE, thick + 2, outline=True)
        self.stroke((start, end), palette.METAL, thick - 1.2)

    def entry(self, at: Point, radius: float = 3.2) -> None:
        """Where a lead goes down into its hole."""
        self.circle(at, radius + 1.6, palette.HOLE_USED)
        self.circle(at, radius, palette.METAL)

    def beneath(self, at: Point, radius: float = 3.2) -> None:
        """A leg on the underside of a body seen from above: a dashed ring, readable on light and dark."""
        dash = f"{math.pi * radius / 7:.3f}"
        for colour, broad, dashes in ((palette.HOLE_USED, 1.8, None), (palette.PAPER, 1.2, dash)):
            self.svg.circle(
                at[0], at[1], radius, fill="none", stroke=self.line(colour), stroke_width=broad,
                stroke_dasharray=dashes,
            )  # fmt: skip

    def upright(self, dx: float, dy: float) -> Point:
        """The local point that lies this far right of and below the origin on the page."""
        cos, sin = math.cos(math.radians(-self.angle)), math.sin(math.radians(-self.angle))
        return dx * cos - dy * sin, dx * sin + dy * cos

    def text(
        self, x: float, y: float, text: str, size: float, colour: str, room: float, *,
        style: Style = "bold", along: bool = False, down: bool = False, least: float = 20.0, on: str = "",
    ) -> None:  # fmt: skip
        """A print centred on (x, y): upright, along the local x axis, or down the local y axis.

        It is left out where it cannot fit into ``room``.  With ``on``, the colour of its ground, it
        stays readable when muted.
        """
        shown, size = _text.fit(text, size, room, style, least)
        if shown != text:
            return
        fill = palette.quiet_on(self.ink(on)) if self.muted and on else self.ink(colour)
        turn = -self.angle
        if along:
            turn = 0.0 if -90 <= _half_turn(self.angle) < 90 else 180.0
        if down:
            turn = 90.0 if -180 <= _half_turn(self.angle) < 0 or self.angle == 0 else -90.0
        turn = _half_turn(turn)
        self.svg.text(
            x, y + 0.334 * size if not turn else y, shown, size, anchor="middle", style=style,
            fill=fill, dy=0.334 * size if turn else None,
            transform=f"rotate({number(turn)} {number(x)} {number(y)})" if turn else None,
        )  # fmt: skip


def _half_turn(angle: float) -> float:
    """The angle between -180 and 180."""
    return (angle + 180) % 360 - 180
