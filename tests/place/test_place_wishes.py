"""Where an author wants parts, and what stays free: read by an independent look at the holes and wires."""

from __future__ import annotations

from itertools import pairwise

import pytest
from _place_checker import faults
from _place_demo import demo

from buildalong.board import Layout, area_from, board
from buildalong.build.place import Wishes, place
from buildalong.finding import Severity

BOARD = board("400")


def touched(layout: Layout) -> set[tuple[float, float]]:
    """Every hole in use and every point of a wire, a quarter of a pitch apart."""
    out = {layout.board.holes[hole] for hole, _ in layout.used()}
    for wire in layout.wires:
        points = [layout.board.holes[wire.start], *wire.path, layout.board.holes[wire.end]]
        for (ax, ay), (bx, by) in pairwise(points):
            steps = int(4 * max(abs(ax - bx), abs(ay - by))) + 1
            out |= {(ax + (bx - ax) * k / steps, ay + (by - ay) * k / steps) for k in range(steps + 1)}
    return out


def test_parts_stand_where_they_are_wanted_and_free_pieces_stay_free() -> None:
    """A resistor keeps to its rows, a lamp to its side, and nothing touches what is to stay free."""
    circuit, _ = demo("cupboard-light")
    wishes = Wishes(
        {"R2": area_from(BOARD, "rows 14 to 20"), "DS1": area_from(BOARD, "right")},
        (area_from(BOARD, "rows 1 to 3"), area_from(BOARD, "a24 to e30")),
    )
    found = place(circuit, BOARD, wishes=wishes, seconds=0.8)
    assert faults(circuit, found.layout) == []
    assert not any(f.severity >= Severity.ERROR for f in found.findings)
    assert all(14 <= (BOARD.row_of(hole) or 14) <= 20 for hole in found.layout.holes["R2"])
    assert all(BOARD.side_of(hole) == "right" for hole in found.layout.holes["DS1"])
    for x, y in touched(found.layout):
        assert not 0.5 < y < 3.5
        assert not (0 <= x <= 4 and y >= 24)


def test_no_wish_changes_nothing() -> None:
    """Empty wishes give the same layout as none."""
    circuit, name = demo("mailbox-flag")
    assert place(circuit, board(name), wishes=Wishes(), seconds=0.4) == place(
        circuit, board(name), seconds=0.4
    )


@pytest.mark.parametrize(
    ("text", "inside", "outside"),
    [
        ("rows 10 to 15", {"a10", "j15"}, {"a9", "a16"}),
        ("row 12", {"e12"}, {"e11"}),
        ("rows 15 - 10, left", {"e10", "L+8"}, {"f10"}),
        ("a20 to e25", {"a20", "c22", "e25"}, {"f20", "a26"}),
        ("on the right of the trench", {"f1", "R-25"}, {"e1"}),
        ("columns b to d and rows 2 to 3", {"b2", "d3"}, {"a2", "e3", "b4"}),
    ],
)
def test_areas(text: str, inside: set[str], outside: set[str]) -> None:
    """Areas hold the holes that their words say."""
    holes = set(area_from(BOARD, text).holes(BOARD))
    assert inside <= holes
    assert not outside & holes


@pytest.mark.parametrize(
    "text", ["", "rows", "rows 10 to 99", "z3 to e4", "left right", "somewhere", "a1 to e99"]
)
def test_what_is_no_area(text: str) -> None:
    """What names no piece of this board is refused with a sentence."""
    with pytest.raises(ValueError, match=r"\w+ \w+"):
        area_from(BOARD, text)
