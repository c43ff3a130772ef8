"""What a fresh process waits for: the first simulation with no kernel compiled yet, and later ones.

Each is a subprocess with a cache of its own; CPU time from before the import of numba to the end of the
simulation of a mailbox flag, less the import of numba. Wall-clock time beside it.
"""

from __future__ import annotations

import json
import os
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

from benchmarks._report import Report

ROOT = Path(__file__).parents[1]
TITLE = "Engine: start"
FIRST, LATER = 2, 5
FIRST_WANTED, LATER_WANTED = 10.0, 0.5
CODE = """
import json, sys, time
sys.path[:0] = PATHS
wall, cpu = time.perf_counter(), time.process_time()
import numba
numba_cpu = time.process_time() - cpu
from _demo import demo
from buildalong.engine import simulate
circuit, trial = demo("mailbox-flag")
simulate(circuit, trial)
print(json.dumps([time.perf_counter() - wall, time.process_time() - cpu - numba_cpu, numba_cpu]))
"""


def fresh(cache: str) -> tuple[float, float, float]:
    """Wall clock, CPU time beyond importing numba, and that import [s]."""
    code = CODE.replace("PATHS", repr([str(ROOT / "src"), str(ROOT / "tests" / "engine")]))
    env = {**os.environ, "NUMBA_CACHE_DIR": cache}
    done = subprocess.run(
        [sys.executable, "-c", code], env=env, capture_output=True, text=True, check=True, timeout=300
    )
    wall, cpu, numba = json.loads(done.stdout.splitlines()[-1])
    return wall, cpu, numba


def run(report: Report) -> None:
    """Measure first and later starts."""
    first, later = [], []
    for number in range(FIRST):
        report.progress(number, FIRST, "first uses")
        with tempfile.TemporaryDirectory() as cache:
            first.append(fresh(cache))
            later += [fresh(cache) for _ in range(LATER)]
    columns = ("start", "CPU beyond importing numba", "importing numba", "wall clock in all")

    def row(what: str, runs: list[tuple[float, float, float]]) -> tuple[str, ...]:
        wall, cpu, numba = (statistics.median(column) for column in zip(*runs, strict=True))
        return what, f"{cpu:.2f} s", f"{numba:.2f} s", f"{wall:.2f} s"

    report.table(
        columns, [row(f"first use ({FIRST} runs)", first), row(f"later ({FIRST * LATER} runs)", later)]
    )
    compiled = statistics.median(cpu for _, cpu, _ in first)
    started = statistics.median(cpu for _, cpu, _ in later)
    report.target("first use", f"at most {FIRST_WANTED:g} s", f"{compiled:.1f} s", compiled <= FIRST_WANTED)
    report.target("later starts", f"at most {LATER_WANTED:g} s", f"{started:.2f} s", started <= LATER_WANTED)
