"""Spread: how differently the same circuit behaves when many people build it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from buildalong.circuit import Circuit
from buildalong.engine import Options, Trial, Variation
from buildalong.spread._factors import Factor, Surroundings, factors
from buildalong.spread._sample import even, variation, variations
from buildalong.spread._statistics import LEVELS, quantile_interval, variance_shares, wilson
from buildalong.spread._target import Target
from buildalong.study import measured as measured_in

__all__ = ["SAMPLES", "SEED", "Corner", "Outcome", "Spread", "measured", "spread"]

SAMPLES = 2_000
SEED = 1
MAX_SAMPLES = 100_000

Floats = NDArray[np.float64]
Progress = Callable[[float, str], None]


@dataclass(frozen=True, slots=True)
class Corner:
    """The worst case on one side: the value with every factor at the limit that pushes it there."""

    value: float
    settings: Mapping[tuple[str, str], float]


@dataclass(frozen=True)
class Outcome:
    """What became of one target.

    ``values`` (samples,) are its measures, NaN where it never happened; ``kept`` is the share within the
    limits with its 95 % confidence interval ``sure``.  ``low`` and ``high`` hold 95 % of all builds;
    ``quantiles`` maps a share to (value, least, most) with its 95 % interval.  ``shares`` says how much of
    the variance each part explains.  ``least`` and ``most`` are the worst cases.
    """

    target: Target
    nominal: float
    values: Floats = field(repr=False)
    kept: float
    sure: tuple[float, float]
    low: float
    high: float
    quantiles: Mapping[float, tuple[float, float, float]]
    shares: Mapping[str, float]
    least: Corner
    most: Corner

    @property
    def failed(self) -> int:
        """In how many samples it never happened at all."""
        return int(np.isnan(self.values).sum())


@dataclass(frozen=True)
class Spread:
    """The outcome of each target, with what was varied and from which seed."""

    circuit: Circuit = field(repr=False)
    outcomes: tuple[Outcome, ...]
    factors: tuple[Factor, ...]
    surroundings: Surroundings
    samples: int
    seed: int


def spread(
    circuit: Circuit,
    trials: Sequence[Trial],
    targets: Sequence[Target],
    *,
    samples: int = SAMPLES,
    seed: int = SEED,
    surroundings: Surroundings | None = None,
    progress: Progress | None = None,
) -> Spread:
    """Build a circuit many times over, every part somewhere within its limits, and measure each target.

    Equal arguments give equal numbers.  Raises ValueError for no targets or a count of samples beyond
    ``MAX_SAMPLES`` or below 10, Unreadable for a target that cannot be measured in this circuit.
    """
    if not targets:
        raise ValueError("a spread needs at least one target")
    if not 10 <= samples <= MAX_SAMPLES:
        raise ValueError(f"a spread takes 10 to {MAX_SAMPLES} samples")
    say = progress or (lambda share, text: None)
    around = surroundings or Surroundings()
    found = factors(circuit, around)
    u = even(samples, len(found), seed)

    def done(share: float) -> None:
        say(share, f"{round(share * samples)} of {samples} builds simulated")

    table = measured(circuit, trials, targets, variations(found, u), done)
    nominal = measured(circuit, trials, targets, [Variation()])[0]
    outcomes = tuple(
        _outcome(circuit, trials, target, found, u, table[:, column], float(nominal[column]))
        for column, target in enumerate(targets)
    )
    say(1.0, "done")
    return Spread(circuit, outcomes, found, around, samples, seed)


def measured(
    circuit: Circuit,
    trials: Sequence[Trial],
    targets: Sequence[Target],
    variants: Sequence[Variation],
    progress: Callable[[float], None] | None = None,
) -> Floats:
    """Measure every target in every variant: (variants, targets), NaN where it never happens.

    Raises Unreadable for a measure, part or net that is not there, or that do not suit one another.
    """
    table = np.full((len(variants), len(targets)), np.nan)
    wanted = [trial for trial in trials if trial.name in {target.trial for target in targets}]
    say = progress or (lambda share: None)
    for number, trial in enumerate(wanted):
        columns = [i for i, target in enumerate(targets) if target.trial == trial.name]

        def part(share: float, text: str, done: int = number) -> None:
            say((done + share) / len(wanted))

        asked = [targets[i].asked for i in columns]
        rows = measured_in(circuit, trial, variants, asked, Options().rtol, part)
        table[:, columns] = [[value for value, _ in row] for row in rows]
    return table


def _outcome(
    circuit: Circuit,
    trials: Sequence[Trial],
    target: Target,
    found: Sequence[Factor],
    u: Floats,
    values: Floats,
    nominal: float,
) -> Outcome:
    happened = np.isfinite(values)
    good, at = values[happened], u[happened]
    low, high = target.limits
    kept = int(((good >= low) & (good <= high)).sum())
    ordered = np.sort(good)
    quantiles = {
        level: (float(np.quantile(ordered, level)), *quantile_interval(ordered, level))
        for level in (LEVELS if len(ordered) else ())
    }
    shares = variance_shares(at, good, [factor.part or "temperature" for factor in found])
    least, most = _corners(circuit, trials, target, found, at, good, nominal)
    return Outcome(
        target=target,
        nominal=nominal,
        values=values,
        kept=kept / len(values),
        sure=wilson(kept, len(values)),
        low=quantiles[0.025][0] if quantiles else float("nan"),
        high=quantiles[0.975][0] if quantiles else float("nan"),
        quantiles=quantiles,
        shares=shares,
        least=least,
        most=most,
    )


def _corners(
    circuit: Circuit,
    trials: Sequence[Trial],
    target: Target,
    found: Sequence[Factor],
    u: Floats,
    values: Floats,
    nominal: float,
) -> tuple[Corner, Corner]:
    """Both worst cases: every factor at the end to which the samples say that it pushes.

    True worst cases where the target rises or falls with each factor alone.
    """
    if len(values) < 2 or not found:
        return Corner(nominal, {}), Corner(nominal, {})
    centred = u - u.mean(axis=0)
    slopes = centred.T @ (values - values.mean())
    sides = [np.where(slopes * way > 0, 1.0, 0.0) for way in (-1.0, 1.0)]
    settings = [
        [float(f.high if side > 0.5 else f.low) for f, side in zip(found, s, strict=True)] for s in sides
    ]
    table = measured(circuit, trials, [target], [variation(found, values_) for values_ in settings])
    least, most = (
        Corner(float(value), {(f.part, f.name): v for f, v in zip(found, chosen, strict=True)})
        for value, chosen in zip(table[:, 0], settings, strict=True)
    )
    return least, most
