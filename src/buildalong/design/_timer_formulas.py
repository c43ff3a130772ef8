"""Formulas of everything that keeps time: timers, the two-transistor astable, the counter."""

from __future__ import annotations

from collections.abc import Iterator

from buildalong.design import _sheet_words as notes
from buildalong.design._curves import input_current, output_drop
from buildalong.design._entry import SheetEntry
from buildalong.design._expr import Expr, Product, Quotient, Sym, ln
from buildalong.design._facts import (
    junction_voltage,
    leakage,
    supply_voltage,
)
from buildalong.design._formula import Formula
from buildalong.design._graph import Graph
from buildalong.design._light_formulas import lit_current
from buildalong.design._rhythm import ONE, THREE, TWO, output_of, rhythm, supply_symbol, time_entry
from buildalong.design._said import said_volts
from buildalong.design._shape import Shape
from buildalong.quantity import format_quantity
from buildalong.words import in_parts, listed, say

__all__ = ["astable", "by_output", "counter", "one_shot", "steered"]


def astable(graph: Graph, shape: Shape, shapes: tuple[Shape, ...]) -> Iterator[SheetEntry]:
    """Plain astable: fills through both resistors, empties through one."""
    out = output_of(graph, shape, shapes)
    upper, lower, c = shape.terms["upper"], shape.terms["lower"], shape.terms["capacitance"]
    real: list[Expr] = []
    for which, path, fills in ((out.high, upper + lower, True), (out.low, lower, False)):
        ideal = Product((ln(2), path, c))
        corrections = _biased(graph, shape, path, None, fills=fills)
        real.append(corrections[-1][0] if corrections else ideal)
        yield time_entry(which, shape, out.target, ideal, say(notes.TI), say(notes.LN2), corrections)
    whole = upper + Product((TWO, lower))
    high_is_on = out.high[0] == "on_time"
    on = upper + lower if high_is_on else lower
    halves: tuple[tuple[Expr, Expr, str], ...] = ()
    if cause := _bias_words(graph, shape, "both"):
        first, second = real if high_is_on else real[::-1]
        halves = ((first, second, cause),)
    period = Product((ln(2), whole, c))
    share = Quotient(on, whole)
    yield from rhythm(
        shape, out, period, share, say(notes.TI), say(notes.LN2), say(notes.FREQUENCY_LN2), halves
    )


def _bias(graph: Graph, shape: Shape) -> float:
    """The current that the timer's two inputs deliver into the capacitor [A]."""
    timer = graph.part(shape.part("timer"))
    return input_current(timer, "TRIG", "THRES", supply=supply_voltage(graph))


def _bias_words(graph: Graph, shape: Shape, way: str) -> str:
    current = _bias(graph, shape)
    if current < 1e-9:
        return ""
    said = format_quantity(current, "A", 2)
    places = {"timer": shape.part("timer"), "capacitor": shape.part("capacitor"), "current": said}
    return say(notes.BIAS[way], **places)


def _biased(
    graph: Graph, shape: Shape, path: Expr, drop: Sym | None, *, fills: bool
) -> tuple[tuple[Expr, str], ...]:
    """The time with the input current counted in, on top of a diode's drop where there is one."""
    cause = _bias_words(graph, shape, "fills" if fills else "empties")
    if not cause:
        return ()
    shift = Product((Sym("I", "B", _bias(graph, shape), "A"), path))
    supply = supply_symbol(graph)
    two: Expr = Quotient(Product((TWO, supply)), THREE)
    one: Expr = Quotient(supply, THREE)
    if drop is not None:
        two, one = two - drop, one - drop
    law = Quotient(two + shift, one + shift) if fills else Quotient(two - shift, one - shift)
    return ((Product((ln(law), path, shape.terms["capacitance"])), cause),)


def _passed(supply: Sym, drop: Sym) -> Expr:
    """The logarithm when a drop is taken off the voltage that charges from one to two thirds."""
    two = Quotient(Product((TWO, supply)), THREE)
    one = Quotient(supply, THREE)
    return ln(Quotient(two - drop, one - drop))


def _diode_drop(graph: Graph, identity: str, resistance: Expr) -> Sym:
    """The drop of a steering diode at its mean current: half the supply across the resistance."""
    part, volts, drop = graph.part(identity), supply_voltage(graph), 0.5
    for _ in range(20):
        drop = junction_voltage(part, max(volts / 2.0 - drop, 0.01 * volts) / resistance.value())
    return Sym("V", identity, drop, "V")


def steered(graph: Graph, shape: Shape, shapes: tuple[Shape, ...]) -> Iterator[SheetEntry]:
    """Astable with steering diodes: each time has its own resistors."""
    out, supply = output_of(graph, shape, shapes), supply_symbol(graph)
    charge, discharge, c = shape.terms["charge"], shape.terms["discharge"], shape.terms["capacitance"]
    real: list[Expr] = []
    first: list[Expr] = []
    drops: list[Sym] = []
    for which, path, role in ((out.high, charge, "charge_diode"), (out.low, discharge, "discharge_diode")):
        ideal = Product((ln(2), path, c))
        corrections: tuple[tuple[Expr, str], ...] = ()
        drop: Sym | None = None
        if diode := shape.part(role):
            drop = _diode_drop(graph, diode, path)
            drops.append(drop)
            cause = say(notes.DIODE, diode=diode, volts=said_volts(drop.number))
            corrections = ((Product((_passed(supply, drop), path, c)), cause),)
            first.append(corrections[0][0])
        else:
            first.append(ideal)
        corrections += _biased(graph, shape, path, drop, fills=which is out.high)
        real.append(corrections[-1][0] if corrections else ideal)
        yield time_entry(which, shape, out.target, ideal, say(notes.STEERED), say(notes.LN2), corrections)
    high_is_on = out.high[0] == "on_time"
    on = charge if high_is_on else discharge
    if not high_is_on:
        first, real = first[::-1], real[::-1]
    halves = ((first[0], first[1], _diodes(drops)), (real[0], real[1], _bias_words(graph, shape, "both")))
    period = Product((ln(2), charge + discharge, c))
    share = Quotient(on, charge + discharge)
    yield from rhythm(
        shape, out, period, share, say(notes.STEERED), say(notes.LN2), say(notes.FREQUENCY_LN2),
        tuple(half for half in halves if half[2]),
    )  # fmt: skip


def _diodes(drops: list[Sym]) -> str:
    """The cause in words: one diode, or two of about the same drop."""
    mean = said_volts(sum(drop.number for drop in drops) / len(drops))
    names = listed(list(dict.fromkeys(drop.sub for drop in drops)))
    return (
        (say(notes.DIODES, diodes=names, volts=mean))
        if len(drops) > 1
        else say(notes.DIODE, diode=names, volts=mean)
    )


def by_output(graph: Graph, shape: Shape, shapes: tuple[Shape, ...]) -> Iterator[SheetEntry]:
    """Astable whose resistor leads from the output: half the period is ln 2 · R · C."""
    out, supply = output_of(graph, shape, shapes), supply_symbol(graph)
    through, c = shape.terms["through"], shape.terms["capacitance"]
    half = Product((ln(2), through, c))
    real: list[Expr] = []
    causes: list[str] = []
    for which, high, template in ((out.high, True, notes.OUTPUT_SWING), (out.low, False, notes.OUTPUT_SINK)):
        drop = _output_loss(graph, shape, shapes, through, high=high)
        corrections: tuple[tuple[Expr, str], ...] = ()
        if drop.number > 0.0:
            causes.append(say(template, timer=shape.part("timer"), volts=said_volts(drop.number)))
            corrections = ((Product((_passed(supply, drop), through, c)), causes[-1]),)
        real.append(corrections[0][0] if corrections else half)
        yield time_entry(which, shape, out.target, half, say(notes.BY_OUTPUT), say(notes.LN2), corrections)
    period = Product((TWO, ln(2), through, c))
    on, off = real if out.high[0] == "on_time" else real[::-1]
    halves = ((on, off, in_parts(causes)),) if causes else ()
    yield from rhythm(
        shape,
        out,
        period,
        Quotient(ONE, TWO),
        say(notes.BY_OUTPUT),
        say(notes.LN2),
        say(notes.FREQUENCY_OUTPUT),
        halves,
    )


def _output_loss(graph: Graph, shape: Shape, shapes: tuple[Shape, ...], through: Expr, *, high: bool) -> Sym:
    """How far the output stays from its rail while it moves the capacitor and perhaps a light."""
    volts, net = supply_voltage(graph), shape.nets.get("output", "")
    current = volts / 2.0 / through.value()
    for other in shapes:
        if other.kind == "led" and other.nets["from" if high else "to"] == net:
            current += lit_current(graph, other, other.roles["light"])
    timer = graph.part(shape.part("timer"))
    loss = output_drop(timer, "OUT", volts, current, high=high)
    return Sym("V", "drop" if high else "low", loss, "V")


def one_shot(graph: Graph, shape: Shape, shapes: tuple[Shape, ...]) -> Iterator[SheetEntry]:
    """One-shot: the pulse lasts until the capacitor has filled from empty to two thirds."""
    out = output_of(graph, shape, shapes)
    charge, c, supply = shape.terms["charge"], shape.terms["capacitance"], supply_symbol(graph)
    corrections: tuple[tuple[Expr, str], ...] = ()
    capacitor = graph.part(shape.part("capacitor"))
    if (ohms := leakage(capacitor)) is not None:
        leak = Sym("R", "leak", ohms, "Ω")
        end = Product((supply, Quotient(leak, charge + leak)))
        law = ln(Quotient(end, end - Quotient(Product((TWO, supply)), THREE)))
        cause = say(notes.LEAKAGE, capacitor=capacitor.id, ohms=format_quantity(ohms, "Ω", 2))
        corrections = ((Product((law, charge // leak, c)), cause),)
    yield time_entry(
        out.high, shape, out.target, Product((ln(3), charge, c)), say(notes.TI), say(notes.LN3), corrections
    )


def counter(graph: Graph, shape: Shape, shapes: tuple[Shape, ...]) -> Iterator[SheetEntry]:
    """Counter clocked by a timer: each output lasts one period of the clock."""
    clock = shape.nets.get("clock", "")
    timer = next((s for s in shapes if s.kind.startswith("astable") and s.nets.get("output") == clock), None)
    length = shape.terms["length"]
    if timer is None:
        return
    period = Sym("T", "clock", _period(timer).value(), "s")
    lights = shape.roles.get("light", ())
    target = lights[min(1, len(lights) - 1)] if lights else shape.nets.get("q1", "")
    yield SheetEntry(
        f"ontime_entry({target})", say(notes.STEP, light=target), shape,
        Formula(Sym("t", "on", of="s"), period), ("on_time", target), say(notes.COUNTER),
        say(notes.STEP_NOTE),
    )  # fmt: skip
    yield SheetEntry(
        f"period({target})", say(notes.ROUND, counter=shape.part("counter")), shape,
        Formula(Sym("T", "round", of="s"), Product((length, period))), ("period", target), say(notes.COUNTER),
    )  # fmt: skip


def _period(timer: Shape) -> Expr:
    terms = timer.terms
    if timer.kind == "astable":
        whole = terms["upper"] + Product((TWO, terms["lower"]))
    elif timer.kind == "astable-output":
        whole = Product((TWO, terms["through"]))
    else:
        whole = terms["charge"] + terms["discharge"]
    return Product((ln(2), whole, terms["capacitance"]))
