"""Which curves of a run are worth drawing, and the levels that its ICs watch."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from buildalong.circuit import Part
from buildalong.engine import Run
from buildalong.quantity import parse

__all__ = ["Threshold", "usual_thresholds", "usual_traces"]

Floats = NDArray[np.float64]
MOST_NETS = 4
MOST_BARS = 12
MOVES = 0.25
"""A net that moves less than this [V] tells no story."""


@dataclass(frozen=True)
class Threshold:
    """A level on the curve of a net: ``level`` [V], constant or over ``run.times``; ``name`` for the reader."""

    net: str
    level: float | Floats
    name: str


def usual_traces(run: Run) -> tuple[str, ...]:
    """Buttons that are pressed, the nets that tell most (watched ones first), then the lights."""
    circuit = run.circuit
    acted = {a.part for a in run.trial.actions if a.setting in ("pressed", "thrown")}
    buttons = [p.id for p in circuit.parts if p.id in acted]
    lights = [p.id for p in circuit.parts if p.type.family == "led"]
    watched = [threshold.net for threshold in usual_thresholds(run)]
    rank: dict[str, int] = {}
    for net in run.nets:
        values = run.voltage(net)
        if net in (circuit.plus, circuit.ground) or float(np.ptp(values)) < MOVES:
            continue
        rank[net] = (
            0
            if net in watched
            else min(
                (_interest(circuit.by_id[pin.part], pin.terminal) for pin in circuit.nets.get(net, ())),
                default=9,
            )
        )
    best = sorted(rank, key=lambda net: (rank[net], run.nets.index(net)))[:MOST_NETS]
    shown = sorted(best, key=lambda net: (rank[net] == 2, run.nets.index(net)))
    return (*buttons[:MOST_BARS], *shown, *lights[:MOST_BARS])


def _interest(part: Part, terminal: str) -> int:
    role = part.type.terminal(terminal).role
    if role in ("output", "open-output") and part.type.body.shape == "dip":
        return 2
    if role in ("base", "collector"):
        return 3
    if part.type.value is not None and part.type.value.unit == "F":
        return 4
    return 6


def usual_thresholds(run: Run) -> tuple[Threshold, ...]:
    """The levels of every watcher that fired in the run, on the net of the input that it watches."""
    fired = {(event.part, event.what) for event in run.events if event.kind == "watch"}
    out: list[Threshold] = []
    for part in run.circuit.parts:
        for cell in part.type.model.get("cells", ()):
            for watcher in cell.get("watchers", ()):
                if (part.id, watcher["name"]) in fired:
                    out += _threshold(run, part, watcher)
    return tuple(out)


def _threshold(run: Run, part: Part, watcher: dict[str, Any]) -> list[Threshold]:
    terms: dict[str, float] = watcher["sum"]
    inputs = [name for name in terms if part.type.terminal(name).role == "input"]
    if not inputs:
        return []
    own = inputs[0]
    net = part.net(own)
    if net is None or net not in run.nets or net in (run.circuit.plus, run.circuit.ground):
        return []
    level = np.full(run.times.size, parse(watcher["level"]["typ"]).value)
    for name, factor in terms.items():
        other = part.net(name)
        if name == own:
            continue
        if other is None:
            # An open terminal has no curve of its own; its level cannot be told from outside.
            return []
        if other in run.nets:
            level = level - factor * run.voltage(other)
    return [Threshold(net, level / terms[own], watcher["name"])]
