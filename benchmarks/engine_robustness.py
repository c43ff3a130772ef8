"""Random building mistakes on every demo: ``python benchmarks/engine_robustness.py [count] [first]``.

Mistake number n of a demo is the same on every machine (tests/engine/_miswire.py).  Each run must end with
finite numbers, at the end of its trial or with a verdict that says why not, within two seconds.  Prints
how the runs ended and which took longest; ends with an error where any broke these rules.
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import numpy as np

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT / "tests" / "engine"))

from _demo import DEMOS, demo  # noqa: E402
from _miswire import miswired  # noqa: E402

from buildalong.engine import Options, check_ratings, simulate, verdict_findings  # noqa: E402

COUNT = 2_000
SLOW = 2.0
"""No mistake may take longer than this [s of CPU]."""
BLOCK = 50


@dataclass(frozen=True)
class Ending:
    """How one mistake ended: verdicts, or what broke."""

    name: str
    seed: int
    verdicts: tuple[str, ...]
    broken: str
    seconds: float


def attempt(name: str, seed: int) -> Ending:
    """Make one mistake, simulate it and judge it."""
    circuit, trial = demo(name)
    wrong = miswired(circuit, f"{name} {seed}")
    began = time.thread_time()
    broken = ""
    verdicts: tuple[str, ...] = ()
    try:
        run = simulate(wrong, trial, None, Options())
        check_ratings(run)
        verdict_findings(run)
    except Exception as error:  # the question is whether there is any
        broken = f"{type(error).__name__}: {error}"
    else:
        verdicts = tuple(sorted({v.code for v in run.verdicts}))
        whole = run.statistics["ended"] >= trial.lasts * (1 - 1e-9)
        if not (np.isfinite(run.voltages).all() and np.isfinite(run.currents).all()):
            broken = "a number that is not finite"
        elif float(np.abs(run.voltages).max(initial=0.0)) > 3.0 * run.statistics["nominal"] + 3.0:
            broken = "a voltage that no source can give"
        elif not whole and not any(v.startswith("too-") for v in verdicts):
            broken = "ended early without a verdict"
    return Ending(name, seed, verdicts, broken, time.thread_time() - began)


def block(job: tuple[str, int, int]) -> list[Ending]:
    """A block of mistakes of one demo."""
    name, first, last = job
    return [attempt(name, seed) for seed in range(first, last)]


def main() -> int:
    """Make the mistakes, print the table; 1 where a rule was broken."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else COUNT
    start = int(sys.argv[2]) if len(sys.argv) > 2 else 0
    each = -(-count // len(DEMOS))
    for name in DEMOS:
        simulate(*demo(name))  # compile, outside the clock
    jobs = [
        (name, a, min(a + BLOCK, start + each)) for a in range(start, start + each, BLOCK) for name in DEMOS
    ]
    with ProcessPoolExecutor() as pool:
        endings = [e for some in pool.map(block, jobs) for e in some]
    print("| demo | mistakes | whole trial, no verdict | with a verdict | broken | slowest |")
    print("|---|---|---|---|---|---|")
    for name in DEMOS:
        mine = [e for e in endings if e.name == name]
        judged = sum(bool(e.verdicts) and not e.broken for e in mine)
        broken = sum(bool(e.broken) for e in mine)
        slowest = max(e.seconds for e in mine)
        plain = len(mine) - judged - broken
        print(f"| {name} | {len(mine)} | {plain} | {judged} | {broken} | {slowest:.2f} s |")
    told = Counter(code for e in endings for code in e.verdicts)
    print("\nVerdicts: " + ", ".join(f"{code} {n}" for code, n in told.most_common()))
    seconds = sorted(e.seconds for e in endings)
    print(f"{len(endings)} mistakes, median {seconds[len(seconds) // 2] * 1e3:.1f} ms, slowest:")
    for e in sorted(endings, key=lambda e: -e.seconds)[:5]:
        print(f"  {e.seconds:.2f} s  {e.name} {e.seed}: {', '.join(e.verdicts) or 'no verdict'}")
    bad = [e for e in endings if e.broken or e.seconds > SLOW]
    for e in bad:
        print(f"BROKEN {e.name} {e.seed}: {e.broken or f'{e.seconds:.1f} s'}")
    return int(bool(bad))


if __name__ == "__main__":
    if main():
        raise SystemExit(1)
