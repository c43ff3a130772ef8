"""The small shapes: dividers, charging RC, pull-ups, capacitors across the supply, comparators, counters."""

from __future__ import annotations

from collections.abc import Iterator

from buildalong.circuit import Part
from buildalong.design._expr import Num
from buildalong.design._graph import Graph
from buildalong.design._shape import Shape
from buildalong.design._timers import capacitance

__all__ = [
    "LISTENING",
    "bypasses",
    "chargers",
    "comparators",
    "counters",
    "dividers",
    "networks",
    "pulls",
    "supplies",
]

LISTENING = ("input", "base")
"""Roles of terminals that take a signal in."""


def supplies(graph: Graph) -> Iterator[Shape]:
    """The supply itself, and a switch in its lead."""
    for part in graph.of("supply"):
        yield Shape("supply", {"supply": (part.id,)}, {"plus": graph.plus, "ground": graph.ground})
    for identity, near, far in graph.power_switches:
        yield Shape("power-switch", {"switch": (identity,)}, {"from": near, "to": far})


def bypasses(graph: Graph) -> Iterator[Shape]:
    """Capacitors across the supply and at a timer's control pin."""
    for element in graph.between(graph.plus, graph.ground, "C"):
        yield Shape(
            "decoupling", {"capacitor": (element.part,)}, {"plus": graph.plus, "ground": graph.ground}
        )
    for part in graph.of("timer"):
        net = part.net("CONT")
        for element in graph.between(net, part.net("GND"), "C"):
            yield Shape(
                "control-bypass", {"capacitor": (element.part,), "timer": (part.id,)}, {"control": net or ""}
            )


def pulls(graph: Graph, taken: frozenset[str]) -> Iterator[Shape]:
    """A resistor that holds a net at one rail until a button takes it to the other."""
    for net in graph.circuit.nets:
        if net in (graph.plus, graph.ground):
            continue
        for kind, rest, pressed in (
            ("pull-up", graph.plus, graph.ground),
            ("pull-down", graph.ground, graph.plus),
        ):
            buttons = tuple(e.part for e in graph.between(net, pressed, "B"))
            held = graph.resistance(net, rest)
            if not buttons or held is None or set(held.parts) & taken:
                continue
            roles: dict[str, tuple[str, ...]] = {"resistor": held.parts, "button": buttons}
            listening = [p.part for p in graph.pins(net) if graph.role(p) in LISTENING]
            if listening:
                roles["listener"] = (listening[0],)
            debounce = capacitance(graph, net, graph.ground)
            terms = {"resistance": held.expr}
            if debounce is not None:
                roles["capacitor"] = debounce[1]
                terms["capacitance"] = debounce[0]
            yield Shape(kind, roles, {"signal": net, "rest": rest, "pressed": pressed}, terms=terms)


def chargers(graph: Graph, taken: frozenset[str]) -> Iterator[Shape]:
    """A capacitor that charges through a resistor."""
    for net in graph.circuit.nets:
        if net in (graph.plus, graph.ground):
            continue
        for source, sink in ((graph.plus, graph.ground), (graph.ground, graph.plus)):
            filling, through = capacitance(graph, net, sink), graph.resistance(net, source)
            if filling is None or through is None or (set(filling[1]) | set(through.parts)) & taken:
                continue
            yield Shape(
                "rc",
                {"resistor": through.parts, "capacitor": filling[1]},
                {"charging": net, "from": source, "to": sink},
                terms={"resistance": through.expr, "capacitance": filling[0]},
            )
            break


def dividers(graph: Graph, taken: frozenset[str]) -> Iterator[Shape]:
    """Two resistances between the rails with a net between them, loaded by others or not."""
    for net in graph.circuit.nets:
        if net in (graph.plus, graph.ground):
            continue
        upper, lower = graph.resistance(graph.plus, net), graph.resistance(net, graph.ground)
        if upper is None or lower is None or (set(upper.parts) | set(lower.parts)) & taken:
            continue
        if graph.at(net, "C") or any(graph.role(p) == "base" for p in graph.pins(net)):
            continue
        ids = (*upper.parts, *lower.parts)
        sensors = tuple(i for i in ids if graph.part(i).type.family == "ldr")
        roles = {"upper": upper.parts, "lower": lower.parts}
        if sensors:
            roles["sensor"] = sensors
        yield Shape(
            "light-divider" if sensors else "divider",
            roles,
            {"tap": net, "plus": graph.plus, "ground": graph.ground},
            terms={"upper": upper.expr, "lower": lower.expr},
        )


def networks(graph: Graph, taken: frozenset[str]) -> Iterator[Shape]:
    """Resistors that lie across the supply and act as one."""
    found = graph.resistance(graph.plus, graph.ground)
    if found is not None and not set(found.parts) & taken:
        yield Shape(
            "resistors",
            {"resistor": found.parts},
            {"plus": graph.plus, "ground": graph.ground},
            terms={"resistance": found.expr},
        )


def _units(part: Part) -> Iterator[tuple[str, str | None, str | None, str | None]]:
    """Each comparator of a package: (unit, output net, inverting, non-inverting)."""
    for terminal in part.type.terminals:
        if terminal.name.startswith("OUT"):
            unit = terminal.name.removeprefix("OUT")
            yield unit, part.net(terminal.name), part.net(f"IN{unit}-"), part.net(f"IN{unit}+")


def comparators(graph: Graph) -> Iterator[Shape]:
    """Comparators in use; with hysteresis where a resistor leads from the output to the + input."""
    for part in graph.of("comparator"):
        for _, out, inverting, straight in _units(part):
            if out is None or inverting is None or straight is None:
                continue
            nets = {"output": out, "inverting": inverting, "straight": straight}
            roles: dict[str, tuple[str, ...]] = {"comparator": (part.id,)}
            back = graph.resistance(out, straight)
            upper = graph.resistance(graph.plus, straight)
            lower = graph.resistance(straight, graph.ground)
            if back is None:
                yield Shape("comparator", roles, nets)
                continue
            terms = {"feedback": back.expr}
            if upper is not None and lower is not None:
                terms |= {"upper": upper.expr, "lower": lower.expr}
                roles |= {"upper": upper.parts, "lower": lower.parts}
            yield Shape("comparator-hysteresis", {**roles, "feedback": back.parts}, nets, terms=terms)


def counters(graph: Graph, rhythm: dict[str, str]) -> Iterator[Shape]:
    """Decade counters; ``rhythm`` maps the output net of an astable to its timer."""
    for part in graph.of("counter"):
        clock, reset = part.net("CLK"), part.net("RST")
        outputs = {t.name: part.net(t.name) for t in part.type.terminals if t.name[:1] == "Q"}
        length = len(outputs)
        for name, net in outputs.items():
            if net is not None and net == reset:
                length = int(name[1:])
        nets = {"clock": clock or ""}
        for index in range(len(outputs)):
            if (net := outputs.get(f"Q{index}")) is not None:
                nets[f"q{index}"] = net
        roles: dict[str, tuple[str, ...]] = {"counter": (part.id,)}
        kind = "counter"
        if clock in rhythm:
            kind, roles["timer"] = "counter-chain", (rhythm[clock or ""],)
        lit = []
        for index in range(length):
            for element in graph.at(outputs.get(f"Q{index}"), "LED"):
                lit.append(element.part)
        if lit:
            roles["light"] = tuple(lit)
        yield Shape(kind, roles, nets, terms={"length": Num(length)})
