"""The parts list: like parts on one row, with what is printed on them and how to read it."""

from __future__ import annotations

import re
from collections.abc import Callable, Hashable
from dataclasses import dataclass

from buildalong.build.steps import mark_of, what_of
from buildalong.circuit import Circuit, Part
from buildalong.drawing.schematic import supply_words
from buildalong.parts import PartType
from buildalong.publish import _words as words
from buildalong.publish._csv import csv_text
from buildalong.words import capital, said, say

__all__ = ["Row", "kinds_of", "parts_csv", "rows_of", "supply_said", "unsaid"]


@dataclass(frozen=True, slots=True)
class Row:
    """Like parts in natural order of their references: of one type, and of one value too in a parts list."""

    parts: tuple[Part, ...]

    @property
    def type(self) -> PartType:
        """The type they share."""
        return self.parts[0].type

    @property
    def references(self) -> str:
        """The references, "R1, R2, R5"."""
        return ", ".join(part.id for part in self.parts)

    @property
    def name(self) -> str:
        """The name with the value of the first, "56 kΩ resistor"."""
        return capital(what_of(self.parts[0]))

    @property
    def mark(self) -> str:
        """What is printed on the first."""
        return mark_of(self.parts[0])


def supply_said(circuit: Circuit) -> str:
    """The supply as it is named to a reader: "4 × AA", "9 V block", "USB 5 V"."""
    volts, kind = supply_words(circuit.supply)
    return kind if any(map(str.isdigit, kind)) else f"{kind} {volts.lstrip('+')}"


def kinds_of(circuit: Circuit) -> tuple[Row, ...]:
    """Group the parts of a circuit by type, whatever their values, in the author's order."""
    return _grouped(circuit, lambda part: part.type.id)


def rows_of(circuit: Circuit) -> tuple[Row, ...]:
    """Group the parts of a circuit by type and value, in the author's order."""
    return _grouped(circuit, lambda part: (part.type.id, part.value, part.tolerance, part.settings))


def _grouped(circuit: Circuit, key: Callable[[Part], Hashable]) -> tuple[Row, ...]:
    groups: dict[Hashable, list[Part]] = {}
    for part in circuit.parts:
        groups.setdefault(key(part), []).append(part)
    return tuple(Row(tuple(sorted(parts, key=_natural))) for parts in groups.values())


def unsaid(mark: str, name: str) -> str:
    """A marking to stand beside a part's name: nothing where the name says it already."""
    return "" if mark in re.findall(r"\w+", name) else mark


def parts_csv(circuit: Circuit) -> str:
    """The parts list as CSV (RFC 4180): references, quantity, part, marking, type."""
    heads = said(words.HEADS)
    rows = rows_of(circuit)
    return csv_text(heads, ((r.references, len(r.parts), r.name, r.mark, say(r.type.title)) for r in rows))


def _natural(part: Part) -> tuple[object, ...]:
    return tuple(int(bit) if bit.isdigit() else bit for bit in re.split(r"(\d+)", part.id))
