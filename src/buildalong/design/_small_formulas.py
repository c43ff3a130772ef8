"""Formulas of dividers, charging capacitors, pull-ups and the comparator with hysteresis."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from buildalong.design import _sheet_words as notes
from buildalong.design._curves import output_drop
from buildalong.design._entry import Correction, SheetEntry
from buildalong.design._expr import Expr, Num, Power, Product, Quotient, Sym, exp, ln
from buildalong.design._facts import junction_voltage, modelled, supply_voltage
from buildalong.design._formula import Formula
from buildalong.design._graph import Graph
from buildalong.design._light_formulas import lit_current
from buildalong.design._said import loaded, said_volts
from buildalong.design._shape import Shape
from buildalong.words import say

__all__ = ["divider", "hysteresis", "pull", "rc", "resistors"]


def _supply(graph: Graph) -> Sym:
    return Sym("V", "S", supply_voltage(graph), "V")


def divider(graph: Graph, shape: Shape, shapes: tuple[Shape, ...]) -> Iterator[SheetEntry]:
    """Voltage divider: the share of the lower resistance in both."""
    net = shape.nets["tap"]
    if any(s.kind == "comparator-hysteresis" and s.nets["straight"] == net for s in shapes):
        return
    upper, lower = shape.terms["upper"], shape.terms["lower"]
    both = upper + lower
    yield SheetEntry(
        f"voltage({net})", say(notes.TAP, net=net), shape,
        Formula(Sym("V", net, of="V"), Product((_supply(graph), Quotient(lower, both)))), ("voltage", net),
        say(notes.DIVIDER), loaded(lower),
    )  # fmt: skip
    yield SheetEntry(
        f"divider_current({net})", say(notes.DIVIDER_CURRENT), shape,
        Formula(Sym("I", of="A"), Quotient(_supply(graph), both)), None, say(notes.DIVIDER), loaded(lower),
    )  # fmt: skip


def resistors(graph: Graph, shape: Shape, shapes: tuple[Shape, ...]) -> Iterator[SheetEntry]:
    """Resistors across the supply: the one resistance they make, and its current."""
    total = shape.terms["resistance"]
    whole = Sym("R", "total", of="Ω")
    yield SheetEntry(
        "total_resistance",
        say(notes.TOTAL),
        shape,
        Formula(whole, total),
        None,
        say(notes.RESISTORS),
        loaded(total),
    )
    yield SheetEntry(
        "total_current", say(notes.TOTAL_CURRENT), shape,
        Formula(Sym("I", of="A"), Quotient(_supply(graph), total)), None, say(notes.RESISTORS),
        loaded(total),
    )  # fmt: skip


def rc(graph: Graph, shape: Shape, shapes: tuple[Shape, ...]) -> Iterator[SheetEntry]:
    """Charging capacitor: time constant, time to half and to two thirds of the supply."""
    net = shape.nets["charging"]
    tau = Product((shape.terms["resistance"], shape.terms["capacitance"]))
    yield SheetEntry(
        f"time_constant({net})", say(notes.TAU), shape, Formula(Sym("τ", of="s"), tau), None,
        say(notes.CHARGING), say(notes.TAU_NOTE),
    )  # fmt: skip
    yield SheetEntry(
        f"half_time({net})", say(notes.HALF), shape, Formula(Sym("t", "½", of="s"), ln(2) * tau), None,
        say(notes.CHARGING), say(notes.LN2),
    )  # fmt: skip
    left = exp(Quotient(Sym("t", number=tau.value(), of="s"), tau))
    yield SheetEntry(
        f"charging_voltage({net})", say(notes.FILLED), shape,
        Formula(Sym("v", of="V"), Product((_supply(graph), Num(1) - left))), None, say(notes.CHARGING),
        say(notes.AFTER),
    )  # fmt: skip
    yield SheetEntry(
        f"charging_current({net})", say(notes.FILLING), shape,
        Formula(Sym("i", of="A"), Product((Quotient(_supply(graph), shape.terms["resistance"]), left))), None,
        say(notes.CHARGING), say(notes.AFTER),
    )  # fmt: skip


def pull(graph: Graph, shape: Shape, shapes: tuple[Shape, ...]) -> Iterator[SheetEntry]:
    """Pull-up or pull-down: the current while the button is pressed."""
    button, net = shape.part("button"), shape.nets["signal"]
    yield SheetEntry(
        f"peak_current({button})", say(notes.PRESSED, button=button), shape,
        Formula(Sym("I", button, of="A"), Quotient(_supply(graph), shape.terms["resistance"])),
        ("peak_current", button), say(notes.OHM),
    )  # fmt: skip
    if "capacitance" in shape.terms:
        tau = Product((shape.terms["resistance"], shape.terms["capacitance"]))
        yield SheetEntry(
            f"time_constant({net})", say(notes.TAU), shape, Formula(Sym("τ", of="s"), tau), None,
            say(notes.CHARGING), say(notes.TAU_NOTE),
        )  # fmt: skip


def hysteresis(graph: Graph, shape: Shape, shapes: tuple[Shape, ...]) -> Iterator[SheetEntry]:
    """The two reference levels of a comparator whose output is pulled up, and the sensor at each."""
    if "upper" not in shape.terms:
        return
    upper, lower, back = shape.terms["upper"], shape.terms["lower"], shape.terms["feedback"]
    supply, net = _supply(graph), shape.nets["straight"]
    with_low, with_high = lower // back, upper // back
    shares = {
        "low": Quotient(with_low, upper + with_low),
        "high": Quotient(lower, lower + with_high),
    }
    sensing = next(
        (s for s in shapes if s.kind == "light-divider" and s.nets["tap"] == shape.nets["inverting"]), None
    )
    for state, title in (("high", notes.LEVEL_HIGH), ("low", notes.LEVEL_LOW)):
        result = Sym("V", f"T,{state}", of="V")
        # the least voltage of a run is that before the supply comes on, so only the upper level is measured
        name = f"max({net})" if state == "high" else f"level_low({net})"
        measure = ("max", net) if state == "high" else None
        yield SheetEntry(
            name, say(title, net=net), shape,
            Formula(result, Product((supply, shares[state]))), measure, say(notes.HYSTERESIS),
            say(notes.PARALLEL), _level_corrections(graph, shape, shapes, state, supply, result),
        )  # fmt: skip
    if sensing is None:
        return
    yield from _sensor(graph, shape, sensing, shares)


def _sensor(graph: Graph, shape: Shape, sensing: Shape, shares: Mapping[str, Expr]) -> Iterator[SheetEntry]:
    """The sensor's resistance, and the light, at which the comparator switches."""
    sensor, net = sensing.part("sensor"), shape.nets["straight"]
    below = sensor in sensing.roles["lower"]
    fixed = sensing.terms["upper" if below else "lower"]
    part = graph.part(sensor)
    at_ten, gamma = modelled(part, "resistance"), modelled(part, "gamma")
    for state in ("high", "low"):
        share = Sym("k", state, shares[state].value())
        rest = Num(1) - share
        turning = Formula(
            Sym("R", f"{sensor},{state}", of="Ω"),
            Product((fixed, Quotient(share, rest) if below else Quotient(rest, share))),
        )
        yield SheetEntry(
            f"resistance_{state}({sensor})", say(notes.SENSOR[state], sensor=sensor), shape, turning, None,
            say(notes.DIVIDER), say(notes.SHARE, net=net),
        )  # fmt: skip
        if at_ten is None or gamma is None:
            continue
        ratio = Quotient(Sym("R", "10", at_ten, "Ω"), replace(turning.result, number=turning.value()))
        law = Product((Num(10, "lx"), Power(ratio, Quotient(Num(1), Sym("γ", number=gamma)))))
        yield SheetEntry(
            f"light_{state}({sensor})", say(notes.LIGHT[state], sensor=sensor), shape,
            Formula(Sym("E", state, of="lx"), law), None, say(notes.LIGHT_LAW), say(notes.LIGHT_NOTE),
        )  # fmt: skip


def _level_corrections(
    graph: Graph, shape: Shape, shapes: tuple[Shape, ...], state: str, supply: Sym, result: Sym
) -> tuple[Correction, ...]:
    """The output does not reach the rail: a LED in its pull-up, or the saturated transistor inside."""
    upper, lower, back = shape.terms["upper"], shape.terms["lower"], shape.terms["feedback"]
    part = shape.part("comparator")
    if state == "low":
        volts = output_drop(
            graph.part(part), _output(graph, shape), supply.number, _pulled(graph, shape, shapes), high=False
        )
        cause = say(notes.OUTPUT_LOW, part=part, volts=said_volts(volts))
    else:
        light = next((s.part("light") for s in shapes if s.nets.get("to") == shape.nets["output"]), "")
        if not light:
            return ()
        volts = supply.number - junction_voltage(graph.part(light), supply.number / back.value())
        cause = say(notes.DARK_LIGHT, light=light, part=part)
    if not volts > 0:
        return ()
    out = Sym("V", "out", volts, "V")
    currents: Expr = Quotient(supply, upper) + Quotient(out, back)
    return (Correction(Formula(result, Product((currents, upper // lower // back))), cause),)


def _output(graph: Graph, shape: Shape) -> str:
    """The comparator's terminal on the output net."""
    net, part = shape.nets["output"], shape.part("comparator")
    return next(p.terminal for p in graph.pins(net) if p.part == part)


def _pulled(graph: Graph, shape: Shape, shapes: tuple[Shape, ...]) -> float:
    """The current of a light that the output pulls down [A], 0 without one."""
    for other in shapes:
        if other.kind == "led" and other.nets["to"] == shape.nets["output"]:
            return lit_current(graph, other, other.roles["light"])
    return 0.0
