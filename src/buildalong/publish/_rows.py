"""The parts list: like parts on one row, with what is printed on them and how to read it."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass

from buildalong.build.steps import mark_of, what_of
from buildalong.circuit import Circuit, Part
from buildalong.parts import PartType

__all__ = ["Kind", "Row", "kinds_of", "parts_csv", "rows_of"]


@dataclass(frozen=True, slots=True)
class Row:
    """Parts of one type and value; ``parts`` in natural order, ``mark`` what is printed on each."""

    parts: tuple[Part, ...]
    name: str
    mark: str

    @property
    def type_title(self) -> str:
        """The type's name in a parts list."""
        return self.parts[0].type.title

    @property
    def references(self) -> str:
        """The references, "R1, R2, R5"."""
        return ", ".join(part.id for part in self.parts)


@dataclass(frozen=True, slots=True)
class Kind:
    """Parts of one type, whatever their values."""

    parts: tuple[Part, ...]

    @property
    def type(self) -> PartType:
        """The type they share."""
        return self.parts[0].type

    @property
    def references(self) -> str:
        """The references, "R1, R2, R5"."""
        return ", ".join(part.id for part in self.parts)


def kinds_of(circuit: Circuit) -> tuple[Kind, ...]:
    """Group the parts of a circuit by type, in the order in which the author first names each."""
    groups: dict[str, list[Part]] = {}
    for part in circuit.parts:
        groups.setdefault(part.type.id, []).append(part)
    return tuple(Kind(tuple(sorted(parts, key=_natural))) for parts in groups.values())


def rows_of(circuit: Circuit) -> tuple[Row, ...]:
    """Group the parts of a circuit; rows stand in the order in which the author first names each."""
    groups: dict[tuple[object, ...], list[Part]] = {}
    for part in circuit.parts:
        key = (part.type.id, part.value, part.tolerance, part.settings)
        groups.setdefault(key, []).append(part)
    return tuple(
        Row(tuple(sorted(parts, key=_natural)), _upper(what_of(parts[0])), mark_of(parts[0]))
        for parts in groups.values()
    )


def parts_csv(circuit: Circuit) -> str:
    """The parts list as CSV (RFC 4180): references, quantity, part, marking, type."""
    out = io.StringIO()
    table = csv.writer(out, lineterminator="\r\n")
    table.writerow(["references", "quantity", "part", "marking", "type"])
    for row in rows_of(circuit):
        cells = (row.references, row.name, row.mark, row.type_title)
        references, name, mark, title = (_inert(cell) for cell in cells)
        table.writerow([references, len(row.parts), name, mark, title])
    return out.getvalue()


def _inert(cell: str) -> str:
    """Keep a spreadsheet from taking an author's word for a formula."""
    return f"'{cell}" if cell[:1] in ("=", "+", "-", "@", "\t", "\r") else cell


def _natural(part: Part) -> tuple[object, ...]:
    return tuple(int(bit) if bit.isdigit() else bit for bit in re.split(r"(\d+)", part.id))


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]
