"""The number of wires and its bound against an enumeration of everything on very small boards."""

from __future__ import annotations

from typing import Any

import pytest
from _place_brute import fewest_wires
from _place_checker import faults
from _place_demo import demo, part
from _place_random import tiny_circuit

from buildalong.board import Board, Layout, Wire, board, check_layout, oriented
from buildalong.build.hand import read_list
from buildalong.build.place import _place as placing
from buildalong.build.place import place
from buildalong.build.place._count import count_strips, railed_at_most, worth
from buildalong.build.place._task import Solution
from buildalong.circuit import Circuit
from buildalong.finding import Severity
from buildalong.lesson import load
from demos import EXAMPLES

_SUPPLY = ("BT1", "supply-aa", ["PLUS", "0V"])
_U1 = ("U1", "timer-555", ["0V", "CAP", "OUT", "PLUS", "CTRL", "CAP", "DIS", "PLUS"])


def _lamps(count: int) -> list[tuple[str, str, list[str]]]:
    return [(f"DS{k}", "led-red", ["PLUS", "0V"]) for k in range(1, count + 1)]


CASES = {
    "supply and one resistor": (4, 0, [_SUPPLY, ("R1", "resistor", ["PLUS", "0V"])]),
    "two lamps side by side": (4, 0, [_SUPPLY, *_lamps(2)]),
    "chip whose pins share nets": (5, 2, [_SUPPLY, _U1]),
    "chip with a resistor to its supply": (5, 3, [_SUPPLY, _U1, ("R1", "resistor", ["PLUS", "DIS"])]),
    "chip with a resistor and a lamp": (
        6, 2, [_SUPPLY, _U1, ("R3", "resistor", ["OUT", "LAMP"]), ("DS1", "led-red", ["LAMP", "0V"])],
    ),
    "chip with a resistor that reaches neither pin": (
        5, 3, [_SUPPLY, _U1, ("R2", "resistor", ["OUT", "0V"])],
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_wires_are_as_few_as_enumeration_finds(name: str) -> None:
    """Every choice of strips is tried by other code: the placer uses no wire more, the bound is not above.

    Source: enumeration in _place_brute.py; the numbers in CASES are its results.
    """
    rows, fewest, parts = CASES[name]
    circuit = Circuit(tuple(part(i, kind, nets, "1k" if i[0] == "R" else None) for i, kind, nets in parts))
    here = Board("tiny", rows=rows)
    assert fewest_wires(circuit, here) == fewest
    found = place(circuit, here, seconds=1.0)
    assert faults(circuit, found.layout) == []
    assert found.wire_count == fewest
    assert found.lower_bound <= fewest
    assert found.proved == (found.lower_bound == fewest)


_KINDS = ("resistor", "led-red", "capacitor-ceramic", "electrolytic", "npn-bc547")


@pytest.mark.parametrize("seed", range(12))
def test_bound_is_below_the_enumerated_fewest(seed: int) -> None:
    """Two parts of any kind beside a chip or a button: bound <= fewest by enumeration <= placed."""
    circuit, here = tiny_circuit(seed, _KINDS), Board("tiny", rows=6)
    fewest = fewest_wires(circuit, here)
    found = place(circuit, here, seconds=0.3)
    assert found.lower_bound <= fewest
    if not found.findings:
        assert fewest <= found.wire_count


def test_a_wish_that_cannot_be_fulfilled_is_one_sentence() -> None:
    """A resistor held where only one free row is left: the sentence names the part in the way and its row."""
    circuit = Circuit((part(*_SUPPLY), part(*_U1), part("R2", "resistor", ["OUT", "DIS"], "1k")))
    held = Layout(Board("tiny", rows=4), {"U1": ("e1", "e2", "e3", "e4", "f4", "f3", "f2", "f1")})
    found = place(circuit, held.board, fixed=held, seconds=0.3)
    assert [f.message for f in found.findings if f.code == "no-place"] == [
        "U1 at row 1 leaves no strip for R2."
    ]
    assert not found.proved


def test_leads_of_the_supply_stand_side_by_side() -> None:
    """In the outer columns of one side where rails would cost a wire: common practice."""
    for name in ("lighthouse", "mailbox-flag"):
        circuit, board_name = demo(name)
        layout = place(circuit, board(board_name), seconds=1.0).layout
        leads = layout.holes["BT1"]
        assert any(all(hole[0] in side for hole in leads) for side in ("ab", "ij"))
        (_, ay), (_, by) = (layout.board.holes[hole] for hole in leads)
        assert abs(ay - by) <= 5


@pytest.mark.parametrize(("wires", "beside", "same"), [(5, 5, True), (6, 5, False), (30, 28, True)])
def test_rails_are_worth_one_wire_in_ten(wires: int, beside: int, same: bool) -> None:
    """The rule of docs/placement.md, for the choice between two layouts."""
    assert (worth(wires, rails=True) < worth(beside, rails=False)) is same
    assert (wires <= railed_at_most(beside)) is same


def test_a_second_search_is_left_out_only_where_it_changes_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """On the rails and beside them: the same layout as where both are always searched for."""
    searches = []

    def improved(*arguments: Any) -> Solution:
        searches.append(arguments[0])
        return real(*arguments)

    real = placing.improved
    monkeypatch.setattr(placing, "improved", improved)
    circuit, here = demo("mailbox-flag")[0], board("400")
    found = place(circuit, here, seconds=1.0)
    assert len(searches) == 1
    monkeypatch.setattr(placing, "_settled", lambda *_: False)
    again = place(circuit, here, seconds=1.0)
    assert len(searches) == 3
    assert again == found


def test_a_wire_that_arches_may_pass_over_holes_and_parts() -> None:
    """The same wire over a leg and a body is told of when it lies flat, not when it arches over."""
    circuit = Circuit((part("R1", "resistor", ["PLUS", "0V"], "1k"),))
    codes = {}
    for style in ("formed", "flexible"):
        wire = Wire("a1", "a12", style=style)  # type: ignore[arg-type]
        layout = Layout(board("170"), {"R1": ("a4", "a8")}, (wire,))
        codes[style] = {f.code for f in check_layout(circuit, layout)}
    assert codes["formed"] >= {"wire-over-hole", "wire-through-body"}
    assert not codes["flexible"] & {"wire-over-hole", "wire-through-body"}


def test_the_bound_knows_what_a_held_button_joins() -> None:
    """With all legs where a bench builder put them, no more wires are bound than the builder laid (five)."""
    lesson = load(EXAMPLES / "mailbox-flag")
    text = (EXAMPLES.parent / "benchmarks" / "hand_layouts" / "mailbox-flag.txt").read_text("utf-8")
    layout = read_list(text, "build.txt", lesson.circuit, board("170"), any_test=True).layout
    assert layout is not None
    held = {
        (part, leg): layout.board.strip_of[hole]
        for part, holes in layout.holes.items()
        for leg, hole in enumerate(holes)
    }
    count = count_strips(oriented(lesson.circuit, layout), layout.board, "formed", fixed=held)
    assert 0 < count.fewest <= len(layout.wires) == 5


def test_nothing_new_stands_under_a_wire_that_stays() -> None:
    """Parts that are placed keep clear of the flat wires that the author holds."""
    lesson = load(EXAMPLES / "mailbox-flag")
    held = Layout(board("400"), {}, (Wire("a10", "a20", "", "formed"), Wire("h8", "h22", "", "formed")))
    found = place(lesson.circuit, board("400"), fixed=held, seconds=0.4)
    assert not [f for f in found.findings if f.severity >= Severity.ERROR]
    told = [f for f in check_layout(lesson.circuit, found.layout) if {"wire 1", "wire 2"} & {*f.about}]
    assert not [f.message for f in told if f.code in ("wire-over-hole", "wire-through-body")]
