"""The words of the trade, each explained in one plain sentence; keys are of no language."""

from __future__ import annotations

__all__ = ["AMBIGUOUS", "ENDINGS", "TERMS"]

ENDINGS = "s, es"
"""What a term may end in besides where it stands in a sentence: its plural and its cases."""
AMBIGUOUS = "reference, ground"
"""Terms that mostly mean something else in a sentence, written as in their list but small."""

TERMS = {
    "anode": (
        "Anode",
        "The lead of a diode or an LED that must be on the plus side for current to flow.",
    ),
    "breadboard": (
        "Breadboard",
        "A board with springs under its holes: leads that are pushed in are held and joined, without solder.",
    ),
    "capacitance": (
        "Capacitance",
        "How much charge a capacitor stores for each volt; its unit is the farad (F).",
    ),
    "cathode": (
        "Cathode",
        "The other lead of a diode or an LED, on the minus side: a flat edge or a band marks it.",
    ),
    "circuit": (
        "Circuit",
        "A closed way for current: from plus, through the parts, and back to minus.",
    ),
    "comparator": (
        "Comparator",
        "A part that compares two voltages and tells which is the higher, by its output.",
    ),
    "current": (
        "Current",
        "How much charge passes each second; its unit is the ampere (A). It flows through a part.",
    ),
    "ground": (
        "Ground",
        "The point that all voltages are measured from, written 0 V: the minus of the supply.",
    ),
    "integrated-circuit": (
        "Integrated circuit",
        "Many tiny parts in one case with numbered pins; a notch or a dot shows where pin 1 is.",
    ),
    "latch": (
        "Latch",
        "A memory of one bit: one signal sets it to 1, another back to 0, "
        "and in between it keeps what it has.",
    ),
    "net": (
        "Net",
        "Everything that is joined by metal, and so has one voltage: strips, leads and wires.",
    ),
    "pin": (
        "Pin",
        "One of the numbered legs of an integrated circuit.",
    ),
    "polarity": (
        "Polarity",
        "Which way round a part has to be: some parts do not work, or are damaged, the wrong way round.",
    ),
    "rail": (
        "Rail",
        "A long line of joined holes along the edge of a breadboard, for plus and minus.",
    ),
    "reference": (
        "Reference",
        "The letters and number that name one part, the same in schematic, list and board: R1, C1.",
    ),
    "resistance": (
        "Resistance",
        "How strongly a part hinders current; its unit is the ohm (Ω).",
    ),
    "schematic": (
        "Schematic",
        "A drawing with symbols that shows what is joined to what, not where things lie.",
    ),
    "short-circuit": (
        "Short circuit",
        "A way from plus to minus with nothing in between: it gets hot and empties the battery.",
    ),
    "simulated": (
        "Simulated",
        "Worked out by a computer that knows how real parts behave.",
    ),
    "strip": (
        "Strip",
        "The five holes in a row that are joined inside the breadboard.",
    ),
    "tolerance": (
        "Tolerance",
        "How far a real part may be from the value printed on it, in per cent.",
    ),
    "trench": (
        "Trench",
        "The gap along the middle of a breadboard; nothing is joined across it.",
    ),
    "voltage": (
        "Voltage",
        "How strongly charge is pushed from one point to another; its unit is the volt (V). It is "
        "measured between two points.",
    ),
}
"""Key -> term and explanation."""
