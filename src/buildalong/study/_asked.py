"""What is measured in every run of a study."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from buildalong.circuit import Circuit
from buildalong.engine import (
    MEASURES,
    MeasureError,
    NeverHappened,
    Options,
    Run,
    Trial,
    UnknownMeasure,
    Variation,
    measure,
    simulate_many,
)
from buildalong.finding import Finding, Severity, Unreadable
from buildalong.words import say, with_unit

__all__ = ["CHUNK", "Asked", "Progress", "measured"]

Progress = Callable[[float, str], None]
CHUNK = 16
"""Runs whose waveforms are held at a time."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A measure of a target, as in :func:`buildalong.engine.measure`; ``window`` [s] is two times or none."""

    name: str
    of: str = ""
    window: tuple[float, ...] = ()

    def __str__(self) -> str:
        """Write it as an author would."""
        times = "".join(f", {time:g} s" for time in self.window)
        return f"{self.name}({self.of}{times})"

    @property
    def title(self) -> str:
        """The measure in words."""
        said = say(MEASURES[self.name].title) if self.name in MEASURES else self.name
        if self.of:
            said = say("{what} of {target}", what=said, target=self.of)
        times = " – ".join(with_unit(f"{time:g}", "s") for time in self.window)
        return f"{said} ({times})" if times else said

    @property
    def unit(self) -> str:
        """Coherent SI unit of the result, "" for a ratio."""
        return MEASURES[self.name].unit if self.name in MEASURES else ""

    def taken(self, run: Run) -> tuple[float, str]:
        """The number, and "" or why it never happened (then NaN); raises MeasureError as the engine does."""
        try:
            return measure(run, self.name, self.of, *self.window).value, ""
        except NeverHappened as error:
            return math.nan, str(error)


def measured(
    circuit: Circuit, trial: Trial, variants: Sequence[Variation], asked: Sequence[Asked], rtol: float,
    progress: Progress,
) -> list[list[tuple[float, str]]]:  # fmt: skip
    """Take each measure in each variant: rows as ``variants``, columns as ``asked``.

    Waveforms are made only where a measure needs them.  Raises Unreadable for a measure, part or net that
    is not there, or that do not suit one another.
    """
    rows: list[list[tuple[float, str]]] = []
    waveforms = False
    while len(rows) < len(variants):
        some = variants[len(rows) : len(rows) + CHUNK]
        runs = simulate_many(circuit, trial, some, Options(rtol=rtol, waveforms=waveforms, wakings=False))
        try:
            rows += [[each.taken(run) for each in asked] for run in runs]
        except MeasureError as error:
            if waveforms or isinstance(error, UnknownMeasure):
                raise Unreadable(_refusal(error)) from None
            waveforms = True
            continue
        progress(len(rows) / len(variants), f"{len(rows)} of {len(variants)} runs")
    return rows


def _refusal(error: MeasureError) -> Finding:
    near = error.nearest if isinstance(error, UnknownMeasure) else ()
    hint = f"did you mean {' or '.join(near)}?" if near else "write a measure like on_time(DS1) or max(OUT)"
    code = "unknown-measure" if isinstance(error, UnknownMeasure) else "measure-unfit"
    return Finding(Severity.FATAL, code, str(error), hint)
