"""Writing a placed label: its leader, its ground and its words."""

from __future__ import annotations

from buildalong.drawing import _palette as palette
from buildalong.drawing._labels import LINE, Placed
from buildalong.drawing._svg import Svg
from buildalong.drawing._text import Style

__all__ = ["write_label"]


def write_label(svg: Svg, label: Placed, *, fill: str, style: Style = "bold", rim: str | None = None) -> None:
    """Write a label where it was placed; ``rim`` is the colour of an edge around it."""
    if label.leader:
        svg.line(*label.leader[0], *label.leader[1], stroke=palette.INK_SOFT, stroke_width=1.6)
    x0, y0, x1, y1 = label.rect
    svg.rect(x0, y0, x1 - x0, y1 - y0, rx=4, fill=palette.TAG, stroke=rim, stroke_width=2.4 if rim else None)
    size, lines = label.tag.size, label.text.split("\n")
    for number, line in enumerate(lines):
        down = (0.334 + LINE * (number - (len(lines) - 1) / 2)) * size
        svg.text((x0 + x1) / 2, (y0 + y1) / 2 + down, line, size, anchor="middle", style=style, fill=fill)
