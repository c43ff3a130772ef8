"""Preferred numbers E3 to E192 (IEC 60063).

E24 and below follow no formula (eight of the 24 values differ from the rounded geometric series), so
they stand as a table; E48, E96 and E192 are the geometric series rounded to three figures, with one
exception: 920 in E192, where rounding gives 919.
"""

from __future__ import annotations

import math
from functools import cache

from buildalong.quantity._si import QuantityError

__all__ = ["SERIES", "in_series", "nearest", "neighbours", "series", "values_between"]

_E24 = (10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91)

SERIES = ("E3", "E6", "E12", "E24", "E48", "E96", "E192")
"""Names of the series, coarse to fine."""

_MOST_VALUES = 20_000
_LEAST_POWER, _MOST_POWER = -30, 30


@cache
def _hundreds(name: str) -> tuple[int, ...]:
    """The values of one decade as whole numbers from 100 to 999."""
    if name not in SERIES:
        raise QuantityError(f"'{name}' is no series of preferred numbers; known are {', '.join(SERIES)}")
    count = int(name[1:])
    if count <= 24:
        return tuple(value * 10 for value in _E24[:: 24 // count])
    exact = [round(100 * 10 ** (k / 192)) for k in range(192)]
    exact[185] = 920
    return tuple(exact[:: 192 // count])


def series(name: str) -> tuple[float, ...]:
    """Give the preferred numbers of one decade, 1.0 up to (not with) 10.  Raises QuantityError."""
    return tuple(value / 100 for value in _hundreds(name))


def values_between(low: float, high: float, name: str) -> tuple[float, ...]:
    """Give all preferred values from ``low`` to ``high``, both ends included, rising.

    Raises QuantityError for an unknown series, a range that is not positive, or over 20 000 values.
    """
    decade = _hundreds(name)
    if not (0 < low <= high and math.isfinite(high)):
        raise QuantityError(
            f"no values lie between {low:g} and {high:g}: give two positive limits, low first"
        )
    first, last = math.floor(math.log10(low)) - 1, math.floor(math.log10(high)) + 1
    if first < _LEAST_POWER or last > _MOST_POWER or (last - first) * len(decade) > _MOST_VALUES:
        raise QuantityError(f"the range from {low:g} to {high:g} is too wide")
    slack = 1e-12
    found = (float(f"{value}e{power - 2}") for power in range(first, last + 1) for value in decade)
    return tuple(value for value in found if low * (1 - slack) <= value <= high * (1 + slack))


def neighbours(value: float, name: str) -> tuple[float, float]:
    """Give the preferred values next below and above; both are the value itself if it is preferred."""
    around = _around(value, name)
    if in_series(value, name):
        here = min(around, key=lambda v: abs(v - value))
        return here, here
    return max(v for v in around if v < value), min(v for v in around if v > value)


def nearest(value: float, name: str) -> float:
    """Give the preferred value with the least error; of two equally near ones the lower."""
    return min(_around(value, name), key=lambda v: (abs(v - value), v))


def in_series(value: float, name: str) -> bool:
    """Tell whether a value is a preferred number of the series (to one part in 10⁹)."""
    return any(math.isclose(v, value, rel_tol=1e-9) for v in _around(value, name))


def _around(value: float, name: str) -> tuple[float, ...]:
    if not (value > 0 and math.isfinite(value)):
        raise QuantityError(f"{value:g} has no preferred number near it: it must be greater than zero")
    return values_between(value / 3, value * 3, name)
