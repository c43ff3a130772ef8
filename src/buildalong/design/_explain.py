"""Beside the formula: what the simulation of real parts gives, and why the two differ."""

from __future__ import annotations

from buildalong.design._entry import SheetEntry
from buildalong.quantity import format_quantity

__all__ = ["explain"]


def explain(entry: SheetEntry, measured: float) -> str:
    """Say what the simulation gives beside the ideal result, by how much it differs, and why.

    ``measured`` is in the unit of ``entry.result``.
    """
    ideal = entry.result
    off = 100.0 * (measured / ideal.value - 1.0)
    return (
        f"The formula gives {ideal}; the simulation of real parts gives "
        f"{format_quantity(measured, ideal.unit)}, {abs(off):.2g} % {'more' if off >= 0 else 'less'}."
    )
