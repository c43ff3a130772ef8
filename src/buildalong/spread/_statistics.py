"""Numbers that sum up a sample, with how sure they are."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from buildalong.spread._factors import Floats

__all__ = ["LEVELS", "quantile_interval", "variance_shares", "wilson"]

LEVELS = (0.01, 0.025, 0.05, 0.25, 0.5, 0.75, 0.95, 0.975, 0.99)
"""The shares at which quantiles are given."""
_Z = 1.959963984540054
"""Standard normal quantile of 97.5 %."""
_BINS = 20
_DEGREE = 3


def wilson(kept: int, count: int) -> tuple[float, float]:
    """The 95 % confidence interval of a share of which ``kept`` of ``count`` were seen.

    Wilson's score interval: J. Am. Stat. Assoc. 22 (1927) 209; NIST/SEMATECH e-Handbook 7.2.4.1.
    """
    if not count:
        return 0.0, 1.0
    share, z2 = kept / count, _Z * _Z
    middle = (share + z2 / (2 * count)) / (1 + z2 / count)
    reach = _Z / (1 + z2 / count) * math.sqrt(share * (1 - share) / count + z2 / (4 * count * count))
    return max(middle - reach, 0.0), min(middle + reach, 1.0)


def quantile_interval(ordered: Floats, level: float) -> tuple[float, float]:
    """The 95 % confidence interval of a quantile, from a rising sample of independent values.

    Between the order statistics whose ranks lie 1.96 binomial standard deviations around the quantile's
    (David and Nagaraja, Order Statistics, 3rd ed., 7.1; normal approximation).  For an even sample it is
    on the safe side.
    """
    count = len(ordered)
    reach = _Z * math.sqrt(count * level * (1 - level))
    low = min(max(math.floor(count * level - reach), 0), count - 1)
    high = min(max(math.ceil(count * level + reach), 0), count - 1)
    return float(ordered[low]), float(ordered[high])


def variance_shares(
    u: Floats, values: Floats, groups: Sequence[str]
) -> tuple[dict[str, float], dict[str, float]]:
    """How much of the variance of ``values`` (n,) each group of columns of ``u`` (n, factors) explains.

    First-order shares, largest first, and the 95 % error of each.  Factors whose means within equal slices
    differ by more than chance allows (three standard deviations) are taken one after the other, the one that
    explains most first; then ``values`` are fitted with cubics of all of them at once, in orthonormal
    Legendre polynomials, and the squares of the coefficients are the shares (polynomial chaos: B. Sudret,
    Reliab. Eng. Syst. Saf. 93 (2008) 964, from memory).  So no factor's share holds what another one does by
    chance.  Interactions are in none of them; the sum is at most 1.
    """
    shares, errors = dict.fromkeys(groups, 0.0), dict.fromkeys(groups, 0.0)
    count, total = len(values), float(np.var(values)) if len(values) >= 2 * _BINS else 0.0
    if total <= 0.0:
        return shares, errors
    chance = (_BINS - 1) / (count - 1)
    least = 3.0 * math.sqrt(2.0 * (_BINS - 1)) / count
    fit = _Fit((), np.zeros(0), values - values.mean())
    todo = list(range(len(groups)))
    most = count // (4 * _DEGREE)  # four builds and more to each coefficient
    while todo and len(fit.columns) < most and (rest := float(np.var(fit.left))) > 1e-12 * total:
        told = [(_between(u[:, c], fit.left) / rest - chance) / (1.0 - chance) for c in todo]
        place = int(np.argmax(told))
        if told[place] <= least:
            break
        fit = _fitted(u, values, (*fit.columns, todo.pop(place)))
    noise = float(np.var(fit.left)) * count / (count - 1 - _DEGREE * len(fit.columns))
    squares = [float(row @ row) for row in fit.coefficients.reshape(-1, _DEGREE)]
    whole = math.fsum(squares) + noise
    for column, square in zip(fit.columns, squares, strict=True):
        group = groups[column]
        shares[group] += max(square - _DEGREE * noise / count, 0.0) / whole
        errors[group] = math.hypot(errors[group], _Z * 2.0 * math.sqrt(square * noise / count) / whole)
    return dict(sorted(shares.items(), key=lambda item: (-item[1], item[0]))), errors


@dataclass(frozen=True, eq=False)
class _Fit:
    """Columns that are fitted, the coefficients of their polynomials, what the fit leaves of each value."""

    columns: tuple[int, ...]
    coefficients: Floats
    left: Floats


def _fitted(u: Floats, values: Floats, columns: tuple[int, ...]) -> _Fit:
    """A least-squares fit with orthonormal Legendre polynomials of some columns."""
    norms = np.sqrt(2.0 * np.arange(1, _DEGREE + 1) + 1.0)
    bases = [np.polynomial.legendre.legvander(2.0 * u[:, c] - 1.0, _DEGREE)[:, 1:] * norms for c in columns]
    basis = np.hstack([np.ones((len(values), 1)), *bases])
    found = np.linalg.lstsq(basis, values, rcond=None)[0]
    return _Fit(columns, found[1:], values - basis @ found)


def _between(u: Floats, values: Floats) -> float:
    """The variance of the means of ``values`` within equal slices of ``u``."""
    slices = np.array_split(values[np.argsort(u, kind="stable")], _BINS)
    middle = float(values.mean())
    return sum(len(s) * (float(s.mean()) - middle) ** 2 for s in slices) / len(values)
