"""Ratings: each part's stress over the run against what its data sheet allows, in time.

Heat takes time: power is averaged over a sliding second, current over a sliding 10 ms, so that a
surge is not mistaken for a steady overload.  Voltages act at once (but not for less than 1 µs).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from buildalong.circuit import Part
from buildalong.engine._run import Run
from buildalong.finding import Finding, Severity
from buildalong.quantity import format_quantity

__all__ = ["check_ratings", "sliding_maximum"]

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


def _lasting(times: Floats, values: Floats, width: float) -> float:
    """Largest value that is reached or passed for ``width`` seconds altogether."""
    if len(times) < 2:
        return float(np.max(values)) if len(values) else 0.0
    floor = np.minimum(values[1:], values[:-1])
    order = np.argsort(-floor, kind="stable")
    held = np.cumsum(np.diff(times)[order])
    first = int(np.searchsorted(held, width))
    return float(floor[order[min(first, len(order) - 1)]])


@dataclass(frozen=True, slots=True)
class _Stress:
    run: Run
    part: Part

    def volts(self, terminal: str) -> Floats:
        net = self.part.net(terminal)
        return np.zeros(len(self.run.times)) if net is None else self.run.voltage(net)

    def amps(self, terminal: str) -> Floats:
        return self.run.current(self.part.id, terminal)

    def role(self, role: str) -> str:
        return next((t.name for t in self.part.type.terminals if t.role == role), "")

    def power(self) -> Floats:
        return np.sum([self.volts(t.name) * self.amps(t.name) for t in self.part.type.terminals], axis=0)  # type: ignore[no-any-return]

    def across(self) -> Floats:
        first, last = self.part.type.terminals[0].name, self.part.type.terminals[-1].name
        return self.volts(first) - self.volts(last)

    def limit(self, name: str) -> float | None:
        chosen = dict(self.part.settings).get("rated") if name == "voltage" else None
        if chosen is not None:
            return chosen
        figure = self.part.type.ratings.get(name)
        return None if figure is None else figure.value

    def finding(
        self, severity: Severity, code: str, what: str, value: float, limit: float, unit: str, tail: str
    ) -> Finding:
        shown, allowed = format_quantity(value, unit, 2), format_quantity(limit, unit)
        return Finding(
            severity,
            code,
            f"{self.part.id} ({self.part.type.noun}): {what} is {shown}, but {allowed} is allowed{tail}",
            about=(self.part.id,),
        )


def check_ratings(run: Run) -> list[Finding]:
    """Compare every part's stress over the whole run with its ratings; worst first."""
    out: list[Finding] = []
    if len(run.times) < 2:
        return out
    for part in run.circuit.parts:
        stress = _Stress(run, part)
        family = part.type.family
        if family == "supply":
            out += _supply(stress)
            continue
        out += _power(stress)
        if stress.role("supply"):
            out += _chip(stress)
        elif family == "transistor":
            out += _transistor(stress)
        else:
            out += _two_leads(stress)
    return sorted(out, key=lambda f: -f.severity)


def _power(stress: _Stress) -> list[Finding]:
    limit = stress.limit("power")
    if limit is None:
        return []
    mean = sliding_maximum(stress.run.times, stress.power(), HEATING)
    if mean > limit:
        tail = ": it gets too hot." if mean < 3 * limit else ": it would burn out."
        return [stress.finding(Severity.ERROR, "overheats", "its power", mean, limit, "W", tail)]
    return []


def _two_leads(stress: _Stress) -> list[Finding]:
    out: list[Finding] = []
    run = stress.run
    times, across = run.times, stress.across()
    current = np.abs(stress.amps(stress.part.type.terminals[0].name))
    if len(stress.part.type.terminals) == 3:
        current = np.max([np.abs(stress.amps(t.name)) for t in stress.part.type.terminals], axis=0)
    limit = stress.limit("current")
    if limit is not None:
        mean = sliding_maximum(times, current, WIRE)
        if mean > limit:
            light = stress.part.type.family == "led"
            tail = ": a light without a resistor." if light and mean > 3 * limit else "."
            out.append(stress.finding(Severity.ERROR, "overcurrent", "its current", mean, limit, "A", tail))
        pulse = stress.limit("pulse_current")
        peak = _lasting(times, current, BRIEF)
        if not out and pulse is not None and peak > pulse:
            out.append(
                stress.finding(
                    Severity.WARNING, "surge", "its surge current", peak, pulse, "A", " in a pulse."
                )
            )
    limit = stress.limit("voltage")
    if limit is not None:
        volt = _lasting(times, np.abs(across) if not stress.part.type.polarised else across, BRIEF)
        if volt > limit:
            out.append(stress.finding(Severity.ERROR, "overvoltage", "its voltage", volt, limit, "V", "."))
    limit = stress.limit("reverse_voltage")
    if limit is not None:
        volt = _lasting(times, -across, BRIEF)
        if volt > limit:
            electrolytic = stress.part.type.family == "electrolytic"
            tail = ": turned round it heats up and may burst." if electrolytic else ": it may break down."
            out.append(
                stress.finding(
                    Severity.ERROR, "reverse-voltage", "its reverse voltage", volt, limit, "V", tail
                )
            )
    return out


def _transistor(stress: _Stress) -> list[Finding]:
    out: list[Finding] = []
    times = stress.run.times
    sign = -1.0 if stress.part.type.model.get("polarity") == "pnp" else 1.0
    vc, vb, ve = (sign * stress.volts(t) for t in "CBE")
    volts = _lasting(times, np.abs(vc - ve), BRIEF)
    amps = sliding_maximum(times, np.abs(stress.amps("C")), WIRE)
    for name, code, what, unit, value in (
        ("voltage", "overvoltage", "its collector-emitter voltage", "V", volts),
        ("current", "overcurrent", "its collector current", "A", amps),
        ("base_emitter_reverse", "reverse-voltage", "the reverse voltage of its base", "V",
         _lasting(times, ve - vb, BRIEF)),
    ):  # fmt: skip
        limit = stress.limit(name)
        if limit is not None and value > limit:
            aging = name == "base_emitter_reverse"
            severity = Severity.WARNING if aging else Severity.ERROR
            tail = ": it breaks down and slowly loses gain." if aging else "."
            out.append(stress.finding(severity, code, what, value, limit, unit, tail))
    return out


def _chip(stress: _Stress) -> list[Finding]:
    out: list[Finding] = []
    times = stress.run.times
    supply = stress.volts(stress.role("supply")) - stress.volts(stress.role("ground"))
    top = _lasting(times, supply, BRIEF)
    steady = sliding_maximum(times, supply, min(WIRE, 0.1 * max(stress.run.trial.lasts, 1e-9)))
    most, absolute, least = (stress.limit(n) for n in ("supply_max", "supply_absolute", "supply_min"))
    shown_part = f"{stress.part.id} ({stress.part.type.noun})"
    if _lasting(times, -supply, BRIEF) > 0.5:
        out.append(
            Finding(
                Severity.ERROR,
                "supply-reversed",
                f"{shown_part} gets its supply the wrong way round: it would be destroyed.",
                "Turn the part round, or exchange plus and minus.",
                about=(stress.part.id,),
            )
        )
    elif absolute is not None and top > absolute:
        out.append(
            stress.finding(
                Severity.ERROR, "supply-too-high", "its supply", top, absolute, "V", " at the very most."
            )
        )
    elif most is not None and top > most * 1.001:
        out.append(stress.finding(Severity.ERROR, "supply-too-high", "its supply", top, most, "V", "."))
    elif least is not None and steady < least * 0.98:
        shown, needed = format_quantity(steady, "V", 2), format_quantity(least, "V")
        out.append(
            Finding(
                Severity.WARNING,
                "supply-too-low",
                f"{shown_part} gets {shown} of supply, but needs {needed} at least.",
                "Use a supply of more volts, or a part that works with less.",
                about=(stress.part.id,),
            )
        )
    for t in stress.part.type.terminals:
        if t.role not in ("output", "open-output"):
            continue
        amps = stress.amps(t.name)
        for name, flow, word in (("source_current", -amps, "gives"), ("sink_current", amps, "takes"),
                                 ("output_current", np.abs(amps), "carries")):  # fmt: skip
            limit = stress.limit(name)
            value = 0.0 if limit is None else sliding_maximum(times, flow, WIRE)
            if limit is not None and value > limit:
                what = f"the current its {t.title} {word}"
                out.append(stress.finding(Severity.ERROR, "output-overloaded", what, value, limit, "A", "."))
    return out


def _supply(stress: _Stress) -> list[Finding]:
    times = stress.run.times
    given = -stress.amps(stress.part.type.terminals[0].name)
    steady = sliding_maximum(times, given, WIRE)
    limit = stress.limit("current")
    out: list[Finding] = []
    if limit is not None and steady > limit:
        out.append(
            stress.finding(
                Severity.ERROR, "supply-overloaded", "the current it gives", steady, limit, "A", "."
            )
        )
    pulse = stress.limit("pulse_current")
    if pulse is not None and steady > pulse:
        out.append(
            stress.finding(
                Severity.WARNING,
                "supply-overloaded",
                "the current it gives",
                steady,
                pulse,
                "A",
                " even in pulses: its voltage breaks down and it is soon empty.",
            )
        )
    return out
