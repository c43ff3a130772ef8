"""Setting text into a rectangle: as large as it goes, never beyond it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from buildalong.drawing import _palette as palette
from buildalong.drawing import _text
from buildalong.drawing._svg import Svg
from buildalong.drawing._text import Style
from buildalong.drawing.screen._shape import Rect

__all__ = ["Item", "flow"]

SHRINK = (1.0, 0.92, 0.85, 0.78, 0.72, 0.66)
"""Sizes that are tried, in turn."""
LEADING = 1.28


@dataclass(frozen=True, slots=True)
class Item:
    """A paragraph: ``gap`` goes before it; with ``bar`` it stands beside a coloured bar on a tint."""

    text: str
    size: float
    style: Style = "regular"
    colour: str = palette.INK
    gap: float = 0.0
    bar: str = ""
    bullet: str = ""


def flow(svg: Svg, items: Sequence[Item], room: Rect) -> float:
    """Write paragraphs one below the other into ``room``; gives the y where they end.

    They are made smaller together until they fit; what then is still too much ends with an ellipsis.
    """
    for scale in SHRINK:
        if sum(_height(item, room.width, scale) for item in items) <= room.height:
            break
    y = room.y
    for item in items:
        y = _write(svg, item, room, scale, y)
    return y


def _indent(item: Item, scale: float) -> float:
    return (30.0 if item.bar else 36.0 if item.bullet else 0.0) * scale


def _lines(item: Item, width: float, scale: float) -> tuple[str, ...]:
    room = width - _indent(item, scale) - (16 * scale if item.bar else 0)
    size = item.size * scale
    lines = _text.wrap(item.text, size, room, item.style)
    return tuple(_text.fit(line, size, room, item.style)[0] for line in lines)


def _height(item: Item, width: float, scale: float) -> float:
    pad = 28 * scale if item.bar else 0.0
    return item.gap * scale + len(_lines(item, width, scale)) * item.size * scale * LEADING + pad


def _write(svg: Svg, item: Item, room: Rect, scale: float, y: float) -> float:
    size = item.size * scale
    pad = 14 * scale if item.bar else 0.0
    top = y + item.gap * scale
    left = int((room.y + room.height - top - 2 * pad) / (size * LEADING) + 1e-6)
    lines = list(_lines(item, room.width, scale))
    if left <= 0:
        return y
    if len(lines) > left:
        lines = [*lines[: left - 1], lines[left - 1].rstrip(" .,;:") + " …"]
    tall = len(lines) * size * LEADING
    if item.bar:
        svg.rect(room.x, top, room.width, tall + 2 * pad, fill=palette.mix(item.bar, palette.PAPER, 0.88))
        svg.rect(room.x, top, 8, tall + 2 * pad, fill=item.bar)
    x = room.x + _indent(item, scale)
    for index, line in enumerate(lines):
        base = top + pad + index * size * LEADING + size * 0.95
        if item.bullet and not index:
            svg.rect(room.x + 4, base - size * 0.52, size * 0.4, size * 0.4, fill="none", stroke=item.bullet,
                     stroke_width=2.4)  # fmt: skip
        svg.text(x, base, line, size, style=item.style, fill=item.colour)
    return top + tall + 2 * pad
