"""Flexible wires and what stands around them: turns, squeezes, and parts that make way; by hand."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from _place_checker import faults
from _place_demo import part
from _place_random import random_circuit

from buildalong.board import Area, Layout, Wire, board
from buildalong.build.dress import dressed
from buildalong.build.place import Wishes, place, score
from buildalong.build.place._ground import Box
from buildalong.build.place._last import Ask, from_the_top
from buildalong.build.place._last_parts import parts_moved
from buildalong.build.place._led import led_terms
from buildalong.build.place._tidied import tidied, tidiest
from buildalong.circuit import Circuit

CIRCUIT = Circuit(
    (
        part("C1", "capacitor-ceramic", ["A", "B"], "100n"),
        part("R1", "resistor", ["Z", "A"], "1k"),
        part("R2", "resistor", ["Z", "B"], "1k"),
    )
)
LAYOUT = Layout(
    board("170"),
    {"C1": ("c6", "c7"), "R1": ("a3", "a6"), "R2": ("a10", "a7")},
    (Wire("c3", "c10", "green", "flexible", (), "Z"),),
)
"""A wire in column c, in which C1 stands; columns b, d and e are open in the rows of its leads."""


@pytest.mark.parametrize(
    ("line", "right_angles"),
    [
        ([(0, 0), (5, 0)], 0.0),
        ([(0, 0), (5, 0), (5, 3)], 1.0),
        ([(0, 0), (5, 0), (5, 3), (0, 3)], 2.0),
        ([(0, 0), (1, 0), (2, 1), (3, 1)], 1.0),  # half a right angle there and back
    ],
)
def test_turns_are_counted_in_right_angles(line: list[tuple[float, float]], right_angles: float) -> None:
    assert led_terms([line], [])["turn"] == pytest.approx(right_angles)


@pytest.mark.parametrize(("aside", "touching"), [(0.0, 4.0), (0.2, 4.0), (0.4, 0.0)])
def test_a_wire_along_a_body_is_squeezed_as_long_as_it_touches_it(aside: float, touching: float) -> None:
    """A wire past a body 3.4 pitches long: beside it, its middle less than 0.3 pitches off, for 4 pitches."""
    body = Box(2.0, 2.0, 5.4, 4.0)
    line = [(0.0, 2.0 - aside), (9.0, 2.0 - aside)]
    assert led_terms([line], [body])["squeezed"] == pytest.approx(touching, abs=0.25)


def test_the_score_has_these_terms_for_flexible_wires_only() -> None:
    around = dressed(CIRCUIT, LAYOUT)
    bow = 2 * math.atan(1 / 2.5) / (math.pi / 2)  # a column aside in two and a half rows, and back
    assert score(CIRCUIT, around).amount("turn") == pytest.approx(bow)
    stiff = replace(LAYOUT, wires=(replace(LAYOUT.wires[0], style="link"),))
    assert [score(CIRCUIT, stiff).amount(name) for name in ("turn", "squeezed")] == [0, 0]


def test_a_wire_turned_round_keeps_its_way() -> None:
    """What is weighed after turning is what was weighed before."""
    wire = replace(LAYOUT.wires[0], start="c10", end="c3")
    led = dressed(CIRCUIT, replace(LAYOUT, wires=(wire,)))
    turned = replace(led, wires=from_the_top(led.board, led.wires))
    assert turned.wires[0].start == "c3"
    assert turned.line(turned.wires[0]) == led.line(led.wires[0])[::-1]
    assert score(CIRCUIT, turned).total == pytest.approx(score(CIRCUIT, led).total)


def test_a_part_makes_way_for_a_wire() -> None:
    """C1 goes to another column of its strips; the wire is straight then, and every net as before."""
    ask = Ask(CIRCUIT, None, None, None, 1)
    before = dressed(CIRCUIT, LAYOUT)
    found = parts_moved(ask, before)
    one, other = found.holes["C1"]
    assert (one[1:], other[1:]) == ("6", "7")
    assert one[0] == other[0] != "c"
    assert score(CIRCUIT, before).amount("turn") > 0 == score(CIRCUIT, found).amount("turn")
    assert faults(CIRCUIT, found) == []
    for held in (
        Ask(CIRCUIT, Layout(LAYOUT.board, {"C1": ("c6", "c7")}, ()), None, None, 1),
        Ask(CIRCUIT, None, Wishes(areas={"C1": Area(x0=2, x1=2)}), None, 1),
    ):
        assert parts_moved(held, before).holes["C1"] == ("c6", "c7")
    straight = replace(LAYOUT, wires=(replace(LAYOUT.wires[0], style="link"),))
    assert parts_moved(ask, straight) == straight


def test_the_tidiest_of_several_layouts_is_taken_if_it_is_no_worse() -> None:
    """With C1 in the wire's way, and with a layout in which it is not; one with more wires stays out."""
    lead = part("BT1", "supply-aa", ["A", "B"])
    circuit = Circuit((*CIRCUIT.parts, lead))
    found = place(circuit, board("170"), style="flexible", seconds=1.0)
    ask = Ask(circuit, None, None, None, found.lower_bound)
    poor = replace(LAYOUT, holes={**LAYOUT.holes, "BT1": ("b6", "b7")})
    held = replace(found, layout=poor, wire_count=1, score=score(circuit, poor))
    alone, among = tidiest(ask, held, []), tidiest(ask, held, [found.layout])
    assert alone.score.total <= score(circuit, dressed(circuit, poor)).total
    assert among.score.total <= min(alone.score.total, score(circuit, tidied(ask, found.layout)).total)
    assert among.score.total == score(circuit, among.layout).total
    more = replace(found.layout, wires=(*found.layout.wires, *LAYOUT.wires, *LAYOUT.wires))
    assert tidiest(ask, held, [more]) == alone


@pytest.mark.parametrize(("seed", "name"), [(27, "400"), (55, "400"), (90, "170"), (102, "170")])
def test_parts_that_move_collide_with_nothing(seed: int, name: str) -> None:
    """Circuits in which they once did; the checker shares no code with the placer."""
    circuit = random_circuit(seed, 12)
    assert faults(circuit, place(circuit, board(name), style="flexible", seconds=0.1).layout) == []
