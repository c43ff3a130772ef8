"""Straight wires that all lie flat, and formed wires as few on a large board as on a small one."""

from __future__ import annotations

from collections.abc import Sequence

from _place_checker import faults
from _place_demo import demo

from buildalong.board import board
from buildalong.build.place import place
from buildalong.build.place._count import StripCount
from buildalong.build.place._links import with_more_links
from buildalong.build.place._problem import build_problem
from buildalong.build.place._result import finished
from buildalong.build.place._search import search
from buildalong.build.place._task import Problem


def test_no_straight_wire_arches_over_where_one_more_lies_flat() -> None:
    """The two-transistor circuit: each wire of the link style is straight, along a column or a row, and flat.

    Source: a pre-cut link is a straight flat piece of wire (common practice); read back by _place_checker.py.
    """
    circuit, _ = demo("level-crossing")

    def build(nets: Sequence[int]) -> Problem:
        return build_problem(circuit, board("170"), "link", bridges=nets)

    start = build(())
    arching = search(start, work=300.0)
    assert arching.unjoined
    found = finished(*with_more_links(start, arching, build, 3000.0), StripCount(0, None, None), "link", None)
    assert faults(circuit, found.layout) == []
    assert not found.findings
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
