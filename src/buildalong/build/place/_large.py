"""Large circuits: a bound from leads that can share strips."""

from __future__ import annotations

from collections.abc import Sequence

from buildalong.board import Board
from buildalong.build.place._bound import fewest_wires
from buildalong.build.place._count import StripCount, railed_at_most
from buildalong.build.place._frames import LONG_ROW
from buildalong.build.place._problem import lamp_rows
from buildalong.build.place._score import among_many
from buildalong.circuit import Circuit, Part

__all__ = ["counted", "is_large", "rails_pay"]

COUNTING = 0.3
"""The solver's deterministic seconds for each asked second, for each of two or four questions."""


def is_large(circuit: Circuit, board: Board) -> bool:
    """Whether a circuit has so many legs, or so long a row of lamps, that rows are left out of the bound."""
    return among_many(circuit) or any(len(row) >= LONG_ROW for row in lamp_rows(circuit, board))


def counted(
    circuit: Circuit, board: Board, style: str, rows: Sequence[Sequence[Part]], seconds: float
) -> StripCount:
    """The bounds."""
    work = seconds * COUNTING

    def bound(kind: str, on_rails: bool) -> int:
        return fewest_wires(circuit, board, kind, rows, on_rails=on_rails, work=work)

    flat = "link" if style == "link" else "formed"
    free = bound(flat, False)
    railed = bound(flat, True) if board.rail_holes else None
    return StripCount(free, railed, bound("formed", False) if style == "link" else free)


def rails_pay(count: StripCount) -> bool:
    """Whether the supply is to come in on the rails, by the bounds alone."""
    return count.on_rails is not None and count.on_rails <= railed_at_most(count.fewest)
