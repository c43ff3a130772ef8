"""Gather the elements of a circuit: its nodes, a part's numbers in a variant, and what a part may add."""

from __future__ import annotations

import itertools
import math

from buildalong.circuit import Circuit, Part
from buildalong.engine import _model as m
from buildalong.engine._elements import Element, Netlist, WatcherRow, terminal_name
from buildalong.engine._model import model_of, number
from buildalong.engine._run import Variation
from buildalong.engine._slots import EV_LIGHT
from buildalong.parts import Figure

__all__ = ["BOLTZMANN_OVER_CHARGE", "Builder"]

BOLTZMANN_OVER_CHARGE = 8.617333262e-5
"""k/q [V/K], exact in the SI of 2019."""
EDGE = 10e-9
"""Time constant given to a stray capacitance [s]: an edge divides as the capacitances do (our choice)."""
HOLDS = 1e-5
"""A curve that carries no more than this at a few volts holds no net at a voltage [A] (our choice)."""


class Builder:
    """The netlist of one variant as it grows."""

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
        small = small or all(abs(_current(start, corners, v)) <= HOLDS for v in (-1.0, 1.0, 3.0))
        self.out.curves.append(Element(part.id, (a, b), nodes, start, small, cell, mask, corners))

    def light(self, part: Part, a: str, b: str, on: float, off: float) -> None:
        terms = ((self.at(part, a), 1.0), (self.at(part, b), -1.0))
        self.out.watchers.append(WatcherRow(part.id, "light", terms, -on, terms, -off, -1, EV_LIGHT))


def _current(start: tuple[float, float], corners: tuple[tuple[float, float], ...], v: float) -> float:
    return start[0] + start[1] * v + sum(change * max(v - corner, 0.0) for corner, change in corners)
