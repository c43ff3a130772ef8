"""Operating point: net voltages and terminal currents at rest."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from buildalong.circuit import Circuit
from buildalong.engine._run import Action, Options, Run, Trial, Variation

__all__ = ["OperatingPoint", "moment", "operating_point"]


@dataclass(frozen=True, slots=True)
class OperatingPoint:
    """Voltages [V] of nets and currents [A] into terminals at one moment; ``states`` of IC cells."""

    voltages: Mapping[str, float]
    currents: Mapping[tuple[str, str], float]
    states: Mapping[str, str]


def operating_point(
    circuit: Circuit,
    variation: Variation | None = None,
    *,
    after: float = 1000.0,
    settings: Mapping[tuple[str, str], float] | None = None,
    options: Options | None = None,
) -> OperatingPoint:
    """The state ``after`` so many seconds of rest: capacitors full, nothing moving.

    ``settings`` holds buttons and the like at (part, setting) -> value from the start.  A circuit that
    oscillates has no rest: then this is a moment of its motion.
    """
    from buildalong.engine._simulate import simulate

    actions = tuple(Action(0.0, part, name, value) for (part, name), value in (settings or {}).items())
    run = simulate(circuit, Trial("operating point", after, actions), variation, options)
    return moment(run, float(run.times[-1]))


def moment(run: Run, time: float) -> OperatingPoint:
    """What a circuit did at one time [s] of a run, between samples by straight lines; at a jump, after it.

    Raises ValueError for a time outside the run, or a run without waveforms.
    """
    times = run.times
    if len(times) < 2 or not times[0] <= time <= times[-1]:
        raise ValueError("the run has no waveforms at this time")
    after = min(int(np.searchsorted(times, time, side="right")), len(times) - 1)
    width = float(times[after] - times[after - 1])
    share = (time - float(times[after - 1])) / width if width > 0 else 1.0

    def at(values: NDArray[np.float64]) -> list[float]:
        return [float(x) for x in values[after - 1] + share * (values[after] - values[after - 1])]

    return OperatingPoint(
        dict(zip(run.nets, at(run.voltages), strict=True)),
        dict(zip(run.pins, at(run.currents), strict=True)),
        {f"{e.part}.{e.what}": e.after for e in run.events if e.kind == "state" and e.time <= time},
    )
