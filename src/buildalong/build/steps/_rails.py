"""Rails that must not be broken in the middle, where boards of the same size are sold either way."""

from __future__ import annotations

from buildalong.board import Layout, equal, read_back, split_twin, strip_words
from buildalong.build.steps._words import RAILS
from buildalong.circuit import Circuit
from buildalong.words import listed, say_many

__all__ = ["rails_words", "whole_rails"]


def whole_rails(circuit: Circuit, layout: Layout) -> frozenset[str]:
    """The rails with both halves in use, where the circuit would be another one if they were split."""
    twin = split_twin(layout.board)
    if twin is None:
        return frozenset()
    split = Layout(twin, layout.holes, layout.wires)
    if equal(read_back(circuit.parts, layout), read_back(circuit.parts, split)):
        return frozenset()
    halves = {twin.strip_of[hole] for hole, _ in layout.used() if twin.rail_of(hole)}
    return frozenset(rail for rail in twin.rails if {f"{rail} upper", f"{rail} lower"} <= halves)


def rails_words(rails: frozenset[str]) -> str:
    """The warning for these rails; '' for none."""
    names = [strip_words(rail) for rail in sorted(rails)]
    return say_many(RAILS, len(names), rails=listed(names)) if names else ""
