"""The thumbnail: what the lesson builds, readable at the size of a stamp."""

from __future__ import annotations

from collections.abc import Sequence

from buildalong.drawing import _palette as palette
from buildalong.drawing._picture import Picture
from buildalong.drawing._svg import Svg
from buildalong.drawing.screen._flow import Item, flow
from buildalong.drawing.screen._shape import Rect
from buildalong.words import in_parts

__all__ = ["thumbnail"]

WIDTH, HIGH = 1280, 720


def thumbnail(
    title: str, facts: Sequence[str], board: Picture, tone: palette.Tone = palette.PLAIN
) -> Picture:
    """Draw the thumbnail, 1280 by 720: the title large, a few facts below, the board at the right."""
    svg = Svg(
        WIDTH, HIGH, title=title, alt=f"{title}. {in_parts(facts)}.", background=palette.PAPER, tone=tone
    )
    wide, tall = board.width, board.height
    scale = min(620 / wide, 690 / tall)
    svg.insert(board, WIDTH - 15 - wide * scale, (HIGH - tall * scale) / 2, wide * scale, tall * scale)
    room = WIDTH - 15 - wide * scale - 90
    svg.rect(0, 0, 18, HIGH, fill=palette.INK)
    flow(svg, [Item(title, 92, "bold")], Rect(54, 60, room, 470))
    flow(
        svg,
        [Item(fact, 42, colour=palette.INK_SOFT) for fact in facts],
        Rect(54, 700 - 56 * len(facts), room, 600),
    )
    return svg.picture()
