"""The steps of a build: their order, their words, and that each one is safe.

Colour bands and the figures of capacitors: IEC 60062 (secondary tables); anode, cathode and stripe
marks, and the order of building: common practice.
"""

from __future__ import annotations

import re
from dataclasses import replace

import networkx as nx
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from board._demo import LIGHTHOUSE, LIGHTHOUSE_WIRES, built, circuit, crossing, lighthouse, mailbox, part
from board._random import circuits, layouts, right_boards
from buildalong.board import Layout, Wire, board, equal, read_back
from buildalong.build.steps import Step, check_steps, final_checks, make_steps
from buildalong.circuit import Circuit, Part
from buildalong.parts import catalogue

CALM = [HealthCheck.too_slow, HealthCheck.data_too_large]
KINDS = ["ic", "wire", "flat", "standing", "polarised", "off-board", "check", "supply"]


@pytest.fixture(scope="module")
def steps() -> tuple[Step, ...]:
    return make_steps(circuit("lighthouse"), lighthouse())


def step_of(steps: tuple[Step, ...], name: str) -> Step:
    return next(step for step in steps if name in step.parts)


def test_order(steps: tuple[Step, ...]) -> None:
    """The chip comes first, then wires, what lies flat, what stands, the check, the supply."""
    assert [step.kind for step in steps] == [
        "ic", *["wire"] * 9, *["flat"] * 3, *["polarised"] * 2, "standing", *["polarised"] * 2,
        "check", "supply",
    ]  # fmt: skip
    assert [step.number for step in steps] == list(range(1, 21))
    assert [name for step in steps for name in step.parts] == [
        "U1", "R1", "R2", "R3", "D1", "D2", "C2", "DS1", "C1", "BT1",
    ]  # fmt: skip


def test_low_before_high(steps: tuple[Step, ...]) -> None:
    """Within the parts with a right way round, the lower body comes first."""
    parts = circuit("lighthouse").by_id
    heights = [parts[name].type.body.height for s in steps if s.kind == "polarised" for name in s.parts]
    assert heights == sorted(heights)


def test_flexible_wires_come_after_the_formed_ones() -> None:
    """A wire that arches over others is put in after all that lie flat, even if it is short."""
    right = lighthouse()
    wires = tuple(replace(w, style="flexible") if w.start == "f14" else w for w in right.wires)
    made = [s for s in make_steps(circuit("lighthouse"), replace(right, wires=wires)) if s.kind == "wire"]
    assert wires[made[-1].wires[0]].start == "f14"
    assert made[-1].text == "Put a black jumper lead from hole f14 to hole e14; it may arch over the parts."


@pytest.mark.parametrize(
    ("name", "text"),
    [
        (
            "U1",
            'Set U1 (timer, printed "NE555") across the trench with its notch towards row 9. Pins 1 to 4 go'
            " into holes e10 to e13, pins 5 to 8 into f13 to f10.",
        ),
        (
            "R3",
            "Bend the leads of R3 (330 Ω resistor, bands orange, orange, brown, gold) and push them into"
            " holes c12 and c16. Either way round is right.",
        ),
        (
            "R1",
            "Bend the leads of R1 (56 kΩ resistor, bands green, blue, orange, gold) and push them into hole"
            " 9 of the right plus rail and hole i11. Either way round is right.",
        ),
        (
            "C2",
            'Push the leads of C2 (10 nF ceramic capacitor, marked "103") into holes i13 and i14. Either'
            " way round is right.",
        ),
        (
            "D1",
            'Take D1 (signal diode, printed "4148"). The anode goes into hole g11; the cathode, at the end'
            " with the stripe, into hole g16.",
        ),
        (
            "DS1",
            "Take DS1 (yellow LED). The anode, the longer lead, goes into hole a16; the cathode, the shorter"
            " lead at the flat of the rim, into hole a17.",
        ),
        (
            "BT1",
            "Connect BT1 (4 AA cells in a holder) last. The plus lead, red, goes into hole 25 of the left"
            " plus rail; the minus lead, black, into hole 25 of the left minus rail.",
        ),
    ],
)
def test_texts(steps: tuple[Step, ...], name: str, text: str) -> None:
    """The text reads the markings out (IEC 60062: 330 is orange orange brown, 10 nF is 103)."""
    assert step_of(steps, name).text == text


@pytest.mark.parametrize(
    ("name", "callout"),
    [
        ("U1", "The notch, or the dot beside pin 1, points to row 9."),
        ("D1", "the stripe belongs at hole g16."),
        ("DS1", "the longer lead is the anode and belongs in hole a16."),
        ("C1", "the stripe with the minus signs belongs at hole b10."),
        ("BT1", "Red is plus, black is minus."),
    ],
)
def test_callouts(steps: tuple[Step, ...], name: str, callout: str) -> None:
    """What has a right way round carries a warning that says which."""
    assert callout in step_of(steps, name).callout


def test_no_callout_without_a_right_way_round(steps: tuple[Step, ...]) -> None:
    """Resistors, ceramic capacitors and wires carry no warning."""
    assert [s.callout for s in steps if s.kind in ("wire", "flat", "standing")] == [""] * 13


@pytest.mark.parametrize(
    ("holes", "towards"),
    [("e10 e11 e12 e13 f13 f12 f11 f10", "row 9"), ("f13 f12 f11 f10 e10 e11 e12 e13", "row 14"),
     ("e1 e2 e3 e4 f4 f3 f2 f1", "row 1"), ("f30 f29 f28 f27 e27 e28 e29 e30", "row 30")],
)  # fmt: skip
def test_notch(holes: str, towards: str) -> None:
    """Pin 1 at the upper left means the notch looks to row 1 (DIP seen from above, counted to the left).

    Named is the row next to the IC, which every picture of the step shows, or the last one of the board.
    """
    made = make_steps(circuit("lighthouse"), lighthouse(U1=holes))
    assert f"with its notch towards {towards}." in step_of(made, "U1").text
    assert f"points to {towards}." in step_of(made, "U1").callout


@pytest.mark.parametrize(("holes", "face"), [("c5 c6 c7", "column a"), ("c7 c6 c5", "column j")])
def test_flat_face(holes: str, face: str) -> None:
    """BC547, flat face towards you, reads C B E from left to right: C in the upper row looks to column a."""
    made = make_steps(circuit("level-crossing"), crossing(Q1=holes))
    found = step_of(made, "Q1")
    assert f"its flat face towards {face}." in found.text
    assert f"the flat face looks to {face}." in found.callout


def test_a_button() -> None:
    """A tact button's step names all four holes and how to see that it is not turned."""
    found = step_of(make_steps(circuit("mailbox-flag"), mailbox()), "S1")
    assert found.text == "Set S1 (push-button) across the trench, its legs in holes e2, f2, e4 and f4."
    assert "turn it by a quarter" in found.callout


def test_wires(steps: tuple[Step, ...]) -> None:
    """A wire's step names its colour, both holes, and both rows to count."""
    found = next(step for step in steps if step.title == "Wire from f14 to e14")
    assert found.text == "Put a black wire from hole f14 to hole e14."
    assert found.check == (
        "Count the holes again: one end is in row 14 right, the other in row 14 left. No bare metal shows."
    )


WHYS = {
    "lighthouse": {
        "R1": "Together with C1 it sets how long things take.",
        "R3": "It limits the current through DS1.",
        "C2": "It keeps U1's control (pin 5) steady.",
        "C1": "It fills and empties through D1 and D2, and that takes the time.",
        "D1": "It lets current pass from DIS to CAP, and not back.",
        "DS1": "It lights while U1's output (pin 3) is high.",
    },
    "mailbox-flag": {
        "R1": "It holds SET at plus until S1 is pressed.",
        "S1": "Pressed, it joins SET and 0 V. S1's two legs in row 2 are always joined: they carry SET across"
        " the trench.",
    },
    "level-crossing": {
        "R2": "Together with C1 it sets how long things take.",
        "DS1": "It lights while Q1 conducts.",
        "R1": "It limits the current through DS1.",
    },
}


@pytest.mark.parametrize(("demo", "name"), [(d, n) for d, names in WHYS.items() for n in names])
def test_why(demo: str, name: str) -> None:
    """What a part is there for is read from the nets around it (roles: the textbook shapes)."""
    board_of = {"lighthouse": lighthouse, "mailbox-flag": mailbox, "level-crossing": crossing}[demo]
    assert step_of(make_steps(circuit(demo), board_of()), name).why == WHYS[demo][name]


@pytest.mark.parametrize(
    ("ends", "why"),
    [
        (("a10", "L-9"), "It brings 0 V to U1's ground (pin 1) and C1's minus lead."),
        (("f14", "e14"), "It brings 0 V to one lead of C2."),
        (("a14", "L-13"), "It carries 0 V on."),
        (("L+1", "R+1"), "It carries plus on."),
        (("j12", "j16"), "It joins U1's threshold (pin 6) to D1's cathode and D2's anode."),
    ],
)
def test_why_a_wire(steps: tuple[Step, ...], ends: tuple[str, str], why: str) -> None:
    """A supply wire says what lies behind it, seen from the supply; any other says what it joins."""
    index = next(i for i, w in enumerate(lighthouse().wires) if (w.start, w.end) == ends)
    assert next(s.why for s in steps if s.wires == (index,)) == why


def test_the_lessons_own_reasons_win() -> None:
    """A reason that the lesson gives for a part or a wire takes the place of ours."""
    made = make_steps(
        circuit("lighthouse"),
        lighthouse(),
        reasons={"R3": "It spares the lamp.", "wire 7": "It is the bridge."},
        marks=lambda item: "BLUE" if item.id == "R3" else "",
    )
    assert step_of(made, "R3").why == "It spares the lamp."
    assert "bands BLUE)" in step_of(made, "R3").text
    assert next(s.why for s in made if s.wires == (6,)) == "It is the bridge."


def lights(count: int) -> tuple[Circuit, Layout]:
    parts = [part(f"DS{n}", "led-red", ["PLUS", "0V"]) for n in range(1, count + 1)]
    found = Circuit((*parts, part("BT1", "supply-aa", ["PLUS", "0V"])))
    holes = {f"DS{n}": f"L+{n} L-{n}" for n in range(1, count + 1)}
    return found, built("830", {**holes, "BT1": "L+50 L-50"}, [])


@pytest.mark.parametrize(
    ("count", "sizes"), [(1, [1]), (3, [1, 1, 1]), (4, [1, 3]), (6, [1, 3, 2]), (10, [1, 3, 3, 3])]
)
def test_like_parts_are_grouped(count: int, sizes: list[int]) -> None:
    """From four like parts on, the first stands alone and the rest go up to three at a time (our choice)."""
    found, layout = lights(count)
    made = [step for step in make_steps(found, layout) if step.kind == "polarised"]
    assert [len(step.parts) for step in made] == sizes
    assert [name for step in made for name in step.parts] == [f"DS{n}" for n in range(1, count + 1)]
    assert check_steps(found, make_steps(found, layout)) == []


def test_a_group_says_each_part() -> None:
    """A grouped step names every part with both its holes."""
    found, layout = lights(4)
    group = next(step for step in make_steps(found, layout) if len(step.parts) == 3)
    assert group.title == "DS2, DS3 and DS4: 3 × red LED"
    assert (
        "DS3: anode in hole 3 of the left plus rail and cathode in hole 3 of the left minus rail."
        in group.text
    )


def test_final_checks() -> None:
    """The last check names chip direction, each polarised part, wires, bare leads and the supply leads."""
    listed = final_checks(circuit("lighthouse"), lighthouse())
    assert listed[0] == "The notch of U1 points to row 9."
    assert "DS1: the longer lead is in hole a16, the shorter in hole a17." in listed
    assert "C1: the stripe with the minus signs is at hole b10." in listed
    assert "There are 9 wires, and every end sits firmly in its hole." in listed
    assert any(line.startswith("No bare lead touches") for line in listed)
    assert listed[-1].endswith(
        "hole 25 of the left plus rail, its black lead to hole 25 of the left minus rail."
    )
    assert " ".join(listed) == next(
        step.check for step in make_steps(circuit("lighthouse"), lighthouse()) if step.kind == "check"
    )


def test_off_board_parts_come_late() -> None:
    """A motor lies beside the board and is connected after all that stands on it, before the check."""
    found = Circuit(
        (
            part("B1", "motor-3v", ["PLUS", "0V"]),
            part("C1", "electrolytic", ["PLUS", "0V"], "10 µF"),
            part("BT1", "supply-aa", ["PLUS", "0V"]),
        )
    )
    made = make_steps(found, built("400", {"B1": "L+1 L-1", "C1": "L+3 L-3", "BT1": "L+25 L-25"}, []))
    assert [step.kind for step in made] == ["polarised", "off-board", "check", "supply"]
    assert made[1].text.startswith("Lay B1 (")


def test_check_steps_on_the_demo(steps: tuple[Step, ...]) -> None:
    """The steps of the right board have nothing to find."""
    assert check_steps(circuit("lighthouse"), steps) == []


def codes(found: Circuit, made: list[Step] | tuple[Step, ...]) -> list[str]:
    return [finding.code for finding in check_steps(found, made)]


def test_a_short_is_found_at_its_step() -> None:
    """A wire between the rails is told at the step that puts it in, not only at the end."""
    layout = built("400", LIGHTHOUSE, [*LIGHTHOUSE_WIRES, "L+5 L-5"])
    made = make_steps(circuit("lighthouse"), layout)
    number = next(s.number for s in made if s.wires == (9,))
    found = check_steps(circuit("lighthouse"), made)
    assert [f.code for f in found] == ["step-shorts-the-supply", "steps-not-the-circuit"]
    assert found[0].about == (f"step {number}", "BT1")
    assert (
        found[0].message == f"After step {number} plus and 0 V are joined: the supply BT1 would be shorted."
    )


def test_other_faults_of_steps(steps: tuple[Step, ...]) -> None:
    """Placing twice, taking out, beginning elsewhere, and stopping early are each found."""
    wanted, listed = circuit("lighthouse"), list(steps)
    assert codes(wanted, listed[:-1]) == ["steps-not-the-circuit"]
    assert codes(wanted, ()) == ["steps-not-the-circuit"]
    twice = [*listed, replace(listed[0], number=21, before=listed[-1].after, after=listed[-1].after)]
    assert codes(wanted, twice) == ["step-places-twice"]
    wire_twice = [*listed, replace(listed[1], number=21, before=listed[-1].after, after=listed[-1].after)]
    assert codes(wanted, wire_twice) == ["step-places-twice"]
    assert "step-begins-elsewhere" in codes(wanted, [*listed[:3], *listed[4:]])
    bare = Layout(board("400"), {}, ())
    taken = [*listed[:-1], replace(listed[-1], before=listed[-1].before, after=bare)]
    assert codes(wanted, taken) == ["step-takes-out", "steps-not-the-circuit"]


def joined(layout: Layout, circuit_of: Circuit, one: str, other: str) -> bool:
    """Whether metal joins two holes, by a path search in a graph of holes (independent of the read-back)."""
    graph: nx.Graph = nx.Graph()
    for hole in (one, other):
        graph.add_node(hole)
    for holes in layout.board.strips.values():
        nx.add_path(graph, holes)
    graph.add_edges_from((wire.start, wire.end) for wire in layout.wires)
    for item in circuit_of.parts:
        legs = list(zip(item.type.leg_terminals, layout.holes.get(item.id, ()), strict=False))
        graph.add_edges_from((a, b) for t, a in legs for u, b in legs if t == u and "-" not in (a, b))
        graph.add_edges_from(
            (a, b) for x, y in item.type.internal_links for t, a in legs for u, b in legs if (t, u) == (x, y)
        )
    return bool(nx.has_path(graph, one, other))


@given(right_boards())
@settings(max_examples=50, deadline=None, suppress_health_check=CALM)
def test_every_prefix_is_free_of_shorts(made_board: tuple[Circuit, Layout]) -> None:
    """On a right board no step joins plus and 0 V, each thing is placed once, and the circuit comes out."""
    wanted, layout = made_board
    assert equal(wanted, read_back(wanted.parts, layout))
    made = make_steps(wanted, layout)
    shorted_by_design = wanted.plus == wanted.ground
    assert not shorted_by_design
    assert check_steps(wanted, made) == []
    plus, minus = layout.holes["BT1"]
    assert not any(joined(step.after, wanted, plus, minus) for step in made)
    assert sorted(name for step in made for name in step.parts) == sorted(layout.holes)
    assert sorted(index for step in made for index in step.wires) == list(range(len(layout.wires)))
    assert made[-1].after.holes == layout.holes
    assert set(made[-1].after.wires) == set(layout.wires)
    assert made[-1].parts == ("BT1",)


@given(right_boards())
@settings(max_examples=40, deadline=None, suppress_health_check=CALM)
def test_words_are_whole(made_board: tuple[Circuit, Layout]) -> None:
    """Texts have no open gap, end as sentences, are short, and name every hole of what is new."""
    wanted, layout = made_board
    made = make_steps(wanted, layout)
    assert made == make_steps(wanted, layout)
    kinds = [KINDS.index(step.kind) for step in made]
    assert kinds == sorted(kinds)
    for step in made:
        words = " ".join((step.title, step.text, step.why, step.check, step.callout))
        assert "{" not in words
        assert "  " not in words
        assert ".." not in words
        assert all(text.endswith(".") for text in (step.text, step.check, step.why))
        assert step.callout == "" or step.callout.endswith(".")
        if len(step.parts) <= 1:
            assert len(re.findall(r"[.!?](?: |$)", step.text)) <= 2, step.text
        holes = [hole for name in step.parts for hole in layout.holes[name]]
        holes += [hole for i in step.wires for hole in (layout.wires[i].start, layout.wires[i].end)]
        if step.kind != "ic":
            assert all(re.search(rf"\b{hole}\b", step.text) for hole in holes), (step.text, holes)


@given(st.data())
@settings(max_examples=50, deadline=None, suppress_health_check=CALM)
def test_shorts_of_wrong_boards_are_found(data: st.DataObject) -> None:
    """On any board the short is told if and only if metal joins the supply's two leads at last."""
    supply = part("BT1", "supply-aa", ["A", "B"])
    others = [p for p in data.draw(circuits(most=4)).parts if p.type.family != "supply"]
    wanted = Circuit((*others, supply))
    layout = data.draw(layouts(wanted))
    layout = Layout(layout.board, {**layout.holes, "BT1": ("a1", "j8")}, layout.wires)
    made = make_steps(wanted, layout)
    shorted = joined(layout, wanted, "a1", "j8")
    assert ("step-shorts-the-supply" in codes(wanted, made)) == shorted


def test_article_of_a_colour() -> None:
    """The article of the colour follows its first sound."""
    layout = built("170", {"R1": "a1 a5", "BT1": "b1 b5"}, [])
    found = Circuit(
        (part("R1", "resistor", ["PLUS", "0V"], "4.7k"), part("BT1", "supply-aa", ["PLUS", "0V"]))
    )
    orange = Layout(layout.board, layout.holes, (Wire("c1", "d1", "orange"), Wire("c5", "d5", "red")))
    texts = [step.text for step in make_steps(found, orange) if step.kind == "wire"]
    assert texts == ["Put an orange wire from hole c1 to hole d1.", "Put a red wire from hole c5 to hole d5."]


@pytest.mark.parametrize(
    ("value", "bands"),
    [
        ("4.7k", "yellow, violet, red, gold"),
        ("22k", "red, red, orange, gold"),
        ("27k", "red, violet, orange, gold"),
    ],
)
def test_bands_read_out(value: str, bands: str) -> None:
    """4.7 kΩ and 22 kΩ ±5 % (secondary chart after IEC 60062), 27 kΩ ±5 % (Tooley, example 2.5)."""
    found = Circuit((part("R1", "resistor", ["PLUS", "0V"], value), part("BT1", "supply-aa", ["PLUS", "0V"])))
    made = make_steps(found, built("170", {"R1": "a1 a5", "BT1": "b1 b5"}, []))
    assert f"bands {bands})" in made[0].text


@pytest.mark.parametrize(
    ("position", "words"),
    [
        (0.0, "all the way to end A"),
        (0.1, "10 % of the way from end A to end B"),
        (0.33, "a third of the way from end A to end B"),
        (0.5, "to the middle"),
        (0.99, "99 % of the way from end A to end B"),
        (1.0, "all the way to end B"),
    ],
)
def test_a_potentiometer_is_turned_first(position: float, words: str) -> None:
    """Step and last check tell where the simulated wiper stands; 0 % is terminal A (catalogue)."""
    kind = catalogue()["potentiometer"]
    track = Part("R3", kind, ("PLUS", "OUT", "0V"), value=100e3, settings=(("position", position),))
    layout = Layout(board("400"), {"R3": ("c5", "e6", "c7")}, ())
    made = make_steps(Circuit((track, circuit("lighthouse").supply)), layout)
    text = step_of(made, "R3").text
    assert text == (
        f'Take R3 (100 kΩ potentiometer, printed "104"), its screw turned {words}. End A goes into hole c5;'
        " the wiper into hole e6; end B into hole c7."
    )
    assert f"The screw of R3 is turned {words}." in next(s.check for s in made if s.kind == "check")


@pytest.mark.parametrize(
    ("does", "why"),
    [
        ("Is the lamp.", "DS1 is the lamp."),
        ("Tells ships where the rocks are.", "DS1 tells ships where the rocks are."),
        ("Can be seen from afar.", "DS1 can be seen from afar."),
        ("This lamp is the light.", "This lamp is the light."),
        ("Its light is yellow.", "Its light is yellow."),
        ("Lamps are bright.", "Lamps are bright."),
        ("The lamp of the tower.", "The lamp of the tower."),
        ("DS1 shines.", "DS1 shines."),
    ],
)
def test_an_authors_reason_gets_its_subject(does: str, why: str) -> None:
    """A sentence that begins with its verb (third person or modal; English grammar) begins with the part."""
    made = make_steps(circuit("lighthouse"), lighthouse(), reasons={"DS1": does})
    assert step_of(made, "DS1").why == why


def test_leads_without_direction_are_told_one_by_one() -> None:
    """Neither lead of a resistor or a button has a name of its own: a wire serves one of them."""
    kinds = catalogue()
    parts = (
        Part("R1", kinds["resistor"], ("PLUS", "0V"), value=1e3),
        Part("C1", kinds["capacitor-ceramic"], ("PLUS", "0V"), value=1e-7),
        Part("S1", kinds["push-button"], ("PLUS", "0V")),
        circuit("lighthouse").supply,
    )
    holes = {"R1": ("c5", "c10"), "C1": ("d5", "d7"), "S1": ("e3", "f3", "e5", "f5"), "BT1": ("L+1", "L-1")}
    layout = Layout(board("400"), holes, (Wire("L+3", "a5"),))
    why = next(s.why for s in make_steps(Circuit(parts), layout) if s.kind == "wire")
    assert why == "It brings plus to one lead of R1, one of C1 and one contact of S1."
