"""Evaluate a formula for many values at once."""

from __future__ import annotations

from collections.abc import Mapping
from functools import reduce
from typing import TYPE_CHECKING, Any

from buildalong.design._expr import (
    Difference,
    Exp,
    Expr,
    Log,
    Num,
    Parallel,
    Power,
    Product,
    Quotient,
    Sum,
    Sym,
)

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

__all__ = ["evaluate"]


def evaluate(expr: Expr, given: Mapping[str, NDArray[np.float64]]) -> NDArray[np.float64]:
    """Give the value of a tree with symbols replaced by arrays of one shape, in coherent SI units.

    The same as :meth:`Expr.value` at each place; where that is no number, NaN or infinite.
    """
    import numpy as np

    return np.asarray(_value(expr, given), dtype=np.float64)


def _value(expr: Expr, given: Mapping[str, Any]) -> Any:
    import numpy as np

    if isinstance(expr, Sym):
        return given.get(expr.name, expr.number)
    if isinstance(expr, Num):
        return expr.number
    values = [_value(child, given) for child in expr.children]
    if isinstance(expr, Sum):
        return reduce(lambda a, b: a + b, values)
    if isinstance(expr, Product):
        return reduce(lambda a, b: a * b, values)
    if isinstance(expr, Difference):
        return values[0] - values[1]
    if isinstance(expr, Quotient):
        return np.divide(values[0], values[1])
    if isinstance(expr, Parallel):
        return np.divide(1.0, reduce(lambda a, b: a + b, [np.divide(1.0, v) for v in values]))
    if isinstance(expr, Log):
        return np.log(values[0])
    if isinstance(expr, Exp):
        return np.exp(expr.sign * values[0])
    if isinstance(expr, Power):
        return np.power(values[0], values[1])
    raise TypeError(f"{type(expr).__name__} is no node of a formula")
