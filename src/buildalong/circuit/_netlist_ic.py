"""An IC's watchers, state tables and output curves as a sub-circuit of behavioural sources.

Each watcher is a node at 0 V or 1 V, each state table a node at the number of its state (−1: no
supply).  A node is the charge of 1 µF: while a condition holds, it is driven to its new value through
1 Ω, within microseconds; otherwise nothing drives it, and it keeps what it had.  The outputs follow
the state some microseconds later, so that a change is complete before the circuit can answer it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise
from typing import Any

from buildalong.parts import Figure, PartType
from buildalong.quantity import parse_as

__all__ = ["subcircuit"]

_PIN_LEAK, _PIN_CAPACITANCE = "1e12", "20p"
"""Ohm and farad from each pin to ground: a pin and its strip hold some 10 pF to 20 pF (our choice), and
without any of it a behavioural source may jump, which simulators do not like."""

_BREAKDOWN = 40.0


def subcircuit(
    name: str, part_type: PartType, model: Mapping[str, Any], nominal: float, wakes: str | None
) -> list[str]:
    """Give the lines of a ``.subckt`` for an IC at a supply of ``nominal`` volt."""
    pins = {terminal.name: f"p{i + 1}" for i, terminal in enumerate(part_type.terminals)}
    lines = [f"* {part_type.id}: " + ", ".join(f"{pin} = {t}" for t, pin in pins.items())]
    lines.append(f".subckt {name} {' '.join(pins.values())}")
    for pin in pins.values():
        lines += [f"R_{pin} {pin} 0 {_PIN_LEAK}", f"C_{pin} {pin} 0 {_PIN_CAPACITANCE}"]
    for i, inner in enumerate(model.get("resistors", ())):
        a, b = (pins[t] for t in inner["between"])
        lines.append(f"R_in{i} {a} {b} {_n(_figure(inner['resistance']))}")
    for i, inner in enumerate(model.get("diodes", ())):
        a, b = (pins[t] for t in inner["between"])
        saturation = _figure(inner["saturation_current"]) if "saturation_current" in inner else 1e-12
        series = _figure(inner["resistance"])
        lines.append(f"D_in{i} {a} {b} d_in{i}")
        lines.append(f".model d_in{i} D(IS={_n(saturation)} RS={_n(series)} BV={_n(_BREAKDOWN)})")
    cells = {cell["name"]: (i, cell) for i, cell in enumerate(model.get("cells", ()))}
    for i, cell in cells.values():
        lines += _Cell(i, cell, pins, wakes).lines()
    for i, curve in enumerate(model.get("curves", ())):
        lines.append(_curve(i, curve, pins, cells, nominal))
    lines.append(".ends")
    return lines


def _n(value: float) -> str:
    return f"{value:.9g}"


def _figure(data: Mapping[str, Any]) -> float:
    return Figure.model_validate(data).value


def _sum(terms: Mapping[str, float], pins: Mapping[str, str]) -> str:
    return "+".join(f"({_n(float(weight))})*V({pins[t]})" for t, weight in terms.items())


def _is(node: str) -> str:
    """1 where a 0/1 node is true, else 0; in between it changes without a jump."""
    return f"min(1,max(0,10*V({node})-4.5))"


def _share(difference: str) -> str:
    """0 below zero volt, 1 above one millivolt, straight between: no step that a solver trips over."""
    return f"min(1,max(0,1000*({difference})))"


def _all(factors: Iterable[str]) -> str:
    return "*".join(factors) or "1"


class _Cell:
    """One state table: its watchers, memories of edges, and the node of its state."""

    def __init__(
        self, index: int, cell: Mapping[str, Any], pins: Mapping[str, str], wakes: str | None
    ) -> None:
        self.cell = cell
        self.pins = pins
        self.state = f"s{index}"
        self.states: list[str] = list(cell["states"])
        wake = wakes if wakes in self.states else cell["wakes"][0]
        self.wake = self.states.index(wake)
        self.watchers = {w["name"]: f"w{index}_{i}" for i, w in enumerate(cell["watchers"])}

    def lines(self) -> list[str]:
        """Watchers, memories of edges, and the state."""
        out = [f"* {self.cell['name']}: " + ", ".join(f"{i} = {s}" for i, s in enumerate(self.states))]
        for watcher in self.cell["watchers"]:
            out += self._watcher(watcher)
        steps: list[tuple[str, str]] = [(f"(1-{_is(self.watchers[self.cell['power']])})", "-1")]
        for i, rule in enumerate(self.cell["rules"]):
            condition, following, extra = self._rule(i, rule)
            out += extra
            steps.append((condition, following))
        steps.append((f"min(1,max(0,-5*V({self.state}_o)-2))", str(self.wake)))
        drive = "0"  # the first step whose condition holds wins; conditions change without a jump
        for condition, following in reversed(steps):
            rest = "" if drive == "0" else f"+(1-{condition})*({drive})"
            drive = f"{condition}*({following}-V({self.state})){rest}"
        out += _memory(self.state, drive, -1)
        out += _memory(f"{self.state}_o", f"0.2*(V({self.state})-V({self.state}_o))", -1)
        return out

    def _watcher(self, watcher: Mapping[str, Any]) -> list[str]:
        node = self.watchers[watcher["name"]]
        level = _figure(watcher["level"])
        back = _figure(watcher["back"]) if "back" in watcher else level
        rises = _share(f"{_sum(watcher['sum'], self.pins)}-({_n(level)})")
        falls = _share(f"{_n(back)}-({_sum(watcher.get('sum_back', watcher['sum']), self.pins)})")
        drive = f"{rises}*(1-V({node}))-{falls}*V({node})"
        return [f"* {watcher['title']}", *_memory(node, drive)]

    def _rule(self, index: int, rule: Mapping[str, Any]) -> tuple[str, str, list[str]]:
        """Give a rule's condition, the state it leads to, and the nodes it needs."""
        factors = [_is(self.watchers[name]) for name in rule.get("when", ())]
        factors += [f"(1-{_is(self.watchers[name])})" for name in rule.get("unless", ())]
        allowed = _all(factors)
        if not rule.get("on"):
            return allowed, self._following(rule, f"V({self.state})"), []
        # an edge: what stood just before it is remembered from the moment the watcher is true
        edge = _is(self.watchers[rule["on"]])
        ready, before = f"{self.state}_e{index}", f"{self.state}_m{index}"
        extra = _memory(ready, f"(1-{edge})*({allowed}-V({ready}))")
        extra += _memory(before, f"(1-{edge})*(V({self.state})-V({before}))", -1)
        on = f"{edge}*{_is(ready)}*min(1,max(0,10*V({before})+5))"
        return on, self._following(rule, f"V({before})"), extra

    def _following(self, rule: Mapping[str, Any], present: str) -> str:
        if not rule.get("ring"):
            return str(self.states.index(rule["to"]))
        ring: Sequence[str] = rule["ring"]
        if list(ring) == self.states:
            last = len(ring) - 1
            return f"({present} > {_n(last - 0.5)} ? 0 : nint({present})+1)"
        following = f"nint({present})"
        for a, b in pairwise([*ring, ring[0]]):
            here, there = self.states.index(a), self.states.index(b)
            following = f"(abs({present}-{here}) < 0.5 ? {there} : {following})"
        return following


def _memory(node: str, drive: str, start: int = 0) -> list[str]:
    return [f"B_{node} 0 {node} I={drive}", f"C_{node} {node} 0 1u IC={start}", f"R_{node} {node} 0 1e12"]


def _gate(node: str, states: Sequence[int]) -> str:
    """1 in the given states, 0 in the others, changing half-way between neighbours."""
    runs: list[list[int]] = []
    for state in sorted(states):
        if runs and state == runs[-1][1] + 1:
            runs[-1][1] = state
        else:
            runs.append([state, state])
    parts = []
    for first, last in runs:
        rise = f"min(1,max(0,5*V({node})+{_n(3 - 5 * first)}))"
        fall = f"min(1,max(0,{_n(5 * last + 3)}-5*V({node})))"
        parts.append(f"{rise}*{fall}")
    return f"({'+'.join(parts)})"


def _curve(
    index: int,
    curve: Mapping[str, Any],
    pins: Mapping[str, str],
    cells: Mapping[str, tuple[int, Mapping[str, Any]]],
    nominal: float,
) -> str:
    a, b = pins[curve["from"]], pins[curve["to"]]
    points = _points(curve, nominal)
    across = f"V({a},{b})"
    slopes = [(i1 - i0) / (v1 - v0) for (v0, i0), (v1, i1) in pairwise(points)]
    v0, i0 = points[0]
    terms = [_n(i0 - slopes[0] * v0), f"({_n(slopes[0])})*{across}"]
    for (corner, _), before, after in zip(points[1:], slopes, slopes[1:], strict=False):
        if after != before:
            terms.append(f"({_n(after - before)})*uramp({across}-{_n(corner)})")
    current = "+".join(terms)
    if curve.get("cell"):
        number, cell = cells[curve["cell"]]
        states = [cell["states"].index(state) for state in curve["states"]]
        current = f"{_gate(f's{number}_o', states)}*({current})"
    return f"B_curve{index} {a} {b} I={current}"


def _points(curve: Mapping[str, Any], nominal: float) -> list[tuple[float, float]]:
    """Points of a curve at a supply voltage: between two measured ones in proportion, else the nearest."""
    tables = sorted(
        (
            (parse_as(at["supply"], "V"), [(parse_as(v, "V"), parse_as(i, "A")) for v, i in at["points"]])
            for at in curve["at"]
        ),
        key=lambda table: table[0],
    )
    if nominal <= tables[0][0]:
        return tables[0][1]
    for (low, first), (high, second) in pairwise(tables):
        if nominal <= high:
            share = (nominal - low) / (high - low)
            return [
                (v0 + share * (v1 - v0), i0 + share * (i1 - i0))
                for (v0, i0), (v1, i1) in zip(first, second, strict=True)
            ]
    return tables[-1][1]
