"""An author's table of holes and wires: every mistake is a finding with a cure, nothing is raised."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from board._demo import LIGHTHOUSE, LIGHTHOUSE_WIRES, circuit, lighthouse, part
from buildalong.board import Layout, board, equal, layout_from, read_back
from buildalong.circuit import Circuit
from buildalong.finding import Finding, Severity

PAIR = Circuit((part("R1", "resistor", ["A", "B"]), part("DS1", "led-red", ["B", "C"])))


def read(
    holes: dict[str, list[str]], wires: list[list[str]] | None = None, size: str = "400"
) -> tuple[Layout | None, list[Finding]]:
    return layout_from(board(size), PAIR, holes, wires or [])


def test_a_right_table() -> None:
    """A right table gives the layout that it says, in the author's spelling or ours."""
    table = {key: holes.upper().split() for key, holes in LIGHTHOUSE.items()}
    made, findings = layout_from(
        board("400"), circuit("lighthouse"), table, [w.split() for w in LIGHTHOUSE_WIRES]
    )
    assert findings == []
    assert made == lighthouse()
    assert equal(circuit("lighthouse"), read_back(circuit("lighthouse").parts, lighthouse()))


def test_part_of_a_table() -> None:
    """Parts may be left out, a lead may be left free, a wire needs no colour."""
    made, findings = read({"R1": ["c7", "-"]}, [["a1", "a9"]])
    assert findings == []
    assert made is not None
    assert dict(made.holes) == {"R1": ("c7", "-")}
    assert [(w.start, w.end) for w in made.wires] == [("a1", "a9")]


@pytest.mark.parametrize(
    ("holes", "wires", "size", "code", "message", "hint"),
    [
        (
            {"R1": ["c7", "c31"]}, [], "400", "no-such-hole",
            "R1's leg 2 goes into hole c31, but the board 400 has no such hole.",
            "The nearest is c30. Holes are a1 to j30, rails L+, L-, R+ and R- with holes 1 to 25.",
        ),
        (
            {"R1": ["c7", "k7"]}, [], "170", "no-such-hole",
            "R1's leg 2 goes into hole k7, but the board 170 has no such hole.",
            "The nearest is j7. Holes are a1 to j17.",
        ),
        (
            {"R1": ["c7", "L+3"]}, [], "170", "no-such-hole",
            "R1's leg 2 goes into hole L+3, but the board 170 has no rails.",
            None,
        ),
        (
            {"DS1": ["c7"]}, [], "400", "wrong-number-of-holes",
            "DS1 (red LED) has 2 legs, but the layout gives 1 hole.",
            "Give one hole for each leg, in this order: A and K.",
        ),
        (
            {"R3": ["c7", "c9"]}, [], "400", "layout-unknown-part",
            "The layout places R3, but the circuit has no part of that name.",
            "Did you mean R1?",
        ),
        (
            {"R1": ["c7", "c11"], "DS1": ["c11", "c12"]}, [], "400", "two-leads-in-one-hole",
            "Hole c11 is given to R1's leg 2 and to DS1's leg A; a hole takes one lead.",
            "Hole b11 is on the same strip and free.",
        ),
        (
            {"R1": ["c7", "c11"]}, [["c7", "a1"]], "400", "two-leads-in-one-hole",
            "Hole c7 is given to R1's leg 1 and to wire 1; a hole takes one lead.",
            "Hole b7 is on the same strip and free.",
        ),
        (
            {}, [["a1"]], "400", "wire-needs-two-holes",
            "Wire 1 is not a pair of holes.",
            'Write it as ["a5", "L+3"], with a colour as third word if you like.',
        ),
        (
            {}, [["a1", "a99"]], "400", "no-such-hole",
            "Wire 1 goes into hole a99, but the board 400 has no such hole.",
            None,
        ),
    ],
)  # fmt: skip
def test_one_mistake(
    holes: dict[str, list[str]], wires: list[list[str]], size: str, code: str, message: str, hint: str | None
) -> None:
    """Each mistake is one error with its sentence and its cure, and there is no layout."""
    made, findings = read(holes, wires, size)
    assert made is None
    assert [(f.severity, f.code, f.message) for f in findings] == [(Severity.ERROR, code, message)]
    if hint is not None:
        assert findings[0].hint == hint


def test_all_mistakes_at_once() -> None:
    """Every mistake of a table is told, in the order of the table."""
    _, findings = read(
        {"R1": ["c7", "zz"], "DS1": ["a1", "a1"], "Q9": ["a2"]}, [["a1", "a0"], ["b1", "b2", "red", "x"]]
    )
    assert [f.code for f in findings] == [
        "no-such-hole", "two-leads-in-one-hole", "layout-unknown-part",
        "two-leads-in-one-hole", "no-such-hole", "wire-needs-two-holes",
    ]  # fmt: skip


def test_a_full_strip() -> None:
    """Where the strip has no free hole the cure is another strip."""
    wires = [[f"{letter}1", f"{letter}9"] for letter in "abcde"]
    _, findings = layout_from(board("170"), PAIR, {}, [*wires, ["a1", "j9"]])
    assert findings[0].hint == "The whole strip is full: go on in another strip, joined by a wire."


def test_no_flood() -> None:
    """A table of ten thousand wires is refused, not read to the end."""
    made, findings = layout_from(board("400"), PAIR, {}, [["a1", "a2"]] * 10_000)
    assert made is None
    assert [f.code for f in findings] == ["too-many-wires"]


@given(
    st.dictionaries(st.sampled_from(["R1", "DS1", "X", ""]), st.lists(st.text(max_size=6), max_size=4)),
    st.lists(st.lists(st.text(max_size=5), max_size=4), max_size=4),
)
@settings(max_examples=80, deadline=None)
def test_nothing_is_raised(holes: dict[str, list[str]], wires: list[list[str]]) -> None:
    """Whatever an author writes gives a layout or errors, never both and never an exception."""
    made, findings = read(holes, wires)
    assert (made is None) == any(f.severity is Severity.ERROR for f in findings)
