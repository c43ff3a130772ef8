"""Wires of a careful human layout beside the placer's own, for each demo.

The lists in ``benchmarks/hand_layouts`` were made from the schematics, without sight of the placer's
layouts. Each is read back and checked; errors must be 0.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from benchmarks._report import Report
from buildalong.board import board
from buildalong.build.hand import read_list
from buildalong.build.place import place, score, verify
from buildalong.finding import Severity
from buildalong.lesson import load

TITLE = "Placing: a careful hand beside the placer"
HERE = Path(__file__).parent
LISTS = sorted((HERE / "hand_layouts").glob("*.txt"))


def row(file: Path) -> tuple[object, ...]:
    """Read one list, and place the same circuit."""
    lesson = load(HERE.parent / "examples" / file.stem)
    circuit, size = lesson.circuit, board(lesson.board)
    trials = [trial.name for trial in lesson.trials]
    layout = read_list(file.read_text("utf-8"), file.name, circuit, size, trials=trials).layout
    if layout is None:
        raise ValueError(f"{file.name} cannot be read")
    wrong = sum(f.severity >= Severity.ERROR for f in verify(circuit, layout))
    found = place(circuit, size)
    return (
        file.stem, size.name, len(layout.wires), found.wire_count, found.lower_bound,
        round(score(circuit, layout).total), round(found.score.total), wrong,
    )  # fmt: skip


def run(report: Report) -> None:
    """Compare all lists."""

    def rows() -> Iterator[tuple[object, ...]]:
        for number, file in enumerate(LISTS):
            report.progress(number, len(LISTS), "demos placed")
            yield row(file)

    columns = ("demo", "board", "by hand", "placed", "at least", "score by hand", "score placed", "errors")
    done = report.table(columns, rows())
    worse = [str(cells[0]) for cells in done if int(str(cells[3])) > int(str(cells[2]))]
    report.target("no demo with more wires than by hand", "none", ", ".join(worse) or "none", not worse)
