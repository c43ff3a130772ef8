"""Soon after the supply came on: small capacitors have filled, the large ones have hardly begun."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from buildalong.engine import Run
from buildalong.story._beats import INSTANT

__all__ = ["settled"]

LATEST = 0.002
"""Levels at the start are read within this share of the run; our choice."""
STEPS = 60
"""So many times at equal ratios are compared."""
HARDLY = 1e-3
"""Movements smaller than this [V] are alike."""
ALIKE = 0.03
"""Levels that differ by less than this [V] read alike, to a tenth of a volt; our choice."""


def settled(run: Run, nets: Iterable[str], latest: float = np.inf) -> float:
    """When nets are read as they start [s]: the first moment at which all are as when they move least.

    Over times at equal ratios a charge is one short step, however large the capacitor; between a small one's
    and a large one's nothing moves.  The moment is no later than ``latest`` [s].
    """
    end = min(latest, LATEST * float(run.times[-1]))
    known = [net for net in nets if net in run.nets]
    if end <= INSTANT or not known:
        return end
    times = np.geomspace(INSTANT, end, STEPS)
    curves = np.array([np.interp(times, run.times, run.voltage(net)) for net in known])
    moved = np.abs(np.diff(curves)).max(axis=0)
    quiet = int(np.flatnonzero(moved <= max(float(moved.min()), HARDLY))[-1]) + 1
    apart = np.abs(curves[:, : quiet + 1] - curves[:, quiet : quiet + 1]).max(axis=0) >= ALIKE
    return float(times[int(np.flatnonzero(apart)[-1]) + 1 if apart.any() else 0])
