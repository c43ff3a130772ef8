"""Large circuits on the board with 830 holes: the running light and two invented circuits of forty parts.

Every layout is read back and checked by two checkers, one of which shares no code with the placer; errors
must be 0. "First" is when a first correct layout was there, on the clock, with the solver and the compiled
search loaded.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from pathlib import Path

from benchmarks._report import Report

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "place"))

from _place_checker import faults
from _place_demo import demo, forty_parts, four_blinkers

from buildalong.board import board
from buildalong.build.place import Placement, place, verify
from buildalong.circuit import Circuit
from buildalong.finding import Severity

TITLE = "Placing: large circuits"
BUDGET = 10.0
"""Work a placement may take, in the placer's seconds: its usual."""
STYLES = ("formed", "link", "flexible")
RUNWAY = "runway-lights"
CIRCUITS = {RUNWAY: lambda: demo(RUNWAY)[0], "forty parts": forty_parts, "four blinkers": four_blinkers}


def row(name: str, style: str) -> tuple[object, ...]:
    """Place one circuit."""
    circuit: Circuit = CIRCUITS[name]()
    told: list[float] = []

    def first(placement: Placement) -> None:
        wrong = faults(circuit, placement.layout)
        if not wrong:
            told.append(time.monotonic() - clock)

    began, clock = time.process_time(), time.monotonic()
    found = place(circuit, board("830"), style=style, seconds=BUDGET, first=first)
    took, waited = time.process_time() - began, time.monotonic() - clock
    errors = sum(f.severity >= Severity.ERROR for f in verify(circuit, found.layout))
    errors += len(faults(circuit, found.layout))
    arching = sum(wire.style == "flexible" for wire in found.layout.wires) * (style != "flexible")
    return (
        name, len(circuit.parts) - 1, style, found.wire_count, found.lower_bound,
        found.wire_count - found.lower_bound, arching, round(found.score.total), errors,
        f"{told[0]:.1f} s" if told else "none", f"{took:.1f} s", f"{waited:.1f} s",
    )  # fmt: skip


def run(report: Report) -> None:
    """Place the circuits."""
    cases = [(name, style) for name in CIRCUITS for style in STYLES]
    place(forty_parts(), board("830"), seconds=0.01)  # loads, and compiles after a change

    def rows() -> Iterator[tuple[object, ...]]:
        for number, case in enumerate(cases):
            report.progress(number, len(cases), "layouts placed")
            yield row(*case)

    columns = (
        "circuit", "parts", "style", "wires", "bound", "gap", "arching", "score", "errors", "first",
        "CPU time", "clock",
    )  # fmt: skip
    done = report.table(columns, rows())
    errors = sum(int(str(cells[8])) for cells in done)
    report.target("errors found by reading back", "0", str(errors), errors == 0)
    firsts = [float(str(cells[9]).split()[0]) if cells[9] != "none" else 1e9 for cells in done]
    report.target("a first correct layout", "3 s", f"{max(firsts):.1f} s", max(firsts) <= 3)
    for cells in done:
        if cells[0] == RUNWAY:
            style, gap, arching = cells[2], int(str(cells[5])), int(str(cells[6]))
            report.target(f"gap of {RUNWAY}, {style}", "2", str(gap), gap <= 2)
            if style != "flexible":
                report.target(f"arching of {RUNWAY}, {style}", "0", str(arching), arching == 0)
    clock = max(float(str(cells[11]).split()[0]) for cells in done if cells[0] == RUNWAY)
    report.target(f"{RUNWAY} on the clock", "60 s", f"{clock:.1f} s", clock <= 60)
