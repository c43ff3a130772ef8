"""Which of an author's requests cannot all be had: a smallest set, found by leaving requests out.

The question is put to the placer itself with little work, so "cannot" means that it found no way;
a request that is impossible by itself is found without any search.  The way of halving the requests
is Junker's QUICKXPLAIN (AAAI-04): a set from which none can be left out, after few questions.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from buildalong.board import Board, Layout, oriented
from buildalong.build.place._place import place
from buildalong.build.place._reasons import fixed_findings
from buildalong.build.place._wishes import Wishes
from buildalong.circuit import Circuit
from buildalong.finding import Severity

__all__ = ["smallest_conflict"]

_SECONDS = 0.4
"""Work of one question, as the ``seconds`` of place()."""
_MOST_QUESTIONS = 40


def smallest_conflict(
    circuit: Circuit,
    board: Board,
    fixed: Layout | None,
    wishes: Wishes,
    *,
    style: str = "formed",
    firm: Sequence[str] = (),
    fits: Callable[[Layout, Wishes], bool] | None = None,
) -> tuple[str, ...]:
    """A smallest set of requests that cannot all be had; empty where all of them can, or none matters.

    Requests are named by their part ("R1" for its holes, "where R1" for its piece of the board), "wire 2"
    (of ``fixed``) or "free 1"; those in ``firm`` stay in every question and are not named.  ``fits`` stands
    in for the placer in tests.
    """
    asked = [*(fixed.holes if fixed else ()), *(f"where {part}" for part in wishes.areas)]
    asked += [f"wire {number}" for number in range(1, len(fixed.wires if fixed else ()) + 1)]
    asked += [f"free {number}" for number in range(1, len(wishes.free) + 1)]
    questions = 0

    def had(names: Sequence[str]) -> bool:
        nonlocal questions
        questions += 1
        some, rest = _only(set(names) | set(firm), board, fixed, wishes)
        if fits is not None:
            return fits(some, rest)
        if fixed_findings(oriented(circuit, some), board, some):
            return False
        found = place(circuit, board, fixed=some, wishes=rest, style=style, seconds=_SECONDS)
        return all(finding.severity < Severity.ERROR for finding in found.findings)

    soft = [name for name in asked if name not in firm]
    if not soft or had(soft) or not had(()):
        return ()

    def explain(base: list[str], new: bool, rest: list[str]) -> list[str]:
        if new and (questions >= _MOST_QUESTIONS or not had(base)):
            return []
        if len(rest) == 1:
            return rest
        half = len(rest) // 2
        second = explain(base + rest[:half], True, rest[half:])
        first = explain(base + second, bool(second), rest[:half])
        return first + second

    named = set(explain([], False, soft))
    return tuple(name for name in asked if name in named)


def _only(names: set[str], board: Board, fixed: Layout | None, wishes: Wishes) -> tuple[Layout, Wishes]:
    """The requests of these names alone."""
    holes = {part: holes for part, holes in fixed.holes.items() if part in names} if fixed else {}
    wires = fixed.wires if fixed else ()
    kept = tuple(wire for number, wire in enumerate(wires, start=1) if f"wire {number}" in names)
    areas = {part: area for part, area in wishes.areas.items() if f"where {part}" in names}
    free = tuple(area for number, area in enumerate(wishes.free, start=1) if f"free {number}" in names)
    return Layout(board, holes, kept), replace(wishes, areas=areas, free=free)
