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
