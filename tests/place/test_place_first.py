"""The first layout: correct, and kept where the rest is interrupted."""

from __future__ import annotations

import pytest
from _place_checker import faults
from _place_demo import DEMOS, demo

from buildalong.board import board
from buildalong.build.place import Placement, place
from buildalong.lesson._placing import place_kept


class Enough(Exception):
    """Ends a placing."""


@pytest.mark.parametrize("name", DEMOS)
def test_first_layout_is_correct(name: str) -> None:
    """What comes first makes the circuit by an independent reading, whatever the circuit's size."""
    circuit, board_name = demo(name)
    told: list[Placement] = []

    def end(placement: Placement) -> None:
        told.append(placement)
        raise Enough

    with pytest.raises(Enough):
        place(circuit, board(board_name), seconds=60.0, first=end)
    assert faults(circuit, told[0].layout) == []
    assert not told[0].proved


@pytest.mark.parametrize("calls", [1, 2])
def test_interrupted_placing_keeps_the_first_layout(calls: int) -> None:
    """Ctrl-C while the solver counts: the layout is correct and says that it was stopped."""
    circuit, board_name = demo("mailbox-flag")
    said: list[str] = []

    def progress(share: float, text: str) -> None:
        said.append(text)
        if len(said) == calls:
            raise KeyboardInterrupt

    found = place_kept(
        None, circuit, board(board_name), fixed=None, style="formed", seconds=60.0, progress=progress
    )
    assert faults(circuit, found.layout) == []
    assert "placing-cut-short" in [finding.code for finding in found.findings]
