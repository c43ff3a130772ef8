"""Numbers that sum up a sample, with how sure they are."""

from __future__ import annotations

import math
from collections.abc import Sequence

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


def variance_shares(u: Floats, values: Floats, groups: Sequence[str]) -> dict[str, float]:
    """How much of the variance of ``values`` (n,) each group of columns of ``u`` (n, factors) explains.

    First-order shares (the correlation ratio: variance of the means within equal slices of a factor over
    the whole variance), each less what chance alone would show.  The factor that explains most is taken
    first and what a cubic of it explains is subtracted before the next is judged: that leaves the shares of
    the others as they are, since factors are independent, but takes the noise out of them (a control variate:
    Owen, Monte Carlo theory, chapter 8, from memory).  What is within three standard deviations of
    chance counts as nothing.  Interactions are in none of them; the sum is at most 1.  Largest first.
    """
    out = dict.fromkeys(groups, 0.0)
    total = float(np.var(values)) if len(values) >= 2 * _BINS else 0.0
    if total <= 0.0:
        return out
    count, left = len(values), values - values.mean()
    chance = (_BINS - 1) / (count - 1)
    least = 3.0 * math.sqrt(2.0 * (_BINS - 1)) / count
    todo = list(range(len(groups)))
    while todo and (rest := float(np.var(left))) > 1e-12 * total:
        shares = [(_between(u[:, c], left) / rest - chance) / (1.0 - chance) for c in todo]
        place = int(np.argmax(shares))
        if shares[place] <= least:
            break
        column = todo.pop(place)
        out[groups[column]] += shares[place] * rest / total
        basis = np.polynomial.legendre.legvander(2.0 * u[:, column] - 1.0, _DEGREE)
        left = left - basis @ np.linalg.lstsq(basis, left, rcond=None)[0]
    most = max(math.fsum(out.values()), 1.0)
    return dict(sorted(((g, s / most) for g, s in out.items()), key=lambda item: (-item[1], item[0])))


def _between(u: Floats, values: Floats) -> float:
    """The variance of the means of ``values`` within equal slices of ``u``."""
    slices = np.array_split(values[np.argsort(u, kind="stable")], _BINS)
    middle = float(values.mean())
    return sum(len(s) * (float(s.mean()) - middle) ** 2 for s in slices) / len(values)
