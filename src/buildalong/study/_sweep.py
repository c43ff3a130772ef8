"""A sweep: one number of a circuit takes many values, and everything asked is measured at each."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from buildalong.circuit import Circuit
from buildalong.engine import Run, Trial, Variation, simulate_many
from buildalong.finding import Finding, Severity, Unreadable
from buildalong.study._asked import Asked, Progress, measured
from buildalong.study._parameters import Parameter, find_parameter

__all__ = ["MOST_VALUES", "Column", "Sweep", "runs_of", "spaced", "sweep"]

MOST_VALUES = 1000
"""Most values of one sweep."""
RTOL = 1e-5
"""Error allowed in each step: finer than usual, so that curves come out smooth."""


@dataclass(frozen=True, slots=True)
class Column:
    """One measure over a sweep: ``values`` in its unit, NaN where it never happened, and then ``why``."""

    asked: Asked
    values: tuple[float, ...]
    why: tuple[str, ...]

    @property
    def missing(self) -> int:
        """At how many values there was nothing to measure."""
        return sum(map(math.isnan, self.values))


@dataclass(frozen=True)
class Sweep:
    """What was measured while one number went through ``values`` (in the unit of ``parameter``)."""

    circuit: Circuit = field(repr=False)
    trial: Trial = field(repr=False)
    parameter: Parameter
    values: tuple[float, ...]
    columns: tuple[Column, ...]


def spaced(low: float, high: float, count: int, *, ratio: bool = False) -> tuple[float, ...]:
    """``count`` values from ``low`` to ``high``: at equal steps, or with ``ratio`` at equal ratios.

    Raises Unreadable for a count outside 2 to ``MOST_VALUES``, equal ends, and for ratios through zero.
    """
    if not 2 <= count <= MOST_VALUES:
        raise _refused("count-out-of-range", f"a sweep takes 2 to {MOST_VALUES} values, not {count}", "")
    if not (math.isfinite(low) and math.isfinite(high)) or low == high:
        raise _refused("range-empty", f"from {low:g} to {high:g} is no range", "give two different ends")
    if not ratio:
        return (*(low + (high - low) * i / (count - 1) for i in range(count - 1)), high)
    if low <= 0 or high <= 0:
        raise _refused("range-empty", "equal ratios need two ends above zero", "take equal steps instead")
    return (*(low * (high / low) ** (i / (count - 1)) for i in range(count - 1)), high)


def sweep(
    circuit: Circuit,
    trial: Trial,
    parameter: Parameter | str,
    values: Sequence[float],
    measures: Sequence[Asked],
    *,
    progress: Progress | None = None,
) -> Sweep:
    """Measure a circuit while one of its numbers takes the given values.

    ``parameter`` is one of :func:`parameters` or its name ("R1", "U1.trigger"); ``values`` are in its unit.
    Variants run on all cores.  Raises Unreadable for a part, number, measure or value that cannot be.
    """
    which = find_parameter(circuit, parameter) if isinstance(parameter, str) else parameter
    _check(which, values)
    if not measures:
        raise _refused("nothing-measured", "nothing is asked", "ask for a measure like on_time(DS1)")
    say = progress or (lambda share, text: None)
    rows = measured(circuit, trial, _variants(which, values), measures, RTOL, say)
    columns = tuple(
        Column(asked, tuple(row[i][0] for row in rows), tuple(row[i][1] for row in rows))
        for i, asked in enumerate(measures)
    )
    return Sweep(circuit, trial, which, tuple(values), columns)


def runs_of(
    circuit: Circuit, trial: Trial, parameter: Parameter | str, values: Sequence[float]
) -> tuple[Run, ...]:
    """The whole runs, with their waveforms, at a few values of a number; raises as :func:`sweep`."""
    which = find_parameter(circuit, parameter) if isinstance(parameter, str) else parameter
    _check(which, values)
    return tuple(simulate_many(circuit, trial, _variants(which, values)))


def _variants(parameter: Parameter, values: Sequence[float]) -> list[Variation]:
    return [Variation((((parameter.part, parameter.name), float(value)),)) for value in values]


def _check(parameter: Parameter, values: Sequence[float]) -> None:
    if not 1 <= len(values) <= MOST_VALUES:
        message = f"a sweep takes 1 to {MOST_VALUES} values, not {len(values)}"
        raise _refused("count-out-of-range", message, "")
    for value in values:
        if not parameter.allows(value):
            raise Unreadable(parameter.refusal(value))


def _refused(code: str, message: str, hint: str) -> Unreadable:
    return Unreadable(Finding(Severity.FATAL, code, message, hint))
