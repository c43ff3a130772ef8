"""What the author asks of the layout: the board, its style, and what is held where."""

from __future__ import annotations

import re
from dataclasses import replace

from buildalong.board import boards
from buildalong.finding import Severity, Unreadable
from buildalong.lesson._lesson import LayoutRequest, TextFile
from buildalong.lesson._reading import Reading
from buildalong.lesson._schema import LessonTable

__all__ = ["SMALLEST", "read_layout"]

SMALLEST = "smallest"
"""The board of an author who wants the smallest that fits."""


def read_layout(reading: Reading, table: LessonTable) -> LayoutRequest:
    """The request; an unknown board is a finding, and the 400 is taken in its place."""
    name = re.sub(r"\s*(tie-?points?|points?|holes?)$", "", table.board.strip())
    if name not in (*boards(), SMALLEST):
        reading.error(
            "unknown-board",
            f"there is no board '{table.board}'",
            f"boards known here: {', '.join(boards())}; or {SMALLEST}: the smallest that fits",
            reading.places.value("board"),
        )
        name = "400"
    wanted = table.layout
    if wanted is None:
        return LayoutRequest(name)
    return LayoutRequest(
        name,
        {key: tuple(value) for key, value in (wanted.model_extra or {}).items()},
        tuple(tuple(wire) for wire in wanted.wires),
        wanted.style,
        _text_file(reading, wanted.list_, "list"),
        wanted.order,
        _text_file(reading, wanted.grows_from, "grows_from"),
        tuple(wanted.where),
        tuple(wanted.keep_free),
        wanted.gentle,
    )


def _text_file(reading: Reading, name: str, key: str) -> TextFile | None:
    """A text file of the lesson folder that the layout names; None where it cannot be read."""
    if not name:
        return None
    try:
        return TextFile(reading.source.shown(name), reading.source.text(name))
    except Unreadable as error:
        place = reading.places.value("layout", key)
        for fault in error.findings:
            inside = fault.place is not None and fault.place.line > 0
            where = fault.place if inside else place
            reading.findings.append(replace(fault, severity=Severity.ERROR, place=where))
        return None
