"""Which currents are told at one moment, and how they are written."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from buildalong.circuit import Circuit, Part, Pin
from buildalong.drawing.schematic._layout import SchematicLayout
from buildalong.quantity import format_quantity

__all__ = ["amount", "amps", "branches_told"]

LEAST = 1e-6
"""The last digit of a current is never less than this [A], so that small ones at one node add up."""
FIGURES = 2
"""In how many figures a current is written."""
SUPPLY_ROLES = ("supply", "output", "open-output")
"""Of an IC, the pins whose current is worth a number."""


def amps(current: float) -> str:
    """A current [A] as it is written, without its sign: two figures, but nothing finer than ``LEAST``."""
    return format_quantity(amount(current), "A", FIGURES)


def amount(current: float) -> float:
    """The amount of a current [A] down to ``LEAST``: 0 where nothing is left."""
    return round(abs(current) / LEAST) * LEAST


def _at(currents: Mapping[tuple[str, str], float], pin: Pin) -> float:
    """The current [A] into a pin, 0 where it would be written as nothing."""
    return amount(currents.get((pin.part, pin.terminal), 0.0))


def branches_told(
    circuit: Circuit, layout: SchematicLayout, currents: Mapping[tuple[str, str], float]
) -> list[list[tuple[Part, str]]]:
    """The places where a current may be told, those that carry the same one together.

    A net with two ends only hands a current on, and what flows into one lead of two flows out of the other.
    """
    told = list(_worth_a_number(circuit, layout, currents))
    up: dict[str, str] = {}

    def root(name: str) -> str:
        while up.get(name, name) != name:
            name = up[name]
        return name

    for part in circuit.parts:
        if len(part.nets) == 2:
            up[root(f"{part.id}.{part.type.terminals[1].name}")] = root(
                f"{part.id}.{part.type.terminals[0].name}"
            )
    for pins in circuit.nets.values():
        if len(pins) == 2:
            one, other = (root(str(pin)) for pin in pins)
            if one != other:
                up[one] = other
    groups: dict[str, list[tuple[Part, str]]] = {}
    for part, terminal in told:
        groups.setdefault(root(f"{part.id}.{terminal}"), []).append((part, terminal))
    return list(groups.values())


def _worth_a_number(
    circuit: Circuit, layout: SchematicLayout, currents: Mapping[tuple[str, str], float]
) -> Iterator[tuple[Part, str]]:
    drawn = {symbol.part for symbol in layout.symbols}
    for part in circuit.parts:
        if part.id not in drawn or part.type.family == "supply":
            continue
        terminals = part.type.terminals
        if len(terminals) == 2:
            yield part, terminals[0].name
            continue
        chip = any(t.role == "supply" for t in terminals)
        for terminal in terminals:
            pin = Pin(part.id, terminal.name)
            wanted = terminal.role in SUPPLY_ROLES if chip else terminal.role != "emitter"
            if chip and part.net(terminal.name) is not None:
                idle = _among_chips(circuit, pin) and not _at(currents, pin)
                wanted = (wanted and not idle) or _missed(circuit, currents, pin)
            if part.net(terminal.name) is not None and wanted:
                yield part, terminal.name


def _among_chips(circuit: Circuit, pin: Pin) -> bool:
    """Whether a pin's net joins nothing but ICs: from an output to an input next to nothing flows."""
    net = circuit.by_id[pin.part].net(pin.terminal)
    parts = [circuit.by_id[other.part] for other in circuit.nets[net or ""]]
    return all(any(t.role == "supply" for t in part.type.terminals) for part in parts)


def _missed(circuit: Circuit, currents: Mapping[tuple[str, str], float], pin: Pin) -> bool:
    """Whether the other currents at an IC's input do not add up, as they are written, without its own."""
    net = circuit.by_id[pin.part].net(pin.terminal)
    if net in (circuit.plus, circuit.ground, None) or not _at(currents, pin):
        return False
    written = [
        math.copysign(float(f"{_at(currents, other):.{FIGURES - 1}e}"), currents[other.part, other.terminal])
        for other in circuit.nets[net]
        if other != pin and (other.part, other.terminal) in currents
    ]
    return abs(sum(written)) > LEAST / 2
