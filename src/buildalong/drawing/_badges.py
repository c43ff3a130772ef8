"""Numbers of the story's moments above a time axis, near ones one above the other."""

from __future__ import annotations

from collections.abc import Sequence

from buildalong.drawing import _palette as palette
from buildalong.drawing import _text
from buildalong.drawing._svg import Svg

__all__ = ["BADGE_ROW", "badge", "badge_rows", "badges_height"]

BADGE = 15.0
"""Half the height of a number's circle [units]."""
BADGE_ROW = 2 * BADGE + 3
"""From one row of numbers to the next."""
SIZE = 18.0


def badge_rows(places: Sequence[float]) -> tuple[int, ...]:
    """A row, from 0 nearest the axis, for a number at each of the places [units], in rising order."""
    ends: list[float] = []
    out = []
    for x in places:
        row = next((r for r, last in enumerate(ends) if x - last >= BADGE_ROW), len(ends))
        if row == len(ends):
            ends.append(x)
        else:
            ends[row] = x
        out.append(row)
    return tuple(out)


def badges_height(rows: Sequence[int]) -> float:
    """How much room the rows of numbers take [units]."""
    return (max(rows) + 1) * BADGE_ROW if rows else 0.0


def badge(svg: Svg, x: float, foot: float, row: int, number: str) -> None:
    """Draw a number in its row above ``foot``."""
    y = foot - BADGE - row * BADGE_ROW
    svg.circle(x, y, BADGE, fill=palette.PAPER, stroke=palette.INK, stroke_width=2)
    shown, size = _text.fit(number, SIZE, 2 * BADGE - 6, "bold", _text.LEAST)
    svg.text(x, y + 0.334 * size, shown, size, anchor="middle", style="bold", fill=palette.INK)
