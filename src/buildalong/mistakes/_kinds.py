"""The kinds of mistakes, how often we think they happen, and how each is mended.

The weights are OUR JUDGEMENT, not data: no study with usable rates for each kind was found.  Studies of
beginners support the kinds (hidden connections of the board: DesPortes et al., IDC 2016; both leads at
one end of a resistor: Karplus 2016; wiring as the main class of fatal faults: Booth et al., CHI 2016).
"""

from __future__ import annotations

from dataclasses import dataclass

from buildalong.mistakes import _words as words

__all__ = ["KINDS", "Kind"]


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind: ``weight`` of each single mistake of it, and the message for what mends it."""

    weight: float
    cure: str


KINDS: dict[str, Kind] = {
    "lead-one-off": Kind(8, words.CURE_LEAD),
    "lead-two-off": Kind(2, words.CURE_LEAD),
    "lead-across": Kind(3, words.CURE_LEAD),
    "one-strip": Kind(4, words.CURE_LEAD),
    "part-omitted": Kind(4, words.CURE_OMITTED),
    "wire-omitted": Kind(6, words.CURE_OMITTED),
    "wire-one-off": Kind(8, words.CURE_LEAD),
    "wire-across": Kind(3, words.CURE_LEAD),
    "wrong-rail": Kind(5, words.CURE_LEAD),
    "part-reversed": Kind(8, words.CURE_REVERSED),
    "leg-order": Kind(5, words.CURE_LEGS),
    "chip-turned": Kind(5, words.CURE_CHIP),
    "rows-off": Kind(4, words.CURE_ROWS),
    "button-turned": Kind(4, words.CURE_BUTTON),
    "wrong-decade": Kind(4, words.CURE_VALUE),
    "read-backwards": Kind(2, words.CURE_VALUE),
    "code-misread": Kind(3, words.CURE_VALUE),
    "swapped": Kind(3, words.CURE_SWAPPED),
    "wrong-colour": Kind(1, words.CURE_COLOUR),
    "rail-split": Kind(3, words.CURE_RAIL),
    "supply-reversed": Kind(4, words.CURE_SUPPLY),
    "weak-battery": Kind(5, words.CURE_SPENT),
    "loose-contact": Kind(3, words.CURE_LOOSE),
    "own": Kind(5, words.CURE_OWN),
}
"""Every kind by name."""
