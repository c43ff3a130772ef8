"""What can be told of a circuit without simulating it, beside the checks of :mod:`buildalong.circuit`."""

from __future__ import annotations

from collections.abc import Iterator

from buildalong.circuit import Circuit, Part, netlist_check
from buildalong.finding import Finding, Severity
from buildalong.lesson._positions import Positions
from buildalong.lesson._where import located

__all__ = ["HOPELESS", "check_circuit"]

HOPELESS = frozenset({"supply-shorted", "supply-missing", "supply-twice", "part-twice", "circuit-too-large"})
"""Findings after which a simulation or a board would mean nothing."""


def check_circuit(circuit: Circuit, places: Positions) -> list[Finding]:
    """Check a circuit as drawn; every finding has its place in the lesson's facts."""
    found = netlist_check(circuit)
    if not any(finding.code in HOPELESS for finding in found):
        found += _contacts(circuit)
    found += _letters(circuit)
    return located(found, circuit, places)


def _contacts(circuit: Circuit) -> Iterator[Finding]:
    """Contacts that join plus and minus, always or when they close."""
    rails = {circuit.plus, circuit.ground}
    for part in circuit.parts:
        if part is circuit.supply:
            continue
        inside = [{part.net(one), part.net(other)} for one, other in part.type.internal_links]
        if rails in inside:
            message = f"{part.id} joins {circuit.plus} and {circuit.ground} inside: a short across the supply"
        elif _closing(part, rails):
            message = (
                f"{part.id}, when closed, joins {circuit.plus} and {circuit.ground}: a short of the supply"
            )
        else:
            continue
        hint = "put a resistor in its way, or its terminals on other nets"
        yield Finding(Severity.ERROR, "short-across-supply", message, hint, about=(part.id, "pins"))


def _closing(part: Part, rails: set[str]) -> bool:
    if part.type.family == "button":
        return set(part.nets) == rails
    if part.type.family == "switch":
        return any({part.net("C"), part.net(end)} == rails for end in ("A", "B"))
    return False


def _letters(circuit: Circuit) -> Iterator[Finding]:
    for part in circuit.parts:
        letters = part.id.rstrip("0123456789abcdefghijklmnopqrstuvwxyz")
        if part.type.family != "supply" and letters and letters != part.type.letter:
            yield Finding(
                Severity.NOTE,
                "part-letter",
                f"{part.id} is a {part.type.noun}; by custom its name starts with {part.type.letter}",
                f"for example {part.type.letter}{part.id[len(letters) :] or '1'}",
                about=(part.id,),
            )
