"""How many rows a proof has to look at: on a longer board parts that stand far apart can be moved together.

A row is *held* by a leg, by the end of a wire, by a stiff part around it, by a body that comes nearer than
half a row to its middle, or by a part along a column whose legs may stand no nearer to one another. Of the
rows from the first to the last only so many can be held. One that is free is left out: all below it moves up
by one, wires and parts around it get shorter, and what a model of strips, bodies and straight wires asks for
is fulfilled as before, with as many wires of each net and the same rails. A wire from rail to rail holds no
row: it may lie above the first.
"""

from __future__ import annotations

from collections.abc import Mapping

from buildalong.board import Board
from buildalong.build.place._boxes import BENT, FINE, fine, square
from buildalong.build.place._frames import FAR, frame_of, span_of
from buildalong.build.place._ground import LEANING, PITCH
from buildalong.circuit import Circuit, Part

__all__ = ["rows_needed"]

Numbers = Mapping[tuple[str, str], tuple[int, str]]
LEANS = FINE // 4
"""How far a body to a rail half a row away lies out of its row at most."""
ABOVE = FINE + FINE // 4
"""How far above the first row a body may reach so that wires from rail to rail pass there."""


def rows_needed(circuit: Circuit, board: Board, numbers: Numbers, most: int) -> int:
    """Rows of a board that hold a layout with so many wires at most, if there is one on the whole board."""
    rails = sum(strip[0] in "LR" and strip[1] == "+" for strip in board.strips)
    if rails > 2 or any(max(_reach(part)) > ABOVE for part in circuit.parts if _lies(part)):
        return board.rows
    if any(part.type.body.straddles for part in circuit.parts):
        return board.rows  # fewer were no faster there
    strips = most + len({net for net, _ in numbers.values()})  # of a net one more than wires
    return min(board.rows, max(2, strips + sum(_between(part) for part in circuit.parts)))


def _between(part: Part) -> int:
    """Rows that a part holds without a leg in them."""
    body = part.type.body
    if body.kind == "rigid":
        turns = ({offset % FAR for offset in turn} for turn in frame_of(part).turns)
        return max(max(rows) + 1 - len(rows) for rows in turns)
    if not _lies(part):
        return 0
    span, half = span_of(part, 0), FINE // 2
    long, wide = _reach(part)
    shortest = span.most if _round(part) else max(span.least, 2, -(-(long - BENT) // half))
    beside = _over(wide) + _over(wide - 2 * LEANS)
    return max(beside, *(k - 1 + 2 * _over(long - half * k) for k in range(span.least, shortest + 1)))


def _over(reach: int) -> int:
    """Rows to which a body that reaches so far from its leg comes nearer than half a row."""
    return max(0, -(-(reach - FINE // 2) // FINE))


def _reach(part: Part) -> tuple[int, int]:
    """How far a body reaches along the rows from its middle: along a column, and across."""
    body = part.type.body
    if _round(part):
        return max(square(fine(body.width / 2))), 0
    return fine(body.length / 2), fine(body.width / 2 + LEANING * PITCH) + LEANS


def _lies(part: Part) -> bool:
    """Whether it has two legs that bend."""
    body = part.type.body
    return body.kind not in ("rigid", "off-board") and len(part.type.leg_terminals) == 2


def _round(part: Part) -> bool:
    """Whether a square stands for its body, along a column only."""
    body = part.type.body
    return body.kind == "radial" and body.length == body.width
