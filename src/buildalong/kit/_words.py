"""What a kit says: the things that are no part of a circuit, and ways to do without a part."""

from __future__ import annotations

__all__ = ["BOARD", "CELL", "HOLDER", "TWO", "TWO_EQUAL", "WEAK", "WIRE"]

CELL = "Cell, {kind}"
HOLDER = "Holder for {count} × {kind}"
BOARD = "Solderless breadboard, {count} tie-points"
WIRE = "Wire for the board, solid core, 0.6 mm"
WEAK = "{value} {noun} for {rated}: a fresh supply gives {supply}"
TWO_EQUAL = {"in series": "two of {one} in series", "in parallel": "two of {one} in parallel"}
TWO = {"in series": "{one} in series with {other}", "in parallel": "{one} in parallel with {other}"}
