"""Formulas of lights and of what switches them."""

from __future__ import annotations

from collections.abc import Iterator

from buildalong.design import _sheet_words as notes
from buildalong.design._curves import output_drop
from buildalong.design._entry import Correction, SheetEntry
from buildalong.design._expr import Expr, Num, Product, Quotient, Sym
from buildalong.design._facts import SATURATION, forward_voltage, junction_voltage, supply_voltage
from buildalong.design._formula import Formula
from buildalong.design._graph import Graph
from buildalong.design._lights import driver
from buildalong.design._pair_formulas import afterglow
from buildalong.design._said import said_volts
from buildalong.design._shape import Shape
from buildalong.words import say

__all__ = ["led", "lit_current", "switch"]

TEXTBOOK_BASE = 0.7
"""Base-emitter voltage of the second approximation [V]; Malvino & Bates, Electronic Principles, ch. 6."""


def led(graph: Graph, shape: Shape, shapes: tuple[Shape, ...]) -> Iterator[SheetEntry]:
    """Current of a LED: what the supply has left over the LED, divided by the resistance."""
    supply = Sym("V", "S", supply_voltage(graph), "V")
    lights = shape.roles["light"]
    light = lights[0] if shape.kind == "led" else lights[min(1, len(lights) - 1)]
    row = lights if shape.kind == "led" else (light,)
    used = _drops(graph, row)
    result = Sym("I", light, of="A")
    resistance = shape.terms["resistance"]
    corrections, left = [], supply - used
    for loss, cause in _losses(graph, shape, row, supply.number):
        left = left - loss
        corrections.append(Correction(Formula(result, Quotient(left, resistance)), cause))
    corrections += _at_its_current(graph, row, left, resistance, result)
    if (share := afterglow(graph, light, shapes)) is not None:
        before = corrections[-1].formula.expr if corrections else Quotient(left, resistance)
        corrections.append(Correction(Formula(result, before * share[0]), say(notes.MEAN, cause=share[1])))
    title = say(notes.CURRENT, light=light)
    yield SheetEntry(
        f"current({light})", title, shape, Formula(result, Quotient(supply - used, resistance)),
        ("current", light), say(notes.LED), say(notes.FORWARD, light=light), tuple(corrections),
    )  # fmt: skip


def _drops(graph: Graph, row: tuple[str, ...]) -> Expr:
    """The forward voltages in a row: n · V_F for equal ones, else a sum."""
    volts = [forward_voltage(graph.part(identity)) for identity in row]
    if len(set(volts)) == 1:
        drop = Sym("V", "F", volts[0], "V")
        return drop if len(row) == 1 else Product((Num(len(row)), drop))
    total: Expr = Sym("V", row[0], volts[0], "V")
    for identity, v in zip(row[1:], volts[1:], strict=True):
        total = total + Sym("V", identity, v, "V")
    return total


def _ends(graph: Graph, shape: Shape) -> list[tuple[str, str, str, bool]]:
    """What lies between the light and each rail: (kind, part, terminal, whether it pulls up)."""
    out = []
    for net, high in ((shape.nets["from"], True), (shape.nets["to"], False)):
        kind, identity = driver(graph, net)
        pins = [p for p in graph.pins(net) if p.part == identity]
        if kind in ("output", "open-output", "transistor") and pins:
            out.append((kind, identity, pins[0].terminal, high))
    return out


def _drop(graph: Graph, end: tuple[str, str, str, bool], volts: float, current: float) -> float:
    kind, identity, terminal, high = end
    if kind == "transistor":
        return SATURATION
    return output_drop(graph.part(identity), terminal, volts, current, high=high)


def lit_current(graph: Graph, shape: Shape, row: tuple[str, ...]) -> float:
    """The current of a lit LED with real parts [A]: the resistor takes what light and outputs leave."""
    ends, ohms, volts = _ends(graph, shape), shape.terms["resistance"].value(), supply_voltage(graph)
    low, high = 0.0, volts / ohms
    for _ in range(60):
        current = 0.5 * (low + high)
        used = sum(_lit_voltage(graph, identity, current) for identity in row)
        left = volts - used - sum(_drop(graph, end, volts, current) for end in ends)
        low, high = (current, high) if left > current * ohms else (low, current)
    return low


def _losses(graph: Graph, shape: Shape, row: tuple[str, ...], volts: float) -> list[tuple[Sym, str]]:
    """What the source and the sink keep for themselves at the real current, with the reasons."""
    current, out = lit_current(graph, shape, row), []
    for end in _ends(graph, shape):
        loss = _drop(graph, end, volts, current)
        sub, cause = ("drop", notes.OUTPUT_HIGH) if end[3] else ("low", notes.OUTPUT_LOW)
        if end[0] == "transistor":
            sub, cause = "CE", notes.SATURATED
        if loss > 0.0:
            out.append((Sym("V", sub, loss, "V"), say(cause, part=end[1], volts=said_volts(loss))))
    return out


def _lit_voltage(graph: Graph, identity: str, current: float) -> float:
    """The forward voltage of a light at a current, or its data sheet figure without a model [V]."""
    part = graph.part(identity)
    volts = junction_voltage(part, current)
    return volts if volts == volts else forward_voltage(part)


def _at_its_current(
    graph: Graph, row: tuple[str, ...], left: Expr, resistance: Expr, result: Sym
) -> list[Correction]:
    """The forward voltage at the real current instead of the data sheet's test current."""
    if len({graph.part(identity).type.id for identity in row}) != 1:
        return []
    formula = Formula(result, Quotient(left, resistance))
    given = forward_voltage(graph.part(row[0]))
    low, high = 0.0, formula.value({"V_F": 0.0})
    for _ in range(60):
        current = 0.5 * (low + high)
        more = formula.value({"V_F": _lit_voltage(graph, row[0], current)}) > current
        low, high = (current, high) if more else (low, current)
    drop = _lit_voltage(graph, row[0], low)
    if not low > 0.0 or abs(drop - given) < 0.02:
        return []
    cause = say(notes.FORWARD_NOW, light=row[0], volts=said_volts(drop))
    return [Correction(formula.with_values({"V_F": drop}), cause)]


def switch(graph: Graph, shape: Shape, shapes: tuple[Shape, ...]) -> Iterator[SheetEntry]:
    """Transistor switch: base current, and collector current when it is fully on."""
    part = shape.part("transistor")
    supply = Sym("V", "S", supply_voltage(graph), "V")
    drive = Sym("V", "in", supply.number, "V")
    base = Sym("V", "BE", TEXTBOOK_BASE, "V")
    yield SheetEntry(
        f"base_current({part})", say(notes.BASE_CURRENT, transistor=part), shape,
        Formula(Sym("I", "B", of="A"), Quotient(drive - base, shape.terms["base"])), None, say(notes.SWITCH),
        say(notes.BASE_NOTE),
    )  # fmt: skip
    if "load" in shape.terms:
        yield SheetEntry(
            f"collector_current({part})", say(notes.COLLECTOR_CURRENT, transistor=part), shape,
            Formula(Sym("I", "C", of="A"), Quotient(supply, shape.terms["load"])), None, say(notes.SWITCH),
        )  # fmt: skip
