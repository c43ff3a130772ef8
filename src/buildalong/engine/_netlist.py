"""From a circuit to the elements of the engine: conductances, sources, capacitors, junctions, curves.

Nodes are nets, then one for each open terminal ("U1.CONT"); the reference is the net of the
supply's negative terminal.  Every element remembers its part and the terminals at its ends, so
that terminal currents can be summed afterwards.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass, field, replace

from buildalong.circuit import Circuit, Part
from buildalong.engine import _model as m
from buildalong.engine._model import model_of, number
from buildalong.engine._run import Variation
from buildalong.parts import Figure

__all__ = ["CellRow", "Element", "Netlist", "Ramp", "Variants", "WatcherRow", "netlist", "terminal_name"]

BOLTZMANN_OVER_CHARGE = 8.617333262e-5
"""k/q [V/K], exact in the SI of 2019."""
EDGE = 10e-9
"""Time constant given to a stray capacitance [s]: an edge divides as the capacitances do (our choice)."""
BREAKDOWN = 0.1
"""Current that a broken-down transistor takes one volt above its breakdown [A] (our choice: 10 ohm)."""


@dataclass(slots=True)
class Element:
    """One two-terminal element, or a transistor (then ``nodes`` is collector, base, emitter).

    ``small``: a capacitor too small to control the error; a diode or curve that holds no net at rest.
    """

    part: str
    ends: tuple[str | None, ...]
    nodes: tuple[int, ...]
    numbers: tuple[float, ...]
    small: bool = False
    cell: int = -1
    mask: int = -1
    corners: tuple[tuple[float, float], ...] = ()


@dataclass(slots=True)
class WatcherRow:
    """A watcher: sums over nodes, with constants, to become true and to stay true."""

    part: str
    name: str
    on: tuple[tuple[int, float], ...]
    on_constant: float
    off: tuple[tuple[int, float], ...]
    off_constant: float
    cell: int
    kind: int


@dataclass(slots=True)
class CellRow:
    """A state table: states ("off" last), rules as (edge watcher, true mask, false mask, from mask, next)."""

    part: str
    name: str
    states: tuple[str, ...]
    wakes: tuple[str, ...]
    first_watcher: int
    watchers: int
    rules: list[tuple[int, int, int, int, tuple[int, ...]]] = field(default_factory=list)
    wake_rule: int = -1


@dataclass(slots=True)
class Ramp:
    """A conductance that follows a setting: kind, element, two constants, value at the start."""

    part: str
    setting: str
    kind: int
    element: int
    p0: float
    p1: float
    start: float


@dataclass(slots=True)
class Netlist:
    """All elements of one variant of one circuit."""

    circuit: Circuit
    nodes: list[str] = field(default_factory=list)
    conductances: list[Element] = field(default_factory=list)
    sources: list[tuple[int, int, int, float]] = field(default_factory=list)
    capacitors: list[Element] = field(default_factory=list)
    diodes: list[Element] = field(default_factory=list)
    transistors: list[Element] = field(default_factory=list)
    curves: list[Element] = field(default_factory=list)
    watchers: list[WatcherRow] = field(default_factory=list)
    cells: list[CellRow] = field(default_factory=list)
    ramps: list[Ramp] = field(default_factory=list)
    thermal: float = 0.0
    nominal: float = 5.0
    ends: list[tuple[int, ...]] = field(default_factory=list)
    """How many elements of each kind there were before each part, and in the end."""

    @property
    def elements(self) -> list[Element]:
        """All elements in the order of a record's columns (a transistor has two columns)."""
        return [*self.conductances, *self.capacitors, *self.diodes, *self.transistors, *self.curves]


def terminal_name(part: Part, i: int) -> str:
    """Name of the node a terminal is on: its net, or its own where it is left open."""
    net = part.nets[i]
    return f"{part.id}.{part.type.terminals[i].name}" if net is None else net


class _Builder:
    def __init__(self, circuit: Circuit, variation: Variation, contact: float) -> None:
        self.out = Netlist(circuit)
        self.out.thermal = BOLTZMANN_OVER_CHARGE * (variation.temperature + 273.15)
        self.warmer = variation.temperature - 25.0
        self.changes = dict(variation.changes)
        self.index: dict[str, int] = {}
        self.contact = contact
        supply = next((p for p in circuit.parts if p.type.family == "supply"), None)
        ground: str = terminal_name(supply, 1) if supply is not None else ""
        if not ground:
            nets = list(circuit.nets)
            ground = nets[0] if nets else ""
        self.ground = ground
        for net in circuit.nets:
            self.node(net)
        for part in circuit.parts:
            for i, joined in enumerate(part.nets):
                if joined is None:
                    self.node(terminal_name(part, i))
        self.liftable = self.lifts()
        # the reference comes last: it has no row
        order = [n for n in self.index if n != ground]
        self.index = {name: i for i, name in enumerate(order)}
        self.index[ground] = len(order)
        self.out.nodes = [*order, ground]
        if supply is not None:
            model = model_of(supply.type)
            if isinstance(model, m.SupplyModel):
                self.out.nominal = max(
                    self.get(supply, "emf", number(model.emf)) * self.count(supply, model), 0.1
                )

    def lifts(self) -> bool:
        """Whether a capacitor between moving nets, or a chip wired astray, can push a net past the rails."""
        circuit = self.out.circuit
        rails = {circuit.plus, circuit.ground}
        for part in circuit.parts:
            model = model_of(part.type)
            if isinstance(model, (m.CapacitorModel, m.MotorModel)) and not rails & set(part.nets):
                return True
            if isinstance(model, m.IcModel):
                plus, minus = (part.net(t) for t in model.supply)
                if (plus, minus) != (circuit.plus, circuit.ground):
                    return True
        return False

    def strays(self, strays: tuple[tuple[str, str, float], ...]) -> None:
        """Capacitances that belong to no part, each behind what makes its edges last some 10 ns."""
        for a, b, farad in strays:
            if a in self.index and b in self.index and a != b and farad > 0:
                nodes = (self.index[a], self.index[b])
                farad = max(farad, 1e-15)
                self.out.capacitors.append(Element("", (None, None), nodes, (farad, EDGE / farad, 0.0)))

    def node(self, name: str) -> int:
        return self.index.setdefault(name, len(self.index))

    def at(self, part: Part, terminal: str) -> int:
        for i, t in enumerate(part.type.terminals):
            if t.name == terminal:
                return self.index[terminal_name(part, i)]
        raise KeyError(terminal)

    def get(self, part: Part, name: str, default: float) -> float:
        value = self.changes.get((part.id, name))
        return part.setting(name, default) if value is None else value

    def figure(self, part: Part, name: str, figure: Figure) -> float:
        return self.get(part, name, number(figure))

    @staticmethod
    def count_of(value: float) -> float:
        return min(max(value, 1.0), 12.0)

    def count(self, part: Part, model: m.SupplyModel) -> float:
        return self.count_of(self.get(part, "count", float(model.count)))

    def value(self, part: Part, default: float) -> float:
        return self.get(part, "value", part.value if part.value is not None else default)

    def conduct(self, part: Part, a: str, b: str, siemens: float) -> int:
        g = min(max(siemens, 1e-15), 1e3)
        if self.contact > 0:
            g = 1.0 / (1.0 / g + 2.0 * self.contact)
        self.out.conductances.append(Element(part.id, (a, b), (self.at(part, a), self.at(part, b)), (g,)))
        return len(self.out.conductances) - 1

    def capacitor(
        self, part: Part, a: str, b: str, farad: float, ohm: float, leak: float, small: bool = False
    ) -> None:
        nodes = (self.at(part, a), self.at(part, b))
        farad = min(max(farad, 1e-15), 1e6)
        self.out.capacitors.append(
            Element(part.id, (a, b), nodes, (farad, max(ohm, 1e-3), leak), small or farad < 20e-12)
        )

    def diode(
        self, part: Part, a: str, b: str, IS: float, n: float, rs: float, bv: float, small: bool = False
    ) -> None:
        nvt = n * self.out.thermal
        critical = nvt * math.log(nvt / (math.sqrt(2.0) * IS))
        nodes = (self.at(part, a), self.at(part, b))
        self.out.diodes.append(
            Element(part.id, (a, b), nodes, (IS, nvt, rs, bv, self.out.thermal, 1e-6, critical), small)
        )

    def light(self, part: Part, a: str, b: str, on: float, off: float) -> None:
        from buildalong.engine._slots import EV_LIGHT

        terms = ((self.at(part, a), 1.0), (self.at(part, b), -1.0))
        self.out.watchers.append(WatcherRow(part.id, "light", terms, -on, terms, -off, -1, EV_LIGHT))

    # one method for each kind of model

    def resistor(self, part: Part, model: m.ResistorModel) -> None:
        self.conduct(part, "1", "2", 1.0 / max(self.value(part, 1e3), 1e-3))

    def potentiometer(self, part: Part, model: m.PotentiometerModel) -> None:
        names = [t.name for t in part.type.terminals]
        track = max(self.value(part, 1e4), 1e-3)
        end = max(self.figure(part, "end_resistance", model.end_resistance), 1e-3)
        u = min(max(self.figure(part, "position", model.position), 0.0), 1.0)
        for kind, (a, b), x in ((1, (names[0], names[1]), u), (2, (names[1], names[2]), 1.0 - u)):
            i = self.conduct(part, a, b, 1.0 / (x * track + end))
            self.out.ramps.append(Ramp(part.id, "position", kind, i, track, end, u))

    def ldr(self, part: Part, model: m.LdrModel) -> None:
        r10 = max(self.figure(part, "resistance", model.resistance), 1.0)
        gamma = self.figure(part, "gamma", model.gamma)
        lux = max(self.figure(part, "light", model.light), 1e-3)
        i = self.conduct(part, "1", "2", (lux / 10.0) ** gamma / r10)
        self.out.ramps.append(Ramp(part.id, "light", 0, i, r10, gamma, lux))

    def capacitance(self, part: Part, model: m.CapacitorModel) -> None:
        a, b = (t.name for t in part.type.terminals)
        farad = self.value(part, 1e-6)
        if model.dissipation is not None:
            default = number(model.dissipation) / (2.0 * math.pi * 120.0 * max(farad, 1e-12))
        else:
            default = number(model.esr) if model.esr is not None else 0.1
        ohm = self.get(part, "esr", default)
        leak = self.figure(part, "self_discharge", model.self_discharge) * farad
        self.capacitor(part, a, b, farad, ohm + 2.0 * self.contact, max(leak, 0.0))
        if model.reverse is not None:
            size = farad / number(model.reverse.value)
            points = tuple((v, i * size) for v, i in model.reverse.numbers)
            self.curve(part, b, a, points, -1, -1, small=True)

    def junction(self, part: Part, model: m.DiodeModel) -> None:
        n = self.figure(part, "ideality", model.ideality)
        rs = max(self.figure(part, "series_resistance", model.series_resistance), 0.0)
        nvt = n * self.out.thermal
        if model.saturation_current is not None:
            IS = self.figure(part, "saturation_current", model.saturation_current)
        else:
            assert model.forward_voltage is not None
            assert model.forward_current is not None
            volt = self.figure(part, "forward_voltage", model.forward_voltage)
            ampere = self.figure(part, "forward_current", model.forward_current)
            IS = ampere / math.expm1((volt - rs * ampere) / (n * BOLTZMANN_OVER_CHARGE * 298.15))
        tempco = self.figure(part, "temperature_coefficient", model.temperature_coefficient)
        if self.warmer:
            # keep the forward voltage at 1 mA on its straight line of tempco volt per kelvin
            cold = n * BOLTZMANN_OVER_CHARGE * 298.15 * math.log1p(1e-3 / IS)
            IS = 1e-3 / math.expm1((cold + tempco * self.warmer) / nvt)
        IS = max(IS, 1e-40)
        self.diode(part, "A", "K", IS, n, rs, self.figure(part, "breakdown_voltage", model.breakdown_voltage))
        if model.on_current is not None:
            lit = self.figure(part, "on_current", model.on_current)
            on, off = (rs * i + nvt * math.log1p(i / IS) for i in (lit, 0.8 * lit))
            self.light(part, "A", "K", on, off)

    def transistor(self, part: Part, model: m.TransistorModel) -> None:
        from buildalong.engine._slots import EV_WATCH

        vt = self.out.thermal
        v = {k: self.figure(part, k, getattr(model, k)) for k in type(model).model_fields if k.isupper()}
        sign = 1.0 if model.polarity == "npn" else -1.0
        # no two transistors are alike: later ones carry a little more current at the same voltage
        IS = v["IS"] * (1.0 + 1e-3 * len(self.out.transistors)) * math.exp(2e-3 * self.warmer / vt)
        nf, nr = v["NF"] * vt, v["NR"] * vt
        nodes = tuple(self.at(part, x) for x in "CBE")
        rb, rc, re = (max(v[k], 1e-3) for k in ("RB", "RC", "RE"))
        self.out.transistors.append(
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
            self.capacitor(part, a, b, c, 1.0, 0.0, small=True)
        self.breakdown(part, model, sign)
        level = self.figure(part, "conducts", model.conducts)
        terms = ((nodes[1], sign), (nodes[2], -sign))
        self.out.watchers.append(
            WatcherRow(part.id, "conducts", terms, -level, terms, 0.1 - level, -1, EV_WATCH)
        )

    def breakdown(self, part: Part, model: m.TransistorModel, sign: float) -> None:
        """Collector-emitter breakdown, where the supply (lifted once by a capacitor) can reach it."""
        least = part.type.ratings.get("voltage")
        if model.breakdown is None and least is None:
            return
        volt = self.figure(part, "breakdown", model.breakdown or least)  # type: ignore[arg-type]
        if 2.0 * self.out.nominal > volt:
            ends = ("C", "E") if sign > 0 else ("E", "C")
            self.curve(part, *ends, ((0.0, 0.0), (volt, 0.0), (volt + 1.0, BREAKDOWN)), -1, -1)

    def contact_pair(self, part: Part, model: m.ContactModel) -> None:
        closed = 1.0 / self.figure(part, "closed", model.closed)
        opened = 1.0 / self.figure(part, "open", model.open)
        i = self.conduct(part, "1", "2", opened)
        self.out.ramps.append(
            Ramp(
                part.id, "pressed", 3, i, closed, opened, 1.0 if self.get(part, "pressed", 0.0) > 0.5 else 0.0
            )
        )

    def switch(self, part: Part, model: m.SwitchModel) -> None:
        closed = 1.0 / self.figure(part, "closed", model.closed)
        opened = 1.0 / self.figure(part, "open", model.open)
        thrown = 1.0 if self.get(part, "thrown", 0.0) > 0.5 else 0.0
        for kind, throw in ((4, "A"), (3, "B")):
            i = self.conduct(part, throw, "C", opened)
            self.out.ramps.append(Ramp(part.id, "thrown", kind, i, closed, opened, thrown))

    def supply(self, part: Part, model: m.SupplyModel) -> None:
        count = self.count(part, model)
        emf = self.figure(part, "emf", model.emf) * count
        ohm = max(self.figure(part, "resistance", model.resistance), 1e-3) * count
        i = self.conduct(part, "+", "-", 1.0 / ohm)
        e = self.out.conductances[i]
        self.out.sources.append((e.nodes[0], e.nodes[1], i, emf))

    def motor(self, part: Part, model: m.MotorModel) -> None:
        r = max(self.figure(part, "resistance", model.resistance), 1e-2)
        k = self.figure(part, "constant", model.constant)
        inertia = self.figure(part, "inertia", model.inertia)
        friction = self.figure(part, "friction", model.friction)
        # k·ω is the voltage of a capacitor J/k² with the leakage B/k²
        self.capacitor(part, "1", "2", inertia / k**2, r, friction / k**2)
        on = self.figure(part, "on_voltage", model.on_voltage)
        self.light(part, "1", "2", on, 0.8 * on)

    def buzzer(self, part: Part, model: m.BuzzerModel) -> None:
        start = self.figure(part, "start_voltage", model.start_voltage)
        volt = self.figure(part, "rated_voltage", model.rated_voltage)
        ampere = self.figure(part, "rated_current", model.rated_current)
        points = ((0.0, 0.0), (start, 0.1 * ampere), (max(volt, start + 0.1), ampere))
        self.curve(part, "+", "-", points, -1, -1)
        self.light(part, "+", "-", start, 0.9 * start)

    def curve(
        self, part: Part, a: str, b: str, points: tuple[tuple[float, float], ...], cell: int, mask: int,
        small: bool = False,
    ) -> None:  # fmt: skip
        slopes = [(i1 - i0) / (v1 - v0) for (v0, i0), (v1, i1) in itertools.pairwise(points)]
        v0, i0 = points[0]
        corners = tuple(
            (points[j + 1][0], slopes[j + 1] - slopes[j])
            for j in range(len(slopes) - 1)
            if slopes[j + 1] != slopes[j]
        )
        nodes = (self.at(part, a), self.at(part, b))
        start = (i0 - slopes[0] * v0, slopes[0])
        self.out.curves.append(Element(part.id, (a, b), nodes, start, small, cell, mask, corners))

    def ic(self, part: Part, model: m.IcModel) -> None:
        for inner in model.resistors:
            self.conduct(part, *inner.between, 1.0 / self.get(part, "divider", number(inner.resistance)))
        for inner in model.diodes:
            IS = number(inner.saturation_current) if inner.saturation_current is not None else 1e-12
            self.diode(part, *inner.between, IS, 1.0, number(inner.resistance), 40.0)
        if self.liftable:
            for inner in model.clamps:
                IS = number(inner.saturation_current) if inner.saturation_current is not None else 1e-12
                self.diode(part, *inner.between, IS, 1.0, number(inner.resistance), 40.0, small=True)
        cells = {}
        for cell in model.cells:
            cells[cell.name] = len(self.out.cells)
            self.cell(part, model, cell)
        for curve in model.curves:
            points = interpolated(curve, self.out.nominal)
            if curve.cell:
                row = self.out.cells[cells[curve.cell]]
                mask = sum(1 << row.states.index(state) for state in curve.states)
                self.curve(part, curve.source_terminal, curve.sink_terminal, points, cells[curve.cell], mask)
            else:
                self.curve(part, curve.source_terminal, curve.sink_terminal, points, -1, -1)

    def cell(self, part: Part, model: m.IcModel, cell: m.Cell) -> None:
        from buildalong.engine._slots import EV_WATCH

        index = len(self.out.cells)
        states = (*cell.states, "off")
        row = CellRow(part.id, cell.name, states, cell.wakes, len(self.out.watchers), len(cell.watchers))
        local = {w.name: 1 << i for i, w in enumerate(cell.watchers)}
        for w in cell.watchers:
            on = tuple((self.at(part, t), x) for t, x in w.sum.items())
            off = on if w.sum_back is None else tuple((self.at(part, t), x) for t, x in w.sum_back.items())
            level = self.get(part, w.name, number(w.level))
            shift = level - number(w.level)
            back = (number(w.back) if w.back is not None else number(w.level)) + shift
            self.out.watchers.append(WatcherRow(part.id, w.name, on, -level, off, -back, index, EV_WATCH))
        everywhere = (1 << len(states)) - 1
        same = tuple(range(len(states)))
        off_state = len(states) - 1
        row.rules.append((-1, 0, local[cell.power], everywhere, (off_state,) * len(states)))
        for rule in cell.rules:
            following = list(same)
            if rule.ring:
                for a, b in zip(rule.ring, (*rule.ring[1:], rule.ring[0]), strict=True):
                    following[states.index(a)] = states.index(b)
                allowed = everywhere & ~(1 << off_state)
            else:
                following = [states.index(rule.to)] * len(states)
                allowed = everywhere
            edge = [w.name for w in cell.watchers].index(rule.on) if rule.on else -1
            row.rules.append(
                (
                    edge,
                    sum(local[name] for name in rule.when),
                    sum(local[name] for name in rule.unless),
                    allowed,
                    tuple(following),
                )
            )
        row.wake_rule = len(row.rules)
        wake = states.index(cell.wakes[0])
        row.rules.append((-1, local[cell.power], 0, 1 << off_state, (wake,) * len(states)))
        self.out.cells.append(row)


def interpolated(curve: m.CurveData, supply: float) -> tuple[tuple[float, float], ...]:
    """The curve at a supply voltage: between the two nearest that are given, held beyond the ends."""
    known = sorted((c.at_supply, c.numbers) for c in curve.at)
    if supply <= known[0][0]:
        return known[0][1]
    for (s0, low), (s1, high) in itertools.pairwise(known):
        if supply <= s1:
            x = (supply - s0) / (s1 - s0)
            return tuple(
                (v0 + x * (v1 - v0), i0 + x * (i1 - i0)) for (v0, i0), (v1, i1) in zip(low, high, strict=True)
            )
    return known[-1][1]


_METHODS = {
    m.ResistorModel: _Builder.resistor,
    m.PotentiometerModel: _Builder.potentiometer,
    m.LdrModel: _Builder.ldr,
    m.CapacitorModel: _Builder.capacitance,
    m.DiodeModel: _Builder.junction,
    m.TransistorModel: _Builder.transistor,
    m.ContactModel: _Builder.contact_pair,
    m.SwitchModel: _Builder.switch,
    m.SupplyModel: _Builder.supply,
    m.MotorModel: _Builder.motor,
    m.BuzzerModel: _Builder.buzzer,
    m.IcModel: _Builder.ic,
}


def netlist(
    circuit: Circuit, variation: Variation, contact: float = 0.0,
    strays: tuple[tuple[str, str, float], ...] = (),
) -> Netlist:  # fmt: skip
    """Build the elements of one variant; raises Unreadable where a part's model is not usable."""
    return Variants(circuit, variation, contact, strays).first


KINDS = (
    "conductances", "sources", "capacitors", "diodes", "transistors", "curves", "watchers", "cells", "ramps",
)  # fmt: skip
"""The lists of a netlist that parts add to."""


class Variants:
    """Netlists of variants of one circuit: only the parts that a variant changes are built anew."""

    def __init__(
        self, circuit: Circuit, variation: Variation, contact: float = 0.0,
        strays: tuple[tuple[str, str, float], ...] = (),
    ) -> None:  # fmt: skip
        self._given = (contact, strays)
        self._variation = variation
        self._builder = builder = _Builder(circuit, variation, contact)
        self.first = builder.out
        for part in circuit.parts:
            self.first.ends.append(self._counts(builder.out))
            self._add(builder, part)
        self.first.ends.append(self._counts(builder.out))
        builder.strays(strays)

    @staticmethod
    def _counts(net: Netlist) -> tuple[int, ...]:
        return tuple(len(getattr(net, kind)) for kind in KINDS)

    @staticmethod
    def _add(builder: _Builder, part: Part) -> None:
        model = model_of(part.type)
        _METHODS[type(model)](builder, part, model)  # type: ignore[operator]

    def netlist(self, variation: Variation) -> Netlist:
        """The elements of a variant; raises Unreadable where a part's model is not usable."""
        first, circuit = self.first, self.first.circuit
        before, after = dict(self._variation.changes), dict(variation.changes)
        changed = {name for name, _ in before.items() ^ after.items()}
        moved = {part for part, _ in changed}
        if variation.temperature != self._variation.temperature or any(
            p.type.family == "supply" for p in circuit.parts if p.id in moved
        ):
            return netlist(circuit, variation, *self._given)
        builder = object.__new__(_Builder)
        builder.__dict__.update(self._builder.__dict__, changes=after)
        out = replace(first, **{kind: getattr(first, kind).copy() for kind in KINDS})
        for part, *lengths in zip(circuit.parts, first.ends, first.ends[1:], strict=False):
            if part.id not in moved:
                continue
            # as if the parts before it had just been added
            builder.out = replace(
                first, **{kind: getattr(first, kind)[:n] for kind, n in zip(KINDS, lengths[0], strict=True)}
            )
            self._add(builder, part)
            if self._counts(builder.out) != lengths[1]:
                return netlist(circuit, variation, *self._given)
            for kind, a, b in zip(KINDS, *lengths, strict=True):
                getattr(out, kind)[a:b] = getattr(builder.out, kind)[a:b]
        return out
