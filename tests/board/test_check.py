"""Whether a layout can be built: legs, bodies and wires with true sizes.

Sizes: resistor 6.3 x 2.4 mm (Yageo CFR), DIP-8 9.81 x 6.35 mm (TI SLFS022I), tact button 6 x 6 mm
(Omron B3F), thickest lead 0.8 mm (20 AWG, McComb); pitch 2.54 mm.
"""

from __future__ import annotations

import math

import pytest

from board._demo import LIGHTHOUSE, LIGHTHOUSE_WIRES, built, circuit, lighthouse, part
from buildalong.board import Layout, Wire, board, check_layout, outline_of, turn_of
from buildalong.circuit import Circuit
from buildalong.finding import Severity
from buildalong.parts import catalogue

PARTS = Circuit(
    (
        part("R1", "resistor", ["A", "B"], "10k"),
        part("R2", "resistor", ["A", "B"], "10k"),
        part("U1", "timer-555", ["A", "B", "C", "A", "-", "B", "-", "A"]),
        part("U2", "timer-555", ["A", "B", "C", "A", "-", "B", "-", "A"]),
        part("S1", "push-button", ["A", "B"]),
        part("Q1", "npn-bc547", ["A", "B", "C"]),
        part("D1", "diode-1n4001", ["A", "B"]),
        part("C1", "electrolytic", ["A", "B"], "10 µF"),
        part("C2", "electrolytic", ["A", "B"], "10 µF"),
    )
)


def said(holes: dict[str, str], wires: list[str] | None = None, size: str = "400") -> list[tuple[str, str]]:
    return [(f.code, f.message) for f in check_layout(PARTS, built(size, holes, wires or []))]


def test_the_demo_board_can_be_built() -> None:
    """The hand-made board has no error; two wires that pass over parts are told."""
    found = check_layout(circuit("lighthouse"), lighthouse())
    assert {f.severity for f in found} == {Severity.WARNING}
    assert [f.code for f in found] == ["wire-through-body", "wire-through-body"]
    assert [f.about for f in found] == [("wire 5", "U1"), ("wire 9", "DS1")]


@pytest.mark.parametrize(
    ("holes", "wires", "expected"),
    [
        ({"R1": "c5 c9"}, [], []),
        ({"R1": "c5 c13"}, [], []),
        (
            {"R1": "c5 c6"}, [],
            [("lead-span", "R1's leads are 2.5 mm apart in c5 and c6; they reach 7.6 to 20.3 mm.")],
        ),
        (
            {"R1": "c5 c20"}, [],
            [("lead-span", "R1's leads are 38.1 mm apart in c5 and c20; they reach 7.6 to 20.3 mm.")],
        ),
        (
            {"R1": "c5 c99"}, [],
            [("no-such-hole", "R1 goes into hole c99, but the board 400 has no such hole.")],
        ),
        (
            {"R1": "c5 c9"}, ["c9 a11"],
            [("two-leads-in-one-hole", "Hole c9 holds R1 and wire 1; a hole takes one lead.")],
        ),
        ({"R1": "c5"}, [], [("wrong-number-of-holes", "R1 has 2 legs, but 1 hole.")]),
        (
            {"R7": "c5 c9"}, [],
            [("layout-unknown-part", "The layout places R7, which the circuit does not have.")],
        ),
        ({"U1": "e5 e6 e7 e8 f8 f7 f6 f5"}, [], []),
        ({"U1": "f8 f7 f6 f5 e5 e6 e7 e8"}, [], []),
        (
            {"U1": "f5 f6 f7 f8 e8 e7 e6 e5"}, [],
            [(
                "legs-do-not-fit",
                "U1's legs cannot reach f5, f6, f7, f8, e8, e7, e6 and e5: the timer is rigid and stands"
                " across the trench.",
            )],
        ),
        (
            {"U1": "a5 a6 a7 a8 d8 d7 d6 d5"}, [],
            [(
                "not-across-the-trench",
                "U1 must stand across the trench; in a5, a6, a7, a8, d8, d7, d6 and d5 its legs are joined"
                " in pairs.",
            )],
        ),
        ({"S1": "e5 f5 e7 f7"}, [], []),
        (
            {"S1": "e5 e7 f5 f7"}, [],
            [(
                "legs-do-not-fit",
                "S1's legs cannot reach e5, e7, f5 and f7: the push-button is rigid and stands across the"
                " trench.",
            )],
        ),
        ({"Q1": "c5 c6 c7"}, [], []),
        ({"Q1": "c7 c6 c5"}, [], []),
        (
            {"Q1": "c5 c7 c6"}, [],
            [("legs-do-not-fit", "Q1's legs cannot reach c5, c7 and c6: the NPN transistor is rigid.")],
        ),
        ({"R1": "c5 c9", "R2": "d5 d9"}, [], []),
        (
            {"R1": "c5 c9", "R2": "c6 c10"}, [],
            [("bodies-collide", "R1 and R2 are in each other's way: their bodies overlap by 2.4 mm.")],
        ),
        (
            {"R1": "c4 c12"}, ["c8 a1"],
            [
                ("hole-under-body", "Hole c8, used by wire 1, lies under R1."),
                ("wire-through-body", "Wire 1 (c8 to a1) runs through R1."),
            ],
        ),
        (
            {"R1": "c5 c9"}, ["a7 f7"],
            [("wire-through-body", "Wire 1 (a7 to f7) runs through R1.")],
        ),
        (
            {"R1": "c5 c9"}, ["a9 e9"],
            [("wire-over-hole", "Wire 1 (a9 to e9) lies over hole c9, where R1 is."),
             ("wire-joins-nothing", "Both ends of wire 1 are in row 9 left.")],
        ),
        ({"D1": "c5 c9"}, [], [("lead-thick", "D1's leads are 0.8 mm thick, the most that a board takes.")]),
        (
            {"U1": "e5 e6 e7 e8 f8 f7 f6 f5", "U2": "f15 f14 f13 f12 e12 e13 e14 e15"}, [],
            [("chips-look-apart", "The notches of U1 and U2 look in different directions.")],
        ),
    ],
)  # fmt: skip
def test_what_is_said(holes: dict[str, str], wires: list[str], expected: list[tuple[str, str]]) -> None:
    """What cannot be built, or only with care, is said; the rest is silent."""
    assert sorted(said(holes, wires)) == sorted(expected)


def test_a_long_wire() -> None:
    """A wire right along a full-size board is longer than 120 mm: 62 rows of 2.54 mm are 157 mm."""
    assert said({}, ["a1 a63"], "830") == [("wire-long", "Wire 1 is 157 mm long.")]


def test_cans_side_by_side() -> None:
    """Two cans of 5 mm one row apart are in each other's way; two rows (5.08 mm) apart they are not."""
    assert [code for code, _ in said({"C1": "c5 d5", "C2": "c6 d6"})] == ["bodies-collide"]
    assert said({"C1": "c5 d5", "C2": "c7 d7"}) == []


def test_flexible_wires_arch_over_parts() -> None:
    """A flexible wire may pass over a part; one laid around it touches nothing."""
    right = built("400", {"R1": "c5 c9"}, [])
    over = Layout(right.board, right.holes, (Wire("a7", "e7", style="flexible"),))
    around = Layout(right.board, right.holes, (Wire("a7", "e12", path=((0.0, 11.0), (4.0, 11.0))),))
    assert [f.code for f in check_layout(PARTS, over)] == ["wire-joins-nothing"]
    assert check_layout(PARTS, around) == []


@pytest.mark.parametrize(
    ("kind", "holes", "turn"),
    [
        ("timer-555", "e5 e6 e7 e8 f8 f7 f6 f5", 0),
        ("timer-555", "f8 f7 f6 f5 e5 e6 e7 e8", 180),
        ("push-button", "e5 f5 e7 f7", 0),
        ("npn-bc547", "c5 c6 c7", 0),
        ("npn-bc547", "c5 b5 a5", 90),
        ("npn-bc547", "c7 c6 c5", 180),
        ("npn-bc547", "a5 b5 c5", 270),
        ("npn-bc547", "a5 c5 b5", None),
        ("npn-bc547", "d5 e5 f5", None),
    ],
)
def test_turns(kind: str, holes: str, turn: int | None) -> None:
    """The turn of a rigid part follows from its holes; seen from above, clockwise, row 1 at the top."""
    assert turn_of(catalogue()[kind], board("400"), holes.split()) == turn


def test_outline_of_a_resistor() -> None:
    """A resistor's body lies between its leads: 6.3 x 2.4 mm (Yageo CFR), whatever the direction."""
    outline = outline_of(catalogue()["resistor"], board("400"), ("c5", "c10"))
    assert outline is not None
    xs, ys = [x * 2.54 for x, _ in outline], [y * 2.54 for _, y in outline]
    assert max(ys) - min(ys) == pytest.approx(6.3)
    assert max(xs) - min(xs) == pytest.approx(2.4)
    assert sum(ys) / 4 == pytest.approx(7.5 * 2.54)
    slanted = outline_of(catalogue()["resistor"], board("400"), ("b5", "e9"))
    assert slanted is not None
    sides = sorted(math.dist(slanted[i], slanted[i - 1]) * 2.54 for i in range(4))
    assert sides == pytest.approx([2.4, 2.4, 6.3, 6.3])


def test_outline_of_a_chip() -> None:
    """A DIP-8 body spans 9.81 mm along the rows and 6.35 mm across the trench, between its legs."""
    holes = ["e5", "e6", "e7", "e8", "f8", "f7", "f6", "f5"]
    outline = outline_of(catalogue()["timer-555"], board("400"), holes)
    assert outline is not None
    xs, ys = [x * 2.54 for x, _ in outline], [y * 2.54 for _, y in outline]
    assert (max(xs) - min(xs), max(ys) - min(ys)) == pytest.approx((6.35, 9.81))


def test_off_board_parts_have_no_outline() -> None:
    """A battery holder lies beside the board."""
    assert outline_of(catalogue()["supply-aa"], board("400"), ("L+1", "L-1")) is None


def test_every_lead_counts() -> None:
    """Each pair of leads in one hole is found, whoever they belong to."""
    doubled = built("400", {**LIGHTHOUSE, "C2": "i13 i14", "D1": "g11 i14"}, LIGHTHOUSE_WIRES)
    found = [f for f in check_layout(circuit("lighthouse"), doubled) if f.code == "two-leads-in-one-hole"]
    assert [f.about for f in found] == [("D1", "C2", "i14")]


@pytest.mark.parametrize(
    ("name", "holes", "fitting"),
    [
        ("S1", "f3 e3 f5 e5", "f5 e5 f3 e3"),
        ("S1", "e5 e7 f5 f7", "e5 f5 e7 f7"),
        ("U1", "f5 f6 f7 f8 e8 e7 e6 e5", "e5 e6 e7 e8 f8 f7 f6 f5"),
        ("Q1", "c5 c7 c6", "c5 c6 c7"),
    ],
)
def test_what_would_fit_is_told(name: str, holes: str, fitting: str) -> None:
    """The holes told for a rigid part are those that its legs reach, most of them as given."""
    (found,) = check_layout(PARTS, built("400", {name: holes}, []))
    assert found.code == "legs-do-not-fit"
    told = found.hint.removeprefix("From the first leg on, these fit: ").removesuffix(".")
    assert sorted(told.replace(" and ", ", ").split(", ")) == sorted(fitting.split())
    assert said({name: " ".join(told.replace(" and ", ", ").split(", "))}) == []


def test_what_would_fit_is_free() -> None:
    """Holes that another part uses are not told."""
    layout = built("400", {"S1": "f3 e3 f5 e5", "R1": "f5 f9"}, [])
    hint = next(f.hint for f in check_layout(PARTS, layout) if f.code == "legs-do-not-fit")
    assert "f5" not in hint
    assert hint.startswith("From the first leg on, these fit: ")
