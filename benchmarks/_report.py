"""What a section hands in, and how it looks: paragraphs, tables and targets, printed as they come."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterable, Sequence

__all__ = ["Report", "cell", "clock"]

EVERY = 15.0
"""Where progress does not go to a terminal, it is told so often [s]."""


def cell(value: object) -> str:
    """Text of a table's cell: numbers with three significant digits, nothing as a dash."""
    if value is None:
        return "–"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int):
        return f"{value:,}"
    if isinstance(value, float):
        return f"{value:,.0f}" if abs(value) >= 1000 else f"{value:#.3g}".rstrip(".")
    return str(value)


def clock(seconds: float) -> str:
    """Minutes and seconds, such as 3 min 07 s."""
    return f"{seconds // 60:.0f} min {int(seconds) % 60:02d} s"


class Report:
    """One section of the results; whatever it is given is printed at once and kept as Markdown."""

    def __init__(self, title: str, about: str) -> None:
        """``about`` is the docstring of the section's file."""
        self.title = title
        self.missed: list[str] = []
        self._body: list[str] = []
        self._began = self._told = time.monotonic()
        self._line = False
        print(f"\n## {title}\n", flush=True)
        self.say(about)

    def say(self, text: str) -> None:
        """Add a paragraph; the text's own line ends and indents do not matter, blank lines do."""
        for part in text.strip().split("\n\n"):
            self._put(" ".join(part.split()), "")

    def table(self, columns: Sequence[str], rows: Iterable[Sequence[object]]) -> list[Sequence[object]]:
        """Add a table; rows may come from a generator and are printed as they come.  Gives the rows.

        The first column holds words, the others figures.
        """
        self._put("| " + " | ".join(columns) + " |", "|---" + "|--:" * (len(columns) - 1) + "|")
        kept: list[Sequence[object]] = []
        for row in rows:
            if len(row) != len(columns):
                raise ValueError(f"a row of {len(row)} cells under {len(columns)} columns: {row}")
            self._put("| " + " | ".join(cell(v) for v in row) + " |")
            kept.append(row)
        self._put("")
        return kept

    def target(self, what: str, wanted: str, reached: str, met: bool) -> None:
        """State a target beside what was reached."""
        self._put(f"- {'met' if met else '**missed**'}: {what}: wanted {wanted}, reached {reached}")
        if not met:
            self.missed.append(f"{what}: wanted {wanted}, reached {reached}")

    def note(self, text: str) -> None:
        """Tell something on the error stream; not part of the results."""
        print(f"  {text}", file=sys.stderr, flush=True)

    def progress(self, done: int, total: int, what: str = "") -> None:
        """Tell on the error stream how far the work is, and since when; not part of the results."""
        text = f"{done:,} of {total:,} {what}".rstrip() + f" after {clock(time.monotonic() - self._began)}"
        if sys.stderr.isatty():
            print(f"\r{text}\033[K", end="\r" if done >= total else "", file=sys.stderr, flush=True)
            self._line = done < total
        elif time.monotonic() > self._told + EVERY or done >= total:
            self._told = time.monotonic()
            print(f"  {text}", file=sys.stderr, flush=True)

    def markdown(self, stamp: str) -> str:
        """The section's text, with where and when it was measured under its title."""
        return f"## {self.title}\n\n{stamp}\n\n" + "\n".join(self._body).strip() + "\n"

    def _put(self, *lines: str) -> None:
        if self._line:
            print("\r\033[K", end="", file=sys.stderr, flush=True)
            self._line = False
        for line in lines:
            print(line, flush=True)
            self._body.append(line)
