"""Formulas of two transistors that switch each other off in turn."""

from __future__ import annotations

import math
from collections.abc import Iterator

from buildalong.design import _sheet_words as notes
from buildalong.design._entry import SheetEntry
from buildalong.design._expr import Expr, Product, Quotient, Sym, ln
from buildalong.design._facts import (
    BASE_EMITTER,
    BASE_START,
    SATURATION,
    THERMAL,
    figure,
    forward_voltage,
    junction_voltage,
    modelled,
)
from buildalong.design._graph import Graph
from buildalong.design._rhythm import TWO, Output, rhythm, supply_symbol, time_entry
from buildalong.design._said import said_volts
from buildalong.design._shape import Shape
from buildalong.quantity import format_quantity
from buildalong.words import say

__all__ = ["afterglow", "transistors"]


def transistors(graph: Graph, shape: Shape, shapes: tuple[Shape, ...]) -> Iterator[SheetEntry]:
    """Two-transistor astable: each transistor stays off for ln 2 times its base resistor and capacitor."""
    supply = supply_symbol(graph)
    times: dict[str, tuple[Expr, tuple[tuple[Expr, str], ...]]] = {}
    for index, other in (("1", "2"), ("2", "1")):
        path: Expr = Product((shape.terms[f"base{index}"], shape.terms[f"capacitance{index}"]))
        times[index] = (path, _turnover(graph, shape, index, other, supply, path))
    first, light = ("2", shape.part("light1")) if shape.part("light1") else ("1", shape.part("light2"))
    second = "1" if first == "2" else "2"
    target = light or shape.nets["collector1"]
    lit, dark = say(notes.LIT, light=target), say(notes.DARK, light=target)
    glow = _glow(graph, shape, target, "1" if first == "2" else "2", supply)
    for which, index in ((("on_time", "on", lit), first), (("off_time", "off", dark), second)):
        path, corrections = times[index]
        if glow is not None:
            before = corrections[-1][0]
            corrections += ((before + glow[0] if index == first else before - glow[0], glow[1]),)
        note = say(notes.LN2) + _reversed(graph, shape, index, "1" if index == "2" else "2", supply)
        yield time_entry(which, shape, target, ln(2) * path, say(notes.TRANSISTORS), note, corrections)
    both = times[first][0] + times[second][0]
    out = Output(target, ("on_time", "on", lit), ("off_time", "off", dark))
    share = Quotient(times[first][0], both)
    causes = (
        say(notes.BASES, on=said_volts(BASE_EMITTER), start=said_volts(BASE_START)),
        say(notes.SWINGS, volts=said_volts(_swing(graph, shape, first, second, supply))),
    )
    halves = tuple(
        (on, off, cause)
        for (on, _), (off, _), cause in zip(times[first][1], times[second][1], causes, strict=True)
    )
    if glow is not None:
        halves += ((halves[-1][0] + glow[0], halves[-1][1] - glow[0], glow[1]),)
    yield from rhythm(
        shape,
        out,
        ln(2) * both,
        share,
        say(notes.TRANSISTORS),
        say(notes.LN2),
        say(notes.FREQUENCY_TRANSISTORS),
        halves,
    )


def _reversed(graph: Graph, shape: Shape, index: str, other: str, supply: Sym) -> str:
    """A warning where the base is pushed further below 0 V than the transistor bears."""
    part = graph.part(shape.part("first" if index == "1" else "second"))
    pushed, most = (
        _swing(graph, shape, index, other, supply) - BASE_EMITTER,
        figure(part, "base_emitter_reverse"),
    )
    if most is None or not pushed > most:
        return ""
    return say(notes.REVERSED, transistor=part.id, pushed=said_volts(pushed), most=said_volts(most))


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
    return time, say(notes.GLOW, light=light, time=said, capacitor=shape.part(f"capacitor{other}"))


def _turnover(
    graph: Graph, shape: Shape, index: str, other: str, supply: Sym, path: Expr
) -> tuple[tuple[Expr, str], ...]:
    """What the base voltages, and then the swing of the other collector, do to one half."""
    base, start = Sym("V", "BE", BASE_EMITTER, "V"), Sym("V", "start", BASE_START, "V")
    name, lamp = shape.part("first" if index == "1" else "second"), shape.part(f"light{other}")
    swing = Sym("V", "swing", _swing(graph, shape, index, other, supply), "V")
    places = {"transistor": name, "on": said_volts(base.number), "start": said_volts(start.number)}
    whole = ln(Quotient(Product((TWO, supply)) - base, supply - start))
    less = ln(Quotient(supply - base + swing, supply - start))
    cause = notes.SWING_LIGHT if lamp else notes.SWING
    return (
        (whole * path, say(notes.BASE, **places)),
        (less * path, say(cause, light=lamp, volts=said_volts(swing.number))),
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


def afterglow(graph: Graph, light: str, shapes: tuple[Shape, ...]) -> tuple[Expr, str] | None:
    """The share of its lit time in which a LED of the pair carries its full current, and why not all."""
    supply = supply_symbol(graph)
    for shape in shapes:
        for side, index in (("1", "2"), ("2", "1")):
            if shape.kind != "transistor-astable" or shape.part(f"light{side}") != light:
                continue
            glow = _glow(graph, shape, light, side, supply)
            if glow is None:
                return None
            path = Product((shape.terms[f"base{index}"], shape.terms[f"capacitance{index}"]))
            full = _turnover(graph, shape, index, side, supply, path)[-1][0]
            return Quotient(full, full + glow[0]), glow[1]
    return None
