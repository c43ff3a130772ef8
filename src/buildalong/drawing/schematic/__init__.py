"""The schematic, drawn by itself from the circuit, and read back from its own lines and dots."""

from __future__ import annotations

from collections.abc import Collection

from buildalong.circuit import Circuit
from buildalong.drawing._picture import Picture
from buildalong.drawing.schematic._check import check
from buildalong.drawing.schematic._draw import picture_of
from buildalong.drawing.schematic._layout import SchematicLayout, Statistics, statistics
from buildalong.drawing.schematic._place import draw_layout
from buildalong.drawing.schematic._readback import read_back

__all__ = [
    "SchematicLayout", "Statistics", "check", "draw_layout", "picture", "read_back", "schematic",
    "statistics",
]  # fmt: skip


def schematic(
    circuit: Circuit,
    *,
    standard: str = "iec",
    highlight: Collection[str] = (),
    effort: float = 1.0,
    seed: int = 0,
) -> Picture:
    """Draw a circuit's schematic.

    ``standard`` chooses the symbols: "iec" (IEC 60617) or "ieee" (IEEE 315); ``highlight`` names
    parts to show in the accent colour; ``effort`` multiplies the work of the search.  The same
    arguments give the same bytes.  Raises ValueError for another standard.
    """
    return picture(
        circuit, draw_layout(circuit, standard=standard, effort=effort, seed=seed), standard, highlight
    )


def picture(
    circuit: Circuit, layout: SchematicLayout, standard: str = "iec", highlight: Collection[str] = ()
) -> Picture:
    """Draw a layout that was made before (a layout serves any number of pictures)."""
    return picture_of(circuit, layout, standard, highlight, "Schematic")
