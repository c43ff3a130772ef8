"""A piece of the board that an author names: 'rows 10 to 15', 'left', 'a20 to e25'."""

from __future__ import annotations

import re
from dataclasses import dataclass

from buildalong.board._board import TRENCH_X, Board

__all__ = ["Area", "area_from"]

_ROWS = re.compile(r"rows?\s+(\d{1,4})(?:\s*(?:to|-|–)\s*(\d{1,4}))?", re.IGNORECASE)
_COLUMNS = re.compile(r"columns?\s+([a-j])(?:\s*(?:to|-|–)\s*([a-j]))?\b", re.IGNORECASE)
_CORNERS = re.compile(r"([a-j]\d{1,4})\s*(?:to|-|–)\s*([a-j]\d{1,4})", re.IGNORECASE)
_SIDE = re.compile(r"(?:on\s+)?(?:the\s+)?(left|right)(?:\s+side)?\b", re.IGNORECASE)
_FILL = re.compile(r"[\s,]*(?:and\b|of\s+the\s+trench\b)?[\s,]*", re.IGNORECASE)
_FAR = 40.0
"""Beyond every edge of every board [pitches]."""


@dataclass(frozen=True, slots=True)
class Area:
    """A rectangle of the board with its edges [pitches]; ``words`` as the author wrote it."""

    x0: float = -_FAR
    y0: float = -_FAR
    x1: float = _FAR
    y1: float = 10 * _FAR
    words: str = ""

    def holds(self, x: float, y: float) -> bool:
        """Whether a place lies inside or on the edge."""
        return self.x0 <= x <= self.x1 and self.y0 <= y <= self.y1

    def holes(self, board: Board) -> tuple[str, ...]:
        """The holes of a board that lie inside."""
        return tuple(hole for hole, (x, y) in board.holes.items() if self.holds(x, y))


def area_from(board: Board, text: str) -> Area:
    """Read an area; raises ValueError with a sentence that says what is wrong.

    Pieces are 'rows 10 to 15', 'columns a to e', 'a10 to e15' (two corners), 'left' and 'right' (of
    the trench); several together mean what they have in common.
    """
    area = Area(words=" ".join(text.split()))
    rest = text.strip()
    if not rest:
        raise ValueError("no place is named")
    while rest:
        for pattern in (_ROWS, _COLUMNS, _CORNERS, _SIDE):
            if found := pattern.match(rest):
                area = _both(area, _piece(board, pattern, found))
                rest = rest[found.end() :]
                rest = rest[_FILL.match(rest).end() :]  # type: ignore[union-attr]
                break
        else:
            raise ValueError(
                f"'{rest[:40]}' is no place on a board; write it like 'rows 10 to 15', 'left' or 'a10 to e15'"
            )
    if area.x0 > area.x1 or area.y0 > area.y1 or not area.holes(board):
        raise ValueError(f"'{area.words[:60]}' leaves no hole of the board {board.name}")
    return area


def _piece(board: Board, pattern: re.Pattern[str], found: re.Match[str]) -> Area:
    if pattern is _ROWS:
        first, last = sorted((int(found[1]), int(found[2] or found[1])))
        if first < 1 or last > board.rows:
            raise ValueError(f"the board {board.name} has the rows 1 to {board.rows}, not '{found[0]}'")
        return Area(y0=first - 0.5, y1=last + 0.5)
    if pattern is _COLUMNS:
        one, other = (board.holes[f"{name.lower()}1"][0] for name in (found[1], found[2] or found[1]))
        return Area(x0=min(one, other), x1=max(one, other))
    if pattern is _CORNERS:
        names = [board.spell(found[1]), board.spell(found[2])]
        for name in names:
            if name not in board.holes:
                raise ValueError(f"the board {board.name} has no hole {name}")
        (ax, ay), (bx, by) = (board.holes[name] for name in names)
        return Area(min(ax, bx), min(ay, by), max(ax, bx), max(ay, by))
    return Area(x1=TRENCH_X) if found[1].lower() == "left" else Area(x0=TRENCH_X)


def _both(one: Area, other: Area) -> Area:
    return Area(
        max(one.x0, other.x0), max(one.y0, other.y0), min(one.x1, other.x1), min(one.y1, other.y1), one.words
    )
