"""Ratings: each part's stress over the run against what its data sheet allows, in three grades of damage."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from buildalong.engine._kick import kicks
from buildalong.engine._run import Run
from buildalong.engine._stress import HEATING, WIRE, Stress, lasting, sliding_maximum
from buildalong.finding import Finding, Severity
from buildalong.quantity import format_quantity

__all__ = ["GRADES", "Damage", "Grade", "check_ratings", "damages", "overloads", "sliding_maximum"]

Grade = Literal["unsure", "ages", "hot", "dies"]
GRADES: dict[Grade, str] = {
    "unsure": "it may work, but no data sheet promises it",
    "ages": "it goes on working, but not as long or not as well as it should",
    "hot": "it gets too hot and does not live long",
    "dies": "it is destroyed at once or within seconds",
}
"""How far damage goes, mildest first, and what each grade means."""

HOT, DEADLY = 1.5, 3.0
"""A current or power beyond so many times its limit heats the part; kills it (common practice)."""
SURGE_VOLTAGE = 1.15
"""A capacitor stands so many times its rated voltage for a short time (IEC 60384-4, from memory)."""
CLEAR = 1.5
"""Reverse voltage of an electrolytic that kills it [V] (TDK/EPCOS: up to 1.5 V for short times only)."""


@dataclass(frozen=True, slots=True)
class Damage:
    """What one part suffers in a run: how far it goes, what it is, and the limit that was passed.

    ``value`` and ``limit`` are in ``unit`` (coherent SI).
    """

    part: str
    noun: str
    grade: Grade
    code: str
    severity: Severity
    what: str
    value: float
    limit: float
    unit: str
    tail: str
    hint: str = ""

    @property
    def finding(self) -> Finding:
        """The same in words."""
        for digits in (2, 3, 4):
            shown = format_quantity(self.value, self.unit, digits)
            if shown != format_quantity(self.limit, self.unit, digits):
                break
        allowed = format_quantity(self.limit, self.unit)
        said = "are promised" if self.grade == "unsure" else "is allowed"
        message = f"{self.part} ({self.noun}): {self.what} is {shown}, but {allowed} {said}{self.tail}"
        return Finding(self.severity, self.code, message, self.hint, about=(self.part,))


def check_ratings(run: Run, passed: Sequence[Damage] | None = None) -> list[Finding]:
    """Compare every part's stress over the whole run with its ratings; worst first.

    ``passed`` are the run's :func:`damages` where they are known already.
    """
    found = [damage.finding for damage in (damages(run) if passed is None else passed)]
    if len(run.times) >= 2:
        found += kicks(run)
        for part in run.circuit.parts:
            if Stress(run, part).role("supply"):
                found += _starved(Stress(run, part))
    return sorted(found, key=lambda f: -f.severity)


def overloads(runs: Iterable[Run]) -> list[Finding]:
    """What is loaded beyond its ratings in any of the runs, run by run: warnings and worse."""
    return [f for run in runs for f in check_ratings(run) if f.severity >= Severity.WARNING]


def damages(run: Run) -> list[Damage]:
    """Every limit that a part passes in a run, in the order of the parts."""
    out: list[Damage] = []
    if len(run.times) < 2:
        return out
    for part in run.circuit.parts:
        stress = Stress(run, part)
        if part.type.family == "supply":
            out += _supply(stress)
            continue
        out += _power(stress)
        if stress.role("supply"):
            out += _chip(stress)
        elif part.type.family == "transistor":
            out += _transistor(stress)
        else:
            out += _two_leads(stress)
    return out


def _damage(
    stress: Stress, grade: Grade, code: str, what: str, value: float, limit: float, unit: str,
    tail: str = ".", severity: Severity = Severity.ERROR, hint: str = "",
) -> Damage:  # fmt: skip
    part = stress.part
    return Damage(part.id, part.type.noun, grade, code, severity, what, value, limit, unit, tail, hint)


def _heat(value: float, limit: float) -> tuple[Grade, str]:
    """How far a steady overload goes, and the words for it."""
    if value < HOT * limit:
        return "ages", ": it wears out early."
    return ("hot", ": it gets too hot.") if value < DEADLY * limit else ("dies", ": it would burn out.")


def _power(stress: Stress) -> list[Damage]:
    limit = stress.limit("power")
    if limit is None:
        return []
    mean = sliding_maximum(stress.run.times, stress.power(), HEATING)
    if mean <= limit:
        return []
    grade: Grade = "hot" if mean < DEADLY * limit else "dies"
    tail = ": it gets too hot." if grade == "hot" else ": it would burn out."
    return [_damage(stress, grade, "overheats", "its power", mean, limit, "W", tail)]


def _two_leads(stress: Stress) -> list[Damage]:
    out: list[Damage] = []
    across = stress.across()
    terminals = stress.part.type.terminals
    current = np.abs(stress.amps(terminals[0].name))
    if len(terminals) == 3:
        current = np.max([np.abs(stress.amps(t.name)) for t in terminals], axis=0)
    limit = stress.limit("current")
    if limit is not None:
        mean = stress.steady(current)
        if mean > limit:
            grade, tail = _heat(mean, limit)
            if stress.part.type.family == "led" and grade == "dies":
                tail = ": a light without a resistor."
            elif stress.part.type.family in ("button", "switch"):
                grade = "dies" if grade == "dies" else "ages"
                tail = ": its contact may weld." if grade == "dies" else ": its contact wears out early."
            out.append(_damage(stress, grade, "overcurrent", "its current", mean, limit, "A", tail))
        pulse = stress.limit("pulse_current")
        peak = stress.lasting(current)
        if not out and pulse is not None and peak > pulse:
            tail, mild = " in a pulse.", Severity.WARNING
            out.append(_damage(stress, "ages", "surge", "its surge current", peak, pulse, "A", tail, mild))
    limit = stress.limit("voltage")
    if limit is not None:
        volt = stress.lasting(across if stress.part.type.polarised else np.abs(across))
        if volt > limit:
            tough = stress.part.type.family in ("capacitor", "electrolytic") and volt <= SURGE_VOLTAGE * limit
            grade = "ages" if tough else "dies"
            out.append(_damage(stress, grade, "overvoltage", "its voltage", volt, limit, "V"))
    limit = stress.limit("reverse_voltage")
    if limit is not None:
        volt = stress.lasting(-across)
        if volt > limit:
            out.append(_reverse(stress, volt, limit))
    return out


def _reverse(stress: Stress, volt: float, limit: float) -> Damage:
    """A part that is driven the wrong way round."""
    what = "its reverse voltage"
    if stress.part.type.family != "electrolytic":
        return _damage(stress, "dies", "reverse-voltage", what, volt, limit, "V", ": it may break down.")
    grade: Grade = "ages" if volt <= CLEAR else "dies"
    tail = ": its oxide is slowly undone." if grade == "ages" else ": turned round it heats up and may burst."
    return _damage(stress, grade, "reverse-voltage", what, volt, limit, "V", tail)


def _transistor(stress: Stress) -> list[Damage]:
    out: list[Damage] = []
    sign = -1.0 if stress.part.type.model.get("polarity") == "pnp" else 1.0
    vc, vb, ve = (sign * stress.volts(t) for t in "CBE")
    limit, volt = stress.limit("voltage"), stress.lasting(np.abs(vc - ve))
    if limit is not None and volt > limit:
        what = "its collector-emitter voltage"
        out.append(_damage(stress, "dies", "overvoltage", what, volt, limit, "V"))
    limit, ampere = stress.limit("current"), stress.steady(np.abs(stress.amps("C")))
    if limit is not None and ampere > limit:
        grade, tail = _heat(ampere, limit)
        what = "its collector current"
        out.append(_damage(stress, grade, "overcurrent", what, ampere, limit, "A", tail))
    limit, volt = stress.limit("base_emitter_reverse"), stress.lasting(ve - vb)
    if limit is not None and volt > limit:
        what, tail = "the reverse voltage of its base", ": it breaks down and slowly loses gain."
        mild = Severity.WARNING
        out.append(_damage(stress, "ages", "reverse-voltage", what, volt, limit, "V", tail, mild))
    return out


def _chip(stress: Stress) -> list[Damage]:
    out: list[Damage] = []
    plus, minus = (stress.volts(stress.role(role)) for role in ("supply", "ground"))
    top = stress.lasting(plus - minus)
    most, absolute = stress.limit("supply_max"), stress.limit("supply_absolute")
    what, code = "its supply", "supply-too-high"
    if _is_reversed(stress):
        return out
    if absolute is not None and top > absolute:
        out.append(_damage(stress, "dies", code, what, top, absolute, "V", " at the very most."))
    elif most is not None and top > most * 1.001:
        out.append(_damage(stress, "ages", code, what, top, most, "V"))
    for terminal in stress.part.type.terminals:
        if terminal.role in ("output", "open-output"):
            out += _output(stress, terminal.name, terminal.title)
        elif terminal.role == "input" and stress.part.net(terminal.name) is not None:
            out += _input(stress, terminal.name, terminal.title)
    return out


def _output(stress: Stress, name: str, title: str) -> list[Damage]:
    """What an output carries; a promise that is passed counts only where no limit is."""
    amps = stress.amps(name)
    flows = {"source": -amps, "sink": amps, "output": np.abs(amps)}
    words = {"source": "gives", "sink": "takes", "output": "carries"}
    out: list[Damage] = []
    for kind, flow in flows.items():
        limit = stress.limit(f"{kind}_current")
        value = 0.0 if limit is None else stress.steady(flow)
        what = f"the current its {title} {words[kind]}"
        promised = stress.limit(f"{kind}_promised")
        if limit is not None and value > limit:
            grade, tail = _heat(value, limit)
            tail = tail if grade != "ages" else ": it cannot hold its level any more."
            out.append(_damage(stress, grade, "output-overloaded", what, value, limit, "A", tail))
        elif promised is not None and value > promised:
            tail = ": a weak sample would not hold its level."
            code, hint = "output-beyond-promise", "a larger resistor in series makes sure of it"
            note = Severity.NOTE
            out.append(_damage(stress, "unsure", code, what, value, promised, "A", tail, note, hint))
    return out


def _input(stress: Stress, name: str, title: str) -> list[Damage]:
    """How far an input is pushed beyond the rails."""
    out: list[Damage] = []
    volts = stress.volts(name)
    plus, minus = (stress.volts(stress.role(role)) for role in ("supply", "ground"))
    for kind, beyond, words in (
        ("above", volts - plus, "above plus"),
        ("below", minus - volts, "below ground"),
    ):
        limit = stress.limit(f"input_{kind}")
        value = 0.0 if limit is None else stress.lasting(beyond)
        if limit is not None and value > limit:
            what, code, mild = f"the voltage of its {title} {words}", "input-beyond-supply", Severity.WARNING
            hint = "a diode to the rail, or a resistor of some kilohms before the pin, keeps it safe"
            tail = ": it may upset or slowly spoil the chip."
            out.append(_damage(stress, "ages", code, what, value, limit, "V", tail, mild, hint))
    return out


def _is_reversed(stress: Stress) -> bool:
    return stress.lasting(stress.volts(stress.role("ground")) - stress.volts(stress.role("supply"))) > 0.5


def _starved(stress: Stress) -> list[Finding]:
    """A chip with its supply reversed, or with too little of it."""
    part, times = stress.part, stress.run.times
    shown_part = f"{part.id} ({part.type.noun})"
    if _is_reversed(stress):
        message = f"{shown_part} gets its supply the wrong way round: it would be destroyed."
        hint = "Turn the part round, or exchange plus and minus."
        return [Finding(Severity.ERROR, "supply-reversed", message, hint, about=(part.id,))]
    supply = stress.volts(stress.role("supply")) - stress.volts(stress.role("ground"))
    steady = sliding_maximum(times, supply, min(WIRE, 0.1 * max(stress.run.trial.lasts, 1e-9)))
    least, most = stress.limit("supply_min"), stress.limit("supply_max")
    too_much = most is not None and lasting(times, supply, 1e-6) > most * 1.001
    if least is None or steady >= least * 0.98 or too_much:
        return []
    shown, needed = format_quantity(steady, "V", 2), format_quantity(least, "V")
    message = f"{shown_part} gets {shown} of supply, but needs {needed} at least."
    hint = "Use a supply of more volts, or a part that works with less."
    return [Finding(Severity.WARNING, "supply-too-low", message, hint, about=(part.id,))]


def _supply(stress: Stress) -> list[Damage]:
    steady = stress.steady(-stress.amps(stress.part.type.terminals[0].name))
    out: list[Damage] = []
    limit, pulse = stress.limit("current"), stress.limit("pulse_current")
    what, code = "the current it gives", "supply-overloaded"
    if limit is not None and steady > limit:
        grade: Grade = "ages" if steady < DEADLY * limit else "hot"
        out.append(_damage(stress, grade, code, what, steady, limit, "A"))
    if pulse is not None and steady > pulse:
        tail = " even in pulses: its voltage breaks down and it is soon empty."
        out.append(_damage(stress, "ages", code, what, steady, pulse, "A", tail, Severity.WARNING))
    return out
