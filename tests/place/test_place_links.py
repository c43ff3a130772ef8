"""Straight wires that all lie flat, and formed wires as few on a large board as on a small one."""

from __future__ import annotations

from _place_checker import faults
from _place_demo import demo

from buildalong.board import board
from buildalong.build.place import place


def test_no_straight_wire_arches_over_where_one_more_lies_flat() -> None:
    """The two-transistor circuit: each wire of the link style is straight, along a column or a row, and flat.

    Source: a pre-cut link is a straight flat piece of wire (common practice); read back by _place_checker.py.
    """
    circuit, _ = demo("level-crossing")
    found = place(circuit, board("170"), style="link", seconds=5.0)
    assert faults(circuit, found.layout) == []
    assert not found.findings
    assert found.wire_count <= 6
    for wire in found.layout.wires:
        (ax, ay), (bx, by) = (found.layout.board.holes[hole] for hole in (wire.start, wire.end))
        assert wire.style == "link"
        assert not wire.path
        assert ax == bx or ay == by


def test_a_large_board_takes_few_formed_wires() -> None:
    """A layout off the rails is found in the first rows: one wire above the bound at most."""
    circuit, _ = demo("lighthouse")
    found = place(circuit, board("400"), seconds=5.0)
    assert faults(circuit, found.layout) == []
    assert all(wire.style == "formed" for wire in found.layout.wires)
    assert found.lower_bound <= found.wire_count <= found.lower_bound + 1


def test_a_layout_is_found_in_the_strips_of_the_solver() -> None:
    """A timer as an astable takes 8 straight wires on the smallest board, proved and laid.

    Source: the same circuit counted strip by strip in an earlier, separate study.
    """
    circuit, _ = demo("lighthouse")
    found = place(circuit, board("170"), style="link")
    assert faults(circuit, found.layout) == []
    assert found.proved
    assert found.wire_count == found.lower_bound == 8
    assert all(wire.style == "link" for wire in found.layout.wires)
