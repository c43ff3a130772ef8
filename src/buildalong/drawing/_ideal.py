"""The formula beside the simulation: durations by the textbook, at their place in a run."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import pairwise

from buildalong.design import SheetEntry
from buildalong.drawing._series import high_intervals
from buildalong.engine import Run
from buildalong.quantity import Quantity

__all__ = ["Ideal", "usual_ideals"]

MOST = 3
DURATIONS = ("on_time", "off_time", "period")


@dataclass(frozen=True, slots=True)
class Ideal:
    """A duration by the formula and as measured with real parts, both in seconds, from ``start`` on."""

    title: str
    start: float
    ideal: float
    real: float

    @property
    def off(self) -> float:
        """How much longer (or shorter, below zero) the real one is, relative to the formula's."""
        return self.real / self.ideal - 1.0


def usual_ideals(
    run: Run, sheet: Iterable[SheetEntry], measured: Mapping[str, Quantity], span: tuple[float, float]
) -> tuple[Ideal, ...]:
    """The durations that the formula sheet gives and the run measured, at most three.

    ``measured`` by the names of measures, such as ``on_time(DS1)``.  Each begins where the first
    such interval of the steady rhythm begins inside ``span`` [s]; what has none there is left out.
    """
    out: list[Ideal] = []
    for entry in sheet:
        if entry.measure is None or entry.measure[0] not in DURATIONS or len(entry.measure) != 2:
            continue
        kind, target = entry.measure
        real = measured.get(f"{kind}({target})")
        if real is None or entry.result.value <= 0 or real.value <= 0:
            continue
        longest = max(entry.result.value, real.value)
        spans = _spans(run, kind, target)
        steady = spans[1:] if len(spans) > 1 else spans
        starts = [a for a, _ in (*steady, *spans) if a >= span[0] and a + longest <= span[1]]
        if starts:
            out.append(Ideal(entry.title, starts[0], entry.result.value, real.value))
    return tuple(out[:MOST])


def _spans(run: Run, kind: str, target: str) -> list[tuple[float, float]]:
    """Whole intervals of a kind, (from, to) [s]."""
    if target not in run.circuit.by_id and target not in run.nets:
        return []
    on = high_intervals(run, target)
    if kind == "on_time":
        return on
    return [((b if kind == "off_time" else a), c) for (a, b), (c, _) in pairwise(on)]
