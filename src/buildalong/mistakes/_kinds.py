"""The kinds of mistakes, how often we think they happen, and how each is proved and mended.

The weights are OUR JUDGEMENT, not data: no study with usable rates for each kind was found.  Studies of
beginners support the kinds (hidden connections of the board: DesPortes et al., IDC 2016; both leads at
one end of a resistor: Karplus 2016; wiring as the main class of fatal faults: Booth et al., CHI 2016).
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["KINDS", "Kind"]


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind: ``weight`` of each single mistake of it, and the words for what proves and mends it."""

    title: str
    weight: float
    proof: str
    cure: str


_LEAD = "Take the lead out and put it into its own hole."
KINDS: dict[str, Kind] = {
    "lead-one-off": Kind("lead one row off", 8, "Compare its holes with the step.", _LEAD),
    "lead-two-off": Kind("lead two rows off", 2, "Compare its holes with the step.", _LEAD),
    "lead-across": Kind("lead across the trench", 3, "See on which side of the trench it is.", _LEAD),
    "one-strip": Kind("both leads in one strip", 4, "See whether its leads stand in two rows.", _LEAD),
    "part-omitted": Kind("part left out", 4, "Look for the part on the board.", "Put it in."),
    "wire-omitted": Kind("wire left out", 6, "Look for the wire on the board.", "Put it in."),
    "wire-one-off": Kind("wire end one row off", 8, "Compare its holes with the step.", _LEAD),
    "wire-across": Kind("wire end across the trench", 3, "See on which side it is.", _LEAD),
    "wrong-rail": Kind("lead in the other rail", 5, "Follow it to the rail.", _LEAD),
    "part-reversed": Kind("part the wrong way round", 8, "Look for its mark.", "Turn it round."),
    "leg-order": Kind("transistor legs in another order", 5, "Compare its flat face with the step.",
                      "Put its legs in the order of the step."),
    "chip-turned": Kind("chip turned round", 5, "Look for the notch and the dot.",
                        "Take the supply off, lift it out and turn it."),
    "rows-off": Kind("part one row off", 4, "Compare its first row with the step.",
                     "Take the supply off, lift it out and move it."),
    "button-turned": Kind("button turned by a quarter", 4, "See which way its legs point.",
                          "Lift it out and turn it by a quarter."),
    "wrong-decade": Kind("value of another decade", 4, "Read its bands or its print.",
                         "Take the right value."),
    "read-backwards": Kind("bands read backwards", 2, "Read its bands from the other end.",
                           "Take the right value."),
    "code-misread": Kind("capacitor code misread", 3, "Read its code.", "Take the right value."),
    "swapped": Kind("two parts exchanged", 3, "Read the values of both.", "Exchange them."),
    "wrong-colour": Kind("light of another colour", 1, "See its colour when lit.", "Take the right colour."),
    "rail-split": Kind("rail not joined in its middle", 3, "Look for a gap in the rail's line.",
                       "Bridge the gap with a wire."),
    "supply-reversed": Kind("supply reversed", 4, "Follow both leads of the supply.",
                            "Take it off at once and exchange its leads."),
    "weak-battery": Kind("spent battery", 5, "Measure it while the circuit runs.", "Take a fresh one."),
    "loose-contact": Kind("loose contact", 3, "Press it gently while you watch.",
                          "Push the lead in, or use another hole of the strip."),
    "own": Kind("the author's own", 5, "Compare it with the step.", "Follow the step again."),
}  # fmt: skip
"""Every kind by name."""
