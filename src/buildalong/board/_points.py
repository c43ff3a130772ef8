"""Names for places on the board: holes, and the places between them where a wire may bend.

A hole's name is a place.  Where there is no hole, signs after the column count pitches to the right
(``+``) or to the left (``-``) of it: ``e+9`` and ``e++9`` are in the trench beside e9, ``a-9`` left
of a9, ``j+9`` right of j9.  Rows may have a fraction there: ``a-9.5``.  What none of this reaches is
written in pitches: ``(5.25,9)``.
"""

from __future__ import annotations

import math
import re
from decimal import Decimal

from buildalong.board._board import LETTERS, Board

__all__ = ["Point", "point_at", "point_name"]

Point = tuple[float, float]

_MOST_STEPS = 6
_STEPPED = re.compile(
    rf"([a-j])(\+{{0,{_MOST_STEPS}}}|-{{0,{_MOST_STEPS}}})(\d{{1,4}}(?:\.\d{{1,9}})?)", re.I
)
_FREE = re.compile(r"\((-?\d{1,4}(?:\.\d{1,24})?),(-?\d{1,4}(?:\.\d{1,24})?)\)")
_ROOM = 8.0
"""How far beside the board a wire may run [pitches]."""


def point_at(board: Board, text: str) -> Point | None:
    """The place [pitches] that a name means on this board; None where it means none."""
    spelled = board.spell(text)
    if spelled in board.holes:
        return board.holes[spelled]
    plain = re.sub(r"\s+", "", text[:80]).replace("−", "-")
    if found := _STEPPED.fullmatch(plain):
        x, _ = board.holes[f"{found[1].lower()}1"]
        point = (x + found[2].count("+") - found[2].count("-"), float(found[3]))
    elif found := _FREE.fullmatch(plain):
        point = (float(found[1]), float(found[2]))
    else:
        return None
    return point if _near(board, point) else None


def point_name(board: Board, point: Point) -> str:
    """The shortest name of a place; :func:`point_at` gives the same place back."""
    x, y = point
    if (hole := board.hole_at(x, y)) is not None:
        return hole
    columns = [(abs(x - board.holes[f"{letter}1"][0]), letter) for letter in LETTERS]
    away, letter = min(columns)
    steps = x - board.holes[f"{letter}1"][0]
    row = _number(y)
    if away <= _MOST_STEPS and steps == int(steps) and y > 0 and _STEPPED.fullmatch(f"a{row}"):
        return f"{letter}{('+' if steps > 0 else '-') * int(away)}{row}"
    return f"({_number(x)},{row})"


def _number(value: float) -> str:
    return repr(int(value)) if value == int(value) else f"{Decimal(repr(value)):f}"


def _near(board: Board, point: Point) -> bool:
    x, y = point
    xs = [place[0] for place in board.holes.values()]
    return (
        math.isfinite(x)
        and math.isfinite(y)
        and min(xs) - _ROOM <= x <= max(xs) + _ROOM
        and 1 - _ROOM <= y <= board.rows + _ROOM
    )
