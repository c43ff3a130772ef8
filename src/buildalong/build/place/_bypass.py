"""Capacitors across the supply, and how near an IC they stand, which they are for (common practice)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from buildalong.circuit import Circuit, Part

__all__ = ["bypasses", "rows_astray"]

Point = tuple[float, float]
BESIDE = 2.0
"""Rows from a supply pin within which a capacitor is near it."""
POWER = ("supply", "ground")
"""Roles of the pins that feed an IC."""


def bypasses(circuit: Circuit) -> Iterator[Part]:
    """The capacitors without polarity that lie across the supply; the large ones with it only hold energy."""
    poles = {part.nets for part in circuit.parts if part.type.family == "supply" and len(part.nets) == 2}
    for part in circuit.parts:
        across = part.nets in poles or part.nets[::-1] in poles
        if part.type.family == "capacitor" and not part.type.polarised and across:
            yield part


def rows_astray(circuit: Circuit, legs: Mapping[str, Sequence[Point]]) -> float:
    """Rows between each such capacitor and the nearest pin that feeds an IC, beyond two; legs in pitches."""
    fed = [
        legs[part.id][pin][1]
        for part in circuit.parts
        if part.type.body.straddles and part.id in legs
        for pin, name in enumerate(part.type.leg_terminals)
        if part.type.terminal(name).role in POWER and pin < len(legs[part.id])
    ]
    if not fed:
        return 0.0
    standing = [legs[part.id] for part in bypasses(circuit) if legs.get(part.id)]
    return sum(max(0.0, min(abs(y - row) for _, y in points for row in fed) - BESIDE) for points in standing)
