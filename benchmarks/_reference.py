"""Decks of the reference simulator: their measures and their time."""

from __future__ import annotations

import re
import subprocess
import tempfile
from pathlib import Path

from benchmarks._clock import child

__all__ = ["EMPTY", "measures", "span", "tightened", "time_of"]

EMPTY = "empty\nV1 a 0 1\nR1 a 0 1\n.op\n.end\n"
FOUND = re.compile(r"^(\w+)\s+=\s+([-+.\deE]+)", re.MULTILINE)
TRAN = re.compile(r"^(\.tran \S+ )(\S+)( \S+ )([\d.]+)(\w*)", re.MULTILINE)
PREFIX = {"": 1.0, "m": 1e-3, "u": 1e-6}
FINER = 50
"""A tight run takes steps so many times shorter."""


def span(deck: Path) -> float:
    """How long a deck simulates [s]."""
    found = TRAN.search(deck.read_text(encoding="utf-8"))
    if found is None:
        raise ValueError(f"{deck}: no .tran line with a largest step")
    return float(found[2])


def tightened(text: str) -> str:
    """The deck's text for its tight run: tolerances down to 1e-6, largest step cut."""
    text = re.sub(r"reltol=\S+", "reltol=1e-6 abstol=1e-12 vntol=1e-8", text)
    return TRAN.sub(lambda m: f"{m[1]}{m[2]}{m[3]}{float(m[4]) / FINER:g}{m[5]}", text)


def measures(text: str) -> dict[str, float]:
    """Run a deck given as text (without files of its own); its measures by name."""
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "deck.cir").write_text(text, encoding="utf-8")
        done = subprocess.run(
            ["ngspice", "-b", "deck.cir"], cwd=folder, capture_output=True, text=True, timeout=120, check=True
        )
    return {key: float(value) for key, value in FOUND.findall(done.stdout) if key == key.lower()}


def time_of(deck: Path) -> float:
    """CPU time of one whole batch run [s]."""
    return child(["ngspice", "-b", deck.name], deck.parent)
