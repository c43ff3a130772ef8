"""The board of a lesson: placed, or taken from the store and looked at as closely."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from buildalong.board import Board, Layout
from buildalong.build.place import Placement, Wishes, place, verify
from buildalong.circuit import Circuit
from buildalong.finding import Finding, Severity
from buildalong.lesson._lesson import CUT_SHORT
from buildalong.store import Store, kept

__all__ = ["place_kept"]


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
    """Place as :func:`buildalong.build.place.place` does; an answer in the store saves the work.

    The first keyboard interrupt ends the placing only: the best layout until then is taken.
    """
    known: list[Placement] = []

    def first(placement: Placement) -> None:
        known.append(placement)
        if len(known) > 1:
            return
        wires = placement.wire_count
        progress(0.0, f"a first layout has {wires} wire{'s' * (wires != 1)}; looking for fewer")

    def make() -> Placement:
        try:
            return place(
                circuit,
                board,
                fixed=fixed,
                wishes=wishes,
                style=style,
                seconds=seconds,
                progress=progress,
                first=first,
            )
        except KeyboardInterrupt:
            if not known:
                raise
            progress(1.0, "placing stopped; going on with the best layout so far")
            stopped = Finding(
                Severity.WARNING,
                CUT_SHORT,
                "Placing was stopped by hand: this is the best layout until then, correct but not good.",
                hint="Let the placer run on for fewer wires and a tidier board.",
            )
            return replace(known[-1], findings=(*known[-1].findings, stopped))

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
