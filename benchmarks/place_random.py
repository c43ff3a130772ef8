"""Random circuits of up to 12 parts, placed quickly and read back.

The checker shares no code with the placer.

Parts and nets are drawn at random (``tests/place/_place_random.py``), boards and wire styles in turn. A
violation is: the board does not make the circuit, a hole is used twice, bodies collide, a lead lies under a
body, legs do not fit. Layouts that the placer itself tells to be unfinished are counted apart.
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from pathlib import Path

from benchmarks._report import Report

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "place"))

from _place_checker import faults
from _place_random import random_circuit

from buildalong.board import board
from buildalong.build.place import place
from buildalong.finding import Severity

TITLE = "Placing: random circuits"
COUNT = 2000
PARTS = 12
BUDGETS = (0.02, 0.02, 0.02, 0.1)
"""Work a placement may take, in the placer's seconds, in turn: quick layouts, where mistakes would show."""
CASES = [(b, s) for b in ("170", "400", "830") for s in ("formed", "link", "flexible")]


def one(seed: int) -> tuple[str, bool, int, bool, float]:
    """Place one circuit: board, whether the placer says it is finished, violations, proved, CPU time."""
    board_name, style = CASES[seed % len(CASES)]
    circuit = random_circuit(seed, PARTS)
    began = time.process_time()
    found = place(circuit, board(board_name), style=style, seconds=BUDGETS[seed % len(BUDGETS)])
    took = time.process_time() - began
    finished = not any(f.severity >= Severity.ERROR for f in found.findings)
    wrong = len(faults(circuit, found.layout)) if finished else 0
    return board_name, finished, wrong, found.proved, took


def run(report: Report) -> None:
    """Place all circuits."""
    count: Counter[str] = Counter()
    finished: Counter[str] = Counter()
    proved: Counter[str] = Counter()
    violations: Counter[str] = Counter()
    slowest: dict[str, float] = {}
    for seed in range(COUNT):
        report.progress(seed, COUNT, "circuits placed")
        name, done, wrong, best, took = one(seed)
        count[name] += 1
        finished[name] += done
        proved[name] += best
        violations[name] += wrong
        slowest[name] = max(slowest.get(name, 0.0), took)
    report.table(
        ("board", "circuits", "finished", "violations", "proved best", "slowest, CPU time"),
        [(n, count[n], finished[n], violations[n], proved[n], f"{slowest[n]:.1f} s") for n in count],
    )
    wrong = sum(violations.values())
    report.target(f"violations in {COUNT} random circuits", "0", str(wrong), wrong == 0)
