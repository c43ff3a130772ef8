"""Formulas of everything that keeps time: timers, the two-transistor astable, the counter."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from buildalong.design import _notes as notes
from buildalong.design._curves import input_current, output_drop
from buildalong.design._entry import Correction, SheetEntry
from buildalong.design._expr import Expr, Num, Product, Quotient, Sym, ln
from buildalong.design._facts import (
    BASE_EMITTER,
    BASE_START,
    SATURATION,
    THERMAL,
    forward_voltage,
    junction_voltage,
    leakage,
    modelled,
    supply_voltage,
)
from buildalong.design._formula import Formula
from buildalong.design._graph import Graph
from buildalong.design._lights import shown
from buildalong.design._shape import Shape
from buildalong.quantity import format_quantity

__all__ = ["astable", "by_output", "counter", "one_shot", "steered", "transistors"]

ONE, TWO, THREE = Num(1), Num(2), Num(3)


@dataclass(frozen=True)
class _Output:
    """Whose times are given: a light, or the output net itself."""

    target: str
    high: tuple[str, str, str]
    """Measure, subscript and title of the time with the output high."""
    low: tuple[str, str, str]


def _output(graph: Graph, shape: Shape, shapes: tuple[Shape, ...]) -> _Output:
    net = shape.nets.get("output", "")
    lights, state = shown(graph, shapes).get(net, ((), ""))
    if len(lights) != 1:
        return _Output(
            net,
            ("on_time", "high", notes.HIGH.format(net=net)),
            ("off_time", "low", notes.LOW.format(net=net)),
        )
    lit = ("on_time", "on", notes.LIT.format(light=lights[0]))
    dark = ("off_time", "off", notes.DARK.format(light=lights[0]))
    return _Output(lights[0], lit, dark) if state == "lit" else _Output(lights[0], dark, lit)


def _supply(graph: Graph) -> Sym:
    return Sym("V", "S", supply_voltage(graph), "V")


def _time(
    which: tuple[str, str, str], shape: Shape, target: str, expr: Expr, source: str, note: str,
    corrections: tuple[tuple[Expr, str], ...] = (),
) -> SheetEntry:  # fmt: skip
    measure, sub, title = which
    result = Sym("t", sub, of="s")
    return SheetEntry(
        f"{measure}({target})",
        title,
        shape,
        Formula(result, expr),
        (measure, target),
        source,
        note,
        tuple(Correction(Formula(result, tree), cause) for tree, cause in corrections),
    )


def _rhythm(
    shape: Shape,
    out: _Output,
    period: Expr,
    share: Expr,
    source: str,
    note: str,
    note_f: str,
    halves: tuple[tuple[Expr, Expr, str], ...] = (),
) -> Iterator[SheetEntry]:
    """Period, frequency and duty cycle; ``share`` is the part of the time that counts as on.

    ``halves`` are what real parts make of the on and the off time, effect by effect, with the causes.
    """
    target = out.target
    time, rate, ratio = Sym("T", of="s"), Sym("f", of="Hz"), Sym("D")
    slower = tuple(Correction(Formula(time, on + off), cause) for on, off, cause in halves)
    rarer = tuple(Correction(Formula(rate, Quotient(ONE, on + off)), cause) for on, off, cause in halves)
    other = tuple(Correction(Formula(ratio, Quotient(on, on + off)), cause) for on, off, cause in halves)
    yield SheetEntry(
        f"period({target})", notes.PERIOD, shape, Formula(time, period), ("period", target),
        source, note, slower,
    )  # fmt: skip
    yield SheetEntry(
        f"frequency({target})", notes.FREQUENCY, shape, Formula(rate, Quotient(ONE, period)),
        ("frequency", target), source, note_f, rarer,
    )  # fmt: skip
    yield SheetEntry(
        f"duty({target})", notes.DUTY, shape, Formula(ratio, share), ("duty", target), source,
        notes.RATIO, other,
    )  # fmt: skip


def astable(graph: Graph, shape: Shape, shapes: tuple[Shape, ...]) -> Iterator[SheetEntry]:
    """Plain astable: fills through both resistors, empties through one."""
    out = _output(graph, shape, shapes)
    upper, lower, c = shape.terms["upper"], shape.terms["lower"], shape.terms["capacitance"]
    real: list[Expr] = []
    for which, path, fills in ((out.high, upper + lower, True), (out.low, lower, False)):
        ideal = Product((ln(2), path, c))
        corrections = _biased(graph, shape, path, None, fills=fills)
        real.append(corrections[-1][0] if corrections else ideal)
        yield _time(which, shape, out.target, ideal, notes.TI, notes.LN2, corrections)
    whole = upper + Product((TWO, lower))
    high_is_on = out.high[0] == "on_time"
    on = upper + lower if high_is_on else lower
    halves: tuple[tuple[Expr, Expr, str], ...] = ()
    if cause := _bias_words(graph, shape, "both"):
        first, second = real if high_is_on else real[::-1]
        halves = ((first, second, cause),)
    period = Product((ln(2), whole, c))
    share = Quotient(on, whole)
    yield from _rhythm(shape, out, period, share, notes.TI, notes.LN2, notes.FREQUENCY_LN2, halves)


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
    return notes.BIAS[way].format(**places)


def _biased(
    graph: Graph, shape: Shape, path: Expr, drop: Sym | None, *, fills: bool
) -> tuple[tuple[Expr, str], ...]:
    """The time with the input current counted in, on top of a diode's drop where there is one."""
    cause = _bias_words(graph, shape, "fills" if fills else "empties")
    if not cause:
        return ()
    shift = Product((Sym("I", "B", _bias(graph, shape), "A"), path))
    supply = _supply(graph)
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
    out, supply = _output(graph, shape, shapes), _supply(graph)
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
            cause = notes.DIODE.format(diode=diode, volts=notes.volts(drop.number))
            corrections = ((Product((_passed(supply, drop), path, c)), cause),)
            first.append(corrections[0][0])
        else:
            first.append(ideal)
        corrections += _biased(graph, shape, path, drop, fills=which is out.high)
        real.append(corrections[-1][0] if corrections else ideal)
        yield _time(which, shape, out.target, ideal, notes.STEERED, notes.LN2, corrections)
    high_is_on = out.high[0] == "on_time"
    on = charge if high_is_on else discharge
    if not high_is_on:
        first, real = first[::-1], real[::-1]
    halves = ((first[0], first[1], _diodes(drops)), (real[0], real[1], _bias_words(graph, shape, "both")))
    period = Product((ln(2), charge + discharge, c))
    share = Quotient(on, charge + discharge)
    yield from _rhythm(
        shape, out, period, share, notes.STEERED, notes.LN2, notes.FREQUENCY_LN2,
        tuple(half for half in halves if half[2]),
    )  # fmt: skip


def _diodes(drops: list[Sym]) -> str:
    """The cause in words: one diode, or two of about the same drop."""
    mean = notes.volts(sum(drop.number for drop in drops) / len(drops))
    names = " and ".join(dict.fromkeys(drop.sub for drop in drops))
    return (
        (notes.DIODES.format(diodes=names, volts=mean))
        if len(drops) > 1
        else notes.DIODE.format(diode=names, volts=mean)
    )


def by_output(graph: Graph, shape: Shape, shapes: tuple[Shape, ...]) -> Iterator[SheetEntry]:
    """Astable whose resistor leads from the output: half the period is ln 2 · R · C."""
    out, supply = _output(graph, shape, shapes), _supply(graph)
    through, c = shape.terms["through"], shape.terms["capacitance"]
    half = Product((ln(2), through, c))
    timer = graph.part(shape.part("timer"))
    current = supply.number / 2.0 / through.value()
    drop = Sym("V", "drop", output_drop(timer, "OUT", supply.number, current, high=True), "V")
    cause = notes.OUTPUT_SWING.format(timer=shape.part("timer"), volts=notes.volts(drop.number))
    corrected = ((Product((_passed(supply, drop), through, c)), cause),) if drop.number > 0 else ()
    yield _time(out.high, shape, out.target, half, notes.BY_OUTPUT, notes.LN2, corrected)
    yield _time(out.low, shape, out.target, half, notes.BY_OUTPUT, notes.LN2)
    period = Product((TWO, ln(2), through, c))
    pair = (corrected[0][0] if corrected else half, half)
    halves = ((*(pair if out.high[0] == "on_time" else pair[::-1]), cause),) if corrected else ()
    yield from _rhythm(
        shape, out, period, Quotient(ONE, TWO), notes.BY_OUTPUT, notes.LN2, notes.FREQUENCY_OUTPUT, halves
    )


def one_shot(graph: Graph, shape: Shape, shapes: tuple[Shape, ...]) -> Iterator[SheetEntry]:
    """One-shot: the pulse lasts until the capacitor has filled from empty to two thirds."""
    out = _output(graph, shape, shapes)
    charge, c, supply = shape.terms["charge"], shape.terms["capacitance"], _supply(graph)
    corrections: tuple[tuple[Expr, str], ...] = ()
    capacitor = graph.part(shape.part("capacitor"))
    if (ohms := leakage(capacitor)) is not None:
        leak = Sym("R", "leak", ohms, "Ω")
        end = Product((supply, Quotient(leak, charge + leak)))
        law = ln(Quotient(end, end - Quotient(Product((TWO, supply)), THREE)))
        cause = notes.LEAKAGE.format(capacitor=capacitor.id, ohms=format_quantity(ohms, "Ω", 2))
        corrections = ((Product((law, charge // leak, c)), cause),)
    yield _time(out.high, shape, out.target, Product((ln(3), charge, c)), notes.TI, notes.LN3, corrections)


def transistors(graph: Graph, shape: Shape, shapes: tuple[Shape, ...]) -> Iterator[SheetEntry]:
    """Two-transistor astable: each transistor stays off for ln 2 times its base resistor and capacitor."""
    supply = _supply(graph)
    times: dict[str, tuple[Expr, tuple[tuple[Expr, str], ...]]] = {}
    for index, other in (("1", "2"), ("2", "1")):
        path: Expr = Product((shape.terms[f"base{index}"], shape.terms[f"capacitance{index}"]))
        times[index] = (path, _turnover(graph, shape, index, other, supply, path))
    first, light = ("2", shape.part("light1")) if shape.part("light1") else ("1", shape.part("light2"))
    second = "1" if first == "2" else "2"
    target = light or shape.nets["collector1"]
    lit, dark = notes.LIT.format(light=target), notes.DARK.format(light=target)
    glow = _glow(graph, shape, target, "1" if first == "2" else "2", supply)
    for which, index in ((("on_time", "on", lit), first), (("off_time", "off", dark), second)):
        path, corrections = times[index]
        if glow is not None:
            before = corrections[-1][0]
            corrections += ((before + glow[0] if index == first else before - glow[0], glow[1]),)
        yield _time(which, shape, target, ln(2) * path, notes.TRANSISTORS, notes.LN2, corrections)
    both = times[first][0] + times[second][0]
    out = _Output(target, ("on_time", "on", lit), ("off_time", "off", dark))
    share = Quotient(times[first][0], both)
    causes = (
        notes.BASES.format(on=notes.volts(BASE_EMITTER), start=notes.volts(BASE_START)),
        notes.SWINGS.format(volts=notes.volts(_swing(graph, shape, first, second, supply))),
    )
    halves = tuple(
        (on, off, cause)
        for (on, _), (off, _), cause in zip(times[first][1], times[second][1], causes, strict=True)
    )
    if glow is not None:
        halves += ((halves[-1][0] + glow[0], halves[-1][1] - glow[0], glow[1]),)
    yield from _rhythm(
        shape, out, ln(2) * both, share, notes.TRANSISTORS, notes.LN2, notes.FREQUENCY_TRANSISTORS, halves
    )


def _glow(graph: Graph, shape: Shape, light: str, side: str, supply: Sym) -> tuple[Expr, str] | None:
    """How long a LED still glows while it recharges the capacitor at its collector [s].

    Its current dies away through the load resistor from the full current to the least that shows:
    t = R · C · ln(I_full / I_least).
    """
    name, other = f"load{side}", "2" if side == "1" else "1"
    if light not in graph.circuit.by_id or name not in shape.terms:
        return None
    part, load = graph.part(light), shape.terms[name]
    least = modelled(part, "on_current")
    full = (supply.number - forward_voltage(part) - SATURATION) / load.value()
    if least is None or not full > least:
        return None
    ratio = Quotient(Sym("I", "full", full, "A"), Sym("I", "least", least, "A"))
    time = Product((load, shape.terms[f"capacitance{other}"], ln(ratio)))
    said = format_quantity(time.value(), "s", 2)
    return time, notes.GLOW.format(light=light, time=said, capacitor=shape.part(f"capacitor{other}"))


def _turnover(
    graph: Graph, shape: Shape, index: str, other: str, supply: Sym, path: Expr
) -> tuple[tuple[Expr, str], ...]:
    """What the base voltages, and then the swing of the other collector, do to one half."""
    base, start = Sym("V", "BE", BASE_EMITTER, "V"), Sym("V", "start", BASE_START, "V")
    name, lamp = shape.part("first" if index == "1" else "second"), shape.part(f"light{other}")
    swing = Sym("V", "swing", _swing(graph, shape, index, other, supply), "V")
    places = {"transistor": name, "on": notes.volts(base.number), "start": notes.volts(start.number)}
    whole = ln(Quotient(Product((TWO, supply)) - base, supply - start))
    less = ln(Quotient(supply - base + swing, supply - start))
    cause = notes.SWING_LIGHT if lamp else notes.SWING
    return (
        (whole * path, notes.BASE.format(**places)),
        (less * path, cause.format(light=lamp, volts=notes.volts(swing.number))),
    )


def _swing(graph: Graph, shape: Shape, index: str, other: str, supply: Sym) -> float:
    """How far the collector of the other transistor falls when it switches on [V].

    A dark LED lets the collector rise only to where its current has died away: after a time t that
    current is n·VT·C/t (from the diode equation), with t about ln 2 · R · C.
    """
    lost, lamp = SATURATION, shape.part(f"light{other}")
    if lamp:
        slope = (modelled(graph.part(lamp), "ideality") or 2.0) * THERMAL
        current = slope / (math.log(2.0) * shape.terms[f"base{index}"].value())
        lost += junction_voltage(graph.part(lamp), current)
    return supply.number - lost


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
        f"on_time({target})", notes.STEP.format(light=target), shape,
        Formula(Sym("t", "on", of="s"), period), ("on_time", target), notes.COUNTER,
        notes.STEP_NOTE,
    )  # fmt: skip
    yield SheetEntry(
        f"period({target})", notes.ROUND.format(counter=shape.part("counter")), shape,
        Formula(Sym("T", "round", of="s"), Product((length, period))), ("period", target), notes.COUNTER,
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
