"""Formulas of lights and of what switches them."""

from __future__ import annotations

from collections.abc import Iterator

from buildalong.design import _notes as notes
from buildalong.design._entry import Correction, SheetEntry
from buildalong.design._expr import Expr, Num, Product, Quotient, Sym
from buildalong.design._facts import (
    SATURATION,
    forward_voltage,
    high_drop,
    high_resistance,
    junction_voltage,
    low_level,
    supply_voltage,
)
from buildalong.design._formula import Formula
from buildalong.design._graph import Graph
from buildalong.design._lights import driver
from buildalong.design._shape import Shape
from buildalong.quantity import format_quantity

__all__ = ["led", "switch"]

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
    corrections, left, around = [], supply - used, resistance
    for loss, cause in _losses(graph, shape):
        if loss.of == "V":
            left = left - loss
        else:
            around = around + loss
        corrections.append(Correction(Formula(result, Quotient(left, around)), cause))
    corrections += _at_its_current(graph, row, left, around, result)
    title = notes.CURRENT.format(light=light)
    yield SheetEntry(
        f"current({light})", title, shape, Formula(result, Quotient(supply - used, resistance)),
        ("peak_current", light), notes.LED, notes.FORWARD.format(light=light), tuple(corrections),
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


def _at_its_current(
    graph: Graph, row: tuple[str, ...], left: Expr, around: Expr, result: Sym
) -> Iterator[Correction]:
    """The forward voltage at the real current instead of the data sheet's test current."""
    parts = [graph.part(identity) for identity in row]
    if len({part.type.id for part in parts}) != 1:
        return
    current, drop = max(Quotient(left, around).value(), 1e-9), forward_voltage(parts[0])
    given = drop
    for _ in range(50):
        drop = 0.5 * (drop + junction_voltage(parts[0], current))
        current = max(Formula(result, Quotient(left, around)).value({"V_F": drop}), 1e-9)
    if abs(drop - given) < 0.02 or drop != drop:
        return
    formula = Formula(result, Quotient(left, around)).with_values({"V_F": drop})
    yield Correction(formula, notes.FORWARD_NOW.format(light=row[0], volts=notes.volts(drop)))


def _losses(graph: Graph, shape: Shape) -> Iterator[tuple[Sym, str]]:
    """What the source and the sink keep for themselves, a voltage or a resistance, with the reasons."""
    start, end = driver(graph, shape.nets["from"]), driver(graph, shape.nets["to"])
    if start[0] == "output":
        part = graph.part(start[1])
        if drop := high_drop(part):
            yield Sym("V", "drop", drop, "V"), notes.OUTPUT_DROP.format(part=part.id, volts=notes.volts(drop))
        elif ohms := high_resistance(part, supply_voltage(graph)):
            cause = notes.OUTPUT_RESISTANCE.format(part=part.id, ohms=format_quantity(ohms, "Ω", 2))
            yield Sym("R", "out", ohms, "Ω"), cause
    if end[0] in ("output", "open-output") and (level := low_level(graph.part(end[1]))):
        yield Sym("V", "low", level, "V"), notes.OUTPUT_LOW.format(part=end[1], volts=notes.volts(level))
    for kind, identity in (start, end):
        if kind == "transistor":
            cause = notes.SATURATED.format(part=identity, volts=notes.volts(SATURATION))
            yield Sym("V", "CE", SATURATION, "V"), cause


def switch(graph: Graph, shape: Shape, shapes: tuple[Shape, ...]) -> Iterator[SheetEntry]:
    """Transistor switch: base current, and collector current when it is fully on."""
    part = shape.part("transistor")
    supply = Sym("V", "S", supply_voltage(graph), "V")
    drive = Sym("V", "in", supply.number, "V")
    base = Sym("V", "BE", TEXTBOOK_BASE, "V")
    yield SheetEntry(
        f"base_current({part})", notes.BASE_CURRENT.format(transistor=part), shape,
        Formula(Sym("I", "B", of="A"), Quotient(drive - base, shape.terms["base"])), None, notes.SWITCH,
        notes.BASE_NOTE,
    )  # fmt: skip
    if "load" in shape.terms:
        yield SheetEntry(
            f"collector_current({part})", notes.COLLECTOR_CURRENT.format(transistor=part), shape,
            Formula(Sym("I", "C", of="A"), Quotient(supply, shape.terms["load"])), None, notes.SWITCH,
        )  # fmt: skip
