"""The formula sheet: what the textbook says of each recognised shape, and what real parts do to it."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace

from buildalong.circuit import Circuit
from buildalong.design._entry import SheetEntry, figures_of
from buildalong.design._explain import explain
from buildalong.design._formulas import FORMULAS
from buildalong.design._graph import Graph, symbol
from buildalong.design._recognise import recognise
from buildalong.design._shape import Shape
from buildalong.design._sheet_words import PIECE
from buildalong.quantity import Quantity
from buildalong.words import in_parts, say

__all__ = ["explain", "figures", "sheet"]


def sheet(circuit: Circuit, shapes: Iterable[Shape] | None = None) -> tuple[SheetEntry, ...]:
    """Give the textbook formulas of a circuit's shapes with its values put in.

    ``shapes`` defaults to ``recognise(circuit)``.  An entry whose result is no finite number (a part
    without a value) is left out.
    """
    found = recognise(circuit) if shapes is None else tuple(shapes)
    graph = Graph(circuit)
    entries = [
        entry
        for shape in found
        if shape.kind in FORMULAS
        for entry in FORMULAS[shape.kind](graph, shape, found)
    ]
    return tuple(_explained(entry, circuit) for entry in entries if math.isfinite(entry.result.value))


def _explained(entry: SheetEntry, circuit: Circuit) -> SheetEntry:
    """The entry with a word on each part of a potentiometer's track that its formula uses."""
    used = {known.name for known in entry.formula.expr.symbols()}
    said = [
        say(PIECE, piece=part.id + piece, part=part.id, end=piece.upper())
        for part in circuit.parts
        if part.type.family == "potentiometer"
        for piece in ("a", "b")
        if symbol(part, piece).name in used
    ]
    return replace(entry, note=in_parts(list(filter(None, (entry.note, *said))))) if said else entry


def figures(circuit: Circuit) -> dict[str, Quantity]:
    """The ideal results of a circuit's formulas by name, such as ``ideal on_time(DS1)``."""
    return figures_of(sheet(circuit))
