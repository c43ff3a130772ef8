"""Recognition from the graph: what is found in the demos, what names cannot change, what wires can.

The oracle is networkx: a second, independent search for the same patterns by subgraph monomorphism.
"""

from __future__ import annotations

from dataclasses import replace

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from networkx.algorithms.isomorphism import GraphMatcher

from buildalong.circuit import Circuit, Part
from buildalong.design import KINDS, Shape, reasons, recognise, sheet, text

from ._circuits import DEMOS, astable, circuit, demo, one_shot, pair

PLAIN, STEERED, OUTPUT = "astable", "astable-steered", "astable-output"


def kinds(made: Circuit) -> list[str]:
    return [shape.kind for shape in recognise(made)]


def only(made: Circuit, kind: str) -> Shape:
    found = [shape for shape in recognise(made) if shape.kind == kind]
    assert len(found) == 1, [s.kind for s in recognise(made)]
    return found[0]


EXPECTED = {
    "cupboard-light": ["one-shot", "led", "pull-up", "control-bypass", "supply"],
    "dusk-light": ["led", "comparator-hysteresis", "divider", "light-divider", "decoupling", "supply"],
    "level-crossing": ["transistor-astable", "led", "led", "supply"],
    "lighthouse": ["astable-steered", "led", "control-bypass", "supply"],
    "mailbox-flag": ["latch", "led", "pull-up", "pull-up", "control-bypass", "supply"],
    "runway-lights": ["astable", "led-shared", "counter-chain", "decoupling", "control-bypass", "supply"],
}


@pytest.mark.parametrize("name", DEMOS)
def test_demo_shapes(name: str) -> None:
    """Each demo circuit consists of exactly the shapes that its author drew (lesson sources)."""
    assert kinds(demo(name)) == EXPECTED[name]


@pytest.mark.parametrize("name", DEMOS)
def test_every_part_has_a_reason(name: str) -> None:
    """Every part of every demo is told why it is there, in a sentence that names it."""
    made = demo(name)
    why = reasons(recognise(made))
    assert set(why) == {part.id for part in made.parts}
    for part, sentence in why.items():
        assert part in sentence
        assert sentence.endswith(".")
        assert "{" not in sentence


def test_roles_of_the_lighthouse() -> None:
    """R1 and D1 fill, R2 and D2 empty C1; the reasons say on and off the right way round."""
    shape = only(demo("lighthouse"), STEERED)
    assert shape.roles["charge"] == ("R1",)
    assert shape.roles["discharge"] == ("R2",)
    assert (shape.part("charge_diode"), shape.part("discharge_diode")) == ("D1", "D2")
    assert "DS1 stays lit" in shape.reasons["R1"]
    assert "DS1 stays dark" in shape.reasons["R2"]
    assert text(shape.terms["charge"]) == "R1"


def test_a_buttons_reason_names_the_pin() -> None:
    """Which pin a button takes down is told by name and number (lesson source: S1 on pin 2, S2 on 4)."""
    why = reasons(recognise(demo("mailbox-flag")))
    assert why["R2"] == "R2 keeps U1's reset (pin 4) high while S2 is not pressed."
    assert why["S1"].endswith("S1 takes U1's trigger (pin 2) to 0 V as long as you press it.")


# names and order


@st.composite
def disguised(draw: st.DrawFn, made: Circuit) -> tuple[Circuit, dict[str, str], dict[str, str]]:
    """The same circuit under other names and in another order: (circuit, part names, net names)."""
    order = draw(st.permutations(range(len(made.parts))))
    nets = {net: f"N{i}" for i, net in enumerate(draw(st.permutations(list(made.nets))))}
    numbers = draw(st.permutations(range(1, len(made.parts) + 1)))
    names = {part.id: f"X{n}" for part, n in zip(made.parts, numbers, strict=True)}
    parts = tuple(replace(made.parts[i], id=names[made.parts[i].id]) for i in order)
    return Circuit(parts).renamed(nets), names, nets


@pytest.mark.parametrize("name", DEMOS)
@settings(max_examples=15, deadline=None)
@given(data=st.data())
def test_names_and_order_change_nothing(name: str, data: st.DataObject) -> None:
    """A circuit with all names exchanged and its parts shuffled has the same shapes, role by role."""
    made = demo(name)
    other, names, nets = data.draw(disguised(made))
    if len(made.parts) < 16:  # ten equal lights make the general search too slow
        assert nx.is_isomorphic(graph(made), graph(other), node_match=_same, edge_match=_same)

    def signature(shape: Shape, rename: dict[str, str], renet: dict[str, str]) -> tuple[object, ...]:
        pair_kind = shape.kind == "transistor-astable"
        roles = sorted(
            (role.rstrip("12") if pair_kind else role, tuple(sorted(rename.get(p, p) for p in parts)))
            for role, parts in shape.roles.items()
            if not (pair_kind and role in ("first", "second"))
        )
        # which of several lights that share a resistor comes first is a matter of order
        joined = sorted(renet.get(n, n) for n in shape.nets.values()) if shape.kind != "led-shared" else []
        return shape.kind, tuple(roles), tuple(joined)

    before = sorted(signature(s, names, nets) for s in recognise(made))
    after = sorted(signature(s, {}, {}) for s in recognise(other))
    assert before == after


# networkx as oracle


def graph(made: Circuit) -> nx.MultiGraph:
    """Parts and nets as nodes, terminals as edges; swappable terminals carry one label."""
    out = nx.MultiGraph()
    for part in made.parts:
        out.add_node(("part", part.id), what=_family(part))
        for terminal, net in zip(part.type.terminals, part.nets, strict=True):
            if net is not None:
                out.add_node(("net", net), what="net")
                label = "" if part.type.swappable or part.type.family == "resistor" else terminal.name
                out.add_edge(("part", part.id), ("net", net), what=label)
    return out


def _family(part: Part) -> str:
    return part.type.id if part.type.family == "transistor" else part.type.family


def _same(a: dict[object, object], b: dict[object, object]) -> bool:
    if "what" in a and "what" in b:
        return a["what"] == b["what"]
    return sorted(str(d["what"]) for d in a.values()) == sorted(str(d["what"]) for d in b.values())  # type: ignore[index]


def contains(made: Circuit, pattern: Circuit) -> bool:
    """Whether the pattern's parts and nets are found in a circuit, each net its own."""
    whole, part = nx.Graph(), nx.Graph()
    for source, target in ((graph(made), whole), (graph(pattern), part)):
        target.add_nodes_from(source.nodes(data=True))
        for a, b, data in source.edges(data=True):
            labels = target.edges[a, b]["what"] if target.has_edge(a, b) else frozenset()
            target.add_edge(a, b, what=labels | {data["what"]})
    return GraphMatcher(
        whole, part, lambda a, b: a["what"] == b["what"], lambda a, b: b["what"] <= a["what"]
    ).subgraph_is_monomorphic()


PATTERNS = {
    PLAIN: circuit(
        """
        U1 timer-555 0V CAP - - - CAP DIS PLUS
        R1 resistor 1k PLUS DIS
        R2 resistor 1k DIS CAP
        C1 capacitor-film 1µF CAP 0V
        """
    ),
    "one-shot": circuit(
        """
        U1 timer-555 0V TRIG - - - CAP CAP PLUS
        R1 resistor 1k PLUS CAP
        C1 capacitor-film 1µF CAP 0V
        """
    ),
    "transistor-astable": pair("1k", "1 µF", "1k", "1 µF"),
}
WHOLE = {
    PLAIN: astable("10k", "68k", "1 µF"),
    "one-shot": one_shot("100k", "10 µF"),
    "transistor-astable": pair("33k", "1 µF", "33k", "1 µF"),
}


@st.composite
def rewired(draw: st.DrawFn, made: Circuit) -> Circuit:
    """The circuit with one terminal, or two, moved to other nets."""
    for _ in range(draw(st.integers(1, 2))):
        part = draw(st.sampled_from([p for p in made.parts if p.type.family != "supply"]))
        index = draw(st.integers(0, len(part.nets) - 1))
        net = draw(st.sampled_from([*made.nets, "NEW"]))
        nets = tuple(net if i == index else n for i, n in enumerate(part.nets))
        made = made.with_part(replace(part, nets=nets))
    return made


@pytest.mark.parametrize("kind", list(PATTERNS))
@settings(max_examples=150, deadline=None)
@given(data=st.data())
def test_oracle_agrees_on_rewired_circuits(kind: str, data: st.DataObject) -> None:
    """A shape is found in a wrongly wired circuit exactly when networkx finds its pattern there."""
    made = data.draw(rewired(WHOLE[kind]))
    wiring = [(part.id, part.nets) for part in made.parts]
    assert (wiring, contains(made, PATTERNS[kind])) == (wiring, kind in kinds(made))


# variants of each shape


def test_series_and_parallel_resistors_count_as_one() -> None:
    """Two resistors in a row, and two side by side, are one resistance in the formula."""
    made = circuit(
        """
        U1 timer-555 0V CAP OUT PLUS - CAP DIS PLUS
        R1 resistor 10k PLUS X
        R2 resistor 22k X DIS
        R3 resistor 47k DIS CAP
        R4 resistor 47k CAP DIS
        C1 electrolytic 10µF CAP 0V
        C2 electrolytic 10µF CAP 0V
        """
    )
    shape = only(made, PLAIN)
    assert text(shape.terms["upper"]) == "R1 + R2"
    assert text(shape.terms["lower"]) == "R3 ∥ R4"
    assert text(shape.terms["capacitance"]) == "C1 + C2"
    assert shape.terms["lower"].value() == pytest.approx(23.5e3)


def test_potentiometer_as_variable_resistor() -> None:
    """A potentiometer with its wiper tied to one end counts with the part of its track in use."""
    made = circuit(
        """
        U1 timer-555 0V CAP OUT PLUS - CAP DIS PLUS
        R1 resistor 1k PLUS DIS
        R2 potentiometer 100k DIS CAP CAP position=0.25
        C1 capacitor-film 1µF CAP 0V
        """
    )
    assert only(made, PLAIN).terms["lower"].value() == pytest.approx(25e3)
    notes = [entry.note for entry in sheet(made) if "R2a" in entry.text]
    assert notes
    assert all("R2a is the part of R2 between its end A and the wiper" in note for note in notes)
    assert not any("R2b" in entry.note for entry in sheet(made))


@pytest.mark.parametrize(
    ("diodes", "kind"),
    [
        ("R2 resistor 10k DIS CAP\nD1 diode-1n4148 DIS CAP", STEERED),
        ("R2 resistor 10k DIS X\nD1 diode-1n4148 DIS CAP\nD2 diode-1n4148 CAP X", STEERED),
        ("R2 resistor 10k X CAP\nD1 diode-1n4148 DIS CAP\nD2 diode-1n4148 X DIS", STEERED),
        ("R2 resistor 10k DIS X\nD1 diode-1n4148 DIS CAP\nD2 diode-1n4148 X CAP", ""),
        ("R2 resistor 10k DIS CAP\nD1 diode-1n4148 CAP DIS", ""),
    ],
)
def test_steering_diodes(diodes: str, kind: str) -> None:
    """One diode or two steer when they point the right way; turned round they make no known shape."""
    made = circuit(
        f"""
        U1 timer-555 0V CAP OUT PLUS - CAP DIS PLUS
        R1 resistor 10k PLUS DIS
        {diodes.splitlines()[0]}
        {diodes.splitlines()[1]}
        {diodes.splitlines()[2] if diodes.count(chr(10)) > 1 else ""}
        C1 capacitor-film 1µF CAP 0V
        """
    )
    found = [k for k in kinds(made) if k.startswith("astable")]
    assert found == ([kind] if kind else [])


@pytest.mark.parametrize(
    ("lines", "kind", "source", "sink"),
    [
        ("R1 resistor 330 PLUS A\nDS1 led-red A 0V", "led", "", ""),
        ("R1 resistor 330 A 0V\nDS1 led-red PLUS A", "led", "", ""),
        ("DS1 led-red PLUS A\nDS2 led-red A B\nR1 resistor 100 B 0V", "led", "", ""),
        ("DS1 led-red PLUS A\nDS2 led-red PLUS A\nR1 resistor 100 A 0V", "led-shared", "", ""),
        ("DS1 led-red A 0V\nDS2 led-red A 0V\nR1 resistor 100 PLUS A", "led-shared", "", ""),
        ("DS1 led-red PLUS 0V", "led-bare", "", ""),
        ("Q1 npn-bc547 A B 0V\nDS1 led-red PLUS X\nR1 resistor 330 X A", "led", "", "Q1"),
        ("U1 comparator-lm393 A I J 0V 0V 0V - PLUS\nR1 resistor 9 PLUS X\nDS1 led-red X A", "led", "", "U1"),
        ("U1 timer-555 0V T A PLUS - 0V - PLUS\nDS1 led-red A X\nR1 resistor 330 X 0V", "led", "U1", ""),
    ],
)  # fmt: skip
def test_led_with_its_resistor(lines: str, kind: str, source: str, sink: str) -> None:
    """The resistor is found on either side, shared, behind an output, a transistor, an open collector."""
    shape = only(circuit(lines), kind)
    assert (shape.part("source"), shape.part("sink")) == (source, sink)
    assert kind == "led-bare" or shape.part("resistor") == "R1"


@pytest.mark.parametrize(
    ("polarity", "near", "far", "anode", "cathode"),
    [("npn-bc547", "0V", "PLUS", "C", "PLUS"), ("pnp-bc557", "PLUS", "0V", "0V", "C")],
)
def test_transistor_switch_with_freewheel(
    polarity: str, near: str, far: str, anode: str, cathode: str
) -> None:
    """NPN at 0 V and PNP at the supply are switches; the diode across the motor must block."""
    lines = f"Q1 {polarity} C B {near}\nR1 resistor 1k DRIVE B\nM1 motor-3v C {far}\n"
    good = circuit(lines + f"D1 diode-1n4001 {anode} {cathode}")
    bad = circuit(lines + f"D1 diode-1n4001 {cathode} {anode}")
    assert only(good, "transistor-switch").part("load") == "M1"
    assert only(good, "freewheel").reasons["D1"].startswith("D1 catches")
    assert "freewheel" not in kinds(bad)


def test_square_wave_astable_and_reversed_light() -> None:
    """One resistor from the output: an astable; a LED from the supply to the output is lit while low."""
    made = circuit(
        """
        U1 timer-555-cmos 0V CAP OUT PLUS - CAP - PLUS
        R1 resistor 100k OUT CAP
        C1 capacitor-film 1µF CAP 0V
        DS1 led-red PLUS X
        R2 resistor 1k X OUT
        """
    )
    shape = only(made, OUTPUT)
    assert "DS1 stays dark and how long DS1 stays lit" in shape.reasons["R1"]


def test_power_switch_is_looked_through() -> None:
    """A slide switch in the supply lead changes nothing of what is behind it."""
    behind = [
        replace(p, nets=tuple("RAIL" if n == "PLUS" else n for n in p.nets))
        for p in astable("10k", "68k", "1 µF").parts[1:]
    ]
    supply = astable("10k", "68k", "1 µF").parts[0]
    switch = circuit("S1 slide-switch RAIL PLUS -").parts[1]
    made = Circuit((supply, switch, *behind))
    assert kinds(made) == ["astable", "supply", "power-switch"]


def test_small_shapes() -> None:
    """Divider, pull-down with its debouncing capacitor, charging RC, comparator without feedback."""
    divider = circuit("R1 resistor 10k PLUS T\nR2 resistor 10k T 0V\nU1 timer-555 0V T OUT PLUS - 0V - PLUS")
    assert "divider" in kinds(divider)
    button = circuit("R1 resistor 10k T 0V\nS1 push-button T PLUS\nC1 capacitor-film 1µF T 0V")
    assert only(button, "pull-down").part("capacitor") == "C1"
    assert kinds(circuit("R1 resistor 10k PLUS T\nC1 capacitor-film 1µF T 0V")) == ["rc", "supply"]
    compare = circuit("U1 comparator-lm393 OUT A B 0V 0V 0V - PLUS")
    assert kinds(compare) == ["comparator", "supply"]


def test_counter_that_resets_early() -> None:
    """A counter whose fourth output is tied to its reset makes rounds of three."""
    made = demo("runway-lights")
    counter = made.by_id["U2"]
    nets = list(counter.nets)
    nets[[t.name for t in counter.type.terminals].index("RST")] = counter.net("Q3")
    shape = only(made.with_part(replace(counter, nets=tuple(nets))), "counter-chain")
    assert shape.terms["length"].value() == 3
    assert shape.roles["light"] == ("DS1", "DS2", "DS3")


def test_no_supply_no_shapes() -> None:
    """Without a supply there are no rails, and so nothing that the shapes could hang on."""
    assert recognise(Circuit(astable("1k", "1k", "1 µF").parts[1:])) == ()


def test_kinds_are_listed_once() -> None:
    """The public list of kinds has no doubles and holds every kind that the demos show."""
    assert len(set(KINDS)) == len(KINDS)
    assert {k for name in DEMOS for k in kinds(demo(name))} <= set(KINDS)
