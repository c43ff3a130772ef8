"""CPU time of the engine beside the reference simulator, in one run: ``python benchmarks/engine_speed.py``.

Each demo is simulated for the time its hand-written deck (tests/engine/reference) covers; medians of
five pairs.  Ours: one call of ``simulate``, from circuit to Run, without waveforms and with them.
Theirs: CPU time of a whole batch run, less that of an empty deck.
"""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT / "tests" / "engine"))

from _demo import demo  # noqa: E402

from buildalong.engine import Options, Variation, simulate, simulate_many  # noqa: E402

SPANS = {"lighthouse": 9.0, "cupboard-light": 14.0, "level-crossing": 5.0, "dusk-light": 20.0}
PAIRS = 5


def children_cpu() -> float:
    """CPU seconds of finished child processes."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def reference(deck: Path) -> float:
    """CPU seconds of one batch run."""
    before = children_cpu()
    subprocess.run(["ngspice", "-b", deck.name], cwd=deck.parent, capture_output=True, check=False)
    return children_cpu() - before


def ours(name: str, lasts: float, options: Options) -> float:
    """CPU seconds of one simulation."""
    circuit, trial = demo(name)
    trial = replace(trial, lasts=lasts)
    before = time.process_time()
    simulate(circuit, trial, None, options)
    return time.process_time() - before


def table() -> None:
    """Print the ratios."""
    decks = ROOT / "tests" / "engine" / "reference"
    with tempfile.TemporaryDirectory() as folder:
        empty = Path(folder) / "empty.cir"
        empty.write_text("empty\nV1 a 0 1\nR1 a 0 1\n.op\n.end\n")
        nothing = statistics.median(reference(empty) for _ in range(PAIRS))
    print(f"{'demo':16} {'ours':>9} {'sampled':>9} {'reference':>10} {'ratio':>7} {'sampled':>8}")
    for name, lasts in SPANS.items():
        light, full = Options(waveforms=False), Options()
        ours(name, lasts, light)
        ours(name, lasts, full)
        a, b, c = [], [], []
        for _ in range(PAIRS):
            a.append(ours(name, lasts, light))
            b.append(ours(name, lasts, full))
            c.append(reference(decks / f"{name}.cir") - nothing)
        x, y, z = (statistics.median(v) for v in (a, b, c))
        print(f"{name:16} {x * 1e3:7.2f}ms {y * 1e3:7.2f}ms {z * 1e3:8.1f}ms {z / x:7.0f} {z / y:8.0f}")


def variants(count: int = 1000, pairs: int = 3) -> None:
    """Print the time of many variants of the steered astable over 20 cycles, on one core and on all."""
    circuit, trial = demo("lighthouse")
    trial = replace(trial, lasts=20 * 2.73)
    changes = [Variation(((("C1", "value"), 10e-6 * (0.9 + 0.2 * i / count)),)) for i in range(count)]
    options = Options(waveforms=False)
    cores = sorted(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else []
    simulate_many(circuit, trial, changes[:8], options)

    def took(chosen: list[int]) -> float:
        if cores:
            os.sched_setaffinity(0, chosen)
        start = time.perf_counter()
        simulate_many(circuit, trial, changes, options)
        return time.perf_counter() - start

    one, every = [], []
    for _ in range(pairs):
        every.append(took(cores))
        one.append(took(cores[:1]))
    if cores:
        os.sched_setaffinity(0, cores)
    ratio = statistics.median(x / y for x, y in zip(one, every, strict=True))
    print(
        f"{count} variants, 20 cycles each: {statistics.median(one):.2f} s on one core,"
        f" {statistics.median(every):.2f} s on {len(cores)} cores, {ratio:.2f} times as fast"
    )


def first_use() -> None:
    """Print how long a fresh process waits: empty cache, then filled."""
    code = (
        f"import sys,time; sys.path.insert(0,{str(ROOT / 'tests/engine')!r});"
        "t=time.process_time();"
        "import numba; n=time.process_time()-t;"
        "from _demo import demo; from buildalong.engine import simulate; simulate(*demo('mailbox-flag'));"
        "print(f'{time.process_time()-t-n:.2f} s CPU beyond importing numba ({n:.2f} s)')"
    )
    with tempfile.TemporaryDirectory() as folder:
        for words in ("first use, empty cache:", "later start:"):
            done = subprocess.run(
                [sys.executable, "-c", code], env={"NUMBA_CACHE_DIR": folder, "PATH": ""},
                capture_output=True, text=True, check=True,
            )  # fmt: skip
            print(words, done.stdout.strip())


if __name__ == "__main__":
    table()
    variants()
    first_use()
