"""An author's table of holes and wires: every mistake is a finding with a cure, nothing is raised."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from board._demo import LIGHTHOUSE, LIGHTHOUSE_WIRES, circuit, lighthouse, part
from buildalong.board import Layout, board, equal, layout_from, point_at, point_name, read_back
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
    assert made is not None
    assert made.holes == lighthouse().holes
    assert [(w.start, w.end) for w in made.wires] == [(w.start, w.end) for w in lighthouse().wires]
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
            'Write it as ["a5", "L+3"]: its two ends, between them the places where it bends, and a colour'
            " if you like.",
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
        "no-such-hole", "two-leads-in-one-hole", "layout-unknown-part", "no-such-hole", "wire-word",
    ]  # fmt: skip


def test_a_wire_with_its_path() -> None:
    """Places between the ends are bends; colour and style stand anywhere; the net is read back."""
    made, findings = read(
        {"R1": ["c7", "c11"], "DS1": ["b11", "b12"]},
        [["green", "a11", "a14", "e+14", "e17", "link"], ["d12", "e++12", "f20"], ["a7", "(-1.25,7)", "L+8"]],
    )
    assert findings == []
    assert made is not None
    first, second, third = made.wires
    assert (first.start, first.end, first.path) == ("a11", "e17", ((0, 14), (5, 14)))
    assert (first.colour, first.style, first.net) == ("green", "link", "B")
    assert (second.path, second.colour, second.style, second.net) == (((6, 12),), "grey", "formed", "C")
    assert third.path == ((-1.25, 7),)


@pytest.mark.parametrize(
    ("wire", "code", "message"),
    [
        (["a1", "e+4"], "no-such-hole", "Wire 1 ends at e+4, where no hole is."),
        (["a1", "grean", "a4"], "wire-word", "Wire 1: 'grean' is no place on the board 400,"),
        (["a1", "a4", "a4", "b4"], "wire-bends", "Wire 1 names the place a4 twice running."),
        (
            ["a1", *[f"{c}{r}" for r in range(2, 9) for c in "bc"], "a4"],
            "wire-bends",
            "Wire 1 bends 14 times",
        ),
        (["a1", "(900,2)", "a4"], "no-such-hole", "Wire 1 goes into hole (900,2)"),
        (["red", "black"], "wire-needs-two-holes", "Wire 1 is not a pair of holes."),
        ([], "wire-needs-two-holes", "Wire 1 is not a pair of holes."),
    ],
)
def test_wires_that_are_none(wire: list[str], code: str, message: str) -> None:
    """What is wrong with the words of a wire is one error that names the word."""
    made, findings = read({}, [wire])
    assert made is None
    assert [f.code for f in findings] == [code]
    assert findings[0].message.startswith(message)


POINTS = st.tuples(
    st.one_of(st.integers(-6, 17).map(float), st.floats(-6, 17)),
    st.one_of(st.integers(1, 30).map(float), st.integers(1, 60).map(lambda n: n / 2), st.floats(1, 30)),
)


@given(st.sampled_from(["170", "400", "830"]), POINTS)
@settings(max_examples=150, deadline=None)
def test_every_place_has_a_name(size: str, point: tuple[float, float]) -> None:
    """The name of a place means that very place again."""
    where = (round(point[0], 6), round(point[1], 6) if size != "170" else min(round(point[1], 6), 17.0))
    assert point_at(board(size), point_name(board(size), where)) == where


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
