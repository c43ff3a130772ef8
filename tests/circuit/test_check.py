"""The check of parts and nets: each fault alone, and the demos without any."""

from __future__ import annotations

import networkx as nx
import pytest

from buildalong.circuit import Circuit, netlist_check
from buildalong.finding import Finding, Severity

from ._demo import DEMOS, circuit, demo, part, supply

LAMP = ("R1 resistor 330 PLUS A", "DS1 led-red A 0V")
TIMER = "U1 timer-555 0V IN OUT PLUS - IN - PLUS"
HOLD = ("R1 resistor 10k IN PLUS", "R2 resistor 10k OUT 0V")


def _codes(found: list[Finding]) -> list[str]:
    return [f.code for f in found]


@pytest.mark.parametrize("name", DEMOS)
def test_the_demo_circuits_have_no_fault(name: str) -> None:
    """Nothing worse than a note in circuits that work."""
    assert [f for f in netlist_check(demo(name)) if f.severity > Severity.NOTE] == []


def test_a_lamp_is_sound() -> None:
    """A resistor and an LED on a battery: no finding at all."""
    assert netlist_check(circuit("9 V block", *LAMP)) == []


FAULTS = [
    # supply, parts, code, about, words in the message, words in the hint
    ("net with one end", "9 V block",
     ("R1 resistor 330 PLUS LAMPP", "R2 resistor 330 PLUS LAMP", "DS1 led-red LAMP 0V"),
     "net-single", ("R1", "pins", "1"), "reaches only R1.2", "did you mean the net LAMP?"),
    ("open input", "9 V block", ("U1 timer-555 0V IN OUT - - IN - PLUS", *HOLD),
     "terminal-open", ("U1", "pins", "3"), "reset (pin 4)", "name a net"),
    ("bridged resistor", "9 V block", (*LAMP, "R2 resistor 1k A A"),
     "part-bridged", ("R2", "pins"), "both leads of R2", "two different nets"),
    ("island", "9 V block", (*LAMP, "R2 resistor 1k X Y", "C1 capacitor-film 10n X Y"),
     "part-island", ("R2", "pins"), "R2, C1 are not connected", "no net of R2"),
    ("floating net", "9 V block", (*LAMP, "C1 capacitor-film 10n PLUS X", "C2 capacitor-film 10n X 0V"),
     "net-floats", ("C1", "pins", "1"), "left to chance", "through a resistor"),
    ("floating input", "9 V block", (TIMER, "R2 resistor 10k OUT 0V", "C1 capacitor-film 10n IN 0V"),
     "net-floats", ("U1", "pins", "1"), "net IN", "through a resistor"),
    ("reversed IC", "9 V block", ("U1 timer-555 PLUS IN OUT PLUS - IN - 0V", *HOLD),
     "ic-reversed", ("U1", "pins"), "wrong way round", "belongs on PLUS"),
    ("IC without power", "9 V block", ("U1 timer-555 0V IN OUT PLUS - IN - 0V", *HOLD),
     "ic-unpowered", ("U1", "pins"), "no power", "belongs on PLUS"),
    ("too low a supply", "CR2032", (TIMER, *HOLD),
     "supply-too-low", ("U1", "supply"), "4.5 V at least", "higher"),
    ("loose part", "9 V block", (*LAMP, "R2 potentiometer 1k - A -"),
     "part-loose", ("R2", "pins"), "no current can flow", "two sides"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("source", "parts", "code", "about", "message", "hint"),
    [f[1:] for f in FAULTS],
    ids=[f[0] for f in FAULTS],
)
def test_each_fault_is_found_and_nothing_else(
    source: str, parts: tuple[str, ...], code: str, about: tuple[str, ...], message: str, hint: str
) -> None:
    """The fault built in is the one finding; it names part and pin, and a cure."""
    found = netlist_check(circuit(source, *parts))
    assert _codes(found) == [code]
    assert found[0].about == about
    assert message in found[0].message
    assert hint in found[0].hint


def test_supply_faults() -> None:
    """No supply, two supplies, plus and minus joined, one lead unused."""
    lamp = [part(text) for text in LAMP]
    assert "supply-missing" in _codes(netlist_check(Circuit(tuple(lamp))))
    second = supply("9 V block", "A", "0V")
    assert "supply-twice" in _codes(netlist_check(Circuit((supply("AA"), second, *lamp))))
    shorted = netlist_check(
        Circuit((supply("9 V block", "PLUS", "PLUS"), part("R1 resistor 1k PLUS A"), lamp[1]))
    )
    assert "supply-shorted" in _codes(shorted)
    unused = netlist_check(Circuit((supply("9 V block", "VCC", "0V"), *lamp)))
    assert unused[0].code == "net-single"
    assert unused[0].about == ("supply",)


def test_the_same_name_twice() -> None:
    """Two parts with one reference are told once."""
    found = netlist_check(circuit("9 V block", *LAMP, "R1 resistor 1k PLUS A"))
    assert next(f for f in found if f.code == "part-twice").about == ("R1",)


@pytest.mark.parametrize(
    ("source", "kind", "codes"),
    [
        ("8 x AA", "timer-555-cmos", []),  # TLC555: 2 V to 15 V (TI SLFS043)
        ("9 V block", "timer-555", []),  # 4.5 V to 16 V (Diodes DS35112); ends at 4.8 V
        ("4 x AA", "timer-555", ["supply-ends-low"]),  # 4 x 0.8 V is below 4.5 V
        ("3 x AA", "timer-555", ["supply-ends-low"]),
        ("2 x AA", "timer-555", ["supply-too-low"]),
    ],
)
def test_supply_limits_of_the_data_sheets(source: str, kind: str, codes: list[str]) -> None:
    """Nominal below the least supply is an error; running down below it is a note."""
    parts = (f"U1 {kind} 0V IN OUT PLUS - IN - PLUS", *HOLD)
    assert _codes(netlist_check(circuit(source, *parts))) == codes


def test_a_supply_far_above_the_limits_is_refused_even_as_a_lessons_own_part() -> None:
    """A lesson's own supply part cannot bring 230 V in, neither as a figure nor in its model alone."""
    from dataclasses import replace

    from buildalong.parts import catalogue, load_part

    wall = {"typ": "230 V", "source": "our choice"}
    for table in (
        {"figures": {"voltage": wall}},
        {"figures": {"fresh_voltage": wall}},
        {"model": {"emf": wall}},
    ):
        own = load_part({"like": "supply-9v", **table}, catalogue(), "supply-wall")
        lamp = (part(text) for text in LAMP)
        found = netlist_check(Circuit((replace(supply("9 V block"), type=own), *lamp)))
        assert _codes(found) == ["mains-voltage"]


def test_an_ic_with_a_low_limit_is_destroyed_by_a_9_v_battery() -> None:
    """74HC parts: 2 V to 6 V, absolute 7 V; a 9 V battery kills them (Nexperia 74HC00 rev 7)."""
    from dataclasses import replace

    from buildalong.parts import catalogue, load_part

    source = "our choice"
    limits = {
        name: {"max": volts, "source": source}
        for name, volts in (("supply_min", "2 V"), ("supply_max", "6 V"), ("supply_absolute", "7 V"))
    }
    own = load_part({"like": "timer-555-cmos", "ratings": limits}, catalogue(), "logic-74hc")
    sound = circuit("9 V block", TIMER, *HOLD)
    found = netlist_check(sound.with_part(replace(sound.by_id["U1"], type=own)))
    assert _codes(found) == ["supply-too-high"]
    assert "destroyed above 7 V" in found[0].message
    weak = circuit("4 x AA", TIMER, *HOLD)
    found = netlist_check(weak.with_part(replace(weak.by_id["U1"], type=own)))
    assert _codes(found) == ["supply-high-fresh"]


def test_too_many_parts_are_refused_at_once() -> None:
    """The check is bounded."""
    many = tuple(f"R{i % 1000} resistor 1k PLUS 0V" for i in range(501))
    assert _codes(netlist_check(circuit("9 V block", *many))) == ["circuit-too-large"]


@pytest.mark.parametrize("name", DEMOS)
def test_islands_are_the_components_of_the_graph(name: str) -> None:
    """The graph library agrees: each demo is one connected graph, and parts cut off are another."""
    whole = demo(name)

    def graph(of: Circuit) -> nx.Graph:
        made = nx.Graph()
        made.add_edges_from((("part", p), ("net", n)) for p, n, _ in of.as_graph_edges())
        return made

    assert nx.number_connected_components(graph(whole)) == 1
    lone = part("R99 resistor 1k NOWHERE ELSEWHERE")
    cut = Circuit((*whole.parts, lone, part("R98 resistor 1k NOWHERE ELSEWHERE")))
    assert nx.number_connected_components(graph(cut)) == 2
    assert [f.about[0] for f in netlist_check(cut) if f.code == "part-island"] == ["R99"]


def test_nets_renamed_together_are_joined() -> None:
    """Renaming NIGHT to REF joins the comparator's inputs, as networkx contracts the two nodes."""
    whole = demo("dusk-light")
    joined = whole.renamed({"NIGHT": "REF"})
    before, after = nx.MultiGraph(), nx.MultiGraph()
    before.add_edges_from((p, "net " + n) for p, n, _ in whole.as_graph_edges())
    after.add_edges_from((p, "net " + n) for p, n, _ in joined.as_graph_edges())
    assert nx.is_isomorphic(nx.contracted_nodes(before, "net REF", "net NIGHT"), after)
    assert set(joined.nets) == set(whole.nets) - {"NIGHT"}
    assert whole.without("R1").by_id.keys() == whole.by_id.keys() - {"R1"}
