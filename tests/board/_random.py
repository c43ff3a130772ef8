"""Hypothesis strategies: random circuits, and random boards that need not be sensible."""

from __future__ import annotations

from hypothesis import strategies as st

from buildalong.board import Layout, Wire, board
from buildalong.circuit import Circuit, Part
from buildalong.parts import catalogue

KINDS = (
    "resistor",
    "led-red",
    "push-button",
    "npn-bc547",
    "electrolytic",
    "timer-555",
    "potentiometer",
    "slide-switch",
    "supply-aa",
)
NETS = ("A", "B", "C", "D", "E")


@st.composite
def circuits(draw: st.DrawFn, most: int = 6) -> Circuit:
    """Up to ``most`` parts on few nets, some terminals open."""
    kinds = draw(st.lists(st.sampled_from(KINDS), min_size=1, max_size=most))
    parts = []
    for number, kind in enumerate(kinds, start=1):
        found = catalogue()[kind]
        nets = draw(
            st.lists(
                st.one_of(st.sampled_from(NETS), st.none()),
                min_size=len(found.terminals),
                max_size=len(found.terminals),
            )
        )
        parts.append(Part(f"X{number}", found, tuple(nets)))
    return Circuit(tuple(parts))


@st.composite
def layouts(draw: st.DrawFn, circuit: Circuit) -> Layout:
    """Legs and wire ends in random holes of a small part of a board; some parts and leads left out."""
    found = board(draw(st.sampled_from(["170", "400", "830-split"])))
    near = [hole for hole in found.holes if found.rail_of(hole) or (found.row_of(hole) or 0) <= 8]
    hole = st.sampled_from(near)
    loose = st.one_of(hole, hole, hole, st.just("-"))
    holes = {}
    for part in circuit.parts:
        if draw(st.integers(0, 5)):
            legs = len(part.type.leg_terminals)
            holes[part.id] = tuple(draw(st.lists(loose, min_size=legs, max_size=legs)))
    ends = draw(st.lists(st.tuples(hole, hole), max_size=6))
    return Layout(found, holes, tuple(Wire(start, end, net="A") for start, end in ends))


@st.composite
def right_boards(draw: st.DrawFn) -> tuple[Circuit, Layout]:
    """A random circuit with one supply, and a random board that makes it (bodies not looked at).

    Each net gets strips enough for its leads, joined by wires in a random tree; leads take free holes.
    """
    circuit = draw(circuits(most=5))
    parts = [part for part in circuit.parts if part.type.family != "supply"]
    supply = Part("BT1", catalogue()["supply-aa"], ("PLUS", "0V"))
    names = {"A": "PLUS", "B": "0V"}
    circuit = Circuit((*Circuit(tuple(parts)).renamed(names).parts, supply))
    found = board("830")
    strips = draw(st.permutations([strip for strip in found.strips if strip[0] not in "LR"]))
    free = iter(strips)
    places: dict[str, list[str]] = {}
    wires: list[Wire] = []

    def strip_for(net: str) -> list[str]:
        if net not in places:
            places[net] = list(found.strips[next(free)])
        holes = places[net]
        if len(holes) == 1:
            more = list(found.strips[next(free)])
            wires.append(Wire(holes.pop(), more.pop(draw(st.integers(0, 2)))))
            places[net] = holes = more
        return holes

    holes: dict[str, tuple[str, ...]] = {}
    for part in draw(st.permutations(circuit.parts)):
        taken = []
        for terminal in part.type.leg_terminals:
            room = strip_for(part.net(terminal) or f"~{part.id}.{terminal}")
            taken.append(room.pop(draw(st.integers(0, len(room) - 1)) if len(room) > 1 else 0))
        holes[part.id] = tuple(taken)
    return circuit, Layout(found, holes, tuple(draw(st.permutations(wires))))
