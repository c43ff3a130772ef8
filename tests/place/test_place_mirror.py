"""Swaps of parts that leave a circuit as it is, and bounds with one of two such layouts left out."""

from __future__ import annotations

import pytest
from _place_brute import fewest_wires
from _place_demo import demo, part

from buildalong.board import Board, Layout, board
from buildalong.build.place import place, score
from buildalong.build.place._count import count_strips
from buildalong.build.place._mirror import swapped
from buildalong.circuit import Circuit

_SUPPLY = ("BT1", "supply-aa", ["PLUS", "0V"])
_PAIR = [("Q1", "npn-bc547", ["A", "B", "0V"]), ("Q2", "npn-bc547", ["B", "A", "0V"])]
MIRRORED = {
    "each switches the other": (5, [_SUPPLY, *_PAIR]),
    "with a resistor each": (
        6, [_SUPPLY, *_PAIR, ("R1", "resistor", ["PLUS", "A"]), ("R2", "resistor", ["PLUS", "B"])],
    ),
    "with a lamp each": (
        6, [_SUPPLY, *_PAIR, ("DS1", "led-red", ["PLUS", "A"]), ("DS2", "led-red", ["PLUS", "B"])],
    ),
}  # fmt: skip
"""Rows of the board, and parts."""


def _circuit(parts: list[tuple[str, str, list[str]]]) -> Circuit:
    return Circuit(tuple(part(i, kind, list(nets), "1k" if i[0] == "R" else None) for i, kind, nets in parts))


def test_the_two_sides_of_an_astable_change_places() -> None:
    """Source: two transistors that switch each other in turn are drawn as mirror images (textbook figure)."""
    found = swapped(demo("level-crossing")[0])
    pairs = {frozenset(pair) for pair in found.items() if pair[0] != pair[1]}
    assert pairs == {
        frozenset(p) for p in (("Q1", "Q2"), ("DS1", "DS2"), ("R1", "R4"), ("R2", "R3"), ("C1", "C2"))
    }


@pytest.mark.parametrize("more", [("R1", "resistor", ["PLUS", "A"]), ("C1", "electrolytic", ["A", "B"])])
def test_a_part_on_one_side_forbids_the_swap(more: tuple[str, str, list[str]]) -> None:
    """One resistor, or a capacitor with poles, has no partner to change places with."""
    assert swapped(_circuit([_SUPPLY, *_PAIR, more])) == {}


@pytest.mark.parametrize("name", MIRRORED)
def test_the_bound_stays_below_the_enumerated_fewest(name: str) -> None:
    """Every choice of strips is tried by other code, in both orders of the two, on a board without rails."""
    rows, parts = MIRRORED[name]
    circuit, here = _circuit(parts), Board("tiny", rows=rows)
    assert swapped(circuit)["Q1"] == "Q2"
    fewest = fewest_wires(circuit, here)
    count = count_strips(circuit, here, "formed", work=4.0)
    assert count.fewest == fewest
    railed = count_strips(circuit, board("400"), "formed", work=4.0)
    assert railed.fewest <= fewest  # a layout beside the rails is one of a board without them


def test_halves_that_are_no_mirror_images_count() -> None:
    """Two transistors with a lamp each, mirrored across the trench, then one lamp a row lower: by hand."""
    _, parts = MIRRORED["with a lamp each"]
    circuit = _circuit(parts)
    legs = {
        "BT1": ("a2", "a4"), "Q1": ("d6", "d7", "d8"), "Q2": ("g6", "g7", "g8"), "DS1": ("b4", "b6"),
    }  # fmt: skip
    amounts = [
        score(circuit, Layout(board("170"), {**legs, "DS2": lamp}, ())).amount("halves")
        for lamp in (("i4", "i6"), ("i5", "i7"))
    ]
    assert amounts == [0, 1]


def test_halves_are_placed_as_mirror_images() -> None:
    """The search weighs what the score weighs."""
    lamps = [("DS1", "led-red", ["PLUS", "A"]), ("DS2", "led-red", ["PLUS", "B"])]
    resistors = [("R1", "resistor", ["PLUS", "A"]), ("R2", "resistor", ["PLUS", "B"])]
    circuit = _circuit([_SUPPLY, *_PAIR, *lamps, *resistors])
    assert place(circuit, board("830"), seconds=2.0).score.amount("halves") == 0
