"""Random building mistakes, seeded: moved leads, shorts, reversals, omissions, swaps, wrong decades."""

from __future__ import annotations

import random
from dataclasses import replace

from buildalong.circuit import Circuit


def miswired(circuit, seed):
    """The circuit with one to three mistakes; the same seed gives the same mistakes."""
    rng = random.Random(seed)
    for _ in range(rng.choice((1, 1, 2, 3))):
        circuit = _once(circuit, rng)
    return circuit


def _once(circuit, rng):
    nets = list(circuit.nets)
    part = rng.choice(circuit.parts)
    kind = rng.choice(
        ("move", "move", "open", "short", "reverse", "omit", "decade", "same", "swap", "rotate")
    )
    if kind == "short" and len(nets) > 1:
        a, b = rng.sample(nets, 2)
        return circuit.renamed({a: b})
    if kind == "omit" and part.type.family != "supply":
        return circuit.without(part.id)
    pins = list(part.nets)
    where = rng.randrange(len(pins))
    if kind == "move":
        pins[where] = rng.choice(nets)
    elif kind == "open":
        pins[where] = None
    elif kind == "reverse":
        pins.reverse()
    elif kind == "same":
        pins = [pins[where]] * len(pins) if len(pins) == 2 else pins[1:] + pins[:1]
    elif kind == "rotate":
        half = len(pins) // 2
        pins = pins[half:] + pins[:half]
    elif kind == "swap":
        other = rng.choice(circuit.parts)
        if len(other.nets) == len(pins) and other.id != part.id:
            swapped = replace(other, nets=part.nets)
            return circuit.with_part(replace(part, nets=other.nets)).with_part(swapped)
    elif kind == "decade" and part.value is not None:
        return circuit.with_part(replace(part, value=part.value * rng.choice((1e-3, 0.1, 10, 1e3))))
    return circuit.with_part(replace(part, nets=tuple(pins)))


__all__ = ["Circuit", "miswired"]
