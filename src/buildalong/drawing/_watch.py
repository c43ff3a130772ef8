"""Which curves of a run are worth drawing, and the levels that its ICs watch."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from buildalong.circuit import Circuit, Part
from buildalong.drawing._course import SETTINGS
from buildalong.engine import Run
from buildalong.quantity import parse
from buildalong.story import said_level
from buildalong.words import say, with_unit

__all__ = ["SHOWING", "STEADY", "Threshold", "said_threshold", "usual_thresholds", "usual_traces"]

Floats = NDArray[np.float64]
MOST_NETS = 4
MOST_BARS = 12
SHOWING = {"led": "lit", "buzzer": "heard", "motor": "turning"}
"""Families whose work a learner notices, and the word for it."""
WATCHED, OUTPUT, TRANSISTOR, OTHER = range(4)
"""How much a net tells, best first."""
STEADY = 0.015
"""A level that strays less than this from its middle, relative to the range shown, is one number."""
MOVES = 0.25
"""A net that moves less than this [V] tells no story."""


@dataclass(frozen=True)
class Threshold:
    """A level on the curve of a net: ``level`` [V], constant or over ``run.times``, and its name."""

    net: str
    level: float | Floats
    name: str

    def over(self, run: Run) -> Floats:
        """The level over the times of its run [V]."""
        return np.broadcast_to(np.asarray(self.level, float), run.times.shape)

    def at(self, run: Run, times: float | Floats) -> Floats:
        """The level at times of its run [s], in volts."""
        return np.asarray(np.interp(times, run.times, self.over(run)))

    def within(self, run: Run, span: tuple[float, float]) -> tuple[float, float]:
        """Its middle, and how far it strays from it, in a part of its run [V], by equal times."""
        shown = self.at(run, np.linspace(*span, 500))
        middle = float(np.median(shown))
        return middle, float(np.percentile(np.abs(shown - middle), 97))


def said_threshold(volts: float) -> str:
    """A level as the story tells it, '0.7 V'; one near nothing to a hundredth."""
    if 5e-3 <= abs(volts) < 0.095:
        return with_unit(f"{volts:.2f}".replace("-", "−"), "V")
    return said_level(volts)


def usual_traces(run: Run) -> tuple[str, ...]:
    """What is pressed, turned or lit from outside, the nets that tell most (watched first), then lights."""
    circuit = run.circuit
    acted = {a.part for a in run.trial.actions if a.setting in ("pressed", "thrown", *SETTINGS)}
    buttons = [p.id for p in circuit.parts if p.id in acted]
    lights = [p.id for p in circuit.parts if p.type.family in SHOWING]
    watched = [threshold.net for threshold in usual_thresholds(run)]
    rank: dict[str, int] = {}
    for net in run.nets:
        # What happens in the first instant is the supply coming up, which moves every net.
        if net in (circuit.plus, circuit.ground) or _travel(run, net) < MOVES:
            continue
        roles = (_interest(circuit.by_id[pin.part], pin.terminal) for pin in circuit.nets.get(net, ()))
        rank[net] = WATCHED if net in watched else min(roles, default=OTHER)
    if WATCHED in rank.values():
        rank = {net: at for net, at in rank.items() if at <= OUTPUT}
    counting = {pin.part for net, at in rank.items() if at == OUTPUT for pin in circuit.nets[net]} & set(
        lights
    )
    if len(counting) > 2:
        # Many lights on as many outputs: their bars tell it.
        rank = {n: at for n, at in rank.items() if at != OUTPUT or not _lights_on(circuit, n)}
    best = sorted(rank, key=lambda net: (rank[net], run.nets.index(net)))[:MOST_NETS]
    shown = sorted(best, key=lambda net: (rank[net] == OUTPUT, run.nets.index(net)))
    return (*buttons[:MOST_BARS], *shown, *lights[:MOST_BARS])


def _interest(part: Part, terminal: str) -> int:
    role = part.type.terminal(terminal).role
    if part.type.model.get("cells") and role in ("output", "open-output"):
        return OUTPUT if role == "output" or not _has_output(part) else OTHER
    if role in ("base", "collector"):
        return TRANSISTOR
    return OTHER


def _lights_on(circuit: Circuit, net: str) -> bool:
    return any(circuit.by_id[pin.part].type.family == "led" for pin in circuit.nets[net])


def _has_output(part: Part) -> bool:
    return any(terminal.role == "output" for terminal in part.type.terminals)


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
    # Where two inputs are compared, the level is drawn on the one that moves more.
    own = max(inputs, key=lambda name: _travel(run, part.net(name)))
    net = part.net(own)
    if net is None or net not in run.nets or net in (run.circuit.plus, run.circuit.ground):
        return []
    others = [part.net(name) or "" for name in inputs if name != own]
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
    return [Threshold(net, level / terms[own], others[0] if others else say(watcher["name"]))]


def _travel(run: Run, net: str | None) -> float:
    """How far a net moves after the first instant [V]."""
    if net is None or net not in run.nets:
        return -1.0
    later = run.times >= run.times[0] + 0.01 * (run.times[-1] - run.times[0])
    values = run.voltage(net)[later]
    return float(np.ptp(values)) if values.size else 0.0
