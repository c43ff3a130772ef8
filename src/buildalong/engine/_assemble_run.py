"""Turn what the kernels wrote into a Run: named voltages, terminal currents, events, extremes, verdicts."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from buildalong.engine import _slots as s
from buildalong.engine._power_up import SETTLING, wakings
from buildalong.engine._run import Event, Extremes, Run
from buildalong.engine._verdicts import verdicts_of

if TYPE_CHECKING:
    from buildalong.engine._simulate import Stage

__all__ = ["assemble_run"]

Floats = NDArray[np.float64]
KINDS = ("supply", "action", "watch", "state", "light", "limit")


def assemble_run(stage: Stage) -> Run:
    """Collect the results of a finished (or paused) stage."""
    net, machine, circuit = stage.net, stage.machine, stage.circuit
    width = int(machine.I[s.WIDTH])
    data: Floats = np.concatenate(stage.samples) if stage.samples else np.zeros((0, width))
    n = len(net.nodes) - 1
    nets = tuple(circuit.nets)
    index = {name: i for i, name in enumerate(net.nodes)}
    wide = np.zeros((len(data), n + 2))
    wide[:, : n + 1] = data[:, : n + 1]
    times = wide[:, 0].copy()
    volts = np.zeros((len(data), n + 1))
    volts[:, :n] = data[:, 1 : n + 1]
    columns = [machine.rows[index[name]] for name in nets]
    voltages = volts[:, columns] if nets else np.zeros((len(data), 0))
    pins = tuple((p.id, t.name) for p in circuit.parts for t in p.type.terminals)
    where = {pin: i for i, pin in enumerate(pins)}
    currents = data[:, n + 1 :] @ _incidence(stage, where, width - n - 1)
    # every terminal's own voltage, open ones too, for stress
    pin_rows = [machine.rows[index[_node(p, i)]] for p in circuit.parts for i in range(len(p.nets))]
    pin_volts = volts[:, pin_rows] if pin_rows else np.zeros((len(data), 0))
    events = _events(stage)
    extremes = _extremes(stage, times, pin_volts, currents, where)
    statistics = {
        "steps": int(machine.I[s.STEPS]),
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


def _node(part: object, i: int) -> str:
    from buildalong.engine._netlist import _Builder

    return _Builder.terminal_name(part, i)  # type: ignore[arg-type]


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


def _events(stage: Stage) -> tuple[Event, ...]:
    net = stage.net
    rows = np.concatenate(stage.events) if stage.events else np.zeros((0, s.EV_COLUMNS))
    out: list[Event] = []
    supply = next((p.id for p in stage.circuit.parts if p.type.family == "supply"), "")
    for t, kind, what, before, after, because in rows.tolist():
        name = KINDS[int(kind)]
        i, cause = int(what), int(because)
        if name == "supply":
            out.append(Event(t, "supply", supply, "on", True, "off", "on", cause))
        elif name == "action":
            a = stage.trial.actions[i]
            out.append(Event(t, "action", a.part, a.setting, a.value > 0.5, "", f"{a.value:g}", cause))
        elif name == "watch":
            w = net.watchers[i]
            out.append(Event(t, "watch", w.part, w.name, after > 0.5, because=cause))
        elif name == "light":
            w = net.watchers[i]
            lit = after > 0.5
            words = ("dark", "lit") if lit else ("lit", "dark")
            out.append(Event(t, "light", w.part, "light", lit, *words, because=cause))
        else:
            c = net.cells[i]
            out.append(
                Event(t, "state", c.part, c.name, True, c.states[int(before)], c.states[int(after)], cause)
            )
    if stage.outcome == s.TOO_MANY_EVENTS:
        out.append(Event(float(stage.machine.F[s.S_T]), "limit", "", "events", because=len(out) - 1))
    return tuple(out)


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
