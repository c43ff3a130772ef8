"""Cards in the columns of a printed page: which follows which, so that little of the paper stays empty."""

from __future__ import annotations

import math
from collections.abc import Sequence

from buildalong.drawing import Picture
from buildalong.publish._view import CardView

__all__ = ["card_height", "in_columns"]

COLUMN, HEADER, GAP = 277.0, 8.5, 3.0
"""A column of A4 between margins of 10 mm, what the page's title takes, between two cards [mm]."""
LINE, LETTER, WIDTH = 3.97, 1.4, 83.0
"""Of the words on a card: a line, the mean letter, the room between the margins [mm]."""
BESIDE = 35.0
"""What marking and legs need beside a symbol [mm]; where there is less, they stand below it."""
HEADING, FRAME = 5.3, 5.0
"""A heading with its distance; margins and frame of a card [mm]."""


def card_height(card: CardView, picture: Picture | None, symbol: Picture | None) -> float:
    """About how high a card is in print [mm], from the sizes in ``page/cards.css``."""
    high = FRAME + HEADING * math.ceil((len(card.name) + len(card.references) + 12 * (card.count > 1)) / 42)
    high += _print_height(picture)
    beside = symbol is not None and symbol.print_width() < WIDTH - BESIDE
    facts = HEADING * bool(card.marking) + LINE * math.ceil(len(card.marking) / 3)
    a_line = 3 if len(card.legs) <= 3 else 1 if beside else 2
    facts += HEADING * bool(card.legs) + LINE * math.ceil(len(card.legs) / a_line)
    sign = HEADING + _print_height(symbol) if symbol else 0.0
    high += max(facts, sign) if beside else facts + sign
    high += _lines(card.reading)
    if card.slips:
        high += HEADING + sum(_lines(slip) for slip in card.slips)
    return high


def in_columns(heights: Sequence[float]) -> list[int]:
    """The order of things in columns, top to bottom: each column is filled with the next that still fit."""
    left = list(range(len(heights)))
    out: list[int] = []
    columns = 0
    while left:
        room = COLUMN - (HEADER if columns < 2 else 0.0)
        taken = [left[0]]
        room -= heights[left[0]]
        for index in left[1:]:
            if heights[index] + GAP <= room:
                taken.append(index)
                room -= heights[index] + GAP
        out += taken
        left = [index for index in left if index not in taken]
        columns += 1
    return out


def _print_height(picture: Picture | None) -> float:
    return picture.print_width() * picture.height / picture.width if picture else 0.0


def _lines(text: str) -> float:
    return LINE * math.ceil(len(text) * LETTER / WIDTH)
