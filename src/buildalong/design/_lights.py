"""LEDs with their resistor: on either side, in a row, or one resistor shared by several."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from buildalong.design._expr import Expr
from buildalong.design._graph import Chain, Element, Graph, symbol
from buildalong.design._shape import Shape

__all__ = ["driver", "lights", "shown"]


def driver(graph: Graph, net: str) -> tuple[str, str]:
    """What holds an end of a light's path: (kind, part).

    Kinds: "plus", "ground", "output", "open-output", "transistor", "button", "other".
    """
    if net == graph.plus:
        return "plus", graph.circuit.supply.id
    if net == graph.ground:
        return "ground", graph.circuit.supply.id
    kinds = {"output": "output", "open-output": "open-output", "collector": "transistor", "contact": "button"}
    for pin in graph.pins(net):
        role = graph.role(pin)
        if role in kinds:
            return kinds[role], pin.part
    return "other", ""


def lights(graph: Graph) -> Iterator[Shape]:
    """Every LED with the resistor that limits its current."""
    seen: set[str] = set()
    for led in (e for e in graph.elements if e.kind == "LED"):
        if led.part in seen:
            continue
        before, after = _follow(graph, led, led.a), _follow(graph, led, led.b)
        row = (*reversed(before.elements), led, *after.elements)
        leds = tuple(e.part for e in row if e.kind == "LED")
        resistors = [e for e in row if e.kind == "R"]
        start, end = before.b, after.b
        if not resistors:
            shared = _shared(graph, led)
            if shared is not None:
                leds, resistor, start, end = shared
                resistors = [resistor]
        seen.update(leds)
        yield _shape(graph, leds, resistors, start, end, in_row=sum(e.kind == "LED" for e in row))


def _follow(graph: Graph, led: Element, net: str) -> Chain:
    """The elements that follow a LED away from one of its ends, as far as nothing else joins."""
    start, path, outward = net, [], net == led.b
    while net not in (graph.plus, graph.ground) and len(graph.pins(net)) == 2:
        onward = [e for e in graph.at(net, "R", "LED") if e is not led and e not in path]
        if len(onward) != 1 or (onward[0].kind == "LED" and (onward[0].a == net) != outward):
            break
        path.append(onward[0])
        net = onward[0].far(net)
    return Chain(start, net, tuple(path))


def _shared(graph: Graph, led: Element) -> tuple[tuple[str, ...], Element, str, str] | None:
    """Several LEDs that meet in a net with one resistor: their ids, it, and both ends."""
    for net in (led.a, led.b):
        if net in (graph.plus, graph.ground):
            continue
        resistors, group = graph.at(net, "R"), graph.at(net, "LED")
        alike = all((e.a == net) == (led.a == net) for e in group)
        if len(resistors) == 1 and len(group) > 1 and alike and len(graph.pins(net)) == len(group) + 1:
            far = resistors[0].far(net)
            near = group[0].far(net)
            start, end = (near, far) if led.b == net else (far, near)
            return tuple(e.part for e in group), resistors[0], start, end
    return None


def _shape(
    graph: Graph, leds: tuple[str, ...], resistors: list[Element], start: str, end: str, *, in_row: int
) -> Shape:
    source, sink = driver(graph, start), driver(graph, end)
    total: Expr | None = None
    for element in resistors:
        value = symbol(graph.part(element.part), element.piece)
        total = value if total is None else total + value
    kind = "led" if resistors else "led-bare"
    if resistors and len(leds) > 1 and in_row == 1:
        kind = "led-shared"
    roles = {"light": leds, "resistor": tuple(dict.fromkeys(e.part for e in resistors))}
    for role, (what, part) in (("source", source), ("sink", sink)):
        if what not in ("plus", "ground", "other"):
            roles[role] = (part,)
    return Shape(
        kind,
        roles,
        {"from": start, "to": end},
        terms={} if total is None else {"resistance": total},
    )


def shown(graph: Graph, shapes: Iterable[Shape]) -> dict[str, tuple[tuple[str, ...], str]]:
    """Net of an output -> (light, "lit" or "dark" while the output is high)."""
    out: dict[str, tuple[tuple[str, ...], str]] = {}
    for shape in shapes:
        if shape.kind not in ("led", "led-bare", "led-shared"):
            continue
        light, start, end = shape.roles["light"], shape.nets["from"], shape.nets["to"]
        if end == graph.ground and start != graph.plus:
            out.setdefault(start, (light, "lit"))
        elif start == graph.plus and end != graph.ground:
            out.setdefault(end, (light, "dark"))
    for shape in shapes:
        if shape.kind == "transistor-switch":
            lamps = tuple(i for i in shape.roles["load"] if graph.part(i).type.family == "led")
            if lamps:
                state = "lit" if shape.nets["near"] == graph.ground else "dark"
                out.setdefault(shape.nets["drive"], (lamps, state))
    return out
