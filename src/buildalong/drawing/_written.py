"""Writing a placed label: its leader, its ground and its words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

import numpy as np

from buildalong.drawing import _palette as palette
from buildalong.drawing._frame import Point
from buildalong.drawing._label_field import reads_on
from buildalong.drawing._labels import LINE, Placed
from buildalong.drawing._marks import runs_over
from buildalong.drawing._svg import Svg
from buildalong.drawing._text import Style

__all__ = ["write_label"]


DOT = 3.0
"""Radius of the dot at the end of a leader."""
LONG, SHORT, GAP = "8 ", "2 ", "3 "
"""Dashes of the edge around the name of a net that shares its colour: with two bars a short one, too."""


def write_label(
    svg: Svg, label: Placed, *, fill: str, style: Style = "bold", rim: str | None = None,
    bars: int = 0, over: Iterable[Sequence[Point]] = (), beside: Sequence[Placed] = (), framed: bool = False,
) -> None:  # fmt: skip
    """Write a label where it was placed; ``rim`` is the colour of an edge around it, dashed with ``bars``.

    One that lies over a wire of ``over`` has a thin edge, so that the wire is seen to go on under it; so has
    one that would read on in one of the labels ``beside`` it, and each where they are ``framed``.
    """
    if label.leader:
        (x0, y0), (x1, y1) = label.leader
        if label.tag.ends:  # it ends within an outline: with a dot (ISO 128-22)
            svg.circle(x1, y1, DOT + 1.2, fill=palette.TAG)
            svg.circle(x1, y1, DOT, fill=palette.INK)
        else:  # it runs over a body to its hole, which may be as dark
            svg.line(x0, y0, x1, y1, stroke=palette.TAG, stroke_width=3.2)
        svg.line(x0, y0, x1, y1, stroke=palette.INK_SOFT, stroke_width=1.6)
    x0, y0, x1, y1 = label.rect
    thin = framed or any(runs_over(piece, label.rect) for line in over for piece in pairwise(line))
    others = np.array([other.rect for other in beside if other is not label]).reshape(-1, 4)
    thin = thin or bool(reads_on(np.array([label.rect]), others).any())
    edge, wide = (rim, 2.4) if rim else (palette.INK_SOFT, 1.2) if thin else (None, None)
    dashes = LONG + GAP + (SHORT + GAP) * (bars - 1) if bars else None
    svg.rect(
        x0, y0, x1 - x0, y1 - y0, rx=4, fill=palette.TAG, stroke=edge, stroke_width=wide,
        stroke_dasharray=dashes and dashes.strip(),
    )  # fmt: skip
    size, lines = label.tag.size, label.text.split("\n")
    for number, line in enumerate(lines):
        down = (0.334 + LINE * (number - (len(lines) - 1) / 2)) * size
        svg.text((x0 + x1) / 2, (y0 + y1) / 2 + down, line, size, anchor="middle", style=style, fill=fill)
