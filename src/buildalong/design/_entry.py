"""SheetEntry: one line of the formula sheet, with its result, its source and its corrections."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from buildalong.design._formula import Formula
from buildalong.design._graph import Graph
from buildalong.design._shape import Shape
from buildalong.design._write import mathml, plain, steps, text
from buildalong.quantity import Quantity

__all__ = ["Correction", "Maker", "SheetEntry", "figures_of"]


@dataclass(frozen=True)
class Correction:
    """What real parts change: the formula with one more effect counted in, and the cause in words.

    Corrections of an entry build on each other: each formula keeps the effects of those before it.
    """

    formula: Formula
    cause: str

    @property
    def result(self) -> Quantity:
        """The result with this effect and those before it counted in."""
        return self.formula.quantity


@dataclass(frozen=True)
class SheetEntry:
    """One textbook formula of a shape, with the values of this circuit.

    ``measure`` names the engine's measure of the same thing, such as ("on_time", "DS1"), or is None;
    ``source`` says where the formula is from; ``note`` explains constants and signs.
    """

    name: str
    title: str
    shape: Shape
    formula: Formula
    measure: tuple[str, ...] | None
    source: str
    note: str = ""
    corrections: tuple[Correction, ...] = ()

    @property
    def result(self) -> Quantity:
        """The ideal result with its unit."""
        return self.formula.quantity

    @property
    def lines(self) -> tuple[str, ...]:
        """The working, one line for each step: symbols, values put in, worked out, result."""
        return tuple(text(step) for step in steps(self.formula))

    @property
    def text(self) -> str:
        """The working on one line."""
        return plain(self.formula)

    def mathml(self, *, worked: bool = True) -> str:
        """The formula as MathML, with the working below it when ``worked``."""
        return mathml(self.formula, worked=worked)


def figures_of(entries: Iterable[SheetEntry]) -> dict[str, Quantity]:
    """Ideal results by name: ``ideal on_time(DS1)``; the first entry of a name counts."""
    out: dict[str, Quantity] = {}
    for entry in entries:
        out.setdefault(f"ideal {entry.name}", entry.result)
    return out


Maker = Callable[[Graph, Shape, tuple[Shape, ...]], Iterator[SheetEntry]]
"""Gives the sheet entries of one shape; it sees the graph and every other shape too."""
