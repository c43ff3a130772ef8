"""What the board adds: capacitance between neighbouring strips."""

from __future__ import annotations

import pytest

from board._demo import part
from buildalong.board import Layout, board, strip_capacitances
from buildalong.circuit import Circuit


def test_neighbouring_strips_have_two_picofarad() -> None:
    """About 2 pF for each pair of neighbouring strips of five (DigiKey TechForum), counted by hand.

    R1 stands in rows 3 and 4 of the left side, R2 in rows 5 and 8: the pairs are A-B (rows 3 and 4) and
    B-C (4 and 5); rows 5 and 8 are no neighbours, and nothing crosses the trench.
    """
    found = Circuit((part("R1", "resistor", ["A", "B"], "1k"), part("R2", "resistor", ["C", "D"], "1k")))
    layout = Layout(board("400"), {"R1": ("a3", "a4"), "R2": ("a5", "a8")}, ())
    assert strip_capacitances(found, layout) == (("A", "B", 2e-12), ("B", "C", 2e-12))
    across = Layout(board("400"), {"R1": ("a3", "j3"), "R2": ("a8", "j8")}, ())
    assert strip_capacitances(found, across) == ()


def test_rails_have_more_in_proportion() -> None:
    """Two rails of 25 holes side by side are five strips long: 10 pF."""
    found = Circuit((part("R1", "resistor", ["PLUS", "0V"], "1k"),))
    layout = Layout(board("400"), {"R1": ("L+1", "L-1")}, ())
    ((one, other, farad),) = strip_capacitances(found, layout)
    assert {one, other} == {"PLUS", "0V"}
    assert farad == pytest.approx(10e-12)
