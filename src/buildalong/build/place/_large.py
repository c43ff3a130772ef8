"""Large circuits: a bound from leads that can share strips, and the compiled search."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from buildalong.board import Board, Layout
from buildalong.build.place._bound import fewest_wires
from buildalong.build.place._count import RAILS_WORTH, StripCount
from buildalong.build.place._frames import LONG_ROW
from buildalong.build.place._lns import improved, prepare
from buildalong.build.place._problem import build_problem, lamp_rows, rows_wanted
from buildalong.build.place._search import search
from buildalong.build.place._task import Problem, Solution
from buildalong.build.place._wishes import Wishes
from buildalong.circuit import Circuit, Part

__all__ = ["counted", "is_large", "large_problem", "search_large"]

LARGE_LEGS = 40
"""Legs from which on a circuit is large."""
COUNTING = 0.3
"""The solver's deterministic seconds for each asked second, for each of two or four questions."""
LASTS = 4.0
"""Seconds of two cores for each asked second."""
FIRST = 300.0
"""Work of the layout that is there within a second, from which one of the searches starts."""


def is_large(circuit: Circuit, board: Board) -> bool:
    """Whether a circuit has so many legs, or so long a row of lamps, that it is searched for as a whole."""
    legs = sum(len(part.type.leg_terminals) for part in circuit.parts)
    return legs >= LARGE_LEGS or any(len(row) >= LONG_ROW for row in lamp_rows(circuit, board))


def counted(
    circuit: Circuit, board: Board, style: str, rows: Sequence[Sequence[Part]], seconds: float
) -> tuple[StripCount, bool]:
    """The bounds, and whether the supply is to come in on the rails."""
    work = seconds * COUNTING

    def bound(kind: str, on_rails: bool) -> int:
        return fewest_wires(circuit, board, kind, rows, on_rails=on_rails, work=work)

    flat = "link" if style == "link" else "formed"
    free = bound(flat, False)
    railed = bound(flat, True) if board.rail_holes else None
    rails = railed is not None and railed <= free + RAILS_WORTH + free // 10
    fewest = railed if rails and railed is not None else free
    bent = bound("formed", rails) if style == "link" else fewest
    return StripCount(fewest, None, None, bent), rails


def large_problem(
    circuit: Circuit, board: Board, style: str, fixed: Layout | None, wishes: Wishes | None, rails: bool
) -> Problem:
    """The problem, its supply on the rails where that is wanted, and the search ready to work on it."""
    rows = rows_wanted(circuit, board)
    problem = build_problem(
        circuit, board, style, fixed, rows=rows, wishes=wishes, on_rails=rails if board.rail_holes else None
    )
    prepare(problem)
    return problem


def search_large(
    problem: Problem,
    seconds: float,
    stop: Callable[[], bool],
    say: Callable[[float, str], None],
    found: Callable[[Solution], None],
) -> Solution:
    """The best layout found; ``found`` is told each better one on the way."""
    start = search(problem, work=FIRST, heat=150.0, quick=True)
    best = improved(problem, start, LASTS * seconds, stop, say, found)
    return min(start, best, key=Solution.rank)
