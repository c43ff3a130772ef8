"""The textbook formulas of each shape."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from buildalong.design._entry import SheetEntry
from buildalong.design._expr import Product, Sym, ln
from buildalong.design._formula import Formula
from buildalong.design._graph import Graph
from buildalong.design._shape import Shape

__all__ = ["FORMULAS"]

Maker = Callable[[Graph, Shape, tuple[Shape, ...]], Iterator[SheetEntry]]

TI = "TI, NE555 data sheet SLFS022F, application information"
LN2 = "ln 2 = 0.693147…, usually written 0.693"


def _seconds(sub: str) -> Sym:
    return Sym("t", sub, of="s")


def _astable(graph: Graph, shape: Shape, shapes: tuple[Shape, ...]) -> Iterator[SheetEntry]:
    upper, lower, c = shape.terms["upper"], shape.terms["lower"], shape.terms["capacitance"]
    out = shape.nets.get("output", "")
    yield SheetEntry(
        f"high_time({out})", "How long the output stays high", shape,
        Formula(_seconds("high"), Product((ln(2), upper + lower, c))), ("high_time", out), TI, LN2,
    )  # fmt: skip
    yield SheetEntry(
        f"low_time({out})", "How long the output stays low", shape,
        Formula(_seconds("low"), Product((ln(2), lower, c))), ("low_time", out), TI, LN2,
    )  # fmt: skip


FORMULAS: dict[str, Maker] = {"astable": _astable}
