"""CPU time: of a call, of a child process, and medians of interleaved repeats."""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path

__all__ = ["child", "growth", "medians", "spent"]


def spent(call: Callable[[], object]) -> float:
    """CPU time of a call in this process, all threads [s]."""
    before = time.process_time()
    call()
    return time.process_time() - before


def child(command: Sequence[str], folder: Path, env: dict[str, str] | None = None) -> float:
    """CPU time of a command that runs in a folder, user and system [s]; raises where it fails."""
    process = subprocess.Popen(
        command, cwd=folder, env=env, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    _, status, used = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode:
        raise RuntimeError(f"{' '.join(command)} ended with {process.returncode}")
    return used.ru_utime + used.ru_stime


def medians(repeats: int, *calls: Callable[[], float]) -> list[float]:
    """Median of what each call gives, over repeats in which all take their turn."""
    taken = [[call() for call in calls] for _ in range(repeats)]
    return [statistics.median(column) for column in zip(*taken, strict=True)]


def growth(sizes: Sequence[float], costs: Sequence[float]) -> float:
    """Exponent p of the least-squares line of log cost over log size: cost grows as size to the p."""
    import numpy as np

    return float(np.polyfit(np.log(sizes), np.log(costs), 1)[0])


if sys.platform == "win32":  # pragma: no cover - no wait4
    raise ImportError("the benchmarks need os.wait4")
