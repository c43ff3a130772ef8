"""Flexible wires: no worse than led between the places of formed ones; and flat ones that have to arch."""

from __future__ import annotations

from dataclasses import replace

import pytest
from _place_checker import faults
from _place_demo import demo

from buildalong.board import Layout, Wire, board, check_layout
from buildalong.build.dress import dressed
from buildalong.build.place import place, score, verify
from buildalong.build.place._last import Ask
from buildalong.build.place._result import _lifted
from buildalong.build.place._tidied import as_formed
from buildalong.circuit import Circuit
from buildalong.finding import Finding, Severity


@pytest.mark.parametrize("name", ["mailbox-flag", "cupboard-light"])
def test_flexible_wires_are_no_worse_than_in_the_places_of_formed_ones(name: str) -> None:
    """A board with formed wires is one for flexible wires, too; the checkers find nothing wrong."""
    circuit, _ = demo(name)
    formed = place(circuit, board("170"), style="formed", seconds=2.0)
    found = place(circuit, board("170"), style="flexible", seconds=2.0)
    loose = tuple(replace(wire, style="flexible", path=()) for wire in formed.layout.wires)
    other = dressed(circuit, replace(formed.layout, wires=loose))
    assert (found.wire_count, found.score.total) <= (len(loose), score(circuit, other).total)
    assert found.score.total == score(circuit, found.layout).total
    assert all(wire.style == "flexible" and wire.dress for wire in found.layout.wires)
    assert not faults(circuit, found.layout)
    assert not [finding for finding in verify(circuit, found.layout) if finding.severity >= Severity.ERROR]


def test_what_is_not_whole_is_not_taken() -> None:
    """A formed layout with a finding, or with more wires, stays aside."""
    circuit, _ = demo("mailbox-flag")
    formed = place(circuit, board("170"), style="formed", seconds=1.0)
    flexible = place(circuit, board("170"), style="flexible", seconds=1.0)
    ask = Ask(circuit, None, None, None, flexible.lower_bound)
    bad = Finding(Severity.WARNING, "wire-arches-over", "One wire arches over.")
    assert as_formed(ask, flexible, replace(formed, findings=(bad,))) is flexible
    worse = replace(flexible, wire_count=formed.wire_count - 1)
    assert as_formed(ask, worse, formed) is worse


def test_a_flat_wire_under_which_another_ends_arches_too() -> None:
    """By hand: red ends in c5, which green lies over; green then goes around it, and the check is content."""
    green, red = Wire("c2", "c8", "green", "link", (), "A"), Wire("c5", "h5", "red", "flexible", (), "B")
    layout = Layout(board("170"), {}, (green, red))
    assert [f.code for f in check_layout(Circuit(()), layout)] == ["wire-over-hole"]
    found = _lifted(Circuit(()), layout, ())
    assert [wire.style for wire in found.wires] == ["flexible", "flexible"]
    assert len(found.wires[0].dress) > 2
    assert check_layout(Circuit(()), found) == []
    assert _lifted(Circuit(()), layout, (green,)).wires[0] == green
