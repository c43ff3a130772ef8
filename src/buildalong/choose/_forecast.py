"""A forecast of every target over the whole grid: the textbook's formula, corrected by what was simulated.

The logarithm of measured over formula is fitted by a polynomial of the logarithms of the values (degree
2 where there are enough points, else 1), each point weighted by how near it is to what is wanted.  Where
no formula is known the measure itself is fitted in this way.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from buildalong.design import Expr, Formula, SheetEntry, evaluate
from buildalong.spread import Target

__all__ = ["Forecast"]

Floats = NDArray[np.float64]

_SAME = {"pulse_width": "on_time"}
"""Measures that the formula of another gives."""


@dataclass
class Forecast:
    """The forecast of one target; ``logs`` (n, N) are the logarithms of the grid's values."""

    target: Target
    names: tuple[str, ...]
    logs: Floats
    known: bool = False
    miss: float = 1.0
    """The largest ratio, less one, by which the fit misses a simulated point that is near."""

    def __post_init__(self) -> None:
        self.base: Floats = np.ones(self.logs.shape[1])
        self.fit: Floats = self.base
        self._centre: Floats = self.logs[:, :1].ravel()
        self._solution: Floats = np.zeros(1)
        self._formula: Expr | None = None

    def take(self, entries: Sequence[SheetEntry], *, ideal: bool = False) -> None:
        """Use the formula of this measure, where the sheet has one, with its corrections unless ``ideal``."""
        wanted = (_SAME.get(self.target.measure, self.target.measure), self.target.of)
        entry = next((e for e in entries if e.measure == wanted), None)
        if entry is None:
            return
        ways = [entry.formula, *(c.formula for c in entry.corrections if not ideal)]
        free = self._free_in(entry.formula)
        self._formula = next(f.expr for f in reversed(ways) if self._free_in(f) == free)
        self.base = self._based(self.logs)
        self.fit, self.known = self.base.copy(), True

    def _free_in(self, formula: Formula) -> frozenset[str]:
        """The free parts that a formula names; a correction may have worked them into a number."""
        return frozenset(symbol.name for symbol in formula.expr.symbols()) & frozenset(self.names)

    def _based(self, logs: Floats) -> Floats:
        """The formula at some points (n, m), NaN where it gives nothing above zero; 1 without a formula."""
        if self._formula is None:
            return np.ones(logs.shape[1])
        given: Mapping[str, Floats] = dict(zip(self.names, np.exp(logs), strict=True))
        with np.errstate(all="ignore"):
            values = np.broadcast_to(evaluate(self._formula, given), (logs.shape[1],))
        return np.where(values > 0, values, np.nan)

    def slopes_at(self, logs: Floats) -> Floats:
        """By how many per cent the target moves for each per cent of each value, at a point (n,)."""
        step = 1e-3
        moves = step * np.eye(len(logs))
        points = np.concatenate([logs[:, None] + moves, logs[:, None] - moves], axis=1)
        columns = self._terms(points - self._centre[:, None], len(self._solution))
        log = np.log(self._based(points)) + columns @ self._solution
        slopes = (log[: len(logs)] - log[len(logs) :]) / (2.0 * step)
        return np.where(np.isfinite(slopes), slopes, 0.0)

    def learn(self, points: NDArray[np.intp], measured: Floats) -> None:
        """Correct the forecast by what was measured at some points of the grid."""
        good = (measured > 0) & np.isfinite(self.base[points])
        points, measured = points[good], measured[good]
        if not len(points):
            return
        ratio: Floats = np.log(measured / self.base[points])
        centre = self.logs[:, points].mean(axis=1)
        off: Floats = np.abs(np.log(measured / self.target.wanted.value))
        weight: Floats = 1.0 / (0.02 + off)
        columns = self._columns(self.logs - centre[:, None], len(points))
        solution, *_ = np.linalg.lstsq(columns[points] * weight[:, None], ratio * weight, rcond=1e-10)
        self._centre, self._solution = centre, np.asarray(solution, dtype=np.float64)
        with np.errstate(all="ignore"):
            self.fit = self.base * np.exp(columns @ self._solution)
        near = off <= max(np.quantile(off, 0.5), 0.05)
        missed = np.abs(self.fit[points] / measured - 1.0)[near]
        self.miss = float(missed.max()) if len(points) > columns.shape[1] + 2 else 1.0

    def _columns(self, x: Floats, count: int) -> Floats:
        """As many terms as ``count`` points can bear."""
        n = len(x)
        square = 1 + n + n * (n + 1) // 2
        return self._terms(x, square if count >= 2 * square else 1 + n if count > 1 + n else 1)

    @staticmethod
    def _terms(x: Floats, most: int) -> Floats:
        """The first terms of the polynomial at each point, degree by degree: (points, terms)."""
        n = len(x)
        rows = [np.ones(x.shape[1]), *x, *(x[i] * x[j] for i in range(n) for j in range(i, n))]
        return np.stack(rows[:most], axis=1)
