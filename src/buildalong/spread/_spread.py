"""Spread: how differently the same circuit behaves when many people build it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from buildalong.circuit import Circuit
from buildalong.engine import Trial, Variation
from buildalong.spread._differing import factors
from buildalong.spread._factors import Factor, Floats, Surroundings
from buildalong.spread._measured import measured
from buildalong.spread._sample import even, variation, variations
from buildalong.spread._statistics import LEVELS, quantile_interval, variance_shares, wilson
from buildalong.spread._target import Target
from buildalong.store import Store, kept

__all__ = ["MAX_SAMPLES", "SAMPLES", "SEED", "Corner", "Outcome", "Spread", "spread"]

SAMPLES = 2_000
SEED = 1
MAX_SAMPLES = 100_000

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
    the variance each part explains, ``share_errors`` how far each may be off (95 % sure).  ``least`` and
    ``most`` are the worst cases.
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
    share_errors: Mapping[str, float] = field(default_factory=dict)

    @property
    def failed(self) -> int:
        """In how many samples it never happened at all."""
        return int(np.isnan(self.values).sum())

    @property
    def varies(self) -> bool:
        """Whether 95 % of the builds differ by more than a thousandth of what is wanted."""
        return self.high - self.low > 1e-3 * abs(self.target.wanted.value)


@dataclass(frozen=True)
class Spread:
    """The outcome of each target, with what was varied and from which seed."""

    circuit: Circuit = field(repr=False)
    outcomes: tuple[Outcome, ...]
    factors: tuple[Factor, ...]
    surroundings: Surroundings
    samples: int
    seed: int

    @cached_property
    def places(self) -> Floats:
        """Where in its range each factor lies in each build (samples, factors), 0..1."""
        return even(self.samples, len(self.factors), self.seed)


def spread(
    circuit: Circuit,
    trials: Sequence[Trial],
    targets: Sequence[Target],
    *,
    samples: int = SAMPLES,
    seed: int = SEED,
    surroundings: Surroundings | None = None,
    progress: Progress | None = None,
    store: Store | None = None,
) -> Spread:
    """Build a circuit many times over, every part somewhere within its limits, and measure each target.

    Equal arguments give equal numbers; what is in ``store`` is not simulated again.  Raises ValueError for no
    targets or a count of samples beyond ``MAX_SAMPLES`` or below 10, Unreadable for a target that cannot be
    measured in this circuit.
    """
    if not targets:
        raise ValueError("a spread needs at least one target")
    if not 10 <= samples <= MAX_SAMPLES:
        raise ValueError(f"a spread takes 10 to {MAX_SAMPLES} samples")
    say = progress or (lambda share, text: None)
    around = surroundings or Surroundings()
    found = factors(circuit, around)
    builds = _Builds(circuit, trials, tuple(targets), found, even(samples, len(found), seed))

    def done(share: float) -> None:
        say(share, f"{round(share * samples)} of {samples} builds simulated")

    question = (circuit, tuple(trials), tuple(targets), samples, seed, around)
    tables = kept(store, "spread", question, _Tables, lambda: builds.simulated(done), builds.fits)
    outcomes = builds.outcomes(tables)
    say(1.0, "done")
    return Spread(circuit, outcomes, found, around, samples, seed)


Row = tuple[float | None, ...]
"""The measures of all targets in one build; None where it never happens."""


@dataclass(frozen=True, slots=True)
class _Tables:
    """All that was simulated: the builds, the circuit as drawn, and two worst cases for each target."""

    builds: tuple[Row, ...]
    drawn: Row
    worst: tuple[Row, ...]


@dataclass(frozen=True)
class _Builds:
    """Many builds of one circuit: ``u`` (samples, factors) says where in its range each factor lies."""

    circuit: Circuit
    trials: Sequence[Trial]
    targets: tuple[Target, ...]
    factors: tuple[Factor, ...]
    u: Floats

    def simulated(self, progress: Callable[[float], None]) -> _Tables:
        """Simulate all of them."""
        table = self.measure(variations(self.factors, self.u), progress)
        drawn = self.measure([Variation()])
        ends = [end for number in range(len(self.targets)) for end in self.ends(table[:, number])]
        worst = self.measure([variation(self.factors, end) for end in ends])
        return _Tables(_rows(table), _rows(drawn)[0], _rows(worst))

    def fits(self, tables: _Tables) -> bool:
        """Whether tables are of these builds."""
        rows = [*tables.builds, tables.drawn, *tables.worst]
        counts = len(tables.builds) == len(self.u), len(tables.worst) == 2 * len(self.targets)
        return all(counts) and all(len(row) == len(self.targets) for row in rows)

    def outcomes(self, tables: _Tables) -> tuple[Outcome, ...]:
        """Sum up each target."""
        table, (drawn,), worst = map(_floats, (tables.builds, (tables.drawn,), tables.worst))
        return tuple(
            self.outcome(number, table[:, number], float(drawn[number]), worst[2 * number :, number])
            for number in range(len(self.targets))
        )

    def measure(
        self, variants: Sequence[Variation], progress: Callable[[float], None] | None = None
    ) -> Floats:
        """Every target in every variant."""
        return measured(self.circuit, self.trials, self.targets, variants, progress, alike=True)

    def ends(self, values: Floats) -> tuple[list[float], list[float]]:
        """For the least and for the largest value: the end of each factor to which the samples say it pushes.

        True worst cases where the target rises or falls with each factor alone.
        """
        happened = np.isfinite(values)
        at, good = self.u[happened], values[happened]
        slopes = (at - at.mean(axis=0)).T @ (good - good.mean()) if len(good) > 1 else np.zeros(at.shape[1])
        down, up = (
            [
                float(f.high if slope * way > 0 else f.low)
                for f, slope in zip(self.factors, slopes, strict=True)
            ]
            for way in (-1.0, 1.0)
        )
        return down, up

    def outcome(
        self,
        number: int,
        values: Floats,
        nominal: float,
        worst: Floats,
    ) -> Outcome:
        """Sum up one target; ``worst`` begins with its measures at both ends."""
        target = self.targets[number]
        happened = np.isfinite(values)
        ordered = np.sort(values[happened])
        low, high = target.limits
        kept = int(((ordered >= low) & (ordered <= high)).sum())
        quantiles = {
            level: (float(np.quantile(ordered, level)), *quantile_interval(ordered, level))
            for level in (LEVELS if len(ordered) else ())
        }
        groups = [factor.part or "temperature" for factor in self.factors]
        moves = len(ordered) > 1 and bool(self.factors)
        least, most = (
            Corner(float(value), {(f.part, f.name): v for f, v in zip(self.factors, end, strict=True)})
            if moves
            else Corner(nominal, {})
            for value, end in zip(worst[:2], self.ends(values), strict=True)
        )
        shares, errors = variance_shares(self.u[happened], values[happened], groups)
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
            share_errors=errors,
            least=least,
            most=most,
        )


def _rows(table: Floats) -> tuple[Row, ...]:
    return tuple(tuple(None if np.isnan(value) else float(value) for value in row) for row in table)


def _floats(rows: Sequence[Row]) -> Floats:
    return np.array([[np.nan if value is None else value for value in row] for row in rows])
