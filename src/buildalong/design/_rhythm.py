"""Times, period, frequency and duty cycle: the entries that everything with a rhythm shares."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from buildalong.design import _sheet_words as notes
from buildalong.design._entry import Correction, SheetEntry
from buildalong.design._expr import Expr, Num, Quotient, Sym
from buildalong.design._facts import supply_voltage
from buildalong.design._formula import Formula
from buildalong.design._graph import Graph
from buildalong.design._lights import shown
from buildalong.design._shape import Shape
from buildalong.words import say

__all__ = ["ONE", "THREE", "TWO", "Output", "output_of", "rhythm", "supply_symbol", "time_entry"]

ONE, TWO, THREE = Num(1), Num(2), Num(3)


@dataclass(frozen=True)
class Output:
    """Whose times are given: a light, or the output net itself."""

    target: str
    high: tuple[str, str, str]
    """Measure, subscript and title of the time with the output high."""
    low: tuple[str, str, str]


def output_of(graph: Graph, shape: Shape, shapes: tuple[Shape, ...]) -> Output:
    net = shape.nets.get("output", "")
    lights, state = shown(graph, shapes).get(net, ((), ""))
    if len(lights) != 1:
        return Output(
            net,
            ("on_time", "high", say(notes.HIGH, net=net)),
            ("off_time", "low", say(notes.LOW, net=net)),
        )
    lit = ("on_time", "on", say(notes.LIT, light=lights[0]))
    dark = ("off_time", "off", say(notes.DARK, light=lights[0]))
    return Output(lights[0], lit, dark) if state == "lit" else Output(lights[0], dark, lit)


def supply_symbol(graph: Graph) -> Sym:
    return Sym("V", "S", supply_voltage(graph), "V")


def time_entry(
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


def rhythm(
    shape: Shape,
    out: Output,
    period: Expr,
    share: Expr,
    source: str,
    note: str,
    note_f: str,
    halves: tuple[tuple[Expr, Expr, str], ...] = (),
) -> Iterator[SheetEntry]:
    """Period, frequency and duty cycle; ``share`` is the part of the time that counts as on.

    ``halves`` are what real parts make of the on and the off time, effect by effect, with the causes;
    the corrected formulas here take their values and leave their working to the entries of the times.
    """
    target = out.target
    time, rate, ratio = Sym("T", of="s"), Sym("f", of="Hz"), Sym("D")
    real = [
        (Sym("t", "on", on.value(), "s"), Sym("t", "off", off.value(), "s"), cause)
        for on, off, cause in halves
    ]
    slower = tuple(Correction(Formula(time, on + off), cause) for on, off, cause in real)
    rarer = tuple(Correction(Formula(rate, Quotient(ONE, on + off)), cause) for on, off, cause in real)
    other = tuple(Correction(Formula(ratio, Quotient(on, on + off)), cause) for on, off, cause in real)
    yield SheetEntry(
        f"period({target})", say(notes.PERIOD), shape, Formula(time, period), ("period", target),
        source, note, slower,
    )  # fmt: skip
    yield SheetEntry(
        f"frequency({target})", say(notes.FREQUENCY), shape, Formula(rate, Quotient(ONE, period)),
        ("frequency", target), source, note_f, rarer,
    )  # fmt: skip
    yield SheetEntry(
        f"duty({target})", say(notes.DUTY), shape, Formula(ratio, share), ("duty", target), source,
        say(notes.RATIO), other,
    )  # fmt: skip
