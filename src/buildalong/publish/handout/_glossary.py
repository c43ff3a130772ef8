"""The words of the trade that a lesson uses, each in one plain sentence."""

from __future__ import annotations

from collections.abc import Mapping

from buildalong.lesson import Compiled
from buildalong.publish.handout._glossary_words import TERMS
from buildalong.words import say

__all__ = ["NEEDS", "glossary_of"]

NEEDS: Mapping[str, tuple[str, ...]] = {
    "anode": ("led", "diode"),
    "capacitance": ("capacitor", "electrolytic"),
    "cathode": ("led", "diode"),
    "integrated-circuit": ("timer", "comparator", "counter"),
    "polarity": ("led", "diode", "electrolytic", "timer", "comparator", "counter", "supply"),
    "rail": ("rails",),
    "resistance": ("resistor", "ldr", "potentiometer"),
    "tolerance": ("resistor", "capacitor", "electrolytic"),
}
"""What a lesson must have one of for a term: families of parts, or rails; others are always told."""


def glossary_of(compiled: Compiled) -> tuple[tuple[str, str], ...]:
    """The terms that this lesson needs with their explanations, in the order of the alphabet."""
    there = {part.type.family for part in compiled.circuit.parts}
    if compiled.layout is not None and compiled.layout.board.rail_holes:
        there.add("rails")
    told = [pair for key, pair in TERMS.items() if key not in NEEDS or there & set(NEEDS[key])]
    return tuple(sorted((say(term), say(text)) for term, text in told))
