"""The file of results: one marked part for each section, replaced whole or not at all."""

from __future__ import annotations

import os
import re
from pathlib import Path

__all__ = ["RESULTS", "parts", "store"]

RESULTS = Path(__file__).parent / "RESULTS.md"
HEAD = """# Results

Written by `make bench` (`python -m benchmarks`). Each section states when, where and by which command it
was measured; a section that was not run again keeps its figures and its date. Figures hold for that machine;
ratios and counts carry over better than times.
"""
MARK = re.compile(r"^<!-- section (\w+) -->$", re.MULTILINE)


def parts(text: str) -> dict[str, str]:
    """Sections of a file of results by name."""
    found = MARK.split(text)
    return {name: body.strip() + "\n" for name, body in zip(found[1::2], found[2::2], strict=True)}


def store(file: Path, name: str, body: str) -> None:
    """Put a section into the file; an interruption leaves the file as it was."""
    known = parts(file.read_text(encoding="utf-8")) if file.exists() else {}
    known[name] = body.strip() + "\n"
    text = HEAD + "".join(f"\n<!-- section {key} -->\n\n{known[key]}" for key in sorted(known))
    new = file.with_suffix(".new")
    new.write_text(text, encoding="utf-8")
    os.replace(new, file)
