"""How a rigid part stands on the board: the quarter turn that brings its legs to their holes."""

from __future__ import annotations

from collections.abc import Sequence

from buildalong.board._board import Board
from buildalong.parts import PartType

__all__ = ["TURNS", "footprint", "turn_of", "turned"]

TURNS = (0, 90, 180, 270)
"""Turns of a part, in degrees clockwise as seen from above with row 1 at the top."""


def turned(place: tuple[float, float], turn: int) -> tuple[float, float]:
    """Turn a place (x to the right, y down) about the origin, clockwise as seen."""
    x, y = place
    return {0: (x, y), 90: (-y, x), 180: (-x, -y), 270: (y, -x)}[turn]


def footprint(kind: PartType, turn: int) -> tuple[tuple[float, float], ...]:
    """Places of the legs of a rigid part, in leg order, relative to its first leg [pitches]."""
    spots = [turned(leg.at, turn) for leg in kind.body.legs]
    x0, y0 = spots[0]
    return tuple((x - x0, y - y0) for x, y in spots)


def turn_of(kind: PartType, board: Board, holes: Sequence[str]) -> int | None:
    """The turn in which a rigid part's legs reach these holes; None where no turn does.

    At turn 0 the legs stand as ``body.legs`` says: a DIP's notch looks to row 1, the flat face of a
    TO-92 body to column a.
    """
    if not kind.body.legs or len(holes) != len(kind.body.legs):
        return None
    if any(hole not in board.holes for hole in holes):
        return None
    x0, y0 = board.holes[holes[0]]
    offsets = tuple((board.holes[hole][0] - x0, board.holes[hole][1] - y0) for hole in holes)
    return next((turn for turn in TURNS if footprint(kind, turn) == offsets), None)
