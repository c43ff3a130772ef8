"""What is so inside an IC at one moment of a run: voltages, watched levels, states."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from buildalong.circuit import Part
from buildalong.engine import Run
from buildalong.parts import Condition, InsideWire
from buildalong.quantity import parse

__all__ = ["Moment", "State", "levels_between", "moment_at", "moved_by", "state_at", "usual"]


HARDLY = 0.02
"""A net that jumps by less than this share of the supply hardly moves; our choice."""
SOON = 0.05
"""What an edge moves within this time [s], and then leaves where it is, moves at once; our choice."""
MOVES = 0.15
"""Such a movement is worth telling from this share of the supply on."""


@dataclass(frozen=True, slots=True)
class Moment:
    """A time of a run [s], and how many of the run's events have happened by then.

    At an ``edge``, where something switches, a net that hardly moves by it is taken just before: that is the
    level that made it switch.  What the edge moves is taken just after.
    """

    time: float
    events: int
    edge: bool = False


@dataclass(frozen=True)
class State:
    """The inside of one IC.

    ``volts`` by terminal (None where it is open), truth of the watchers by (cell, watcher), state by
    cell ("" before the supply wakes it).  ``soon`` are the voltages of terminals that go elsewhere at once,
    such as those of a capacitor that a switch has just begun to empty.
    """

    part: Part
    time: float
    supply: float
    volts: Mapping[str, float | None]
    watchers: Mapping[tuple[str, str], bool] = field(default_factory=dict)
    cells: Mapping[str, str] = field(default_factory=dict)
    soon: Mapping[str, float] = field(default_factory=dict)

    def holds(self, condition: Condition) -> bool:
        """Whether a condition of the plan is true."""
        if condition.states:
            return self.cells.get(condition.cell, "") in condition.states
        true = all(self.watchers[condition.cell, name] for name in condition.watchers)
        return true and not any(self.watchers[condition.cell, name] for name in condition.unless)

    def level(self, wire: InsideWire) -> float | None:
        """The voltage of a wire that is a sum of terminal voltages [V]; None where one is open."""
        total = 0.0
        for name, factor in wire.sum.items():
            volts = self.volts[name]
            if volts is None:
                return None
            total += factor * volts
        return total

    def high(self, terminal: str) -> bool | None:
        """Whether a terminal is above half of the supply; None where it is open."""
        volts = self.volts[terminal]
        return None if volts is None else volts > 0.5 * self.supply

    def idle(self, cell: str) -> bool:
        """Whether a unit of an IC with several has no output in use."""
        pins = self.part.type.inside.pins if self.part.type.inside else ()
        own = [p.terminal for p in pins if p.cell == cell]
        roles = {name: self.part.type.terminal(name).role for name in own}
        outputs = [name for name, role in roles.items() if role in ("output", "open-output")]
        return bool(cell and outputs) and all(self.part.net(name) is None for name in outputs)

    @property
    def key(self) -> tuple[object, ...]:
        """What is the same in two moments that look alike inside, apart from voltages."""
        shown = list(self.part.type.inside.conditions()) if self.part.type.inside else []
        return (*sorted(self.cells.items()), *(self.holds(condition) for condition in shown))


def moment_at(run: Run, time: float) -> Moment:
    """The moment just after everything that happened up to a time [s]."""
    return Moment(time, sum(1 for event in run.events if event.time <= time))


def state_at(run: Run, part_id: str, moment: Moment) -> State:
    """The inside of an IC at a moment; raises KeyError for a part that is not there.

    Watchers and states are those of the run's own events; a watcher that never fired is as it is
    with everything at 0 V.
    """
    part = run.circuit.by_id[part_id]
    watchers: dict[tuple[str, str], bool] = {}
    cells: dict[str, str] = {}
    named: dict[str, list[tuple[str, str]]] = {}
    for cell in part.type.model.get("cells", ()):
        cells[cell["name"]] = ""
        for watcher in cell.get("watchers", ()):
            key = (cell["name"], watcher["name"])
            watchers[key] = parse(watcher["level"]["typ"]).value < 0
            named.setdefault(watcher["name"], []).append(key)
    for event in run.events[: moment.events]:
        if event.part == part_id and event.kind == "watch":
            watchers.update(dict.fromkeys(named.get(event.what, ()), event.rising))
        elif event.part == part_id and event.kind == "state":
            cells[event.what] = event.after
    supply = _after(run, run.circuit.plus, moment.time) - _after(run, run.circuit.ground, moment.time)
    nets = {net: _level(run, net, moment, supply) for net in part.nets if net is not None}
    volts = {
        terminal.name: None if net is None else nets[net]
        for terminal, net in zip(part.type.terminals, part.nets, strict=True)
    }
    names = [(t.name, net) for t, net in zip(part.type.terminals, part.nets, strict=True) if net is not None]
    later = {net: _soon(run, net, moment, nets[net], supply) for net in nets}
    soon = {name: level for name, net in names if (level := later[net]) is not None}
    return State(part, moment.time, supply, volts, watchers, cells, soon)


def _soon(run: Run, net: str, moment: Moment, now: float, supply: float) -> float | None:
    """Where an edge sends a net at once [V]; None where it stays, or goes on moving."""
    times = moment.time + SOON, moment.time + 2 * SOON
    if not moment.edge or times[-1] > run.times[-1]:
        return None
    if any(moment.time < e.time < times[-1] and e.kind in ("state", "action") for e in run.events):
        return None
    there, later = (_after(run, net, time) for time in times)
    moved = abs(there - now) > MOVES * supply and abs(later - there) < HARDLY * supply
    return there if moved else None


def _level(run: Run, net: str, moment: Moment, supply: float) -> float:
    """The voltage of a net at a moment [V], one for all its terminals."""
    after = _after(run, net, moment.time)
    before = _before(run, net, moment.time) if moment.edge else after
    return before if abs(before - after) < HARDLY * supply else after


def _after(run: Run, net: str, time: float) -> float:
    """The voltage of a net just after a time [V]."""
    times, volts = run.times, run.voltage(net)
    last = int(np.searchsorted(times, time, side="right")) - 1
    if last >= 0 and times[last] == time:
        return float(volts[last])
    return float(np.interp(time, times, volts))


def _before(run: Run, net: str, time: float) -> float:
    """The voltage of a net just before a time [V]."""
    times, volts = run.times, run.voltage(net)
    first = int(np.searchsorted(times, time, side="left"))
    if first < len(times) and times[first] == time:
        return float(volts[first])
    return float(np.interp(time, times, volts))


def levels_between(
    run: Run, net: str, ends: tuple[float, float], inner: tuple[float, float]
) -> tuple[float, float]:
    """The voltages of a net [V] at two times; at ``inner``, a little further in, where it still jumps."""
    outer = _after(run, net, ends[0]), _before(run, net, ends[1])
    settled = tuple(float(v) for v in np.interp(inner, run.times, run.voltage(net)))
    most = HARDLY * max(abs(v) for v in settled)
    first, last = (a if abs(a - b) <= most else b for a, b in zip(outer, settled, strict=True))
    return first, last


def moved_by(run: Run, part_id: str, moment: Moment) -> tuple[str, bool] | None:
    """The net of an IC's input that an edge moves most, and whether it rises; None where none jumps."""
    part = run.circuit.by_id[part_id]
    nets = {
        net for terminal, net in zip(part.type.terminals, part.nets, strict=True)
        if terminal.role == "input" and net is not None
    }  # fmt: skip
    jumps = {net: _after(run, net, moment.time) - _before(run, net, moment.time) for net in sorted(nets)}
    best = max(jumps, key=lambda net: abs(jumps[net]), default="")
    return (best, jumps[best] > 0) if best and abs(jumps[best]) > 0.5 else None


def usual(run: Run) -> tuple[str, ...]:
    """The parts of a run's circuit whose inside can be drawn."""
    return tuple(part.id for part in run.circuit.parts if part.type.inside is not None)
