"""Nets that hang on legs joined inside a part, and on rails that are not broken in the middle.

That the two legs of one side of a push-button are always joined, and that many full-size boards have rails
broken in the middle: common practice.
"""

from __future__ import annotations

import networkx as nx
import pytest
from hypothesis import HealthCheck, given, settings

from board._demo import built, circuit, part
from board._random import right_boards
from buildalong.board import Layout
from buildalong.build.steps import Step, make_steps
from buildalong.circuit import Circuit, Part
from buildalong.design import recognise, shared_reason
from drawing._demo import circuit_of, layout_of


def why_of(made: tuple[Step, ...], name: str) -> str:
    return next(step.why for step in made if name in step.parts)


def button() -> Circuit:
    return Circuit(
        (
            part("S1", "push-button", ["IN", "0V"]),
            part("R1", "resistor", ["PLUS", "IN"], "10k"),
            part("R2", "resistor", ["PLUS", "0V"], "10k"),
            part("BT1", "supply-aa", ["PLUS", "0V"]),
        )
    )


BUTTON = {"S1": "e13 f13 e15 f15", "R1": "a1 a13", "R2": "b1 a17", "BT1": "c1 j15"}


@pytest.mark.parametrize(
    ("wires", "said"),
    [
        (["c15 c17"], "S1's two legs in row 15 are always joined: they carry 0 V across the trench."),
        (["c15 c17", "h15 d15"], ""),
        (["h15 c17"], ""),
    ],
)
def test_what_a_buttons_legs_carry_is_said(wires: list[str], said: str) -> None:
    """0 V comes in at j15; R2 in row 17 has it by the legs in e15 and f15, unless a wire brings it too."""
    made = make_steps(button(), built("400", BUTTON, wires))
    assert why_of(made, "S1") == f"Pressed, it joins IN and 0 V. {said}".strip()


def test_both_rows_are_said_in_a_breath() -> None:
    """Where each pair of legs carries its net, one sentence says both."""
    made = make_steps(button(), built("400", {**BUTTON, "R1": "a1 j13"}, ["c15 c17", "b13 d20"]))
    assert "S1's two legs in row 15 are always joined" in why_of(made, "S1")
    found = Circuit((*button().parts, part("R3", "resistor", ["PLUS", "IN"], "10k")))
    made = make_steps(found, built("400", {**BUTTON, "R1": "a1 j13", "R3": "d1 a13"}, ["c15 c17"]))
    assert why_of(made, "S1").endswith(
        "S1's two legs in each row are always joined and lead across the trench:"
        " in row 13 they carry IN; in row 15 they carry 0 V."
    )


def test_a_wire_says_through_which_part_it_is_fed() -> None:
    """c15 to c17 has 0 V only by S1's legs; beside a second way, S1 is not named."""
    found = button()
    for wires, why in (
        (["c15 c17"], "It brings 0 V through S1 to one lead of R2."),
        (["c15 c17", "h15 d15"], "It brings 0 V to one lead of R2."),
    ):
        layout = built("400", BUTTON, wires)
        assert next(s.why for s in make_steps(found, layout) if 0 in s.wires) == why


@given(right_boards())
@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)
def test_legs_are_named_where_and_only_where_a_net_hangs_on_them(board_of: tuple[Circuit, Layout]) -> None:
    """The sentence stands just where, without the joint, leads of other parts lie in two pieces of the board.

    The pieces are found by networkx in a graph of holes, independent of the read-back.
    """
    wanted, layout = board_of
    made = make_steps(wanted, layout)
    for item in wanted.parts:
        hangs = any(_hangs(wanted, layout, item, terminal) for terminal in {*item.type.leg_terminals})
        assert ("always joined" in why_of(made, item.id).replace(item.type.about, "")) == hangs, item.id


def _hangs(wanted: Circuit, layout: Layout, item: Part, terminal: str) -> bool:
    graph: nx.Graph = nx.Graph()
    for holes in layout.board.strips.values():
        nx.add_path(graph, holes)
    graph.add_edges_from((wire.start, wire.end) for wire in layout.wires)
    for other in wanted.parts:
        legs = list(zip(other.type.leg_terminals, layout.holes[other.id], strict=True))
        graph.add_edges_from(
            (a, b) for t, a in legs for u, b in legs if t == u and (other is not item or t != terminal)
        )
    mine = [h for t, h in zip(item.type.leg_terminals, layout.holes[item.id], strict=True) if t == terminal]
    others = {hole for name, holes in layout.holes.items() if name != item.id for hole in holes}
    pieces = {frozenset(nx.node_connected_component(graph, hole)) for hole in mine}
    return sum(bool(piece & others) for piece in pieces) > 1


RAILS = (
    "Both halves of the left plus rail and the left minus rail are used. If their coloured lines have a gap"
    " in the middle of the board, bridge each gap with a short wire."
)


def test_a_rail_that_must_not_be_broken_is_told_once() -> None:
    """At the first step with a hole of such a rail stands the warning, and at no other."""
    layout = layout_of("runway-lights-830-formed")
    made = make_steps(circuit_of("runway-lights"), layout)
    first = next(step for step in made if any(layout.board.rail_of(hole) for hole, _ in step.after.used()))
    assert [step.number for step in made if "coloured line" in step.callout] == [first.number]


@pytest.mark.parametrize(
    ("size", "lamp", "lead", "said"),
    [
        ("830", "L+10 L-10", "L+40 L-40", RAILS),
        ("830", "L+10 L-10", "L+20 L-20", ""),
        ("830-split", "L+10 L-10", "L+20 L-20", ""),
        ("400", "L+5 L-5", "L+20 L-20", ""),
    ],
)
def test_rails_in_one_half_need_no_warning(size: str, lamp: str, lead: str, said: str) -> None:
    """Only on a board of 830 tie-points with both halves in use a gap would part the circuit."""
    found = Circuit((part("DS1", "led-red", ["PLUS", "0V"]), part("BT1", "supply-aa", ["PLUS", "0V"])))
    made = make_steps(found, built(size, {"DS1": lamp, "BT1": lead}, []))
    assert made[0].callout.endswith(said or "stays dark.")
    assert not any("coloured line" in step.callout for step in made[1:])


def test_a_rail_that_is_bridged_anyway_needs_no_warning() -> None:
    """Wires that join both halves make the gap harmless."""
    found = Circuit((part("DS1", "led-red", ["PLUS", "0V"]), part("BT1", "supply-aa", ["PLUS", "0V"])))
    layout = built("830", {"DS1": "L+10 L-10", "BT1": "L+40 L-40"}, ["L+1 L+50", "L-1 L-50"])
    assert not any("coloured line" in step.callout for step in make_steps(found, layout))


def test_a_shared_reason_is_said_once() -> None:
    """Three of the ten lights behind one resistor have one reason; a light and its resistor have two."""
    shapes = recognise(circuit("runway-lights"))
    assert shared_reason(shapes, ["DS9", "DS8"]) == "DS9 and DS8 are among the lights that R3 protects."
    assert shared_reason(shapes, ["DS9", "R3"]) == ""
    assert shared_reason(shapes, ["C2", "C3"]) == ""
    made = make_steps(
        circuit_of("runway-lights"),
        layout_of("runway-lights"),
        shared=lambda parts: shared_reason(shapes, parts),
    )
    groups = [step for step in made if len(step.parts) > 1]
    assert groups
    for step in groups:
        assert step.why.endswith(" are among the lights that R3 protects.")
        assert all(step.why.count(name) == 1 for name in step.parts if name != "DS1")
