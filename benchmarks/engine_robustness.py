"""Random building mistakes on every demo.

Moved leads, shorts, reversals, omissions, swapped parts, wrong decades. Mistake number n of a demo is the
same on every machine (tests/engine/_miswire.py): one to three errors each. Each run, with its ratings and
verdicts, must end with finite numbers that the sources can give, at the end of its trial or with a verdict
that says why not, within two seconds of CPU.
"""

from __future__ import annotations

import hashlib
import json
import signal
import sys
import time
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import astuple, dataclass
from pathlib import Path

import numpy as np

from benchmarks._machine import cores
from benchmarks._report import Report

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "engine"))

from _demo import DEMOS, demo
from _miswire import miswired

from buildalong.engine import Options, check_ratings, simulate, verdict_findings

TITLE = "Engine: random building mistakes"
ROOT = Path(__file__).parents[1]
SOURCE = ROOT / "src" / "buildalong"
KEPT = ROOT / "build" / "benchmarks"
COUNT = 20_000
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


def _leave_interrupts() -> None:
    """Let the parent alone answer to Ctrl-C."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)


def digest() -> str:
    """What the endings depend on: the sources of engine and parts, the demos and the mistakes."""
    seen = hashlib.sha256()
    files = [*(SOURCE / "engine").glob("*.py"), *(SOURCE / "parts").rglob("*.*"), Path(__file__)]
    files += [*(ROOT / "examples").glob("*/lesson.toml"), ROOT / "tests" / "engine" / "_miswire.py"]
    for file in sorted(f for f in files if f.suffix in (".py", ".toml")):
        seen.update(file.read_bytes())
    return seen.hexdigest()[:16]


def attempts(each: int, report: Report) -> list[Ending]:
    """The first mistakes of every demo, over all cores; takes up what an interrupted run has finished."""
    KEPT.mkdir(parents=True, exist_ok=True)
    store = KEPT / f"robustness-{digest()}.jsonl"
    endings = _finished(store)
    known = {(e.name, e.seed) for e in endings}
    if known:
        report.note(f"{len(known):,} mistakes of an interrupted run are taken up from {store}")
    for name in DEMOS:
        simulate(*demo(name))  # compile, outside the clock
    jobs = [(name, a, min(a + BLOCK, each)) for a in range(0, each, BLOCK) for name in DEMOS]
    jobs = [job for job in jobs if (job[0], job[1]) not in known]
    pool = ProcessPoolExecutor(cores(), initializer=_leave_interrupts)
    try:
        with store.open("a", encoding="utf-8") as file:
            for some in pool.map(block, jobs):
                endings += some
                # one line for a block, so that a block is there whole or not at all
                file.write(json.dumps([astuple(e) for e in some]) + "\n")
                file.flush()
                report.progress(len(endings), each * len(DEMOS), "mistakes")
    finally:
        pool.shutdown(cancel_futures=True)
    store.unlink()
    return endings


def _finished(store: Path) -> list[Ending]:
    """The endings of whole blocks in the file of an interrupted run."""
    if not store.exists():
        return []
    lines = store.read_text(encoding="utf-8").splitlines(keepends=True)
    lines = [line for line in lines if line.endswith("\n")]
    store.write_text("".join(lines), encoding="utf-8")
    whole = [json.loads(line) for line in lines]
    return [Ending(name, seed, tuple(codes), *rest) for some in whole for name, seed, codes, *rest in some]


def rows(endings: list[Ending]) -> Iterator[tuple[object, ...]]:
    """A row for each demo."""
    for name in DEMOS:
        mine = [e for e in endings if e.name == name]
        broken = sum(bool(e.broken) for e in mine)
        judged = sum(bool(e.verdicts) and not e.broken for e in mine)
        slowest = max(mine, key=lambda e: e.seconds)
        yield (
            name, len(mine), len(mine) - judged - broken, judged, broken,
            f"{slowest.seconds:.2f} s (number {slowest.seed})",
        )  # fmt: skip


def run(report: Report) -> None:
    """Make the mistakes; state how they ended and which took longest."""
    endings = attempts(-(-COUNT // len(DEMOS)), report)
    report.table(
        ("demo", "mistakes", "whole trial, no verdict", "with a verdict", "broken", "slowest"), rows(endings)
    )
    told = Counter(code for e in endings for code in e.verdicts)
    report.say(
        "Verdicts (one run may have several): " + ", ".join(f"{c} {n:,}" for c, n in told.most_common())
    )
    seconds = np.sort([e.seconds for e in endings])
    report.say(
        f"CPU time of a mistake: median {np.median(seconds) * 1e3:.1f} ms, 99 of 100 under"
        f" {seconds[int(0.99 * len(seconds))] * 1e3:.0f} ms, all together {seconds.sum():.0f} s."
    )
    bad = [e for e in endings if e.broken]
    for e in bad:
        report.say(f"Broken: {e.name} {e.seed}: {e.broken}")
    report.target(
        "mistakes that end with a result or verdict", f"all of at least {COUNT:,}",
        f"{len(endings) - len(bad):,} of {len(endings):,}", not bad and len(endings) >= COUNT,
    )  # fmt: skip
    report.target("the slowest", f"under {SLOW:.0f} s", f"{seconds[-1]:.2f} s", bool(seconds[-1] < SLOW))
