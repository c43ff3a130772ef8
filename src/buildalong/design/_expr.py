"""Formulas as small trees: one representation that is evaluated, written, substituted and inverted.

Nodes are frozen; ``a + b``, ``a - b``, ``a * b``, ``a / b`` and ``a // b`` (two resistances in
parallel) build them.  Every node knows its value in coherent SI units and its dimension, so a
formula that adds volts to ohms cannot be built.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from buildalong.design._units import Dimension, dimension, unit_of

__all__ = [
    "Difference", "Exp", "Expr", "Log", "Num", "Parallel", "Power", "Product", "Quotient", "Sum", "Sym",
    "exp", "ln",
]  # fmt: skip


PLAIN: Dimension = (0, 0, 0, 0)
"""The dimension of a plain number."""


class Expr:
    """Any node of a formula."""

    __slots__ = ()

    @property
    def children(self) -> tuple[Expr, ...]:
        """The operands, left to right."""
        return ()

    @property
    def dim(self) -> Dimension:
        """Exponents of volt, ampere, second and lux."""
        raise NotImplementedError

    def value(self, given: Mapping[str, float] | None = None) -> float:
        """Evaluate in coherent SI units; ``given`` replaces values of symbols by name ("R1")."""
        raise NotImplementedError

    def rebuilt(self, children: tuple[Expr, ...]) -> Expr:
        """The same operation on other operands."""
        return self

    def symbols(self) -> Iterator[Sym]:
        """Every symbol, in order of appearance, repeated as it is repeated."""
        for child in self.children:
            yield from child.symbols()

    @property
    def unit(self) -> str:
        """The coherent unit; raises ValueError where it has no name here."""
        unit = unit_of(self.dim)
        if unit is None:
            raise ValueError(f"no unit has the dimension {self.dim}")
        return unit

    def __add__(self, other: Expr) -> Expr:
        left = self.terms if isinstance(self, Sum) else (self,)
        return Sum((*left, other))

    def __sub__(self, other: Expr) -> Expr:
        return Difference(self, other)

    def __mul__(self, other: Expr) -> Expr:
        left = self.factors if isinstance(self, Product) else (self,)
        right = other.factors if isinstance(other, Product) else (other,)
        return Product((*left, *right))

    def __truediv__(self, other: Expr) -> Expr:
        return Quotient(self, other)

    def __floordiv__(self, other: Expr) -> Expr:
        left = self.branches if isinstance(self, Parallel) else (self,)
        return Parallel((*left, other))


def _same(operands: tuple[Expr, ...]) -> Dimension:
    dims = {operand.dim for operand in operands}
    if len(dims) != 1:
        raise ValueError(f"terms of different dimensions: {sorted(dims)}")
    return dims.pop()


@dataclass(frozen=True, slots=True)
class Num(Expr):
    """A number with a coherent unit; ``figures`` says how many significant figures are written."""

    number: float
    of: str = ""
    figures: int = 3

    @property
    def dim(self) -> Dimension:
        return dimension(self.of)

    def value(self, given: Mapping[str, float] | None = None) -> float:
        return self.number


@dataclass(frozen=True, slots=True)
class Sym(Expr):
    """A quantity symbol: ``letter`` italic, ``sub`` upright; ``number`` its value in unit ``of``.

    A symbol of a part carries the part's own name ("R12" is the letter R with the index 12), so
    ``name`` of a part's symbol is the part's reference.
    """

    letter: str
    sub: str = ""
    number: float = math.nan
    of: str = ""
    part: bool = False

    @property
    def name(self) -> str:
        """Write it on one line: ``R1`` for a part, ``t_on`` otherwise."""
        return self.letter + (self.sub if self.part or not self.sub else f"_{self.sub}")

    @property
    def dim(self) -> Dimension:
        return dimension(self.of)

    def value(self, given: Mapping[str, float] | None = None) -> float:
        return self.number if given is None else given.get(self.name, self.number)

    def symbols(self) -> Iterator[Sym]:
        yield self


@dataclass(frozen=True, slots=True)
class Sum(Expr):
    """Terms added."""

    terms: tuple[Expr, ...]

    def __post_init__(self) -> None:
        _same(self.terms)

    @property
    def children(self) -> tuple[Expr, ...]:
        return self.terms

    @property
    def dim(self) -> Dimension:
        return _same(self.terms)

    def value(self, given: Mapping[str, float] | None = None) -> float:
        return math.fsum(term.value(given) for term in self.terms)

    def rebuilt(self, children: tuple[Expr, ...]) -> Expr:
        return Sum(children)


@dataclass(frozen=True, slots=True)
class Difference(Expr):
    """One term less another."""

    first: Expr
    second: Expr

    def __post_init__(self) -> None:
        _same((self.first, self.second))

    @property
    def children(self) -> tuple[Expr, ...]:
        return (self.first, self.second)

    @property
    def dim(self) -> Dimension:
        return self.first.dim

    def value(self, given: Mapping[str, float] | None = None) -> float:
        return self.first.value(given) - self.second.value(given)

    def rebuilt(self, children: tuple[Expr, ...]) -> Expr:
        return Difference(*children)


@dataclass(frozen=True, slots=True)
class Product(Expr):
    """Factors multiplied."""

    factors: tuple[Expr, ...]

    @property
    def children(self) -> tuple[Expr, ...]:
        return self.factors

    @property
    def dim(self) -> Dimension:
        v, a, s, x = (sum(f.dim[i] for f in self.factors) for i in range(4))
        return (v, a, s, x)

    def value(self, given: Mapping[str, float] | None = None) -> float:
        return math.prod(factor.value(given) for factor in self.factors)

    def rebuilt(self, children: tuple[Expr, ...]) -> Expr:
        return Product(children)


@dataclass(frozen=True, slots=True)
class Quotient(Expr):
    """A fraction."""

    over: Expr
    under: Expr

    @property
    def children(self) -> tuple[Expr, ...]:
        return (self.over, self.under)

    @property
    def dim(self) -> Dimension:
        v, a, s, x = (self.over.dim[i] - self.under.dim[i] for i in range(4))
        return (v, a, s, x)

    def value(self, given: Mapping[str, float] | None = None) -> float:
        under = self.under.value(given)
        return self.over.value(given) / under if under else math.nan

    def rebuilt(self, children: tuple[Expr, ...]) -> Expr:
        return Quotient(*children)


@dataclass(frozen=True, slots=True)
class Parallel(Expr):
    """Resistances in parallel: the reciprocal of the sum of reciprocals."""

    branches: tuple[Expr, ...]

    def __post_init__(self) -> None:
        _same(self.branches)

    @property
    def children(self) -> tuple[Expr, ...]:
        return self.branches

    @property
    def dim(self) -> Dimension:
        return _same(self.branches)

    def value(self, given: Mapping[str, float] | None = None) -> float:
        values = [branch.value(given) for branch in self.branches]
        return 0.0 if 0.0 in values else 1.0 / math.fsum(1.0 / v for v in values)

    def rebuilt(self, children: tuple[Expr, ...]) -> Expr:
        return Parallel(children)


@dataclass(frozen=True, slots=True)
class Log(Expr):
    """Natural logarithm of a ratio."""

    of: Expr

    def __post_init__(self) -> None:
        if self.of.dim != PLAIN:
            raise ValueError("a logarithm needs a plain number")

    @property
    def children(self) -> tuple[Expr, ...]:
        return (self.of,)

    @property
    def dim(self) -> Dimension:
        return PLAIN

    def value(self, given: Mapping[str, float] | None = None) -> float:
        inner = self.of.value(given)
        return math.log(inner) if inner > 0 else math.nan

    def rebuilt(self, children: tuple[Expr, ...]) -> Expr:
        return Log(*children)


@dataclass(frozen=True, slots=True)
class Exp(Expr):
    """The number e to a power, ``sign`` +1 or −1 before it."""

    of: Expr
    sign: int = -1

    def __post_init__(self) -> None:
        if self.of.dim != PLAIN:
            raise ValueError("an exponent needs a plain number")

    @property
    def children(self) -> tuple[Expr, ...]:
        return (self.of,)

    @property
    def dim(self) -> Dimension:
        return PLAIN

    def value(self, given: Mapping[str, float] | None = None) -> float:
        return math.exp(self.sign * self.of.value(given))

    def rebuilt(self, children: tuple[Expr, ...]) -> Expr:
        return Exp(children[0], self.sign)


@dataclass(frozen=True, slots=True)
class Power(Expr):
    """A ratio raised to a plain number."""

    base: Expr
    exponent: Expr

    def __post_init__(self) -> None:
        if self.base.dim != PLAIN or self.exponent.dim != PLAIN:
            raise ValueError("only a plain number is raised to a power here")

    @property
    def children(self) -> tuple[Expr, ...]:
        return (self.base, self.exponent)

    @property
    def dim(self) -> Dimension:
        return PLAIN

    def value(self, given: Mapping[str, float] | None = None) -> float:
        base = self.base.value(given)
        return float(base ** self.exponent.value(given)) if base > 0 else math.nan

    def rebuilt(self, children: tuple[Expr, ...]) -> Expr:
        return Power(*children)


def ln(x: float | Expr) -> Expr:
    """Natural logarithm, of a number or of a tree."""
    return Log(x if isinstance(x, Expr) else Num(x))


def exp(x: Expr, sign: int = -1) -> Expr:
    """E to the power of ``sign`` times ``x``."""
    return Exp(x, sign)
