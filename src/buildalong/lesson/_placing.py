"""The board of a lesson: placed, or taken from the store and looked at as closely."""

from __future__ import annotations

from collections.abc import Callable

from buildalong.board import Board, Layout
from buildalong.build.place import Placement, Wishes, place, verify
from buildalong.circuit import Circuit
from buildalong.finding import Severity
from buildalong.store import Store, kept

__all__ = ["place_kept"]

CUT_SHORT = "placing-cut-short"
"""The finding of a placement that depended on the clock."""


def place_kept(
    store: Store | None,
    circuit: Circuit,
    board: Board,
    *,
    fixed: Layout | None,
    wishes: Wishes | None = None,
    style: str,
    seconds: float,
    progress: Callable[[float, str], None],
) -> Placement:
    """Place as :func:`buildalong.build.place.place` does; an answer in the store saves the work."""

    def make() -> Placement:
        return place(
            circuit, board, fixed=fixed, wishes=wishes, style=style, seconds=seconds, progress=progress
        )

    def sound(placement: Placement) -> bool:
        """Whether it makes the circuit, or says itself that it does not; and no clock had a say in it."""
        layout = placement.layout
        if layout.board != board or placement.wire_count != len(layout.wires):
            return False
        if any(hole not in board.holes for hole, _ in layout.used()) or set(layout.holes) - set(
            circuit.by_id
        ):
            return False
        told = {finding.code for finding in placement.findings}
        admits = any(finding.severity >= Severity.ERROR for finding in placement.findings)
        wrong = any(finding.severity >= Severity.ERROR for finding in verify(circuit, layout))
        return CUT_SHORT not in told and (admits or not wrong)

    question = (circuit, board, fixed, wishes, style, seconds)
    return kept(store, "placement", question, Placement, make, sound)
