"""A measurement beside the prediction: inside the spread or not, and what would explain it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from buildalong.circuit import Circuit
from buildalong.engine import Trial, Variation
from buildalong.quantity import parse_as
from buildalong.spread import Outcome, Target, measured

__all__ = ["Comparison", "Explanation", "compare"]

_STEP = 0.02
_TURNS = 12


@dataclass(frozen=True, slots=True)
class Explanation:
    """One part whose value alone would explain the measurement.

    ``value`` [coherent unit] in place of ``nominal``; ``off`` is the difference as a share; ``within``
    says whether the part's tolerance allows it.
    """

    part: str
    nominal: float
    value: float
    off: float
    within: bool


@dataclass(frozen=True)
class Comparison:
    """What was measured beside what was predicted.

    ``predicted`` is that of the nominal circuit; 95 % of all builds lie between ``low`` and ``high``, and
    ``below`` is the share of builds below the measured value.  ``inside`` says whether it lies within the
    worst cases.  ``explanations`` begin with the part that has to be off least against its tolerance.
    """

    target: Target
    value: float
    predicted: float
    low: float
    high: float
    below: float
    inside: bool
    explanations: tuple[Explanation, ...]


def compare(circuit: Circuit, trials: Sequence[Trial], outcome: Outcome, value: float) -> Comparison:
    """Compare a measured value with the spread of its target in this circuit.

    Raises ValueError for a value that is no finite number.
    """
    if not math.isfinite(value):
        raise ValueError("a measurement is a finite number")
    good = outcome.values[np.isfinite(outcome.values)]
    below = float(np.mean(good < value)) if len(good) else math.nan
    least, most = sorted((outcome.least.value, outcome.most.value))
    return Comparison(
        target=outcome.target,
        value=value,
        predicted=outcome.nominal,
        low=outcome.low,
        high=outcome.high,
        below=below,
        inside=bool(least <= value <= most),
        explanations=_explained(circuit, trials, outcome.target, outcome.nominal, value),
    )


def _explained(
    circuit: Circuit, trials: Sequence[Trial], target: Target, nominal: float, value: float
) -> tuple[Explanation, ...]:
    """For each part with a value, that which makes the simulated circuit show what was measured."""
    parts = [p for p in circuit.parts if p.value is not None and p.type.value is not None]
    changed = [Variation((((p.id, "value"), _known(p.value) * (1.0 + _STEP)),)) for p in parts]
    moved = measured(circuit, trials, [target], changed)[:, 0] if parts else np.zeros(0)
    out: list[tuple[float, Explanation]] = []
    for part, other in zip(parts, moved, strict=True):
        rule = part.type.value
        slope = (other - nominal) / _STEP
        if rule is None or not math.isfinite(other) or abs(slope) < 0.02 * abs(nominal):
            continue
        found = _solved(circuit, trials, target, part.id, _known(part.value), nominal, value, slope)
        if found is None:
            continue
        tolerance = part.tolerance if part.tolerance is not None else parse_as(rule.tolerance, "")
        off = found / _known(part.value) - 1.0
        least, most = (parse_as(text, rule.unit) for text in (rule.least, rule.most))
        if least / 10 <= found <= most * 10:
            made = Explanation(part.id, _known(part.value), found, off, abs(off) <= tolerance * (1 + 1e-6))
            out.append((abs(off) / tolerance if tolerance else math.inf, made))
    return tuple(made for _, made in sorted(out, key=lambda entry: (entry[0], entry[1].part)))


def _known(value: float | None) -> float:
    return math.nan if value is None else value


def _solved(
    circuit: Circuit,
    trials: Sequence[Trial],
    target: Target,
    part: str,
    start: float,
    nominal: float,
    value: float,
    slope: float,
) -> float | None:
    """Find by secants on logarithmic scales the part value with which the target is as measured."""
    if nominal <= 0.0 or value <= 0.0:
        return None
    x0, y0 = 0.0, math.log(nominal / value)
    x1 = -y0 / (slope / nominal)
    for _ in range(_TURNS):
        x1 = min(max(x1, -5.0), 5.0)
        variation = Variation((((part, "value"), start * math.exp(x1)),))
        seen = float(measured(circuit, trials, [target], [variation])[0, 0])
        if not seen > 0.0:
            return None
        y1 = math.log(seen / value)
        if abs(y1) < 1e-4:
            return start * math.exp(x1)
        if y1 == y0:
            return None
        x0, x1, y0 = x1, x1 - y1 * (x1 - x0) / (y1 - y0), y1
    return None
