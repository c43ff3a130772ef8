"""Which parts made one build what it is: how far each moves a measure from that of the circuit as drawn."""

from __future__ import annotations

import numpy as np

from buildalong.circuit import Circuit
from buildalong.spread._factors import Factor, Floats
from buildalong.spread._spread import Outcome, Spread

__all__ = ["pushes"]


def pushes(found: Spread, outcome: Outcome) -> dict[str, Floats]:
    """By part, for each build (samples,): how much more or less it makes the measure, in its unit.

    Parts that explain some of the variance, most first ("temperature" among them).  A parabola in each of
    their factors is fitted to all builds at once (least squares), so what two parts do only together is in
    none of them.  Temperature and supply have no drawn value: theirs is the middle of their range.
    """
    names = [name for name, share in outcome.shares.items() if share > 0.0]
    happened = np.isfinite(outcome.values)
    columns: list[Floats] = []
    owners: list[str] = []
    for factor, place in zip(found.factors, found.places.T, strict=True):
        owner = factor.part or "temperature"
        if owner in names:
            away = (factor.at(place) - _drawn(factor, found.circuit)) / (factor.high - factor.low)
            columns += [away, away**2]
            owners += [owner, owner]
    if not columns or happened.sum() <= len(columns):
        return {}
    moved = np.stack(columns, axis=1)
    known = np.column_stack([np.ones(int(happened.sum())), moved[happened]])
    slopes = np.linalg.lstsq(known, outcome.values[happened], rcond=None)[0][1:]
    each = moved * slopes
    return {name: each[:, [owner == name for owner in owners]].sum(axis=1) for name in names}


def _drawn(factor: Factor, circuit: Circuit) -> float:
    """The value of a factor in the circuit as drawn."""
    if factor.usual is not None:
        return factor.usual
    part = circuit.by_id.get(factor.part)
    if factor.name == "value" and part is not None and part.value is not None:
        return part.value
    return (factor.low + factor.high) / 2
