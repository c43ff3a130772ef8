"""Random circuits for the placer: any parts, nets drawn at random; sense is not asked of them."""

from __future__ import annotations

import random
from collections.abc import Sequence

from _place_demo import part

from buildalong.circuit import Circuit

_TWO = ("resistor", "capacitor-ceramic", "electrolytic", "diode-1n4148", "led-red", "ldr-5mm")


def random_circuit(seed: int, most: int = 9) -> Circuit:
    """A circuit of a supply and up to ``most`` parts."""
    rng = random.Random(seed)
    nets = ["PLUS", "0V", *(f"N{k}" for k in range(rng.randint(1, 6)))]
    parts = [part("BT1", "supply-aa", ["PLUS", "0V"])]
    if rng.random() < 0.6:
        pins = [rng.choice([*nets, "-"]) for _ in range(8)]
        parts.append(part("U1", "timer-555", pins))
    if rng.random() < 0.4:
        parts.append(part("S1", "push-button", rng.sample(nets, 2)))
    for k in range(rng.randint(0, 2)):
        parts.append(part(f"Q{k + 1}", "npn-bc547", rng.sample(nets, 3)))
    while len(parts) <= rng.randint(2, most):
        parts.append(part(f"X{len(parts)}", rng.choice(_TWO), rng.sample(nets, 2)))
    return Circuit(tuple(parts))


def tiny_circuit(seed: int, kinds: Sequence[str]) -> Circuit:
    """Two parts of any of the kinds beside a chip (odd seeds) or a button, on four nets, with a supply."""
    rng = random.Random(seed)
    nets = ["PLUS", "0V", "N1", "N2"]
    parts = [part("BT1", "supply-aa", ["PLUS", "0V"])]
    if seed % 2:
        parts.append(part("U1", "timer-555", [rng.choice([*nets, "-"]) for _ in range(8)]))
    else:
        parts.append(part("S1", "push-button", rng.sample(nets, 2)))
    for k in range(2):
        kind = rng.choice(kinds)
        parts.append(part(f"X{k}", kind, rng.sample(nets, 3 if kind == "npn-bc547" else 2)))
    return Circuit(tuple(parts))
