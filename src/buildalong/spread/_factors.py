"""What differs from one build to the next: part values, figures of the models, temperature, supply.

How often a value occurs is seldom published, so a value is taken as equally likely anywhere within its
tolerance, and a figure of a data sheet as most likely at its typical value, falling in straight lines to
its limits (a triangle); both are our choice, on the side of wide spreads.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Factor", "Floats", "Surroundings"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Surroundings:
    """Where and with what the circuit runs: ambient temperature [°C] and state of the supply.

    ``supply`` is the range between spent (0) and fresh (1); None leaves the supply at its nominal voltage.
    """

    temperature: tuple[float, float] = (25.0, 25.0)
    supply: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Factor:
    """One number that differs: ``part`` and ``name`` as in an engine Variation, from ``low`` to ``high``.

    ``usual`` is the most likely value, None where all are equally likely.  Temperature has no part.
    ``source`` says where the limits of a figure are from.
    """

    part: str
    name: str
    low: float
    high: float
    usual: float | None = None
    source: str = ""

    def at(self, u: Floats) -> Floats:
        """The values below which a share ``u`` (0..1) of all lie."""
        low, high, top = self.low, self.high, self.usual
        if top is None or not low <= top <= high or high <= low:
            return low + u * (high - low)
        knee = (top - low) / (high - low)
        with np.errstate(invalid="ignore"):
            rising = low + np.sqrt(u * (high - low) * (top - low))
            falling = high - np.sqrt((1.0 - u) * (high - low) * (high - top))
        return np.where(u < knee, rising, falling)
