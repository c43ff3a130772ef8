"""The sizes of bodies, leads and wires on the grid on which proofs keep them apart: twentieths of a pitch.

Round bodies count as the squares around them, so what is found can be put down; where a circle would ask for
less than its square on the grid of holes, the square is smaller.
"""

from __future__ import annotations

import math

from buildalong.build.place._ground import LEAD_REACH, PITCH

__all__ = ["BENT", "BETWEEN", "DOME_MOST", "FINE", "LEAD", "ROUND", "WIRE", "fine", "square"]

FINE = 20
WIRE = 5
"""Half a wire, twentieths of a pitch."""
LEAD = 1
"""Half a lead, twentieths of a pitch: less than it is, as with all bodies here."""
BENT = round(LEAD_REACH * FINE)
"""How far a bent lead comes beyond its hole."""
DOME, DOME_ROWS, DOME_MOST = 20, 14, 23
"""Half the square that stands for a round body up to 23 against other bodies; half of it along the rows
against leads.  On the grid of holes both ask for no more than the circle does; larger ones get the square
inside the circle."""
BETWEEN = range(16, 19)
"""Radii of round bodies beside which a wire has room half a row away, but not in the middle."""
ROUND = ("buzzer", "can", "dome")


def fine(mm: float) -> int:
    """Twentieths of a pitch, rounded down."""
    return math.floor(mm / PITCH * FINE + 1e-6)


def square(radius: int) -> tuple[int, int]:
    """Half the square of a round body against bodies, and half its length along the rows against leads."""
    if radius <= DOME_MOST:
        return min(DOME, radius), min(DOME_ROWS, radius)
    inside = math.floor(radius / math.sqrt(2))
    return inside, inside
