"""One function for each kind of model: which elements a part adds to the netlist."""

from __future__ import annotations

import math

from buildalong.circuit import Part
from buildalong.engine import _model as m
from buildalong.engine._build_ic import ic
from buildalong.engine._builder import BOLTZMANN_OVER_CHARGE, Builder
from buildalong.engine._elements import Element, Ramp, WatcherRow
from buildalong.engine._model import model_of, number
from buildalong.engine._slots import EV_WATCH

__all__ = ["add"]

BREAKDOWN = 0.1
"""Current that a broken-down transistor takes one volt above its breakdown [A] (our choice: 10 ohm)."""


def add(builder: Builder, part: Part) -> None:
    """Add a part's elements; raises Unreadable where its model is not usable."""
    model = model_of(part.type)
    _ADD[type(model)](builder, part, model)  # type: ignore[operator]


def resistor(into: Builder, part: Part, model: m.ResistorModel) -> None:
    into.conduct(part, "1", "2", 1.0 / max(into.value(part, 1e3), 1e-3))


def potentiometer(into: Builder, part: Part, model: m.PotentiometerModel) -> None:
    names = [t.name for t in part.type.terminals]
    track = max(into.value(part, 1e4), 1e-3)
    end = max(into.figure(part, "end_resistance", model.end_resistance), 1e-3)
    u = min(max(into.figure(part, "position", model.position), 0.0), 1.0)
    for kind, (a, b), x in ((1, (names[0], names[1]), u), (2, (names[1], names[2]), 1.0 - u)):
        i = into.conduct(part, a, b, 1.0 / (x * track + end))
        into.out.ramps.append(Ramp(part.id, "position", kind, i, track, end, u))


def ldr(into: Builder, part: Part, model: m.LdrModel) -> None:
    r10 = max(into.figure(part, "resistance", model.resistance), 1.0)
    gamma = into.figure(part, "gamma", model.gamma)
    lux = max(into.figure(part, "light", model.light), 1e-3)
    i = into.conduct(part, "1", "2", (lux / 10.0) ** gamma / r10)
    into.out.ramps.append(Ramp(part.id, "light", 0, i, r10, gamma, lux))


def capacitance(into: Builder, part: Part, model: m.CapacitorModel) -> None:
    a, b = (t.name for t in part.type.terminals)
    farad = into.value(part, 1e-6)
    if model.dissipation is not None:
        default = number(model.dissipation) / (2.0 * math.pi * 120.0 * max(farad, 1e-12))
    else:
        default = number(model.esr) if model.esr is not None else 0.1
    ohm = into.get(part, "esr", default)
    leak = into.figure(part, "self_discharge", model.self_discharge) * farad
    into.capacitor(part, a, b, farad, ohm + 2.0 * into.contact, max(leak, 0.0))
    if model.reverse is not None:
        size = farad / number(model.reverse.value)
        points = tuple((v, i * size) for v, i in model.reverse.numbers)
        into.curve(part, b, a, points, -1, -1, small=True)


def junction(into: Builder, part: Part, model: m.DiodeModel) -> None:
    n = into.figure(part, "ideality", model.ideality)
    rs = max(into.figure(part, "series_resistance", model.series_resistance), 0.0)
    nvt = n * into.out.thermal
    if model.saturation_current is not None:
        IS = into.figure(part, "saturation_current", model.saturation_current)
    else:
        assert model.forward_voltage is not None
        assert model.forward_current is not None
        volt = into.figure(part, "forward_voltage", model.forward_voltage)
        ampere = into.figure(part, "forward_current", model.forward_current)
        IS = ampere / math.expm1((volt - rs * ampere) / (n * BOLTZMANN_OVER_CHARGE * 298.15))
    tempco = into.figure(part, "temperature_coefficient", model.temperature_coefficient)
    if into.warmer:
        # keep the forward voltage at 1 mA on its straight line of tempco volt per kelvin
        cold = n * BOLTZMANN_OVER_CHARGE * 298.15 * math.log1p(1e-3 / IS)
        IS = 1e-3 / math.expm1((cold + tempco * into.warmer) / nvt)
    IS = max(IS, 1e-40)
    into.diode(part, "A", "K", IS, n, rs, into.figure(part, "breakdown_voltage", model.breakdown_voltage))
    if model.on_current is not None:
        lit = into.figure(part, "on_current", model.on_current)
        on, off = (rs * i + nvt * math.log1p(i / IS) for i in (lit, 0.8 * lit))
        into.light(part, "A", "K", on, off)


def transistor(into: Builder, part: Part, model: m.TransistorModel) -> None:
    vt = into.out.thermal
    v = {k: into.figure(part, k, getattr(model, k)) for k in type(model).model_fields if k.isupper()}
    sign = 1.0 if model.polarity == "npn" else -1.0
    # no two transistors are alike: later ones carry a little more current at the same voltage
    IS = v["IS"] * (1.0 + 1e-3 * len(into.out.transistors)) * math.exp(2e-3 * into.warmer / vt)
    nf, nr = v["NF"] * vt, v["NR"] * vt
    nodes = tuple(into.at(part, x) for x in "CBE")
    rb, rc, re = (max(v[k], 1e-3) for k in ("RB", "RC", "RE"))
    into.out.transistors.append(
        Element(
            part.id,
            ("C", "B", "E"),
            nodes,
            (
                IS,
                nf,
                nr,
                v["BF"],
                v["BR"],
                v["ISE"],
                v["NE"] * vt,
                v["ISC"],
                v["NC"] * vt,
                v["VAF"],
                v["IKF"],
                rb,
                rc,
                re,
                v["BVEB"],
                vt,
                1e-6,
                nf * math.log(nf / (math.sqrt(2.0) * IS)),
                sign,
                0.0,
                0.0,
                0.0,
                0.0,
                0.0,
                0.0,
                0.0,
                0.0,
                nr * math.log(nr / (math.sqrt(2.0) * IS)),
            ),
        )
    )
    for a, b, c in (("B", "E", v["CJE"]), ("B", "C", v["CJC"])):
        into.capacitor(part, a, b, c, 1.0, 0.0, small=True)
    breakdown(into, part, model, sign)
    level = into.figure(part, "conducts", model.conducts)
    terms = ((nodes[1], sign), (nodes[2], -sign))
    into.out.watchers.append(WatcherRow(part.id, "conducts", terms, -level, terms, 0.1 - level, -1, EV_WATCH))


def breakdown(into: Builder, part: Part, model: m.TransistorModel, sign: float) -> None:
    """Collector-emitter breakdown, where the supply (lifted once by a capacitor) can reach it."""
    least = part.type.ratings.get("voltage")
    if model.breakdown is None and least is None:
        return
    volt = into.figure(part, "breakdown", model.breakdown or least)  # type: ignore[arg-type]
    if 2.0 * into.out.nominal > volt:
        ends = ("C", "E") if sign > 0 else ("E", "C")
        into.curve(part, *ends, ((0.0, 0.0), (volt, 0.0), (volt + 1.0, BREAKDOWN)), -1, -1)


def contact_pair(into: Builder, part: Part, model: m.ContactModel) -> None:
    closed = 1.0 / into.figure(part, "closed", model.closed)
    opened = 1.0 / into.figure(part, "open", model.open)
    i = into.conduct(part, "1", "2", opened)
    into.out.ramps.append(
        Ramp(part.id, "pressed", 3, i, closed, opened, 1.0 if into.get(part, "pressed", 0.0) > 0.5 else 0.0)
    )


def switch(into: Builder, part: Part, model: m.SwitchModel) -> None:
    closed = 1.0 / into.figure(part, "closed", model.closed)
    opened = 1.0 / into.figure(part, "open", model.open)
    thrown = 1.0 if into.get(part, "thrown", 0.0) > 0.5 else 0.0
    for kind, throw in ((4, "A"), (3, "B")):
        i = into.conduct(part, throw, "C", opened)
        into.out.ramps.append(Ramp(part.id, "thrown", kind, i, closed, opened, thrown))


def supply(into: Builder, part: Part, model: m.SupplyModel) -> None:
    count = into.count(part, model)
    emf = into.figure(part, "emf", model.emf) * count
    ohm = max(into.figure(part, "resistance", model.resistance), 1e-3) * count
    i = into.conduct(part, "+", "-", 1.0 / ohm)
    e = into.out.conductances[i]
    into.out.sources.append((e.nodes[0], e.nodes[1], i, emf))


def motor(into: Builder, part: Part, model: m.MotorModel) -> None:
    r = max(into.figure(part, "resistance", model.resistance), 1e-2)
    k = into.figure(part, "constant", model.constant)
    inertia = into.figure(part, "inertia", model.inertia)
    friction = into.figure(part, "friction", model.friction)
    # k·ω is the voltage of a capacitor J/k² with the leakage B/k²
    into.capacitor(part, "1", "2", inertia / k**2, r, friction / k**2)
    on = into.figure(part, "on_voltage", model.on_voltage)
    into.light(part, "1", "2", on, 0.8 * on)


def buzzer(into: Builder, part: Part, model: m.BuzzerModel) -> None:
    start = into.figure(part, "start_voltage", model.start_voltage)
    volt = into.figure(part, "rated_voltage", model.rated_voltage)
    ampere = into.figure(part, "rated_current", model.rated_current)
    points = ((0.0, 0.0), (start, 0.1 * ampere), (max(volt, start + 0.1), ampere))
    into.curve(part, "+", "-", points, -1, -1)
    into.light(part, "+", "-", start, 0.9 * start)


_ADD = {
    m.ResistorModel: resistor,
    m.PotentiometerModel: potentiometer,
    m.LdrModel: ldr,
    m.CapacitorModel: capacitance,
    m.DiodeModel: junction,
    m.TransistorModel: transistor,
    m.ContactModel: contact_pair,
    m.SwitchModel: switch,
    m.SupplyModel: supply,
    m.MotorModel: motor,
    m.BuzzerModel: buzzer,
    m.IcModel: ic,
}
