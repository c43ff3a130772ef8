"""Samples of everything that differs, spread evenly over all factors at once."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from buildalong.engine import Variation
from buildalong.spread._factors import Factor, Floats

__all__ = ["even", "variation", "variations"]


def even(count: int, factors: int, seed: int) -> Floats:
    """A Latin hypercube: (count, factors) numbers in 0..1, each column once in every ``1/count``.

    McKay, Beckman and Conover, Technometrics 21 (1979) 239.  Equal arguments give equal numbers.
    """
    rng = np.random.Generator(np.random.PCG64(seed))
    columns = [(rng.permutation(count) + rng.random(count)) / count for _ in range(factors)]
    return np.stack(columns, axis=1) if columns else np.zeros((count, 0))


def variation(factors: Sequence[Factor], values: Sequence[float]) -> Variation:
    """The variation of a circuit in which each factor has its value."""
    changes = tuple(((f.part, f.name), float(v)) for f, v in zip(factors, values, strict=True) if f.part)
    warm = [float(v) for f, v in zip(factors, values, strict=True) if not f.part]
    return Variation(changes, temperature=warm[0]) if warm else Variation(changes)


def variations(factors: Sequence[Factor], u: Floats) -> list[Variation]:
    """One variation for each row of ``u`` (count, factors)."""
    columns = [factor.at(u[:, i]) for i, factor in enumerate(factors)]
    return [variation(factors, [column[row] for column in columns]) for row in range(len(u))]
