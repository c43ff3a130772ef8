"""Timers: astables, one-shot and latch, told apart by what joins their pins."""

from __future__ import annotations

from collections.abc import Iterator

from buildalong.circuit import Part
from buildalong.design._expr import Expr
from buildalong.design._graph import Chain, Graph, Resistance, symbol
from buildalong.design._shape import Shape

__all__ = ["capacitance", "series", "timers"]


def capacitance(graph: Graph, a: str | None, b: str | None) -> tuple[Expr, tuple[str, ...]] | None:
    """The capacitors that lie directly between two nets: their sum and their ids."""
    found = [e.part for e in graph.between(a, b, "C")]
    if not found:
        return None
    total: Expr = symbol(graph.part(found[0]))
    for identity in found[1:]:
        total = total + symbol(graph.part(identity))
    return total, tuple(found)


def timers(graph: Graph) -> Iterator[Shape]:
    """Every timer that lies across the supply and whose surroundings make a known circuit."""
    for part in graph.of("timer"):
        if (part.net("VCC"), part.net("GND")) != (graph.plus, graph.ground):
            continue
        shape = (
            _astable(graph, part) or _by_output(graph, part) or _one_shot(graph, part) or _latch(graph, part)
        )
        if shape is not None:
            yield shape


def _nets(part: Part, **roles: str) -> dict[str, str]:
    return {role: net for role, pin in roles.items() if (net := part.net(pin)) is not None}


def _astable(graph: Graph, part: Part) -> Shape | None:
    net, plus, dis = part.net("THRES"), part.net("VCC"), part.net("DISCH")
    filling = capacitance(graph, net, part.net("GND"))
    upper = graph.resistance(plus, dis)
    if net is None or net != part.net("TRIG") or filling is None or upper is None or dis == net:
        return None
    nets = _nets(part, capacitor="THRES", output="OUT", discharge="DISCH", plus="VCC", ground="GND")
    terms, ids = {"capacitance": filling[0]}, {"timer": (part.id,), "capacitor": filling[1]}
    lower = graph.resistance(dis, net)
    steered = [c for c in graph.chains_to(dis, net, "R", "D") if len(c.parts("D")) == 1]
    forward = [c for c in steered if c.direction == 1]
    backward = [c for c in steered if c.direction == -1]
    if not steered and lower is not None:
        return Shape(
            "astable",
            {**ids, "charge": upper.parts, "discharge": lower.parts},
            nets,
            terms={**terms, "upper": upper.expr, "lower": lower.expr},
        )
    if len(forward) != 1 or len(backward) > 1 or (lower is None) == (not backward):
        return None
    into = forward[0]
    extra = series(graph, into)
    charge = Resistance(upper.expr + extra if extra else upper.expr, (*upper.parts, *into.parts("R")))
    out: dict[str, tuple[str, ...]] = {"charge_diode": into.parts("D")}
    if backward:
        back = backward[0]
        empty = series(graph, back)
        if empty is None:
            return None
        away = Resistance(empty, back.parts("R"))
        out["discharge_diode"] = back.parts("D")
    elif lower is not None:
        away = lower
    return Shape(
        "astable-steered",
        {**ids, "charge": charge.parts, "discharge": away.parts, **out},
        nets,
        terms={**terms, "charge": charge.expr, "discharge": away.expr},
    )


def series(graph: Graph, chain: Chain) -> Expr | None:
    """The resistors of a chain added up."""
    total: Expr | None = None
    for element in chain.elements:
        if element.kind == "R":
            value = symbol(graph.part(element.part), element.piece)
            total = value if total is None else total + value
    return total


def _by_output(graph: Graph, part: Part) -> Shape | None:
    net, out, dis = part.net("THRES"), part.net("OUT"), part.net("DISCH")
    filling = capacitance(graph, net, part.net("GND"))
    through = graph.resistance(out, net)
    if net is None or net != part.net("TRIG") or filling is None or through is None:
        return None
    if dis is not None and (dis == net or (graph.at(dis, "R", "D") and graph.resistance(dis, net))):
        return None
    return Shape(
        "astable-output",
        {"timer": (part.id,), "capacitor": filling[1], "through": through.parts},
        _nets(part, capacitor="THRES", output="OUT", plus="VCC", ground="GND"),
        terms={"capacitance": filling[0], "through": through.expr},
    )


def _one_shot(graph: Graph, part: Part) -> Shape | None:
    net = part.net("THRES")
    filling = capacitance(graph, net, part.net("GND"))
    charge = graph.resistance(part.net("VCC"), net)
    if net is None or net != part.net("DISCH") or filling is None or charge is None:
        return None
    if part.net("TRIG") in (None, net, part.net("VCC"), part.net("GND")):
        return None
    return Shape(
        "one-shot",
        {"timer": (part.id,), "capacitor": filling[1], "charge": charge.parts},
        _nets(part, capacitor="THRES", trigger="TRIG", output="OUT", plus="VCC", ground="GND"),
        terms={"capacitance": filling[0], "charge": charge.expr},
    )


def _latch(graph: Graph, part: Part) -> Shape | None:
    plus, ground = part.net("VCC"), part.net("GND")
    if part.net("THRES") == part.net("DISCH") and part.net("THRES") is not None:
        return None
    setting = [e.part for e in graph.between(part.net("TRIG"), ground, "B")]
    by_reset = [e.part for e in graph.between(part.net("RESET"), ground, "B")]
    by_threshold = [e.part for e in graph.between(part.net("THRES"), plus, "B")]
    quiet = part.net("THRES") == ground or bool(by_threshold)
    if not setting or not quiet or not (by_reset or by_threshold):
        return None
    pins = {"set": "TRIG", "clear": "RESET" if by_reset else "THRES"}
    return Shape(
        "latch",
        {"timer": (part.id,), "set": tuple(setting), "clear": tuple(by_reset or by_threshold)},
        _nets(part, **pins, output="OUT", plus="VCC", ground="GND"),
    )
