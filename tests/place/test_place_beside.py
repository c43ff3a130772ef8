"""Wires stay on the board where there is another way; sizes of boards are their makers' (board/_board.py)."""

from __future__ import annotations

import pytest
from _place_checker import faults
from _place_demo import part

from buildalong.board import Layout, Wire, board
from buildalong.build.place import place, score
from buildalong.build.place._geometry import Geometry
from buildalong.build.place._route import Router
from buildalong.circuit import Circuit

CIRCUIT = Circuit(
    (
        part("BT1", "supply-aa", ["Q", "Z"]),
        part("DS1", "led-red", ["P", "Q"]),
        part("R1", "resistor", ["A", "X"], "1k"),
        part("R2", "resistor", ["A", "Y"], "1k"),
        part("R3", "resistor", ["Q", "Z"], "1k"),
    )
)
HELD = Layout(
    board("170"),
    {
        "BT1": ("j8", "j12"),
        "DS1": ("a7", "a8"),
        "R1": ("c5", "c1"),
        "R2": ("c11", "c15"),
        "R3": ("i8", "i12"),
    },
    (Wire("c8", "g8", "blue", "formed", (), "Q"),),
)
"""Rows 5 and 11 on the left are to be joined; a lamp closes columns a and b, a wire crosses the others."""


@pytest.mark.parametrize(
    ("name", "path", "amount"),
    [
        ("170", ((-1, 3), (-1, 9)), 0),
        ("170", ((-2, 3), (-2, 9)), 1),
        ("170", ((0, 0), (3, 0)), 0),
        ("400", ((-2, 3), (-2, 9)), 0),
        ("400", ((-6, 3), (-6, 9)), 1),
    ],
)
def test_a_wire_that_leaves_the_board_counts(
    name: str, path: tuple[tuple[float, float], ...], amount: int
) -> None:
    """35 by 47 mm end 1.4 pitches beside column a and 1.2 above row 1; a board with rails 1.3 beside them."""
    layout = Layout(board(name), {}, (Wire("a3", "a9", "blue", "formed", path),))
    assert score(CIRCUIT, layout).amount("beside the board") == amount


def test_the_way_beside_the_board_is_shorter_but_dearer() -> None:
    """By hand: 10 pitches and two bends (16) beside the board, 6 and a crossing (20) on it, which is laid."""
    found = place(CIRCUIT, board("170"), fixed=HELD, seconds=0.3).layout
    assert faults(CIRCUIT, found) == []
    assert len(found.wires) == 2
    line = [
        found.board.holes[found.wires[1].start],
        *found.wires[1].path,
        found.board.holes[found.wires[1].end],
    ]
    assert all(-1.4 < x < 12.4 for x, _ in line)
    assert score(CIRCUIT, found).amount("crossing") == 1


def test_the_router_weighs_what_the_score_weighs() -> None:
    """One track further out is two pitches and the price more."""
    router = Router(Geometry(board("170")))
    near, far = (router.path(((0, 3), (x, 3), (x, 9), (0, 9))) for x in (-1, -2))
    assert far.cost - near.cost == pytest.approx(20 + 2 * 1.12)
