"""The words of the trade that a lesson uses, each in one plain sentence."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from typing import NamedTuple

from buildalong.lesson import Compiled
from buildalong.publish.handout._glossary_words import TERMS
from buildalong.words import say

__all__ = ["NEEDS", "Term", "glossary_of"]

NEEDS: Mapping[str, tuple[str, ...]] = {
    "anode": ("led", "diode"),
    "capacitance": ("capacitor", "electrolytic"),
    "cathode": ("led", "diode"),
    "comparator": ("timer", "comparator"),
    "integrated-circuit": ("timer", "comparator", "counter"),
    "latch": ("timer",),
    "pin": ("timer", "comparator", "counter"),
    "polarity": ("led", "diode", "electrolytic", "timer", "comparator", "counter", "supply"),
    "rail": ("rails",),
    "resistance": ("resistor", "ldr", "potentiometer"),
    "tolerance": ("resistor", "capacitor", "electrolytic"),
}
"""What a lesson must have one of for a term: families of parts, or rails; others are always told."""


class Term(NamedTuple):
    """A word of the trade with its explanation; ``key`` is of no language."""

    term: str
    text: str
    key: str


def glossary_of(compiled: Compiled) -> tuple[Term, ...]:
    """The terms that this lesson needs with their explanations, in the order of the alphabet."""
    there = {part.type.family for part in compiled.circuit.parts}
    if compiled.layout is not None and compiled.layout.board.rail_holes:
        there.add("rails")
    told = [key for key in TERMS if key not in NEEDS or there & set(NEEDS[key])]
    words = (Term(say(TERMS[key][0]), say(TERMS[key][1]), key) for key in told)
    return tuple(sorted(words, key=_sorted_as))


def _sorted_as(word: Term) -> str:
    """The term as dictionaries sort it: without its accents (RAE; DIN 5007-1, from memory)."""
    apart = unicodedata.normalize("NFD", word.term.casefold())
    return "".join(letter for letter in apart if not unicodedata.combining(letter))
