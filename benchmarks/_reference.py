"""Decks of the reference simulator: their measures and their time."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

from benchmarks._clock import child

__all__ = ["EMPTY", "longer", "measures", "relaxed", "span", "tightened", "time_of"]

EMPTY = "empty\nV1 a 0 1\nR1 a 0 1\n.op\n.end\n"
FOUND = re.compile(r"^(\w+)\s+=\s+([-+.\deE]+)", re.MULTILINE)
TRAN = re.compile(r"^(\.tran \S+ )(\S+)( \S+ )([\d.]+)(\w*)", re.MULTILINE)
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


def relaxed(text: str, step: str, tolerance: str) -> str:
    """The deck's text with this largest step and tolerance, as its author would set them for speed."""
    text = re.sub(r"reltol=1e-5 abstol=\S+ vntol=\S+ method=gear maxord=2", f"reltol={tolerance}", text)
    return TRAN.sub(lambda m: f"{m[1]}{m[2]}{m[3]}{step}", text)


def longer(text: str, lasts: float) -> str:
    """The deck's text for a run of so many seconds, with its supply on all the while."""
    text = text.replace("1u 1u 1e3 2e3", "1u 1u 1e6 2e6")
    return TRAN.sub(lambda m: f"{m[1]}{lasts:g}{m[3]}{m[4]}{m[5]}", text)


def measures(deck: Path) -> dict[str, float]:
    """Run a deck; its measures by name."""
    done = subprocess.run(
        ["ngspice", "-b", deck.name], cwd=deck.parent, capture_output=True, text=True, timeout=120, check=True
    )
    return {key: float(value) for key, value in FOUND.findall(done.stdout) if key == key.lower()}


def time_of(deck: Path) -> float:
    """CPU time of one whole batch run [s]."""
    return child(["ngspice", "-b", deck.name], deck.parent)
