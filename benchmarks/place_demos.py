"""Measure the placer: wires, proved bound, score and processor time of each demo on each board.

Run: .venv/bin/python benchmarks/place_demos.py [seconds] [demo ...]
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "place"))

from _place_demo import DEMOS, demo

from buildalong.board import board
from buildalong.build.place import place, verify
from buildalong.finding import Severity


def main() -> None:
    """Print one row of a Markdown table for each demo on its own board."""
    seconds = float(sys.argv[1]) if len(sys.argv) > 1 else 10.0
    print("| demo | board | wires | bound | proved | arching | score | errors | processor time |")
    print("|---|---|---|---|---|---|---|---|---|")
    for name in sys.argv[2:] or DEMOS:
        circuit, board_name = demo(name)
        began = time.process_time()
        found = place(circuit, board(board_name), seconds=seconds)
        took = time.process_time() - began
        errors = sum(f.severity >= Severity.ERROR for f in verify(circuit, found.layout))
        arching = sum(wire.style == "flexible" for wire in found.layout.wires)
        print(
            f"| {name} | {board_name} | {found.wire_count} | {found.lower_bound} |"
            f" {'yes' if found.proved else 'no'} | {arching} | {found.score.total:.0f} | {errors} |"
            f" {took:.1f} s |",
            flush=True,
        )


if __name__ == "__main__":
    main()
