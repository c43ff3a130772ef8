"""Where and when a section was measured."""

from __future__ import annotations

import datetime
import functools
import os
import platform
import re
import shutil
import subprocess
from importlib.metadata import version
from pathlib import Path

__all__ = ["cores", "load", "stamp"]


def cores() -> int:
    """Cores that this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def load() -> str:
    """Average load of the last minute, as text."""
    return f"{os.getloadavg()[0]:.1f}" if hasattr(os, "getloadavg") else "unknown"


@functools.cache
def processor() -> str:
    """The processor's name."""
    try:
        found = re.search(r"model name\s*:\s*(.+)", Path("/proc/cpuinfo").read_text(encoding="utf-8"))
    except OSError:
        found = None
    return found[1].strip() if found else platform.processor() or platform.machine()


@functools.cache
def reference() -> str:
    """The reference simulator's version."""
    if shutil.which("ngspice") is None:
        return "no ngspice"
    done = subprocess.run(["ngspice", "--version"], capture_output=True, text=True, check=False)
    found = re.search(r"ngspice-(\S+)", done.stdout)
    return f"ngspice {found[1] if found else 'of unknown version'}"


def stamp(command: str) -> str:
    """One line for the head of a section."""
    today = datetime.date.today().isoformat()
    python = f"Python {platform.python_version()}, numba {version('numba')}, numpy {version('numpy')}"
    return (
        f"*Measured {today} on {processor()}, {cores()} cores, load {load()} at the start; {python},"
        f" {reference()}; `{command}`*"
    )
