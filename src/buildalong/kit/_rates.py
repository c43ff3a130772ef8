"""How many parts of a kind beginners lose or break.

Our judgement, not data: a class may state its own.  A part is counted by its family.
"""

from __future__ import annotations

__all__ = ["BREAKAGE", "breakage_of"]

BREAKAGE = {
    "transistor": 0.10,
    "led": 0.10,
    "timer": 0.05,
    "comparator": 0.05,
    "counter": 0.05,
    "resistor": 0.05,
    "diode": 0.05,
    "capacitor": 0.05,
    "electrolytic": 0.05,
    "ldr": 0.05,
    "button": 0.05,
    "wire": 0.10,
    "supply": 0.0,
    "board": 0.0,
    "holder": 0.0,
}
"""Share of spares by family; 5 % where a family is not named.  Our choice."""


def breakage_of(family: str) -> float:
    """The share of spares of a family."""
    return BREAKAGE.get(family, 0.05)
