"""Bridges: two legs of switching parts between the rails, and the load between their middles."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from buildalong.circuit import Circuit, Part

__all__ = ["across", "is_bar", "legs"]


def is_bar(circuit: Circuit, part: Part, plus: str, ground: str) -> bool:
    """Whether a part of two leads lies between the middles of two legs: the bar of the H."""
    ends = {net for net in part.nets if net is not None}
    return len(part.nets) == len(ends) == 2 and all(all(_leg(circuit, net, plus, ground)) for net in ends)


def legs(circuit: Circuit, plus: str, ground: str) -> Iterator[tuple[str, int, str, str]]:
    """(bar, number of its lead, upper, lower switching part) of each leg of a bridge."""
    for part in circuit.parts:
        if is_bar(circuit, part, plus, ground):
            for lead, net in enumerate(part.nets):
                for upper, lower in product(*_leg(circuit, net or "", plus, ground)):
                    yield part.id, lead, upper, lower


def across(circuit: Circuit, plus: str, ground: str) -> Iterator[tuple[str, str]]:
    """(part, switching part) of a leg of a bridge that lie between the same two nets, such as its diode."""
    found = {part for _, _, *leg in legs(circuit, plus, ground) for part in leg}
    for part, name in product(circuit.parts, sorted(found)):
        if part.id not in found and len(part.nets) == 2 and set(part.nets) == _ends(circuit.by_id[name]):
            yield part.id, name


def _leg(circuit: Circuit, net: str, plus: str, ground: str) -> tuple[list[str], list[str]]:
    """The switching parts from a net to plus, and those from it to ground."""
    around = [p for p in circuit.parts if net in _ends(p) and net not in (plus, ground)]
    return [p.id for p in around if plus in _ends(p)], [p.id for p in around if ground in _ends(p)]


def _ends(part: Part) -> set[str | None]:
    """The nets that a transistor or a push-button joins when it is on; none for any other part."""
    if part.type.family == "button":
        return set(part.nets)
    if part.type.family == "transistor":
        return {part.net(t.name) for t in part.type.terminals if t.role != "base"}
    return set()
