"""The sentences of the comparison: each recognised mistake, made by hand on a right board.

The kinds of mistake: studies of beginners' errors (wrong strip, off by one, both leads in one strip,
rail not linked or broken, reversed parts, leg order) and the tact button's inner links.
"""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from board._demo import (
    CROSSING,
    LIGHTHOUSE,
    LIGHTHOUSE_WIRES,
    built,
    circuit,
    crossing,
    lighthouse,
    mailbox,
    part,
)
from board._random import circuits, layouts
from buildalong.board import Layout, compare, equal, read_back
from buildalong.circuit import Circuit
from buildalong.finding import Finding, Severity


def told(wanted: Circuit, layout: Layout) -> list[Finding]:
    return compare(wanted, read_back(wanted.parts, layout), layout)


def rewired(**changes: str) -> Layout:
    """The lighthouse with single wires changed: ``rewired(w0="a9 L-9")``; '' leaves the wire out."""
    wires = [changes.get(f"w{number}", wire) for number, wire in enumerate(LIGHTHOUSE_WIRES)]
    return built("400", LIGHTHOUSE, [wire for wire in wires if wire])


def without(name: str) -> Layout:
    return built("400", {key: holes for key, holes in LIGHTHOUSE.items() if key != name}, LIGHTHOUSE_WIRES)


LIGHTHOUSE_SLIPS: dict[str, tuple[Layout, str, str]] = {
    "lead on a wrong net": (
        lighthouse(C1="b11 b12"),
        "lead-on-wrong-net",
        "C1's minus lead is in row 12 left, which belongs to OUT; it should be on 0V.",
    ),
    "lead one row off, empty row": (
        lighthouse(C1="b11 b9"),
        "lead-one-row-off",
        "C1's minus lead is one row off: it is in row 9 left, where nothing else is; it should be in"
        " row 10 left, on 0V.",
    ),
    "lead one row off, on another net": (
        lighthouse(C1="b11 b16"),
        "lead-one-row-off",
        "C1's minus lead is one row off: it is in row 16 left, which belongs to LAMP; it should be in"
        " row 17 left, on 0V.",
    ),
    "swappable lead one row off": (
        lighthouse(R3="c12 c15"),
        "lead-one-row-off",
        "R3's lead is one row off: it is in row 15 left, where nothing else is; it should be in row 16"
        " left, on LAMP.",
    ),
    "lead across the trench": (
        lighthouse(R3="c12 f16"),
        "lead-across",
        "R3's lead is on the wrong side of the trench: it is in row 16 right, which belongs to CAP; it"
        " should be in row 16 left, on LAMP.",
    ),
    "both leads in one strip": (
        lighthouse(R3="c12 b12"),
        "both-leads-in-one-strip",
        "Both leads of R3 are in row 12 left, so it does nothing; one of them should be on LAMP.",
    ),
    "reversed capacitor": (
        lighthouse(C1="b10 b11"),
        "part-reversed",
        "C1, the electrolytic capacitor, is the wrong way round: C1's plus lead is on 0V and"
        " should be on CAP.",
    ),
    "reversed diode": (
        lighthouse(D1="g16 g11"),
        "part-reversed",
        "D1, the signal diode, is the wrong way round: D1's anode is on CAP and should be on DIS.",
    ),
    "reversed light": (
        lighthouse(DS1="a17 a16"),
        "part-reversed",
        "DS1, the yellow LED, is the wrong way round: DS1's anode is on 0V and should be on LAMP.",
    ),
    "reversed supply": (
        lighthouse(BT1="L-25 L+25"),
        "part-reversed",
        "BT1, the battery holder, is the wrong way round: BT1's plus lead is on 0V and should be on PLUS.",
    ),
    "chip turned round": (
        lighthouse(U1="f13 f12 f11 f10 e10 e11 e12 e13"),
        "part-turned",
        "U1, the timer, is turned round: U1's ground (pin 1) is in row 13 right and should be in"
        " row 10 left.",
    ),
    "chip one row down": (
        lighthouse(U1="e11 e12 e13 e14 f14 f13 f12 f11"),
        "part-shifted",
        "U1, the timer, is one row too far down: U1's ground (pin 1) is in row 11 left and should be in"
        " row 10 left.",
    ),
    "chip one row up": (
        lighthouse(U1="e9 e10 e11 e12 f12 f11 f10 f9"),
        "part-shifted",
        "U1, the timer, is one row too far up: U1's ground (pin 1) is in row 9 left and should be in row"
        " 10 left.",
    ),
    "resistor one row down": (
        lighthouse(R3="c13 c17"),
        "part-shifted",
        "R3, the resistor, is one row too far down: R3's lead is in row 13 left and should be in"
        " row 12 left.",
    ),
    "lead in the wrong rail of a pair": (
        lighthouse(R1="R-9 i11"),
        "lead-in-wrong-rail",
        "R1's lead is in the wrong rail: it is in the right minus rail, where nothing else is; it should"
        " be in the right plus rail, on PLUS.",
    ),
    "part left out": (
        without("R3"),
        "part-missing",
        "R3, the resistor, is not on the board; it belongs between OUT and LAMP.",
    ),
    "lead in no hole": (
        lighthouse(R3="c12 -"),
        "lead-in-no-hole",
        "R3's lead is in no hole; it should be on LAMP.",
    ),
    "wire left out, between rows": (
        rewired(w5=""),
        "wire-missing",
        "A wire from row 16 right to row 12 right is missing: both belong to CAP.",
    ),
    "wire left out, to a rail": (
        rewired(w0=""),
        "wire-missing",
        "A wire from row 10 left to the left minus rail is missing: both belong to 0V.",
    ),
    "wire left out, lead alone": (
        rewired(w8=""),
        "lead-alone",
        "DS1's cathode in row 17 left is joined to nothing; it should be on 0V: a wire from row 17 left"
        " to the left minus rail is missing.",
    ),
    "rail not bridged": (
        rewired(w3=""),
        "rail-not-fed",
        "The right plus rail is used for PLUS, but nothing feeds it: a wire to the left plus rail"
        " is missing.",
    ),
    "wire one row off, empty row": (
        rewired(w0="a9 L-9"),
        "wire-one-row-off",
        "Wire 1 (a9 to L-9) is one row off at one end: it is in row 9 left; it should be in row 10"
        " left, on 0V.",
    ),
    "wire one row off, on another net": (
        rewired(w0="a11 L-9"),
        "wire-one-row-off",
        "Wire 1 (a11 to L-9) is one row off at one end: it is in row 11 left; it should be in row 10"
        " left, on 0V.",
    ),
    "wire in the wrong rail": (
        rewired(w0="a10 L+9"),
        "wire-in-wrong-rail",
        "Wire 1 (a10 to L+9) ends in the wrong rail: it is in the left plus rail; it should be in the"
        " left minus rail, on 0V.",
    ),
    "wires exchanged": (
        rewired(w0="a10 L+11", w1="a13 L-9"),
        "wires-swapped",
        "Wire 1 (a10 to L+11) and wire 2 (a13 to L-9) have their ends exchanged: they should go from row"
        " 10 left to the left minus rail and from row 13 left to the left plus rail.",
    ),
    "one wire too many": (
        built("400", LIGHTHOUSE, [*LIGHTHOUSE_WIRES, "d12 c11"]),
        "wire-joins-nets",
        "Wire 10 (d12 to c11) joins OUT in row 12 left to CAP in row 11 left; these must stay apart.",
    ),
}


@pytest.mark.parametrize("slip", LIGHTHOUSE_SLIPS)
def test_one_slip_one_sentence(slip: str) -> None:
    """Each slip on the lighthouse's board gives exactly one finding, with its code and its sentence."""
    layout, code, sentence = LIGHTHOUSE_SLIPS[slip]
    found = told(circuit("lighthouse"), layout)
    assert [(f.severity, f.code, f.message) for f in found] == [(Severity.ERROR, code, sentence)]
    assert found[0].hint
    assert found[0].about


@pytest.mark.parametrize(
    ("layout", "sentence"),
    [
        (
            mailbox(S1="e2 e4 f2 f4"),
            "S1, the push-button, is turned by a quarter: its legs in row 2 left and row 4 left are always"
            " joined, so it is always pressed.",
        ),
        (
            mailbox(S1="f2 f4 e2 e4"),
            "S1, the push-button, is turned by a quarter: its legs in row 2 right and row 4 right are always"
            " joined, so it is always pressed.",
        ),
        (
            mailbox(S2="e13 e15 f13 f15"),
            "S2, the push-button, is turned by a quarter: its legs in row 13 left and row 15 left are always"
            " joined, so it is always pressed.",
        ),
        (
            mailbox(S1="e3 f3 e5 f5"),
            "S1, the push-button, is one row too far down: S1's leg is in row 3 left and should be in row 2"
            " left.",
        ),
    ],
)
def test_buttons(layout: Layout, sentence: str) -> None:
    """A tact button turned by 90 degrees is always pressed: its linked legs then lie along the board."""
    assert [f.message for f in told(circuit("mailbox-flag"), layout)] == [sentence]


@pytest.mark.parametrize(
    ("layout", "sentences"),
    [
        (
            crossing(Q1="c7 c6 c5"),
            [
                "Q1, the NPN transistor, is turned round: Q1's collector is in row 7 left and"
                " should be in row 5 left."
            ],
        ),
        (
            crossing(Q1="c6 c5 c7"),
            [
                "Q1's legs are in the wrong order: from row 5 left on they should be collector,"
                " base and emitter."
            ],
        ),
        (
            crossing(C1="d16 d5", C2="e6 e15"),
            [
                "C1, the electrolytic capacitor, is the wrong way round: C1's plus lead is on BASE2 and"
                " should be on COL1.",
                "C2, the electrolytic capacitor, is the wrong way round: C2's plus lead is on BASE1 and"
                " should be on COL2.",
            ],
        ),
        (
            crossing(BT1="R+25 R-25"),
            [
                "The left minus rail is used for 0V, but nothing feeds it: a wire to the right"
                " minus rail is missing.",
                "The left plus rail is used for PLUS, but nothing feeds it: a wire to the right"
                " plus rail is missing.",
            ],
        ),
        (
            crossing("830-split", BT1="L+50 L-50"),
            [
                "The left minus rail is broken in the middle: its upper half is not joined to its lower half,"
                " so that half carries no 0V.",
                "The left plus rail is broken in the middle: its upper half is not joined to its lower half,"
                " so that half carries no PLUS.",
            ],
        ),
        (
            crossing("830-split", R3="L+27 a6"),
            [
                "R3's lead is in the lower half of the left plus rail, which is not joined to the other half;"
                " it should be in the upper half of the left plus rail, on PLUS."
            ],
        ),
        (
            crossing("830-split", ["a7 L-26", "a17 L-15"]),
            [
                "Wire 1 (a7 to L-26) ends in the lower half of the left minus rail, which is not"
                " joined to the"
                " other half; it should be in the upper half of the left minus rail, on 0V."
            ],
        ),
        (
            crossing(C1="d5 d6", C2="e15 e16"),
            [
                "C1's minus lead is in row 6 left, which belongs to BASE1; it should be on BASE2.",
                "C2's minus lead is in row 16 left, which belongs to BASE2; it should be on BASE1.",
            ],
        ),
    ],
)
def test_transistors_rails_and_pairs(layout: Layout, sentences: list[str]) -> None:
    """Leg order, rails that nothing feeds, halves of split rails, and two slips at once."""
    assert [f.message for f in told(circuit("level-crossing"), layout)] == sentences


def test_two_nets_in_one_strip() -> None:
    """Where a whole net sits in another's strip, the strip and the leads are named."""
    wanted = Circuit(
        (
            part("U1", "timer-555", ["0V", "T", "OUT", "PLUS", "-", "T", "-", "PLUS"]),
            part("R1", "resistor", ["OUT", "LAMP"]),
            part("R2", "resistor", ["LAMP", "0V"]),
            part("R3", "resistor", ["LAMP", "T"]),
        )
    )
    layout = built(
        "170",
        {"U1": "e5 e6 e7 e8 f8 f7 f6 f5", "R1": "a7 b7", "R2": "c7 a5", "R3": "d7 a6"},
        ["d6 g7", "d8 g5"],
    )
    assert [f.message for f in told(wanted, layout)] == [
        "Row 7 left joins LAMP to OUT: R1's lead, R2's lead and R3's lead belong to LAMP and must move to"
        " another strip."
    ]


def test_a_short_across_the_supply_comes_first() -> None:
    """A wire between the rails is named, and the danger before it."""
    layout = built("400", LIGHTHOUSE, [*LIGHTHOUSE_WIRES, "L+5 L-5"])
    assert [f.message for f in told(circuit("lighthouse"), layout)] == [
        "Plus and 0 V are joined: the supply would be shorted.",
        "Wire 10 (L+5 to L-5) joins PLUS in the left plus rail to 0V in the left minus rail; these"
        " must stay apart.",
    ]


def test_an_open_pin_that_meets_something() -> None:
    """A pin that should stay open, in a strip of a net, is told to stay alone."""
    wanted = Circuit(
        (
            part("U1", "timer-555", ["0V", "T", "OUT", "PLUS", "-", "T", "-", "PLUS"]),
            part("R1", "resistor", ["OUT", "T"]),
            part("R2", "resistor", ["OUT", "PLUS"]),
        )
    )
    holes = {"U1": "e5 e6 e7 e8 f8 f7 f6 f5", "R1": "a7 a6", "R2": "b7 b8"}
    wires = ["d6 g7", "d8 g5"]
    assert told(wanted, built("170", holes, wires)) == []
    found = told(wanted, built("170", holes, [*wires, "c7 g6"]))
    assert [f.message for f in found] == [
        "Wire 3 (c7 to g6) leads from OUT to U1's discharge (pin 7), which should be joined to nothing."
    ]


def test_a_part_that_the_circuit_does_not_have() -> None:
    """A part more than wanted is named."""
    wanted = circuit("lighthouse")
    more = Circuit((*wanted.parts, part("R9", "resistor", ["A", "B"])))
    layout = lighthouse(R9="a20 a24")
    found = compare(wanted, read_back(more.parts, layout), layout)
    assert [f.message for f in found] == ["R9 is on the board, but the circuit has no part of that name."]


def test_either_of_two_rows() -> None:
    """A lead and its wire one row apart: the hint leaves both ways open."""
    (found,) = told(circuit("lighthouse"), rewired(w8="b18 L-15"))
    assert found.hint == "Move it to hole a18, or move wire 9 to row 17 left."


def test_missing_button_hides_no_joins() -> None:
    """Without a button that joined strips, the wires that it replaced are not asked for."""
    layout = built("170", {k: " ".join(v) for k, v in mailbox().holes.items() if k != "S1"}, [])
    whole = mailbox()
    bare = Layout(whole.board, {k: v for k, v in whole.holes.items() if k != "S1"}, whole.wires)
    assert [f.code for f in told(circuit("mailbox-flag"), bare)] == ["part-missing"]
    assert len(told(circuit("mailbox-flag"), layout)) > 1


@given(st.data())
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_something_is_said_exactly_where_circuits_differ(data: st.DataObject) -> None:
    """On random boards findings appear if and only if the circuits differ, the same each time."""
    wanted = data.draw(circuits(most=5))
    layout = data.draw(layouts(wanted))
    real = read_back(wanted.parts, layout)
    found = compare(wanted, real, layout)
    assert bool(found) == (not equal(wanted, real))
    assert found == compare(wanted, real, layout)
    assert all(f.message[0].isupper() and f.message.endswith(".") for f in found)
    assert "{" not in "".join(f.message + f.hint for f in found)


@given(st.data())
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_few_slips_few_findings(data: st.DataObject) -> None:
    """One or two leads moved on a right board give no more findings than leads moved (and the danger)."""
    wanted, right = circuit("level-crossing"), crossing()
    free = [
        h for h in right.board.holes if h not in {hole for hole, _ in right.used()} and right.board.row_of(h)
    ]
    holes = dict(right.holes)
    moved = data.draw(st.integers(1, 2))
    for _ in range(moved):
        name = data.draw(st.sampled_from([key for key in CROSSING if len(holes[key]) == 2]))
        leg = data.draw(st.integers(0, 1))
        hole = data.draw(st.sampled_from(free))
        holes[name] = (*holes[name][:leg], hole, *holes[name][leg + 1 :])
    layout = Layout(right.board, holes, right.wires)
    found = [f for f in told(wanted, layout) if f.code != "supply-shorted"]
    assert len(found) <= moved
