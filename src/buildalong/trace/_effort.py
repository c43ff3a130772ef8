"""What each kind of reading costs a learner; one table."""

from __future__ import annotations

__all__ = ["EFFORT", "RISK"]

EFFORT: dict[str, float] = {
    "look": 1.0,
    "press": 1.0,
    "feel": 0.5,
    "volts": 1.5,
    "continuity": 2.0,
}
"""Effort of one reading by its kind: OUR JUDGEMENT, not data.

A look compares one part or wire with its step; a press moves one part while the circuit runs; volts need
two probes in two holes while it runs; continuity needs the supply off besides, and on again afterwards.
"""
RISK = 1.0
"""Effort added to a reading under power while a part that may get hot or burst is not ruled out."""
