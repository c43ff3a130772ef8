"""Gentle layouts: what is counted, that the search counts the same as the score, and that it helps."""

from __future__ import annotations

import pytest
from _place_demo import part

from buildalong.board import Layout, Wire, board
from buildalong.build.place import WEIGHTS, Wishes, place, score, verify
from buildalong.build.place._gentle import ACROSS, AWAY, shorting
from buildalong.circuit import Circuit
from buildalong.finding import Severity
from buildalong.lesson import load
from demos import EXAMPLES

NAME = "short by a slip"
QUICK = 0.45


def counted(ends: dict[str, str]) -> float:
    """The amount where every end is one of a wire: hole -> pole."""
    holes = board("400").holes
    places = [(holes[hole], pole) for hole, pole in ends.items()]
    return shorting(places, places)


def test_what_a_slip_of_the_hand_joins() -> None:
    """One row between the poles counts both ways, two a quarter, across the trench by its own share."""
    assert counted({"a5": "plus", "c6": "0 V"}) == 2 * AWAY[1]
    assert counted({"a5": "plus", "c7": "0 V"}) == 2 * AWAY[2]
    assert counted({"a5": "plus", "h5": "0 V"}) == 2 * ACROSS
    assert counted({"a5": "plus", "c8": "0 V"}) == 0
    assert counted({"a5": "plus", "c6": "plus"}) == 0
    assert counted({"L+5": "plus", "L-5": "0 V"}) == 0


def test_only_wires_and_supply_leads_count() -> None:
    """A resistor's lead on plus beside 0 V shorts nothing; an end of a wire there does."""
    circuit = Circuit(
        (part("BT1", "supply-aa", ["PLUS", "0V"]), part("R1", "resistor", ["PLUS", "0V"], "1k"))
    )
    bare = Layout(board("170"), {"BT1": ("a3", "a8"), "R1": ("b3", "b8")})
    assert score(circuit, bare, gentle=True).amount(NAME) == 0
    wired = Layout(bare.board, bare.holes, (Wire("c3", "h9"), Wire("g9", "d3"), Wire("e8", "j10")))
    found = score(circuit, wired, gentle=True)
    # plus stands in rows 3 left and 9 right, 0 V in 8 left and 10 right: the ends in 9 and 10 count
    assert found.amount(NAME) == 3 * AWAY[1]
    assert score(circuit, wired).amount(NAME) == 0
    assert found.total == pytest.approx(score(circuit, wired).total + 3 * WEIGHTS[NAME][0])


@pytest.mark.parametrize("demo", ["cupboard-light", "mailbox-flag"])
def test_gentle_layouts_are_right_and_take_no_more_wires(demo: str) -> None:
    """Asked for, fewer slips short the supply, the circuit is the same, and no wire is added for it."""
    lesson = load(EXAMPLES / demo)
    where = board(lesson.board)
    usual = place(lesson.circuit, where, style=lesson.layout.style, seconds=QUICK)
    gentle = place(
        lesson.circuit, where, style=lesson.layout.style, seconds=QUICK, wishes=Wishes(gentle=True)
    )
    assert [f for f in verify(lesson.circuit, gentle.layout) if f.severity >= Severity.ERROR] == []
    assert gentle.wire_count <= usual.wire_count
    before = score(lesson.circuit, usual.layout, gentle=True).amount(NAME)
    assert gentle.score.amount(NAME) <= before
