"""Write docs/formulas.md: every known shape, how it is recognised, its formulas and their sources."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from buildalong.circuit import Circuit, Part
from buildalong.design import KINDS, SheetEntry, recognise, sheet, text
from buildalong.design._words import SHAPES
from buildalong.parts import catalogue
from buildalong.quantity import parse_as

PAGE = Path(__file__).parents[1] / "docs" / "formulas.md"

INTRODUCTION = """\
# Shapes and formulas

This page is made by `tools/formulas_reference.py` from the formulas themselves; change those, not the
page. Shapes are recognised from the graph of a circuit: which part joins which nets. Names of parts
and nets play no part in it, and neither does the order in which a lesson lists them.

* Resistors in series and in parallel count as one resistance, as long as nothing else touches the
  nets between them. Capacitors side by side count as one. A potentiometer counts with the part of its
  track that is in use. A slide switch in a supply lead is looked through.
* ∥ means in parallel: R1 ∥ R2 = R1 · R2 / (R1 + R2). ln 2 = 0.693147… and ln 3 = 1.098612… are exact
  constants; data sheets and books print 0.693, 1.44 (for 1/ln 2 = 1.442695…) and 1.1.
* *What real parts change* is worked out with figures from the models of the parts in the catalogue,
  effect by effect: each formula keeps the effects of those before it. The formula sheet of a lesson
  puts the simulated value beside it.
* Symbols are those of the example circuit; V_S is the voltage of the supply.
"""

EXAMPLES: dict[str, tuple[str, str]] = {
    "astable": (
        "A timer across the supply whose threshold and trigger share a net; a capacitor from there to 0 V, "
        "a resistance from the supply to the discharge pin and one from the discharge pin to that net.",
        """
        U1 timer-555 0V CAP OUT PLUS - CAP DIS PLUS
        R1 resistor 10k PLUS DIS
        R2 resistor 68k DIS CAP
        C1 capacitor-film 1µF CAP 0V
        """,
    ),
    "astable-steered": (
        "As the astable, with one diode that leads the charging current past the lower resistance, or with "
        "two diodes that give filling and emptying a path each; the directions of the diodes count.",
        """
        U1 timer-555 0V CAP OUT PLUS - CAP DIS PLUS
        R1 resistor 56k PLUS DIS
        R2 resistor 270k DIS LOW
        D1 diode-1n4148 DIS CAP
        D2 diode-1n4148 CAP LOW
        C1 electrolytic 10µF CAP 0V
        """,
    ),
    "astable-output": (
        "A timer whose threshold and trigger share a net with a capacitor to 0 V, and a resistance from its "
        "output to that net; the discharge pin has no part in it.",
        """
        U1 timer-555 0V CAP OUT PLUS - CAP - PLUS
        R1 resistor 100k OUT CAP
        C1 capacitor-film 1µF CAP 0V
        """,
    ),
    "one-shot": (
        "A timer whose threshold and discharge share a net, with a capacitor to 0 V and a resistance to the "
        "supply; the trigger has a net of its own.",
        """
        U1 timer-555 0V TRIG OUT PLUS - CAP CAP PLUS
        R1 resistor 100k PLUS CAP
        C1 electrolytic 100µF CAP 0V
        """,
    ),
    "latch": (
        "A timer with a button from its trigger to 0 V and another from its reset to 0 V (or from its "
        "threshold to the supply), and a threshold that nothing else drives.",
        "",
    ),
    "transistor-astable": (
        "Two transistors of one polarity with their emitters on a rail, a capacitor from each collector to "
        "the other base, a resistance from the other rail to each base, and a load in each collector.",
        """
        Q1 npn-bc547 COL1 BASE1 0V
        Q2 npn-bc547 COL2 BASE2 0V
        DS1 led-red PLUS L1
        R1 resistor 330 L1 COL1
        DS2 led-red PLUS L2
        R4 resistor 330 L2 COL2
        R2 resistor 33k PLUS BASE2
        R3 resistor 33k PLUS BASE1
        C1 electrolytic 22µF COL1 BASE2
        C2 electrolytic 22µF COL2 BASE1
        """,
    ),
    "transistor-switch": (
        "A transistor with its emitter on a rail, a load from its collector to the other rail, and a "
        "resistance into its base.",
        """
        Q1 npn-bc547 COL BASE 0V
        R1 resistor 10k PLUS BASE
        R2 resistor 1k PLUS COL
        """,
    ),
    "freewheel": ("A diode from the collector of a switching transistor to the far rail, blocking.", ""),
    "led": (
        "A LED, or several in a row, with a resistor on either side; from the supply, an output, a "
        "collector or an open collector to another of them.",
        """
        U1 timer-555 0V TRIG OUT PLUS - 0V - PLUS
        R1 resistor 330 OUT A
        DS1 led-yellow A 0V
        """,
    ),
    "led-shared": (
        "Several LEDs whose equal ends meet in a net with one resistor and nothing else.",
        """
        DS1 led-red PLUS A
        DS2 led-red PLUS A
        R1 resistor 330 A 0V
        """,
    ),
    "led-bare": ("A LED without a resistor in its path.", ""),
    "counter-chain": (
        "A decade counter whose clock is the output of an astable; an output tied to its reset shortens "
        "the round.",
        """
        U1 timer-555 0V CAP CLK PLUS - CAP DIS PLUS
        R1 resistor 10k PLUS DIS
        R2 resistor 68k DIS CAP
        C1 capacitor-film 1µF CAP 0V
        U2 counter-4017 Q5 Q1 Q0 Q2 Q6 Q7 Q3 0V Q8 Q4 Q9 - 0V CLK 0V PLUS
        """,
    ),
    "counter": ("A decade counter clocked by something else.", ""),
    "comparator": ("A comparator with both inputs and its output connected.", ""),
    "comparator-hysteresis": (
        "A comparator with a resistance from its output to its plus input.",
        """
        U1 comparator-lm393 OUT LIGHT REF 0V 0V 0V - PLUS
        R1 resistor 10k PLUS LIGHT
        R2 ldr-5mm LIGHT 0V
        R3 resistor 10k PLUS REF
        R4 resistor 10k REF 0V
        R5 resistor 100k OUT REF
        R6 resistor 330 PLUS A
        DS1 led-yellow A OUT
        """,
    ),
    "divider": (
        "A net with a resistance to the supply and one to 0 V, and no capacitor or base on it; further "
        "resistors to a rail count as its load.",
        """
        R1 resistor 10k PLUS TAP
        R2 resistor 10k TAP 0V
        U1 comparator-lm393 OUT TAP IN 0V 0V 0V - PLUS
        """,
    ),
    "light-divider": ("A divider one of whose resistances is a light-dependent resistor.", ""),
    "rc": (
        "A net with a resistance to one rail and a capacitor to the other, and no part in a timing shape.",
        """
        R1 resistor 10k PLUS IN
        C1 capacitor-film 1µF IN 0V
        U1 comparator-lm393 OUT IN REF 0V 0V 0V - PLUS
        """,
    ),
    "pull-up": (
        "A net with a resistance to the supply and a button to 0 V.",
        """
        R1 resistor 10k PLUS IN
        S1 push-button IN 0V
        C1 capacitor-film 1µF IN 0V
        """,
    ),
    "pull-down": (
        "A net with a resistance to 0 V and a button to the supply; formulas as for the pull-up.",
        "",
    ),
    "decoupling": ("A capacitor across the supply.", ""),
    "control-bypass": ("A capacitor from a timer's control pin to 0 V.", ""),
    "resistors": (
        "Resistors that lie across the supply and act as one.",
        """
        R1 resistor 10 PLUS A
        R2 resistor 20 A 0V
        """,
    ),
    "supply": ("The supply.", ""),
    "power-switch": ("A slide switch alone in a lead of the supply.", ""),
}
"""For each kind: how it is recognised, and a small circuit that shows its formulas ("" where it has none)."""


def made(lines: str) -> Circuit:
    """The circuit of an example, on 5 V between PLUS and 0V."""
    parts = [Part("BT1", catalogue()["supply-usb"], ("PLUS", "0V"))]
    for line in filter(None, (raw.strip() for raw in lines.splitlines())):
        identity, kind, *rest = line.split()
        found = catalogue()[kind]
        value = None
        if found.value is not None and len(rest) > len(found.terminals):
            value = parse_as(rest.pop(0), found.value.unit)
        nets = tuple(None if net == "-" else net for net in rest)
        parts.append(Part(identity, found, nets, value))
    return Circuit(tuple(parts))


def page() -> str:
    """The whole page as Markdown."""
    lines = [INTRODUCTION]
    for kind in KINDS:
        lines += _section(kind)
    return "\n".join(lines).rstrip() + "\n"


def _section(kind: str) -> Iterator[str]:
    found_by, circuit = EXAMPLES[kind]
    shape = None
    if circuit:
        shape = next(s for s in recognise(made(circuit)) if s.kind == kind)
    yield f"## {SHAPES[kind][0]}"
    yield ""
    yield f"`{kind}`. {found_by}"
    yield ""
    if shape is None:
        return
    yield f"In the example: {shape.does}"
    yield ""
    for entry in sheet(made(circuit)):
        if entry.shape.kind == kind:
            yield from _entry(entry)


def _entry(entry: SheetEntry) -> Iterator[str]:
    yield f"* **{entry.title}**: {entry.formula.result.name} = {text(entry.formula.expr)}"
    for correction in entry.corrections:
        cause = correction.cause[0].upper() + correction.cause[1:]
        written = f"{entry.formula.result.name} = {text(correction.formula.expr)}"
        yield f"    * What real parts change: {cause}: {written}"
    if entry.note:
        yield f"    * Note: {entry.note}."
    yield f"    * Measure beside it: {_measure(entry)}. Source: {entry.source}."
    yield ""


def _measure(entry: SheetEntry) -> str:
    return f"`{entry.measure[0]}({', '.join(entry.measure[1:])})`" if entry.measure else "none"


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
    print(f"wrote {PAGE}")
