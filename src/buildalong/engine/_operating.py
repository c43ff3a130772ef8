"""Operating point: net voltages and terminal currents at rest."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from buildalong.circuit import Circuit
from buildalong.engine._run import Action, Options, Trial, Variation

__all__ = ["OperatingPoint", "operating_point"]


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
    states = {f"{e.part}.{e.what}": e.after for e in run.events if e.kind == "state"}
    return OperatingPoint(
        {net: float(run.voltages[-1, i]) for i, net in enumerate(run.nets)},
        {pin: float(run.currents[-1, i]) for i, pin in enumerate(run.pins)},
        states,
    )
