"""A circuit as a SPICE-style netlist: plain text for people who have a simulator.

Passive parts, diodes, transistors and supplies are standard elements with ``.model`` cards; ICs,
motors and buzzers are sub-circuits of behavioural sources, made from the same ``[model]`` tables that
the engine uses.  Time begins when the supply is switched on.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from typing import Any, Protocol

from buildalong.circuit._circuit import Circuit, Part
from buildalong.circuit._netlist_ic import subcircuit
from buildalong.parts import Figure

__all__ = ["Happening", "netlist_text"]

THERMAL_VOLTAGE = 8.617333262e-5 * 298.15
"""kT/q at 25 °C [V]; Boltzmann constant and elementary charge are exact in the SI of 2019."""

RISE = 1e-6
"""How long the supply takes to rise, and a setting to change, at least [s]."""

SPREAD = 1e-3
"""How much more current each further transistor carries: no two are alike, and a perfectly even pair
would stay balanced for ever."""

_TRANSISTOR = (
    "IS", "NF", "NR", "BF", "BR", "ISE", "NE", "ISC", "NC", "VAF", "IKF", "RB", "RC", "RE", "CJE", "CJC",
)  # fmt: skip


class Happening(Protocol):
    """What a person does during the time simulated: a part's setting moves to a value."""

    @property
    def time(self) -> float: ...
    @property
    def part(self) -> str: ...
    @property
    def setting(self) -> str: ...
    @property
    def value(self) -> float: ...
    @property
    def ramp(self) -> float: ...


def netlist_text(
    circuit: Circuit,
    title: str = "circuit",
    *,
    lasts: float | None = None,
    actions: Sequence[Happening] = (),
    power_up: Mapping[str, str] | None = None,
) -> str:
    """Write a circuit as a SPICE-style netlist.

    With ``lasts`` [s] a transient analysis is asked for.  ``actions`` move buttons, switches, wipers
    and light (the ``Action`` of a trial fits); ``power_up`` names the state in which an IC wakes, else
    the first that its data lists.  Node 0 is the net of the supply's minus terminal.  Raises
    LookupError where there is no supply, ValueError where a part has no model.
    """
    writer = _Writer(circuit, actions, power_up or {})
    for part in circuit.parts:
        writer.part(part)
    lines = [f"* {_plain(title)}"]
    lines += [f"* node {node}: net {net}" for net, node in writer.nodes.items() if node != net]
    lines += ["", *writer.lines, *([""] if writer.cards else []), *writer.cards.values()]
    lines += ["", ".options temp=25 tnom=25 method=gear"]
    if lasts is not None:
        lines.append(f".tran {_n(lasts / 1000)} {_n(lasts)} 0 {_n(lasts / 1000)} uic")
    return "\n".join([*lines, ".end", ""])


def _n(value: float) -> str:
    return f"{value:.9g}"


def _plain(text: str) -> str:
    return " ".join(re.sub(r"[^\x20-\x7e]", " ", text).split())[:80]


class _Writer:
    """Collects element lines and model cards; one method for each kind of model."""

    def __init__(self, circuit: Circuit, actions: Sequence[Happening], power_up: Mapping[str, str]) -> None:
        self.circuit = circuit
        self.actions = actions
        self.power_up = power_up
        self.lines: list[str] = []
        self.cards: dict[str, str] = {}
        self.transistors = 0
        self.nodes = self._name_nodes(circuit)
        self.elements: dict[str, str] = {}
        supply = circuit.supply
        self.nominal = self._number(supply, "emf") * supply.setting("count", 1.0)

    @staticmethod
    def _name_nodes(circuit: Circuit) -> dict[str, str]:
        """Node names that any simulator takes: small letters and digits, none equal but for case."""
        ground = circuit.ground
        names: dict[str, str] = {ground: "0"}
        taken = {"0", "gnd"}
        for net in circuit.nets:
            if net == ground:
                continue
            base = re.sub(r"[^a-z0-9]", "_", net.lower())
            name, count = base, 2
            while name in taken:
                name, count = f"{base}_{count}", count + 1
            taken.add(name)
            names[net] = name
        return names

    def _element(self, part: Part) -> str:
        """A name for a part that differs from all others by more than case."""
        if part.id not in self.elements:
            name, count = part.id.upper(), 2
            while name in self.elements.values():
                name, count = f"{part.id.upper()}_{count}", count + 1
            self.elements[part.id] = name
        return self.elements[part.id]

    def _node(self, part: Part, terminal: int) -> str:
        net = part.nets[terminal]
        return f"{self._element(part).lower()}_open{terminal + 1}" if net is None else self.nodes[net]

    @staticmethod
    def _number(part: Part, name: str, default: float | None = None) -> float:
        data = part.type.model.get(name)
        if isinstance(data, Mapping):
            default = Figure.model_validate(data).value
        if default is None:
            raise ValueError(f"the model of {part.type.id} has no '{name}'")
        return part.setting(name, default)

    def part(self, part: Part) -> None:
        kind = str(part.type.model.get("kind", ""))
        method = getattr(self, f"_{kind}", None)
        if not kind or method is None:
            raise ValueError(f"{part.type.id} has no electrical model that a netlist can hold")
        method(part, self._element(part), *(self._node(part, i) for i in range(len(part.nets))))

    def _value(self, part: Part) -> float:
        if part.value is None:
            raise ValueError(f"{part.id} has no value")
        return part.value

    def _control(self, part: Part, setting: str, start: float) -> str | None:
        """Write a source whose voltage is the setting, if the setting moves; give its node."""
        moves = sorted(
            (a for a in self.actions if (a.part, a.setting) == (part.id, setting)), key=lambda a: a.time
        )
        if not moves:
            return None
        points, value, last = [(0.0, start)], start, 0.0
        for move in moves:
            begin = max(move.time, last + RISE)
            last = begin + max(move.ramp, RISE)
            points += [(begin, value), (last, move.value)]
            value = move.value
        node = f"{self._element(part).lower()}_{setting}"
        pairs = " ".join(f"{_n(t)} {_n(v)}" for t, v in points)
        self.lines.append(f"V_{self._element(part)}_{setting} {node} 0 PWL({pairs})")
        return node

    def _resistor(self, part: Part, name: str, a: str, b: str) -> None:
        self.lines.append(f"R_{name} {a} {b} {_n(self._value(part))}")

    def _potentiometer(self, part: Part, name: str, a: str, w: str, b: str) -> None:
        track, end = self._value(part), self._number(part, "end_resistance")
        start = self._number(part, "position")
        control = self._control(part, "position", start)
        if control is None:
            self.lines.append(f"R_{name}_A {a} {w} {_n(track * start + end)}")
            self.lines.append(f"R_{name}_B {w} {b} {_n(track * (1 - start) + end)}")
            return
        for suffix, x, y, share in (("A", a, w, f"V({control})"), ("B", w, b, f"(1-V({control}))")):
            self.lines.append(f"B_{name}_{suffix} {x} {y} I=V({x},{y})/({_n(track)}*{share}+{_n(end)})")

    def _ldr(self, part: Part, name: str, a: str, b: str) -> None:
        ohm, gamma = self._number(part, "resistance"), self._number(part, "gamma")
        light = self._number(part, "light")
        control = self._control(part, "light", light)
        if control is None:
            self.lines.append(f"R_{name} {a} {b} {_n(ohm * (light / 10) ** -gamma)}")
        else:
            shown = f"{_n(ohm)}*exp({_n(-gamma)}*ln(max(V({control}),0.001)/10))"
            self.lines.append(f"B_{name} {a} {b} I=V({a},{b})/({shown})")

    def _capacitor(self, part: Part, name: str, a: str, b: str) -> None:
        farad = self._value(part)
        if "dissipation" in part.type.model:
            series = self._number(part, "dissipation") / (2 * math.pi * 120 * farad)
        else:
            series = self._number(part, "esr", 0.1)
        leak = 1 / (self._number(part, "self_discharge") * farad)
        inner = f"{name.lower()}_inner"
        self.lines.append(f"R_{name} {a} {inner} {_n(series)}")
        self.lines.append(f"C_{name} {inner} {b} {_n(farad)} IC=0")
        self.lines.append(f"R_{name}_leak {inner} {b} {_n(leak)}")

    def _diode(self, part: Part, name: str, a: str, k: str) -> None:
        ideality, series = self._number(part, "ideality"), self._number(part, "series_resistance")
        if "saturation_current" in part.type.model:
            saturation = self._number(part, "saturation_current")
        else:
            current = self._number(part, "forward_current")
            inner = self._number(part, "forward_voltage") - series * current
            saturation = current / math.expm1(inner / (ideality * THERMAL_VOLTAGE))
        card = self._card(
            part,
            "D",
            IS=saturation,
            N=ideality,
            RS=series,
            BV=self._number(part, "breakdown_voltage"),
        )
        self.lines.append(f"D_{name} {a} {k} {card}")

    def _transistor(self, part: Part, name: str, c: str, b: str, e: str) -> None:
        polarity = str(part.type.model["polarity"]).upper()
        card = self._card(part, polarity, **{key: self._number(part, key) for key in _TRANSISTOR})
        area = 1 + SPREAD * self.transistors
        self.transistors += 1
        self.lines.append(f"Q_{name} {c} {b} {e} {card} {_n(area)}")
        breakdown = f"dbe_{card}"
        self.cards.setdefault(
            breakdown, f".model {breakdown} D(IS=1e-20 BV={_n(self._number(part, 'BVEB'))})"
        )
        self.lines.append(f"D_{name}_be {f'{b} {e}' if polarity == 'NPN' else f'{e} {b}'} {breakdown}")

    def _card(self, part: Part, kind: str, **numbers: float) -> str:
        """Add a model card, one for each set of numbers; give its name."""
        text = " ".join(f"{key}={_n(value)}" for key, value in numbers.items())
        base = re.sub(r"[^a-z0-9]", "_", part.type.id.lower())
        name, count = f"m_{base}", 2
        while name in self.cards and self.cards[name] != f".model {name} {kind}({text})":
            name, count = f"m_{base}_{count}", count + 1
        self.cards[name] = f".model {name} {kind}({text})"
        return name

    def _throw(self, part: Part, name: str, a: str, b: str, share: str) -> None:
        """A conductance between open and closed, by a share of 0 to 1."""
        closed, opened = 1 / self._number(part, "closed"), 1 / self._number(part, "open")
        self.lines.append(f"B_{name} {a} {b} I=V({a},{b})*({_n(opened)}+{_n(closed - opened)}*{share})")

    def _contact(self, part: Part, name: str, a: str, b: str) -> None:
        control = self._control(part, "pressed", 0.0)
        if control is None:
            self.lines.append(f"R_{name} {a} {b} {_n(self._number(part, 'open'))}")
        else:
            self._throw(part, name, a, b, f"V({control})")

    def _switch(self, part: Part, name: str, a: str, c: str, b: str) -> None:
        thrown = part.setting("thrown", 0.0)
        control = self._control(part, "thrown", thrown)
        if control is not None:
            self._throw(part, f"{name}_A", a, c, f"(1-V({control}))")
            self._throw(part, f"{name}_B", c, b, f"V({control})")
            return
        closed, opened = self._number(part, "closed"), self._number(part, "open")
        first, second = (opened, closed) if thrown > 0.5 else (closed, opened)
        self.lines.append(f"R_{name}_A {a} {c} {_n(first)}")
        self.lines.append(f"R_{name}_B {c} {b} {_n(second)}")

    def _supply(self, part: Part, name: str, plus: str, minus: str) -> None:
        count = part.setting("count", 1.0)
        volts = self._number(part, "emf") * count
        inner = f"{name.lower()}_inner"
        self.lines.append(f"V_{name} {inner} {minus} PWL(0 0 {_n(RISE)} {_n(volts)})")
        self.lines.append(f"R_{name} {inner} {plus} {_n(self._number(part, 'resistance') * count)}")

    def _motor(self, part: Part, name: str, a: str, b: str) -> None:
        """Winding in series with a capacitor J/k² and a leak k²/B, whose voltage is the back-EMF."""
        constant = self._number(part, "constant")
        inner = f"{name.lower()}_turning"
        self.lines.append(f"R_{name} {a} {inner} {_n(self._number(part, 'resistance'))}")
        self.lines.append(f"C_{name} {inner} {b} {_n(self._number(part, 'inertia') / constant**2)} IC=0")
        self.lines.append(f"R_{name}_friction {inner} {b} {_n(constant**2 / self._number(part, 'friction'))}")

    def _buzzer(self, part: Part, name: str, plus: str, minus: str) -> None:
        start, rated = self._number(part, "start_voltage"), self._number(part, "rated_voltage")
        current = self._number(part, "rated_current")
        first = 0.1 * current / start
        second = 0.9 * current / (rated - start) - first
        across = f"V({plus},{minus})"
        self.lines.append(
            f"B_{name} {plus} {minus} I={_n(first)}*{across}+{_n(second)}*uramp({across}-{_n(start)})"
        )

    def _ic(self, part: Part, name: str, *nodes: str) -> None:
        model: Mapping[str, Any] = part.type.model
        wakes = self.power_up.get(part.id)
        base = re.sub(r"[^a-z0-9]", "_", part.type.id.lower())
        if wakes is not None:
            base += f"_wakes_{re.sub(r'[^a-z0-9]', '_', wakes.lower())}"
        self.cards.setdefault(
            f"x_{base}", "\n".join(subcircuit(f"x_{base}", part.type, model, self.nominal, wakes))
        )
        self.lines.append(f"X_{name} {' '.join(nodes)} x_{base}")
