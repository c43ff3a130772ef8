"""1,000 variants of the diode-steered astable (lighthouse) over 20 cycles, on one core and on two.

The time is CPU time of the process for one core, wall-clock time for the speed-up, in interleaved pairs;
both say little while other work runs on the machine (see the load above). Growth is the exponent p of
cost ~ size^p, by least squares over the logarithms. With cycles it is stated twice: as it is, cycles that
begin in equal states being repeated, and with every cycle computed.
"""

from __future__ import annotations

import os
import statistics
import time
from collections.abc import Callable
from dataclasses import replace

from benchmarks._cases import CASES
from benchmarks._clock import growth, spent
from benchmarks._machine import load
from benchmarks._report import Report
from buildalong.engine import Options, simulate_many

TITLE = "Engine: many variants"
PAIRS = 15
COUNT = 1000
OPTIONS = Options(waveforms=False, wakings=False)
CASE = next(c for c in CASES if c.name == "lighthouse")


def work(count: int, cycles: int, orbits: bool = True) -> Callable[[], object]:
    """What simulates variants over so many cycles, repeating orbits or computing all."""
    circuit, trial, variants = CASE.circuit, CASE.over(cycles * CASE.cycle), CASE.variants(count)
    options = replace(OPTIONS, orbits=orbits)
    return lambda: simulate_many(circuit, trial, variants, options)


def took(count: int, cycles: int, chosen: list[int]) -> tuple[float, float]:
    """Wall-clock and CPU time on these cores [s]."""
    before = os.sched_getaffinity(0)
    os.sched_setaffinity(0, chosen)
    try:
        ready = work(count, cycles)
        began = time.perf_counter()
        cpu = spent(ready)
        return time.perf_counter() - began, cpu
    finally:
        os.sched_setaffinity(0, before)


def run(report: Report) -> None:
    """Scaling over cores, variants and cycles."""
    free = sorted(os.sched_getaffinity(0))
    work(8, 20)()
    pairs = []
    for number in range(PAIRS):
        report.progress(number, PAIRS, "pairs")
        pairs.append((took(COUNT, 20, free[:1]), took(COUNT, 20, free[:2])))
    one = statistics.median(a[0] for a, _ in pairs)
    two = statistics.median(b[0] for _, b in pairs)
    faster = statistics.median(a[0] / b[0] for a, b in pairs)
    cpu_one, cpu_two = (statistics.median(pair[i][1] for pair in pairs) for i in (0, 1))
    report.table(
        ("cores", "wall clock", "CPU time", "CPU time of each"),
        [
            ("1", f"{one:.2f} s", f"{cpu_one:.2f} s", f"{cpu_one / COUNT * 1e3:.2f} ms"),
            ("2", f"{two:.2f} s", f"{cpu_two:.2f} s", f"{cpu_two / COUNT * 1e3:.2f} ms"),
        ],
    )
    spread = ", ".join(f"{ratio:.2f}" for ratio in sorted(a[0] / b[0] for a, b in pairs))
    report.say(
        f"Two cores over one in each of {PAIRS} pairs, in order of size: {spread}. Load at the end: {load()}."
    )
    counts = (50, 100, 200, 400, 800)
    by_count = [spent(work(n, 20)) for n in counts]
    cycles = (5, 10, 20, 40, 80, 160)
    by_cycles = [spent(work(100, n)) for n in cycles]
    computed = [spent(work(100, n, orbits=False)) for n in cycles]
    many, long, all_computed = (
        growth(*pair) for pair in ((counts, by_count), (cycles, by_cycles), (cycles, computed))
    )
    report.table(
        ("growth with", "sizes", "CPU time", "exponent"),
        [
            ("variants (20 cycles each)", _list(counts), _list([f"{t:.2f} s" for t in by_count]), many),
            ("cycles (100 variants)", _list(cycles), _list([f"{t:.2f} s" for t in by_cycles]), long),
            (
                "cycles (100 variants), all computed",
                _list(cycles),
                _list([f"{t:.2f} s" for t in computed]),
                all_computed,
            ),
        ],
    )
    report.target("1,000 variants on two cores", "under 5 s", f"{two:.2f} s", two < 5.0)
    report.target("two cores over one", "at least 1.7 times", f"{faster:.2f} times", faster >= 1.7)
    report.target("growth with variants", "linear", f"exponent {many:.2f}", many < 1.1)
    report.target("growth with cycles", "linear at most", f"exponent {long:.2f}", long < 1.1)
    report.target(
        "growth with cycles, all computed", "linear", f"exponent {all_computed:.2f}", all_computed < 1.1
    )


def _list(values: object) -> str:
    return ", ".join(str(v) for v in values)  # type: ignore[attr-defined]
