"""Formula: an equation with its result, its values and its inverse."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from buildalong.design._expr import Expr, Sym
from buildalong.quantity import Quantity

__all__ = ["Formula", "invert"]


@dataclass(frozen=True, slots=True)
class Formula:
    """An equation: a result's symbol and the tree that gives it."""

    result: Sym
    expr: Expr

    def __post_init__(self) -> None:
        if self.expr.dim != self.result.dim:
            raise ValueError(f"{self.result.name} is in {self.result.of}, its formula is not")

    @property
    def quantity(self) -> Quantity:
        """The result with its unit."""
        return Quantity(self.expr.value(), self.result.of)

    def value(self, given: Mapping[str, float] | None = None) -> float:
        """The result in coherent SI units, with some symbols replaced by name."""
        return self.expr.value(given)

    def with_values(self, given: Mapping[str, float]) -> Formula:
        """The same formula with other values of some symbols."""

        def rebuild(node: Expr) -> Expr:
            if isinstance(node, Sym):
                return replace(node, number=given.get(node.name, node.number))
            return node.rebuilt(tuple(rebuild(c) for c in node.children)) if node.children else node

        return Formula(self.result, rebuild(self.expr))


def invert(formula: Formula, name: str, target: float, low: float = 1e-13, high: float = 1e9) -> float:
    """Find the positive value of one symbol [its own unit] that makes the result ``target``.

    The search is a bisection on a logarithmic scale, first narrowed to where the sign changes in
    steps of a third of a decade; the formula must be monotonic between the two ends of such a step.
    Raises KeyError for an unknown symbol, ValueError where no value between the ends does it.
    """
    if name not in {symbol.name for symbol in formula.expr.symbols()}:
        raise KeyError(name)

    def error(log_value: float) -> float:
        return formula.value({name: math.exp(log_value)}) - target

    start, end = math.log(low), math.log(high)
    count = max(1, math.ceil(3 * (end - start) / math.log(10)))
    points = [start + (end - start) * i / count for i in range(count + 1)]
    errors = [error(p) for p in points]
    for index in range(count):
        a, b, ea, eb = points[index], points[index + 1], errors[index], errors[index + 1]
        if ea == 0.0:
            return math.exp(a)
        if math.isnan(ea) or math.isnan(eb) or (ea > 0) == (eb > 0):
            continue
        for _ in range(100):
            middle = 0.5 * (a + b)
            if not a < middle < b:
                break
            a, b = (middle, b) if (error(middle) > 0) == (ea > 0) else (a, middle)
        return math.exp(0.5 * (a + b))
    raise ValueError(f"no {name} between {low:g} and {high:g} makes {formula.result.name} = {target:g}")
