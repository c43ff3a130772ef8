"""What can hurt of a mistake, and what to do."""

from __future__ import annotations

from buildalong.circuit import Circuit
from buildalong.mistakes._case import Case
from buildalong.mistakes._mistake import Mistake

__all__ = ["HOT_SUPPLY", "danger_of"]

HOT_SUPPLY = 1.0
"""A supply that gives so much [A] is told as shorted (our choice)."""
HEATS = ("overheats", "overcurrent", "supply-reversed", "output-overloaded")
"""Harms that make a part hot."""


def danger_of(mistake: Mistake, case: Case, circuit: Circuit) -> str:
    """The danger of a mistake, a key of DANGERS, "" for none.

    That a capacitor may burst is told where more than ageing comes of its reverse voltage, or where itself
    or the supply is put in wrongly: a small current the wrong way, let through by a slip elsewhere, only
    ages it.
    """
    if case.shorted >= HOT_SUPPLY:
        return "battery"
    family = {part.id: part.type.family for part in circuit.parts}
    own = {family.get(name) for name in mistake.subjects} & {"electrolytic", "supply"}
    for harm in case.harms:
        reverse = family.get(harm.part) == "electrolytic" and harm.code == "reverse-voltage"
        if reverse and (own or harm.grade != "ages"):
            return "burst"
    if any(harm.grade in ("hot", "dies") and harm.code in HEATS for harm in case.harms):
        return "heat"
    if any(harm.code == "supply-overloaded" and harm.grade == "hot" for harm in case.harms):
        return "battery"
    return ""
