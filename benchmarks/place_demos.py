"""Each demo placed on each board in each wire style: wires, the proved bound and the time it took.

Every placement is read back and checked; errors must be 0.  The flat bound is that of layouts in which no
wire arches over; one with arching wires may have fewer, down to the bound.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from pathlib import Path

from benchmarks._report import Report

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "place"))

from _place_checker import faults
from _place_demo import DEMOS, demo

from buildalong.board import board
from buildalong.build.place import place, verify
from buildalong.finding import Severity

TITLE = "Placing: the demos"
BUDGET = 10.0
"""Work a placement may take, in the placer's seconds."""
BOARDS = ("170", "400", "830")
STYLES = ("formed", "link", "flexible")
LARGE = {"runway-lights": ("830",)}
"""Demos that fit only some boards."""


def row(name: str, board_name: str, style: str) -> tuple[object, ...]:
    """Place one demo."""
    circuit, _ = demo(name)
    began, clock = time.process_time(), time.monotonic()
    found = place(circuit, board(board_name), style=style, seconds=BUDGET)
    took, waited = time.process_time() - began, time.monotonic() - clock
    errors = sum(f.severity >= Severity.ERROR for f in verify(circuit, found.layout))
    errors += len(faults(circuit, found.layout))
    arching = sum(wire.style == "flexible" for wire in found.layout.wires) * (style != "flexible")
    return (
        name, board_name, style, found.wire_count, found.lower_bound, found.flat_bound, found.proved, arching,
        round(found.score.total), errors, f"{took:.1f} s", f"{waited:.1f} s",
    )  # fmt: skip


def run(report: Report) -> None:
    """Place the demos."""
    cases = [(n, b, s) for n in DEMOS for b in LARGE.get(n, BOARDS) for s in STYLES]

    def rows() -> Iterator[tuple[object, ...]]:
        for number, case in enumerate(cases):
            report.progress(number, len(cases), "layouts placed")
            yield row(*case)

    rows_ = report.table(
        (
            "demo",
            "board",
            "style",
            "wires",
            "bound",
            "flat bound",
            "proved",
            "arching",
            "score",
            "errors",
            "CPU time",
            "clock",
        ),
        rows(),
    )
    errors = sum(int(str(r[9])) for r in rows_)
    report.target("errors found by reading back", "0", str(errors), errors == 0)
    small = [r for r in rows_ if str(r[0]) not in LARGE]
    gap = max(int(str(r[3])) - int(str(r[5])) for r in small)
    report.target("greatest gap between wires and bound, one IC or none", "1", str(gap), gap <= 1)
    arching = sum(int(str(r[7])) for r in small)
    report.target("wires of these that arch over though the style is flat", "0", str(arching), arching == 0)
    for r in rows_:
        if str(r[0]) in LARGE:
            gap, over = int(str(r[3])) - int(str(r[5])), int(str(r[7]))
            what = f"gap of {r[0]} to its flat bound, {r[2]}"
            report.target(what, "2", f"{gap}, {over} arching", gap <= 2 and not over)
