"""Gentle layouts: what is counted, that the search and the score count the same, and that it helps."""

from __future__ import annotations

import pytest
from _place_demo import part

from buildalong.board import Layout, Wire, board
from buildalong.build.place import WEIGHTS, Hurts, Wishes, place, score, verify
from buildalong.build.place._gentle import ACROSS, AWAY, harm
from buildalong.build.place._problem import build_problem
from buildalong.build.place._search import search
from buildalong.build.place._wire import evaluate
from buildalong.circuit import Circuit
from buildalong.finding import Severity
from buildalong.lesson import load
from demos import EXAMPLES

SHORT = Hurts({("0V", "PLUS"): 1.0})
QUICK = 0.45


def counted(ends: dict[str, str]) -> float:
    """The harm where every end is one of a wire: hole -> net."""
    holes = board("400").holes
    places = [(holes[hole], "", net) for hole, net in ends.items()]
    return harm(places, [(point, net) for point, _, net in places], SHORT)


def test_what_a_slip_of_the_hand_joins() -> None:
    """One row between the poles counts both ways, two a quarter, across the trench by its own share."""
    assert counted({"a5": "PLUS", "c6": "0V"}) == 2 * AWAY[1]
    assert counted({"a5": "PLUS", "c7": "0V"}) == 2 * AWAY[2]
    assert counted({"a5": "PLUS", "h5": "0V"}) == 2 * ACROSS
    assert counted({"a5": "PLUS", "c8": "0V"}) == 0
    assert counted({"a5": "PLUS", "c6": "PLUS"}) == 0
    assert counted({"a5": "PLUS", "c6": "OUT"}) == 0
    assert counted({"L+5": "PLUS", "L-5": "0V"}) == 0


def test_each_end_counts_what_it_would_do() -> None:
    """Only what the table says of this wire or this lead counts; legs of stiff parts do not slip alone."""
    circuit = Circuit(
        (part("BT1", "supply-aa", ["PLUS", "0V"]), part("R1", "resistor", ["PLUS", "0V"], "1k"))
    )
    bare = Layout(board("170"), {"BT1": ("a3", "a8"), "R1": ("b3", "b8")})
    assert score(circuit, bare, SHORT) == score(circuit, bare)
    wired = Layout(bare.board, bare.holes, (Wire("c3", "h9"), Wire("g9", "d3"), Wire("e8", "j10")))
    # plus stands in rows 3 left and 9 right, 0 V in 8 left and 10 right: the ends in 9 and 10 count
    found = score(circuit, wired, SHORT)
    assert found.amount("harm") == 3 * AWAY[1]
    assert found.total == pytest.approx(score(circuit, wired).total + 3 * WEIGHTS["harm"][0])
    lead = Hurts({}, {("R1 0", "0V"): 7.0, ("BT1 1", "PLUS"): 3.0})
    near = Layout(bare.board, {"BT1": ("a3", "a5"), "R1": ("b4", "b5")}, (Wire("c3", "c4"),))
    assert score(circuit, near, lead).amount("harm") == 7.0 * AWAY[1] + 3.0 * (AWAY[1] + AWAY[2])


@pytest.mark.parametrize("demo", ["lighthouse", "cupboard-light"])
def test_the_search_counts_what_the_score_counts(demo: str) -> None:
    """The same places cost more by the harm of the score, and by nothing else."""
    lesson = load(EXAMPLES / demo)
    nets = sorted(lesson.circuit.nets)
    hurts = Hurts({(a, b): 1.0 + len(a) for a in nets for b in nets if a < b})
    plain = build_problem(lesson.circuit, board("400"), "formed", rows=26)
    gentle = build_problem(lesson.circuit, board("400"), "formed", rows=26, wishes=Wishes(hurts=hurts))
    found = search(plain, work=60.0, seed=1)
    costs = []
    for problem in (plain, gentle):
        evaluate(problem, found)
        costs.append(found.cost)
    amount = harm(*gentle.habits.ends(list(enumerate(found.choice)), found.wires), hurts)
    assert amount > 0
    assert costs[1] - costs[0] == pytest.approx(WEIGHTS["harm"][0] * amount)


@pytest.mark.parametrize("demo", ["cupboard-light", "mailbox-flag"])
def test_gentle_layouts_are_right_and_take_no_more_wires(demo: str) -> None:
    """Asked for, slips short the supply less often, the circuit is the same, and no wire is added for it."""
    lesson = load(EXAMPLES / demo)
    where, style = board(lesson.board), lesson.layout.style
    hurts = Hurts({tuple(sorted((lesson.circuit.plus, lesson.circuit.ground))): 5.0})
    usual = place(lesson.circuit, where, style=style, seconds=QUICK)
    gentle = place(lesson.circuit, where, style=style, seconds=QUICK, wishes=Wishes(hurts=hurts))
    assert [f for f in verify(lesson.circuit, gentle.layout) if f.severity >= Severity.ERROR] == []
    assert gentle.wire_count <= usual.wire_count
    assert gentle.score.amount("harm") <= score(lesson.circuit, usual.layout, hurts).amount("harm")
