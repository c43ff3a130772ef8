"""Rows that a proof looks at: a longer board takes no fewer wires, and what a proof refuses is not there."""

from __future__ import annotations

import pytest
from _place_brute import fewest_wires
from _place_demo import demo, part
from _place_random import random_circuit

from buildalong.board import Board, board
from buildalong.build.place import place
from buildalong.build.place._ask import Purse
from buildalong.build.place._length import rows_needed
from buildalong.build.place._rooms import Room
from buildalong.build.place._strips import StripModel
from buildalong.build.place._units import net_numbers
from buildalong.circuit import Circuit

_SUPPLY = ("BT1", "supply-aa", ["PLUS", "0V"])
SHORT = {
    "two resistors": [("R1", "resistor", ["PLUS", "A"]), ("R2", "resistor", ["A", "0V"])],
    "a lamp and its resistor": [("R1", "resistor", ["PLUS", "A"]), ("DS1", "led-red", ["A", "0V"])],
    "two transistors": [("Q1", "npn-bc547", ["A", "B", "0V"]), ("Q2", "npn-bc547", ["B", "A", "0V"])],
}


@pytest.mark.parametrize("name", SHORT)
def test_more_rows_than_needed_save_no_wire(name: str) -> None:
    """Source: enumeration of all choices of strips, on the rows that are looked at and on two more."""
    parts = [part(i, kind, list(nets), "1k" if i[0] == "R" else None) for i, kind, nets in SHORT[name]]
    circuit = Circuit((part(*_SUPPLY), *parts))
    most = fewest_wires(circuit, Board("tiny", rows=6))
    needed = rows_needed(circuit, Board("long", rows=99), net_numbers(circuit), most)
    assert needed < 9
    fewest = [fewest_wires(circuit, Board("tiny", rows=rows)) for rows in (needed, needed + 2)]
    assert fewest[0] == fewest[1] <= most


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.parametrize("style", ["formed", "link"])
def test_a_layout_on_a_long_board_is_not_refused(seed: int, style: str) -> None:
    """A layout on 63 rows with flat wires: the model, with fewer rows, has room for as many wires."""
    parts, here = random_circuit(seed, most=6).parts, board("830")
    circuit = Circuit(tuple(p for p in parts if not p.type.body.straddles))
    found = place(circuit, here, style=style, seconds=0.5)
    if found.findings:
        return
    wires = found.wire_count
    strips = StripModel(circuit, here, style, most=wires)
    assert strips.length < here.rows
    answer = Room(strips, wired=style == "link").find(wires, False, Purse(2.0, 1.0))
    assert answer is not None


def test_rows_of_the_two_transistor_circuit() -> None:
    """By hand: eight nets and three wires hold eleven rows, four resistors two more each, the others one."""
    circuit, _ = demo("level-crossing")
    numbers = net_numbers(circuit)
    assert rows_needed(circuit, board("830"), numbers, 3) == 8 + 3 + 4 * 2 + 4
    assert rows_needed(circuit, board("170"), numbers, 3) == 17


def test_wires_between_many_rails_have_all_rows() -> None:
    """Rails broken in the middle: more wires from rail to rail than pass above the first row."""
    circuit, _ = demo("level-crossing")
    assert rows_needed(circuit, board("830-split"), net_numbers(circuit), 3) == 63
