"""Each demo placed on its own board: wires, the proved bound, score and processor time.

Every placement is read back and checked; errors must be 0.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from pathlib import Path

from benchmarks._report import Report

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "place"))

from _place_demo import DEMOS, demo

from buildalong.board import board
from buildalong.build.place import place, verify
from buildalong.finding import Severity

TITLE = "Placing: the demos"
BUDGET = 10.0
"""Work a placement may take, in the placer's seconds."""


def row(name: str) -> tuple[object, ...]:
    """Place one demo."""
    circuit, board_name = demo(name)
    began = time.process_time()
    found = place(circuit, board(board_name), seconds=BUDGET)
    took = time.process_time() - began
    errors = sum(f.severity >= Severity.ERROR for f in verify(circuit, found.layout))
    arching = sum(wire.style == "flexible" for wire in found.layout.wires)
    return (
        name, board_name, found.wire_count, found.lower_bound, found.proved, arching,
        round(found.score.total), errors, f"{took:.1f} s",
    )  # fmt: skip


def run(report: Report) -> None:
    """Place the demos."""

    def rows() -> Iterator[tuple[object, ...]]:
        for number, name in enumerate(DEMOS):
            report.progress(number, len(DEMOS), "demos placed")
            yield row(name)

    rows_ = report.table(
        ("demo", "board", "wires", "bound", "proved", "arching", "score", "errors", "CPU time"), rows()
    )
    errors = sum(int(str(r[7])) for r in rows_)
    report.target("errors found by reading back", "0", str(errors), errors == 0)
