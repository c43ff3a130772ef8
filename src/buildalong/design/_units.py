"""Dimensions of the few units that occur in circuit formulas.

A dimension is the exponents of volt, ampere, second and lux; the coherent unit of a product is
found from it.  Relations between the units: BIPM, SI Brochure, 9th edition, table 4 (from memory).
"""

from __future__ import annotations

__all__ = ["Dimension", "dimension", "unit_of"]

Dimension = tuple[int, int, int, int]

_DIMENSIONS: dict[str, Dimension] = {
    "": (0, 0, 0, 0), "V": (1, 0, 0, 0), "A": (0, 1, 0, 0), "s": (0, 0, 1, 0), "lx": (0, 0, 0, 1),
    "Ω": (1, -1, 0, 0), "S": (-1, 1, 0, 0), "F": (-1, 1, 1, 0), "H": (1, -1, 1, 0), "Hz": (0, 0, -1, 0),
    "W": (1, 1, 0, 0), "J": (1, 1, 1, 0),
}  # fmt: skip
_UNITS = {dim: unit for unit, dim in _DIMENSIONS.items()}


def dimension(unit: str) -> Dimension:
    """Give the exponents of volt, ampere, second and lux in a coherent unit; raises KeyError."""
    return _DIMENSIONS[unit]


def unit_of(dim: Dimension) -> str | None:
    """Name the coherent unit of a dimension, or None where the table has no name for it."""
    return _UNITS.get(dim)
