"""Choosing two resistors of E24 and a capacitor of E12 for two targets, and 2,000 builds of each demo.

CPU time of the process, all threads, after one warm-up; with two cores free the wait is about half.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from pathlib import Path

from benchmarks._clock import spent
from benchmarks._report import Report
from buildalong.choose import Choice, Free, choose, from_series
from buildalong.lesson import Lesson, load, targets_of
from buildalong.quantity import Quantity
from buildalong.spread import Target, spread

TITLE = "Values: choosing and spread"
EXAMPLES = Path(__file__).parents[1] / "examples"
CHOOSING = 3.0
SPREADING = 15.0
CORES = 2


def lesson(name: str) -> Lesson:
    return load(EXAMPLES / name)


def chosen() -> Choice:
    """The lighthouse with 0.6 s on and 3 s off."""
    read = lesson("lighthouse")
    trial = read.trials[0].name
    wanted = [
        Target("on_time", "DS1", trial, Quantity(0.6, "s"), 0.06),
        Target("off_time", "DS1", trial, Quantity(3.0, "s"), 0.3),
    ]
    ranges = {"R1": ("E24", 1e3, 3.3e6), "R2": ("E24", 1e3, 3.3e6), "C1": ("E12", 1e-6, 1e-3)}
    free = [
        Free(read.circuit.by_id[name], from_series(read.circuit.by_id[name], *given))
        for name, given in ranges.items()
    ]
    return choose(read.circuit, read.trials, wanted, free)


def run(report: Report) -> None:
    """Time one choice, then the spread of every demo."""
    found = chosen()
    cpu = spent(chosen)
    began = time.perf_counter()
    chosen()
    wall = time.perf_counter() - began
    report.table(
        ("choice", "combinations", "simulated", "largest miss near by", "exact", "CPU time", "wall clock"),
        [("2 × E24, 1 × E12, 2 targets", found.grid, found.simulated, f"{found.miss:.2%}", found.exact,
          f"{cpu:.2f} s", f"{wall:.2f} s")],
    )  # fmt: skip
    report.target(
        "a choice, CPU time over two cores", f"{CHOOSING} s", f"{cpu / CORES:.2f} s", cpu / CORES < CHOOSING
    )

    read = lesson("lighthouse")
    once, again = (
        spread(read.circuit, read.trials, targets_of(read), samples=200).outcomes[0].values.tobytes()
        for _ in range(2)
    )
    report.target(
        "the same seed gives the same bytes", "equal", "equal" if once == again else "other", once == again
    )

    def rows() -> Iterator[tuple[object, ...]]:
        names = sorted(folder.name for folder in EXAMPLES.iterdir())
        for number, name in enumerate(names):
            report.progress(number, len(names), "demos built 2,000 times")
            read = lesson(name)
            before = time.process_time()
            made = spread(read.circuit, read.trials, targets_of(read))
            took = time.process_time() - before
            yields = ", ".join(f"{outcome.kept:.1%}" for outcome in made.outcomes)
            yield name, len(made.factors), yields, f"{took:.1f} s", f"{took / CORES:.1f} s"

    table = report.table(("demo", "factors", "promises kept in", "CPU time", "over two cores"), rows())
    slowest = max(float(str(row[4]).split()[0]) for row in table)
    report.target(
        "2,000 builds of a demo, over two cores", f"{SPREADING} s", f"{slowest} s", slowest < SPREADING
    )
