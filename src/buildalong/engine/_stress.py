"""Stress of one part over a run: its voltages, currents and power, and for how long they last.

Heat takes time: power is averaged over a sliding second, current over a sliding 10 ms, so that a
surge is not mistaken for a steady overload.  Voltages act at once (but not for less than 1 µs).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from buildalong.circuit import Part
from buildalong.engine._run import Run

__all__ = ["BRIEF", "HEATING", "WIRE", "Stress", "lasting", "sliding_maximum"]

Floats = NDArray[np.float64]

HEATING = 1.0
"""A small body takes about this long to warm up [s] (from memory: TO-92 and 1/4 W bodies, 1 s to 10 s)."""
WIRE = 10e-3
"""Currents are averaged over this long [s]."""
BRIEF = 1e-6
"""Voltages beyond a limit count from this duration [s]."""


def sliding_maximum(times: Floats, values: Floats, width: float) -> float:
    """Largest mean of a broken line over any window of ``width`` seconds (the whole run if shorter)."""
    if len(times) < 2 or times[-1] <= times[0]:
        return float(np.max(values)) if len(values) else 0.0
    area = np.concatenate([[0.0], np.cumsum(0.5 * (values[1:] + values[:-1]) * np.diff(times))])
    span = float(times[-1] - times[0])
    if span <= width:
        return float(area[-1]) / span
    starts = np.concatenate([times, times - width])
    starts = starts[(starts >= times[0]) & (starts <= times[-1] - width)]
    if len(starts) == 0:
        starts = times[:1]
    inside = np.interp(starts + width, times, area) - np.interp(starts, times, area)
    return float(inside.max()) / width


def lasting(times: Floats, values: Floats, width: float) -> float:
    """Largest value that is reached or passed for ``width`` seconds altogether."""
    if len(times) < 2:
        return float(np.max(values)) if len(values) else 0.0
    floor = np.minimum(values[1:], values[:-1])
    order = np.argsort(-floor, kind="stable")
    held = np.cumsum(np.diff(times)[order])
    first = int(np.searchsorted(held, width))
    return float(floor[order[min(first, len(order) - 1)]])


@dataclass(frozen=True, slots=True)
class Stress:
    """One part in one run."""

    run: Run
    part: Part

    def volts(self, terminal: str) -> Floats:
        """Voltage of a terminal over time [V]."""
        net = self.part.net(terminal)
        return np.zeros(len(self.run.times)) if net is None else self.run.voltage(net)

    def amps(self, terminal: str) -> Floats:
        """Current into a terminal over time [A]."""
        return self.run.current(self.part.id, terminal)

    def role(self, role: str) -> str:
        """The terminal of a role, "" where there is none."""
        return next((t.name for t in self.part.type.terminals if t.role == role), "")

    def power(self) -> Floats:
        """Power the part takes over time [W]."""
        return np.sum([self.volts(t.name) * self.amps(t.name) for t in self.part.type.terminals], axis=0)  # type: ignore[no-any-return]

    def across(self) -> Floats:
        """Voltage from the first to the last terminal [V]."""
        first, last = self.part.type.terminals[0].name, self.part.type.terminals[-1].name
        return self.volts(first) - self.volts(last)

    def limit(self, name: str) -> float | None:
        """What the part stands, None where nothing is known."""
        chosen = dict(self.part.settings).get("rated") if name == "voltage" else None
        if chosen is not None:
            return chosen
        figure = self.part.type.ratings.get(name)
        return None if figure is None else figure.value

    def steady(self, values: Floats) -> float:
        """Largest current over 10 ms [A]."""
        return sliding_maximum(self.run.times, values, WIRE)

    def lasting(self, values: Floats) -> float:
        """Largest voltage or momentary current that lasts 1 µs altogether."""
        return lasting(self.run.times, values, BRIEF)
