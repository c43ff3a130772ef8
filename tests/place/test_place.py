"""The placer against an independent reading of its layouts."""

from __future__ import annotations

import itertools
import os
import subprocess
import sys

import pytest
from _place_checker import faults, under_leads
from _place_demo import DEMOS, demo, part
from _place_random import random_circuit

from buildalong.board import Layout, Wire, board, boards
from buildalong.build.place import WEIGHTS, place, score, verify
from buildalong.circuit import Circuit
from buildalong.finding import Severity

QUICK = 0.45


def errors(circuit: Circuit, layout: Layout) -> list[str]:
    return [f.message for f in verify(circuit, layout) if f.severity >= Severity.ERROR]


def test_the_checker_sees_a_lead_under_a_body() -> None:
    """A wire that ends between the legs of a resistor, under it, is told of; beside it, it is not."""
    circuit = Circuit((part("R1", "resistor", ["PLUS", "0V"], "1k"),))
    told = [
        faults(circuit, Layout(board("170"), {"R1": ("a4", "a8")}, (Wire(hole, "j6"),)))
        for hole in ("a6", "b6")
    ]
    assert told == [["a6 lies under R1"], []]


def test_what_lies_under_a_supply_lead_is_weighed() -> None:
    """By hand: a lead over a resistor; over nothing; over a wire and its end; on the right over a wire."""
    parts = (part("BT1", "supply-aa", ["PLUS", "0V"]), part("R1", "resistor", ["PLUS", "0V"], "1k"))
    circuit = Circuit(parts)
    here = board("400")

    def weighed(plus: str, minus: str, legs: tuple[str, str], *wires: Wire) -> tuple[float, list[str]]:
        layout = Layout(here, {"BT1": (plus, minus), "R1": legs}, wires)
        return score(circuit, layout).amount("under a lead"), under_leads(circuit, layout)

    assert weighed("b6", "a9", ("a4", "a8")) == (1, ["b6 over R1"])
    assert weighed("a6", "a9", ("b4", "b8")) == (0, [])
    assert weighed("b6", "a9", ("c4", "c8"), Wire("a6", "a4")) == (2, [])
    assert weighed("i6", "j9", ("c4", "c8"), Wire("j4", "j8")) == (1, [])


@pytest.mark.parametrize("name", DEMOS)
def test_demo_is_laid_out_correctly_on_its_board(name: str) -> None:
    """The layout makes the circuit, shares no hole, lets no bodies collide (two separate checkers).

    No supply lead lies over a body.
    """
    circuit, board_name = demo(name)
    found = place(circuit, board(board_name), seconds=QUICK)
    assert under_leads(circuit, found.layout) == []
    assert faults(circuit, found.layout) == []
    assert errors(circuit, found.layout) == []
    assert found.lower_bound <= found.wire_count == len(found.layout.wires)
    assert not any(f.severity >= Severity.ERROR for f in found.findings)


@pytest.mark.parametrize("board_name", ["170", "830", "830-split"])
@pytest.mark.parametrize("name", ["lighthouse", "mailbox-flag"])
def test_small_demo_fits_other_boards(name: str, board_name: str) -> None:
    """Circuits of 8-pin size stand on boards of every size."""
    circuit, _ = demo(name)
    found = place(circuit, boards()[board_name], seconds=QUICK)
    assert faults(circuit, found.layout) == []


@pytest.mark.parametrize(("name", "most"), [("mailbox-flag", 5), ("cupboard-light", 6), ("lighthouse", 6)])
def test_wires_come_near_the_fewest_possible(name: str, most: int) -> None:
    """Strip-level optima with slanting parts allowed are 5, 5 and 4 wires (an earlier, separate study).

    Supply leads on the rails may cost one wire more; the lighthouse needs one more for flat ways.
    """
    circuit, board_name = demo(name)
    found = place(circuit, board(board_name), seconds=10.0 if name == "lighthouse" else 2.0)
    assert found.wire_count <= most
    assert found.proved == (found.wire_count == found.lower_bound)


@pytest.mark.parametrize("seed", range(24))
def test_random_circuit_is_correct(seed: int) -> None:
    """No violation in random circuits: read-back equal, no shared hole, no collision."""
    circuit = random_circuit(seed)
    found = place(circuit, board("400"), seconds=0.2)
    assert faults(circuit, found.layout) == []
    assert errors(circuit, found.layout) == []
    assert found.lower_bound <= found.wire_count


@pytest.mark.parametrize("style", ["link", "flexible"])
def test_other_wire_styles(style: str) -> None:
    """Links lie straight along a column or a row; flexible wires have no bends."""
    circuit, board_name = demo("mailbox-flag")
    found = place(circuit, board(board_name), style=style, seconds=QUICK)
    assert faults(circuit, found.layout) == []
    for wire in found.layout.wires:
        assert wire.path == ()
        (ax, ay), (bx, by) = (found.layout.board.holes[h] for h in (wire.start, wire.end))
        if wire.style == "link":
            assert ax == bx or abs(ay - by) <= 0.5


def test_formed_wires_have_at_most_two_right_angles_and_cross_no_used_hole() -> None:
    """A formed wire runs along columns and rows, bends at most twice and lies over no hole in use."""
    circuit, board_name = demo("lighthouse")
    layout = place(circuit, board(board_name), seconds=1.0).layout
    used = {layout.board.holes[h]: owner for h, owner in layout.used()}
    formed = [(n, w) for n, w in enumerate(layout.wires, start=1) if w.style == "formed"]
    assert len(formed) >= 4  # the proved bound of this circuit; a wire that arches over is none of them
    for number, wire in formed:
        line = [layout.board.holes[wire.start], *wire.path, layout.board.holes[wire.end]]
        assert len(line) <= 4
        for (ax, ay), (bx, by) in itertools.pairwise(line):
            assert ax == bx or abs(ay - by) <= 0.5
            for (x, y), owner in used.items():
                over = min(ax, bx) <= x <= max(ax, bx) and min(ay, by) <= y <= max(ay, by)
                assert not over or owner == f"wire {number}"


def test_lamps_of_a_running_light_stand_in_one_row_in_order() -> None:
    """Ten like lamps on one common net share a column, in order, alike; in their middle an IC may stand."""
    circuit, board_name = demo("runway-lights")
    layout = place(circuit, board(board_name), seconds=QUICK).layout
    holes = [[layout.board.holes[h] for h in layout.holes[f"DS{k}"]] for k in range(1, 11)]
    assert len({x for pair in holes for x, _ in pair}) == 1
    steps = [b[0][1] - a[0][1] for a, b in itertools.pairwise(holes)]
    middle = steps.pop(len(steps) // 2)
    assert len(set(steps)) == 1
    assert middle == steps[0] or 5 <= abs(middle) - abs(steps[0]) <= 12
    assert len({pair[1][1] - pair[0][1] for pair in holes}) == 1


_PRINT = """
import sys
sys.path.insert(0, {folder!r})
from _place_demo import demo
from buildalong.board import board
from buildalong.build.place import place
circuit, name = demo("lighthouse")
found = place(circuit, board(name), seconds=0.5)
print(found.layout.holes, found.layout.wires, found.score.total)
"""


def test_the_same_call_gives_the_same_bytes() -> None:
    """Two fresh processes with different hash seeds give the same layout."""
    code = _PRINT.format(folder=os.path.dirname(__file__))
    out = [
        subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "77")
    ]
    assert out[0] == out[1]
    assert "U1" in out[0]


def test_fixed_legs_and_wires_stay() -> None:
    """What the author fixed is in the layout, wires first; the rest is placed around it."""
    circuit, board_name = demo("mailbox-flag")
    here = board(board_name)
    legs = {"U1": ("e5", "e6", "e7", "e8", "f8", "f7", "f6", "f5"), "BT1": ("a1", "-")}
    fixed = Layout(here, legs, (Wire("d5", "d2", "black"),))
    found = place(circuit, here, fixed=fixed, seconds=QUICK)
    assert found.layout.holes["U1"] == legs["U1"]
    assert found.layout.holes["BT1"][0] == "a1"
    assert found.layout.wires[0] == fixed.wires[0]
    assert faults(circuit, found.layout) == []


def test_an_impossible_wish_says_why() -> None:
    """Two nets fixed in one strip, and a part without a strip, are findings that name the parts."""
    circuit, board_name = demo("mailbox-flag")
    here = board(board_name)
    clash = Layout(here, {"R1": ("a3", "a7"), "R3": ("b3", "b7")})
    codes = [f.code for f in place(circuit, here, fixed=clash, seconds=QUICK).findings]
    assert codes == ["strip-with-two-nets", "strip-with-two-nets"]
    off = Layout(here, {"U1": ("e1", "e2", "e3", "e4", "f5", "f3", "f2", "-")})
    found = place(circuit, here, fixed=off, seconds=QUICK)
    assert any(f.code == "no-place" and "U1" in f.message for f in found.findings)


def test_the_score_counts_what_its_table_says() -> None:
    """Two wires, one bent twice, crossing once: counted by hand."""
    circuit = Circuit(
        (part("BT1", "supply-aa", ["PLUS", "0V"]), part("R1", "resistor", ["PLUS", "0V"], "1k"))
    )
    wires = (Wire("a3", "c3"), Wire("b1", "d5", path=((1, 5),)))
    layout = Layout(board("170"), {"R1": ("h3", "h8")}, wires)
    found = score(circuit, layout)
    assert found.amount("wire") == 2
    assert found.amount("bend") == 1
    assert found.amount("crossing") == 1
    assert found.amount("wire length") == 2 + 6
    assert found.amount("span") == 1
    assert {term.name for term in found.terms} <= set(WEIGHTS)
