"""What two bodies count for by how near they stand."""

from __future__ import annotations

import math

from buildalong.build.place._ground import Box, gap

__all__ = ["DARK", "FINGER", "HANDLED", "LIGHTS", "NEAR", "SENSORS", "near_terms"]

NEAR = 0.5
"""Bodies nearer than this look crowded, pitches."""
FINGER = 1.2
"""Room that a fingertip needs beside what it presses or turns, pitches (common practice: 3 mm)."""
DARK = 8.0
"""Pitches between a lamp and a sensor of light from which its light no longer rules it (common practice)."""
HANDLED = ("button", "potentiometer", "switch")
"""Families that fingers press, slide or turn."""
LIGHTS = ("led",)
"""Families that give light."""
SENSORS = ("ldr",)
"""Families that sense light."""


def near_terms(a: Box, b: Box, family: str, other: str) -> dict[str, float]:
    """What two bodies of parts of these families count for by their distance."""
    away, both = gap(a, b), (family, other)
    handled = any(one in HANDLED for one in both)
    found = {"crowded": float(away < NEAR), "fingers": float(handled and away < FINGER)}
    if any(one in LIGHTS for one in both) and any(one in SENSORS for one in both):
        middles = math.hypot(a.x0 + a.x1 - b.x0 - b.x1, a.y0 + a.y1 - b.y0 - b.y1) / 2
        found["own light"] = max(0.0, DARK - middles)
    return found
