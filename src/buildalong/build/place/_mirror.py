"""Swaps of parts that leave a circuit as it is: of two layouts that differ by one, a proof needs one only."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from buildalong.circuit import Circuit, Part

__all__ = ["swapped"]

TRIES = 2000
"""Steps of looking for a swap at most."""


def swapped(circuit: Circuit) -> dict[str, str]:
    """A swap of parts of the same type that maps the circuit onto itself: the part in whose place each goes.

    Of the first two stiff parts that can change places; what straddles the trench and both poles of the
    supply stay.  Empty where there is none.  Values are not looked at: they take no room.
    """
    stiff = [p for p in circuit.parts if p.type.body.kind == "rigid" and not p.type.body.straddles]
    stay = {net: net for p in circuit.parts if p.type.family == "supply" for net in p.nets if net}
    for n, one in enumerate(stiff):
        for other in stiff[n + 1 :]:
            steps = iter(range(TRIES))
            first = _with(one, other, {}, stay)
            if first is not None:
                found = _finished(circuit, *first, steps)
                if found:
                    return found
    return {}


def _finished(
    circuit: Circuit, parts: dict[str, str], nets: dict[str, str], steps: Iterator[int]
) -> dict[str, str]:
    """Parts swapped with partners, the one with most nets known first, until none is left."""
    if next(steps, None) is None:
        return {}
    left = [p for p in circuit.parts if p.id not in parts]
    if not left:
        return parts
    part = max(left, key=lambda p: sum(net in nets for net in p.nets))
    for other in left:
        more = _with(part, other, parts, nets)
        if more is not None:
            found = _finished(circuit, *more, steps)
            if found:
                return found
    return {}


def _with(
    one: Part, other: Part, parts: Mapping[str, str], nets: Mapping[str, str]
) -> tuple[dict[str, str], dict[str, str]] | None:
    """The swap with two parts more; None where their types or their nets forbid it."""
    if one.type != other.type or (one is not other and one.type.body.straddles):
        return None
    all_nets = dict(nets)
    for a, b in zip(one.nets, other.nets, strict=True):
        if (a is None) != (b is None):
            return None
        if a is None or b is None:
            continue
        if all_nets.setdefault(a, b) != b or all_nets.setdefault(b, a) != a:
            return None
    return {**parts, one.id: other.id, other.id: one.id}, all_nets
