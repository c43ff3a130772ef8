"""Every sentence of the worksheets, whole, with named gaps: the one place to translate."""

from __future__ import annotations

__all__ = [
    "BANDS", "BANDS_BACK", "BANDS_WORKING", "CODE", "CODE_WORKING", "CURRENT", "FORMULA_VALUE", "GIVEN",
    "REAL", "REAL_BUILT", "REAL_WORKING", "WHAT_IF", "WHAT_IF_WORKING",
]  # fmt: skip

BANDS = "{part} is a resistor of {value} with a tolerance of {tolerance}. Name its colour bands in order."
BANDS_BACK = "A resistor bears the bands {bands}. What is its value?"
BANDS_WORKING = "Two figures, then how many zeros, then the tolerance: {bands}."
CODE = 'A small ceramic capacitor is marked "{code}". What is its capacitance?'
CODE_WORKING = "Two figures, then how many zeros, in picofarad."
FORMULA_VALUE = "{title} is {formula}. How much is that with your values?"
GIVEN = "Given: {given}."
CURRENT = "{title}: work it out with your values."
REAL = (
    "{title}: build it and measure, or simulate it. How much is it with real parts, and by how many per cent "
    "does that differ from the formula?"
)
REAL_WORKING = "{real} simulated with real parts, {ideal} by the formula: a difference of {percent}."
REAL_BUILT = (
    "A build may differ by more, since each part may be off by its tolerance: take what was measured."
)
WHAT_IF = "{title}: how much would it be with real parts, if {part} had {value} in place of {was}?"
WHAT_IF_WORKING = "Simulated with {value}: {after} in place of {before}."
