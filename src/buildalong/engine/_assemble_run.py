"""Turn what the kernels wrote into a Run: named voltages, terminal currents, events, extremes, verdicts."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from buildalong.engine import _slots as s
from buildalong.engine._elements import terminal_name
from buildalong.engine._events import Events
from buildalong.engine._power_up import SETTLING, wakings
from buildalong.engine._run import Extremes, Run
from buildalong.engine._verdicts import verdicts_of

if TYPE_CHECKING:
    from buildalong.engine._simulate import Stage

__all__ = ["assemble_run"]

Floats = NDArray[np.float64]


def assemble_run(stage: Stage) -> Run:
    """Collect the results of a finished (or paused) stage."""
    net, machine, circuit = stage.net, stage.machine, stage.circuit
    nets = tuple(circuit.nets)
    pins = tuple((p.id, t.name) for p in circuit.parts for t in p.type.terminals)
    n = len(net.nodes) - 1
    extremes: dict[str, Extremes] = {}
    if stage.samples:
        times, voltages, currents, extremes = _sampled(stage, nets, pins)
    else:
        times, voltages, currents = np.zeros(0), np.zeros((0, len(nets))), np.zeros((0, len(pins)))
    events = Events(stage.net, circuit, stage.trial, stage.events, _stopped(stage))
    statistics = {
        "steps": int(machine.I[s.STEPS]) - stage.repeated,
        "repeated": stage.turns,
        "rejected": int(machine.I[s.REJECTS]),
        "solves": int(machine.I[s.SOLVES]),
        "iterations": int(machine.I[s.ITERATIONS]),
        "failed": int(machine.I[s.FAILS]),
        "jumps": int(machine.I[s.JUMPS]),
        "nodes": n,
        "samples": len(times),
        "ended": float(machine.F[s.S_T]),
        "nominal": net.nominal,
    }
    return Run(
        circuit,
        stage.trial,
        nets,
        pins,
        times,
        voltages,
        currents,
        events,
        extremes,
        verdicts_of(stage, times, voltages, currents),
        _undetermined(stage),
        statistics,
    )


def _stopped(stage: Stage) -> float | None:
    """When the limit on events stopped it [s]."""
    return float(stage.machine.F[s.S_T]) if stage.outcome == s.TOO_MANY_EVENTS else None


def _sampled(
    stage: Stage, nets: tuple[str, ...], pins: tuple[tuple[str, str], ...]
) -> tuple[Floats, Floats, Floats, dict[str, Extremes]]:
    """Times, voltages of nets, currents of pins and extremes from the recorded samples."""
    net, machine, parts = stage.net, stage.machine, stage.circuit.parts
    data: Floats = np.concatenate(stage.samples)
    n = len(net.nodes) - 1
    index = {name: i for i, name in enumerate(net.nodes)}
    times = data[:, 0].copy()
    volts = np.zeros((len(data), n + 1))
    volts[:, :n] = data[:, 1 : n + 1]
    voltages = volts[:, [machine.rows[index[name]] for name in nets]]
    where = {pin: i for i, pin in enumerate(pins)}
    currents = data[:, n + 1 :] @ _incidence(stage, where, data.shape[1] - n - 1)
    # every terminal's own voltage, open ones too, for stress
    names = [terminal_name(p, i) for p in parts for i in range(len(p.nets))]
    pin_volts = volts[:, [machine.rows[index[name]] for name in names]]
    return times, voltages, currents, _extremes(stage, times, pin_volts, currents, where)


def _incidence(stage: Stage, where: dict[tuple[str, str], int], columns: int) -> Floats:
    net = stage.net
    out = np.zeros((columns, len(where)))
    row = 0
    for e in net.elements:
        if len(e.nodes) == 3:
            c, b, x = ((e.part, str(t)) for t in e.ends)
            out[row, where[b]] += 1.0
            out[row, where[x]] -= 1.0
            out[row + 1, where[c]] += 1.0
            out[row + 1, where[x]] -= 1.0
            row += 2
            continue
        a, b2 = e.ends
        if a is not None:
            out[row, where[e.part, a]] += 1.0
        if b2 is not None:
            out[row, where[e.part, b2]] -= 1.0
        row += 1
    return out


def _extremes(
    stage: Stage, times: Floats, volts: Floats, currents: Floats, where: dict[tuple[str, str], int]
) -> dict[str, Extremes]:
    out: dict[str, Extremes] = {}
    if len(times) < 2:
        return out
    dt = np.diff(times)
    total = max(float(times[-1] - times[0]), 1e-30)
    for part in stage.circuit.parts:
        cols = [where[part.id, t.name] for t in part.type.terminals]
        v, i = volts[:, cols], currents[:, cols]
        power = np.einsum("ij,ij->i", v, i)
        energy = float(np.sum(0.5 * (power[1:] + power[:-1]) * dt))
        reverse = 0.0
        if part.type.polarised and len(cols) == 2:
            reverse = float(np.max(v[:, 1] - v[:, 0]))
        out[part.id] = Extremes(
            float(np.max(np.abs(i))),
            float(np.max(v.max(axis=1) - v.min(axis=1))),
            max(reverse, 0.0),
            float(np.max(np.abs(power))),
            energy / total,
            energy,
        )
    return out


def _undetermined(stage: Stage) -> tuple[str, ...]:
    """Parts that wake in one of several states, none of which anything forces."""
    if stage.at_rest is None or stage.trial.lasts <= SETTLING:
        return ()
    ways = wakings(stage.at_rest, stage.circuit, stage.trial, stage.options)
    differing: list[str] = []
    for way in ways[1:]:
        for (name, state), (_, usual) in zip(way, ways[0], strict=True):
            part = name.partition(".")[0]
            if state != usual and part not in differing:
                differing.append(part)
    return tuple(differing)
