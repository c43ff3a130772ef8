"""A recording from an oscilloscope or a logic analyser: a CSV of times and voltages.

The first column is time in seconds, each other one a channel in volts.  Lines before the first row of
numbers are a header; the last of them with as many cells as the rows, units apart, gives the names.
Commas, semicolons and tabs part the cells; with semicolons or tabs a comma may stand for the decimal
point.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from buildalong.finding import Finding, Place, Severity, Unreadable

__all__ = ["MAX_ROWS", "MAX_TEXT", "Recording", "read_recording", "rhythm_of"]

MAX_TEXT = 50_000_000
MAX_ROWS = 2_000_000
MAX_CHANNELS = 32
_HEADER = 40
_UNITS = {"v", "mv", "volt", "volts", "a", "ma", "s", "second", "seconds"}

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Recording:
    """``times`` [s], shape (n,), rising; ``channels`` name -> volts, shape (n,)."""

    times: Floats = field(repr=False)
    channels: dict[str, Floats] = field(repr=False)


def read_recording(text: str, file: str) -> Recording:
    """Read a recording.  Raises Unreadable with line and column where it is none."""
    if len(text) > MAX_TEXT:
        raise _refused(file, 1, 1, f"the recording is larger than {MAX_TEXT // 1_000_000} MB", "thin it out")
    lines = text.removeprefix("\ufeff").splitlines()
    mark = _mark(lines[:200])
    first = next((i for i, line in enumerate(lines[:_HEADER]) if _row(line, mark) is not None), None)
    if first is None:
        raise _refused(
            file, 1, 1, "no row of numbers stands in the first lines", "the first column is time in seconds"
        )
    width = len(_row(lines[first], mark) or ())
    if not 2 <= width <= MAX_CHANNELS + 1:
        raise _refused(file, first + 1, 1, f"a row has {width} columns", "give a time and 1 to 32 voltages")
    rows: list[tuple[float, ...]] = []
    for number, line in enumerate(lines[first:], start=first + 1):
        if not line.strip():
            continue
        if len(rows) >= MAX_ROWS:
            raise _refused(file, number, 1, f"the recording has more than {MAX_ROWS} rows", "thin it out")
        row = _row(line, mark)
        if row is None or len(row) != width:
            column = _bad_column(line, mark, width)
            said = f"this row is not {width} numbers"
            raise _refused(file, number, column, said, "mend or delete the row")
        if rows and row[0] < rows[-1][0]:
            raise _refused(file, number, 1, "time runs backwards here", "sort the rows by time")
        rows.append(row)
    table = np.array(rows, dtype=np.float64)
    names = _names(lines[:first], mark, width)
    return Recording(table[:, 0], {name: table[:, i + 1] for i, name in enumerate(names)})


def _mark(lines: Sequence[str]) -> str:
    """What parts the cells: a semicolon or tab where most lines have one, since a comma may be decimal."""
    some = [line for line in lines if line.strip()]
    return next((m for m in ";\t" if 2 * sum(m in line for line in some) > len(some)), ",")


def _cells(line: str, mark: str) -> list[str]:
    cells = [cell.strip().strip('"').strip() for cell in line.split(mark)]
    return cells[:-1] if len(cells) > 2 and not cells[-1] else cells


def _number(cell: str, mark: str) -> float | None:
    try:
        value = float(cell.replace(",", ".") if mark != "," else cell)
    except ValueError:
        return None
    return value if math.isfinite(value) else None


def _row(line: str, mark: str) -> tuple[float, ...] | None:
    numbers = [_number(cell, mark) for cell in _cells(line, mark)]
    known = [number for number in numbers if number is not None]
    return tuple(known) if len(known) == len(numbers) and len(known) > 1 else None


def _bad_column(line: str, mark: str, width: int) -> int:
    cells = _cells(line, mark)
    bad = next((i for i, cell in enumerate(cells) if _number(cell, mark) is None), min(len(cells), width))
    return 1 + sum(len(cell) + 1 for cell in line.split(mark)[:bad])


def _names(header: Sequence[str], mark: str, width: int) -> list[str]:
    fitting = [cells for line in reversed(header) if len(cells := _cells(line, mark)) == width]
    named = [cells[1:] for cells in fitting if all(cells) and len(set(cells[1:])) == width - 1]
    # a line of units stands between the names and the numbers
    best = next((names for names in named if not all(n.strip("()[]").lower() in _UNITS for n in names)), None)
    if best is not None or named:
        return [name[:40] for name in best or named[0]]
    return [f"channel {i + 1}" for i in range(width - 1)]


def _refused(file: str, line: int, column: int, message: str, hint: str) -> Unreadable:
    return Unreadable(
        Finding(Severity.FATAL, "recording-unreadable", message, hint, Place(file, line, column))
    )


def rhythm_of(recording: Recording, channel: str) -> dict[str, float]:
    """Measure a channel's rhythm: on_time, off_time, period, frequency, duty, as far as whole ones are there.

    It counts as on above the middle between its low and high levels (the 5 % and 95 % quantiles), with a
    band of a tenth of their distance against noise.  Incomplete intervals at both ends are left out.
    Raises KeyError for an unknown channel.
    """
    volts = recording.channels[channel]
    low, high = np.quantile(volts, [0.05, 0.95])
    if high - low <= 1e-9:
        return {}
    middle, band = 0.5 * (low + high), 0.05 * (high - low)
    edges = _edges(recording.times, volts, middle, band)
    on = [b - a for (a, up), (b, _) in itertools.pairwise(edges) if up]
    off = [b - a for (a, up), (b, _) in itertools.pairwise(edges) if not up]
    starts = [time for time, up in edges if up]
    out: dict[str, float] = {}
    if on:
        out["on_time"] = float(np.mean(on))
    if off:
        out["off_time"] = float(np.mean(off))
    if len(starts) > 1:
        out["period"] = (starts[-1] - starts[0]) / (len(starts) - 1)
        out["frequency"] = 1.0 / out["period"]
        inside = [b - a for (a, up), (b, _) in itertools.pairwise(edges) if up and a < starts[-1]]
        out["duty"] = float(np.sum(inside)) / (starts[-1] - starts[0])
    return out


def _edges(times: Floats, volts: Floats, middle: float, band: float) -> list[tuple[float, bool]]:
    """Crossings of the middle, each counted only once the band has been left on the other side."""
    out: list[tuple[float, bool]] = []
    state: bool | None = None
    crossed = float(times[0])
    for i in range(len(times)):
        if i and (volts[i] - middle) * (volts[i - 1] - middle) <= 0 and volts[i] != volts[i - 1]:
            share = (middle - volts[i - 1]) / (volts[i] - volts[i - 1])
            crossed = float(times[i - 1] + min(max(share, 0.0), 1.0) * (times[i] - times[i - 1]))
        now = True if volts[i] > middle + band else False if volts[i] < middle - band else state
        if state is not None and now is not None and now != state:
            out.append((crossed, now))
        state = now
    return out
