"""Sensitivity: by how many per cent a measure moves when a number of the circuit moves by one per cent."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from buildalong.circuit import Circuit
from buildalong.engine import Trial, Variation
from buildalong.finding import Finding, Severity, Unreadable
from buildalong.study._asked import Asked, Progress, measured
from buildalong.study._parameters import Parameter, find_parameter, parameters

__all__ = ["STEP", "Influence", "Sensitivity", "sensitivity"]

STEP = 0.01
"""Each number is moved by one per cent up and down: the error of the central difference is of its square."""
RTOL = 1e-6
"""Error allowed in each step of the simulation, far below the difference that is looked for."""
MOST = 500
"""Most numbers in one study."""
KINK = 0.2
"""Slopes up and down that differ by more than this part (and 0.05) belong to no smooth curve."""


@dataclass(frozen=True, slots=True)
class Influence:
    """How one number moves one measure: ``relative`` in per cent for each per cent, NaN where there is none.

    ``smooth`` is False where the slopes upwards and downwards disagree: the measure has a step or a kink
    there.  ``why`` says what is wrong where there is no number.
    """

    parameter: Parameter
    asked: Asked
    relative: float
    smooth: bool = True
    why: str = ""


@dataclass(frozen=True)
class Sensitivity:
    """All influences, for each measure the strongest first, and what each measure is unchanged."""

    circuit: Circuit = field(repr=False)
    trial: Trial = field(repr=False)
    usual: tuple[tuple[Asked, float], ...]
    influences: tuple[Influence, ...]

    def of(self, parameter: str, asked: Asked | None = None) -> Influence:
        """The influence of a number ("R1") on a measure, the first one without; raises KeyError."""
        wanted = asked or self.usual[0][0]
        for influence in self.influences:
            if str(influence.parameter) == parameter and influence.asked == wanted:
                return influence
        raise KeyError(parameter)


def sensitivity(
    circuit: Circuit,
    trial: Trial,
    measures: Sequence[Asked],
    numbers: Sequence[Parameter | str] = (),
    *,
    progress: Progress | None = None,
) -> Sensitivity:
    """Relative sensitivities (dM/M)/(dp/p) of measures to numbers, by central differences on the simulation.

    ``numbers``: names or parameters; without any, the values of all parts and the supply's voltage.  Raises
    Unreadable for a part, number or measure that is not there, or more than 500 numbers.
    """
    chosen = [find_parameter(circuit, n) if isinstance(n, str) else n for n in numbers]
    chosen = chosen or [p for p in parameters(circuit) if p.main]
    chosen = list(dict.fromkeys(chosen))
    if not 1 <= len(chosen) <= MOST or not measures:
        message = f"a study of sensitivity takes 1 to {MOST} numbers and at least one measure"
        raise Unreadable(Finding(Severity.FATAL, "count-out-of-range", message))
    moving = [p for p in chosen if p.value != 0]
    variants = [Variation()]
    for p in moving:
        variants += [Variation((((p.part, p.name), p.value * (1 + s)),)) for s in (STEP, -STEP)]
    say = progress or (lambda share, text: None)
    rows = measured(circuit, trial, variants, measures, RTOL, say)
    out: list[Influence] = []
    for column, asked in enumerate(measures):
        usual = rows[0][column]
        found = [
            _influence(p, asked, usual, rows[1 + 2 * i][column], rows[2 + 2 * i][column])
            for i, p in enumerate(moving)
        ]
        found += [
            Influence(p, asked, math.nan, why="it is 0, which has no per cent")
            for p in chosen
            if p.value == 0
        ]
        out += sorted(found, key=_strongest_first)
    usual_values = tuple((asked, rows[0][i][0]) for i, asked in enumerate(measures))
    return Sensitivity(circuit, trial, usual_values, tuple(out))


def _strongest_first(influence: Influence) -> tuple[bool, float]:
    nothing = math.isnan(influence.relative)
    return nothing, 0.0 if nothing else -round(abs(influence.relative), 4)


def _influence(
    parameter: Parameter,
    asked: Asked,
    usual: tuple[float, str],
    up: tuple[float, str],
    down: tuple[float, str],
) -> Influence:
    reason = usual[1] or up[1] or down[1] or ("it measures 0, which has no per cent" if usual[0] == 0 else "")
    if reason:
        return Influence(parameter, asked, math.nan, why=reason)
    rising = (up[0] - usual[0]) / (STEP * usual[0])
    falling = (usual[0] - down[0]) / (STEP * usual[0])
    relative = (up[0] - down[0]) / (2 * STEP * usual[0])
    smooth = abs(rising - falling) <= KINK * max(abs(rising), abs(falling)) + 0.05
    return Influence(parameter, asked, relative, smooth)
