"""Read-back and exact comparison, against networkx as an independent oracle."""

from __future__ import annotations

from dataclasses import replace

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from board._demo import LIGHTHOUSE, LIGHTHOUSE_WIRES, built, circuit, lighthouse, part
from board._random import circuits, layouts
from buildalong.board import Layout, Wire, board, equal, read_back, strip_nets
from buildalong.circuit import Circuit


def oracle_groups(found: Circuit, layout: Layout) -> set[frozenset[tuple[str, str]]]:
    """The terminals that meet, from connected components of a graph of single holes.

    Written from the rules of the board alone: the five holes a-e or f-j of a row are one, so are
    the holes of a rail (or of its half), the ends of a wire, and legs of one terminal.
    """
    graph: nx.Graph = nx.Graph()
    split = layout.board.name.endswith("split")

    def metal(hole: str) -> tuple[object, ...]:
        if hole[0] in "LR":
            return ("rail", hole[:2], split and int(hole[2:]) > 25)
        return ("row", int(hole[1:]), hole[0] in "abcde")

    for wire in layout.wires:
        graph.add_edge(metal(wire.start), metal(wire.end))
    for item in found.parts:
        for terminal, hole in zip(item.type.leg_terminals, layout.holes.get(item.id, ()), strict=False):
            graph.add_node(("pin", item.id, terminal))
            if hole != "-":
                graph.add_edge(("pin", item.id, terminal), metal(hole))
        for one, other in item.type.internal_links:
            if item.id in layout.holes:
                graph.add_edge(("pin", item.id, one), ("pin", item.id, other))
    groups = set()
    for component in nx.connected_components(graph):
        pins = frozenset((node[1], node[2]) for node in component if node[0] == "pin")
        if pins:
            groups.add(pins)
    return groups


def groups_of(found: Circuit) -> set[frozenset[tuple[str, str]]]:
    nets: dict[object, set[tuple[str, str]]] = {}
    for pin, net in found.pins():
        nets.setdefault(net if net is not None else pin, set()).add((pin.part, pin.terminal))
    return {frozenset(pins) for pins in nets.values()}


@given(st.data())
@settings(max_examples=150, deadline=None)
def test_read_back_equals_connected_components(data: st.DataObject) -> None:
    """On random boards the read-back joins exactly the terminals that a graph of metal joins."""
    wanted = data.draw(circuits())
    layout = data.draw(layouts(wanted))
    real = read_back(wanted.parts, layout)
    there = {p.id for p in wanted.parts if any(hole != "-" for hole in layout.holes.get(p.id, ()))}
    assert {p.id for p in real.parts} == there
    shown = {group for group in oracle_groups(wanted, layout) if any(pin[0] in there for pin in group)}
    assert groups_of(real) == shown


def as_graph(found: Circuit) -> nx.Graph:
    """Parts, terminals and nets as a labelled graph; both terminals of a swappable part look alike."""
    graph: nx.Graph = nx.Graph()
    for item in found.parts:
        graph.add_node(("part", item.id), label=f"part {item.id}")
    for pin, net in found.pins():
        swap = found.by_id[pin.part].type.swappable
        graph.add_node(("pin", pin), label="pin" if swap else f"pin {pin.terminal}")
        graph.add_edge(("part", pin.part), ("pin", pin))
        joint = ("net", net) if net is not None else ("net", pin)
        graph.add_node(joint, label="net")
        graph.add_edge(("pin", pin), joint)
    return graph


def same_by_oracle(one: Circuit, other: Circuit) -> bool:
    def alike(a: dict[str, str], b: dict[str, str]) -> bool:
        return a["label"] == b["label"]

    return bool(nx.is_isomorphic(as_graph(one), as_graph(other), node_match=alike))


@given(circuits(most=4), st.data())
@settings(max_examples=150, deadline=None)
def test_equal_is_isomorphism(one: Circuit, data: st.DataObject) -> None:
    """Circuits of the same parts are equal exactly where their labelled graphs are isomorphic."""
    parts = []
    for item in one.parts:
        nets = data.draw(st.permutations(item.nets)) if data.draw(st.booleans()) else item.nets
        parts.append(replace(item, nets=tuple(nets)))
    other = Circuit(tuple(data.draw(st.permutations(parts))))
    assert equal(one, other) == same_by_oracle(one, other)


@given(circuits(), st.randoms(use_true_random=False))
def test_equal_ignores_names_order_and_ways_round(one: Circuit, random: object) -> None:
    """Renamed nets, another order of parts and turned swappable parts are the same circuit."""
    renamed = one.renamed({net: f"n{net}" for net in one.nets})
    turned = [replace(p, nets=p.nets[::-1]) if p.type.swappable else p for p in renamed.parts]
    assert equal(one, Circuit(tuple(turned[::-1])))


@given(st.data())
@settings(max_examples=60, deadline=None)
def test_wire_nets_are_not_trusted(data: st.DataObject) -> None:
    """What a wire is said to be for changes nothing; nor do the nets of the parts handed in."""
    wanted = data.draw(circuits())
    layout = data.draw(layouts(wanted))
    other = Layout(layout.board, layout.holes, tuple(replace(w, net="Z", colour="red") for w in layout.wires))
    bare = [replace(p, nets=(None,) * len(p.nets)) for p in wanted.parts]
    assert read_back(wanted.parts, layout) == read_back(bare, other)


def test_two_parallel_parts_on_an_island() -> None:
    """Two swappable parts joined only to each other are equal either way round."""
    one = Circuit((part("R1", "resistor", ["A", "B"]), part("R2", "resistor", ["A", "B"])))
    other = Circuit((part("R1", "resistor", ["A", "B"]), part("R2", "resistor", ["B", "A"])))
    chain = Circuit((part("R1", "resistor", ["A", "B"]), part("R2", "resistor", ["B", "C"])))
    assert equal(one, other)
    assert not equal(one, chain)


def test_an_led_is_not_equal_to_its_reverse() -> None:
    """A polarised part turned round is another circuit."""
    parts = (part("R1", "resistor", ["A", "B"]), part("BT1", "supply-aa", ["A", "0V"]))
    one = Circuit((part("DS1", "led-red", ["B", "0V"]), *parts))
    assert not equal(one, one.with_part(part("DS1", "led-red", ["0V", "B"])))


def test_a_button_joins_strips() -> None:
    """A tact button's two legs of one contact join two strips (facts: legs facing each other are one)."""
    wanted = Circuit((part("S1", "push-button", ["A", "B"]), part("R1", "resistor", ["A", "B"])))
    layout = built("170", {"S1": "e5 f5 e7 f7", "R1": "a5 j7"}, [])
    assert equal(wanted, read_back(wanted.parts, layout))


def test_the_demo_board_reads_back() -> None:
    """The hand-made board of the lighthouse is the lighthouse; without any one wire it is not."""
    wanted = circuit("lighthouse")
    assert equal(wanted, read_back(wanted.parts, lighthouse()))
    for left_out in LIGHTHOUSE_WIRES:
        fewer = built("400", LIGHTHOUSE, [wire for wire in LIGHTHOUSE_WIRES if wire != left_out])
        assert not equal(wanted, read_back(wanted.parts, fewer)), left_out


def test_strip_nets_of_the_demo_board() -> None:
    """Each strip carries the net of the leads in it, rails included; unused strips carry none."""
    nets = strip_nets(circuit("lighthouse"), lighthouse())
    assert {nets[strip] for strip in ("L+", "R+", "13L", "10R")} == {"PLUS"}
    assert {nets[strip] for strip in ("L-", "10L", "14L", "14R", "17L")} == {"0V"}
    assert {nets[strip] for strip in ("11L", "12R", "16R")} == {"CAP"}
    assert nets["16L"] == "LAMP"
    assert "1L" not in nets
    assert "R-" not in nets


@pytest.mark.parametrize("ends", [("a1", "nowhere"), ("x9", "a1")])
def test_holes_that_are_not_there_join_nothing(ends: tuple[str, str]) -> None:
    """A wire or lead in a hole that the board does not have is left out of the read-back."""
    wanted = Circuit((part("R1", "resistor", ["A", "B"]), part("R2", "resistor", ["A", "B"])))
    layout = Layout(board("170"), {"R1": ("b1", "z99"), "R2": ("b2",)}, (Wire(*ends),))
    assert [p.nets for p in read_back(wanted.parts, layout).parts] == [("1L", None), ("2L", None)]
