"""Colours of nets: one for each while there are enough, then shared where it misleads least."""

from dataclasses import replace
from itertools import combinations, pairwise

import pytest

from buildalong.board import Layout, Wire, board, coloured, net_colours, strip_nets, uncoloured
from buildalong.circuit import Circuit, Part
from buildalong.drawing import net_colours as drawn_colours
from buildalong.parts import catalogue

from ._demo import DEMOS, circuit_of, layout_of

TWELVE = tuple(f"N{index}" for index in range(12))


def ladder() -> tuple[Circuit, Layout]:
    """Twelve nets in a chain of resistors, each in the row below the last one's, with a wire across."""
    battery = Part("BT1", catalogue()["supply-aa"], ("PLUS", "0V"), settings=(("count", 4.0),))
    chain = ("PLUS", *TWELVE, "0V")
    parts = tuple(
        Part(f"R{index}", catalogue()["resistor"], pair, 1e3) for index, pair in enumerate(pairwise(chain))
    )
    rows = {net: row for row, net in enumerate(chain, start=3)}
    places = {part.id: (f"a{rows[part.nets[0] or '']}", f"b{rows[part.nets[1] or '']}") for part in parts}
    wires = tuple(Wire(f"e{rows[net]}", f"f{rows[net]}", "", net=net) for net in TWELVE)
    return Circuit((battery, *parts)), Layout(board("400"), places, wires)


def test_nets_have_colours_in_turn_while_there_are_some() -> None:
    """Up to eight nets beside the supply's two: no colour comes twice, whatever the board."""
    for name in DEMOS:
        circuit = circuit_of(name)
        colours = net_colours(circuit)
        if len(circuit.nets) <= 10:
            assert len(set(colours.values())) == len(circuit.nets)
            assert net_colours(circuit, layout_of(name)) == colours


def test_nets_that_meet_never_share_a_colour() -> None:
    """More nets than colours: ends of one part, neighbouring strips and wires side by side differ."""
    circuit, layout = ladder()
    for colours in (net_colours(circuit, layout), net_colours(circuit)):
        assert colours["PLUS"] == "red"
        assert colours["0V"] == "black"
        for part in circuit.parts:
            assert len({colours[net or ""] for net in part.nets}) == len(part.nets)
        uses = [list(colours.values()).count(colour) for colour in set(colours.values())]
        assert max(uses) == 2  # ten colours for twelve nets and the supply's two


@pytest.mark.parametrize("name", [name for name in DEMOS if len(circuit_of(name).nets) > 10])
def test_the_board_and_the_pictures_share_one_assignment(name: str) -> None:
    """On a demo with more nets than colours: both ends of a part, and strips one below the other, differ."""
    circuit, layout = circuit_of(name), layout_of(name)
    layout = coloured(circuit, replace(layout, wires=tuple(replace(w, colour="") for w in layout.wires)))
    drawn = {net: colour.hex for net, colour in drawn_colours(circuit, layout).items()}
    for part in circuit.parts:
        if len(part.nets) < 8:
            for one, other in combinations({net for net in part.nets if net}, 2):
                assert drawn[one] != drawn[other], (part.id, one, other)
    owners = strip_nets(circuit, layout)
    for strip, net in owners.items():
        hole = layout.board.strips[strip][0]
        if layout.board.rail_of(hole) is None:
            x, y = layout.board.holes[hole]
            below = layout.board.hole_at(x, y + 1)
            beside = owners.get(layout.board.strip_of[below], net) if below else net
            assert beside == net or drawn[beside] != drawn[net], (strip, net, beside)
    for wire in layout.wires:
        assert {w.colour for w in layout.wires if w.net == wire.net} == {wire.colour}


def test_what_is_left_unsaid_is_read_back() -> None:
    """A layout written without its usual colours has the same ones when read, also with one of its own."""
    circuit, layout = ladder()
    first = coloured(circuit, layout)
    odd = replace(first, wires=(replace(first.wires[0], colour="pink"), *first.wires[1:]))
    for each in (first, odd):
        again = coloured(circuit, uncoloured(circuit, each))
        assert [wire.colour for wire in again.wires] == [wire.colour for wire in each.wires]
    assert all(wire.colour == "" for wire in uncoloured(circuit, first).wires)
