"""Transistors: the switch and the pair that makes an astable."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from buildalong.circuit import Part
from buildalong.design._expr import Expr
from buildalong.design._graph import Chain, Graph
from buildalong.design._shape import Shape
from buildalong.design._timers import capacitance, series

__all__ = ["pairs", "switches"]


def is_pnp(part: Part) -> bool:
    """Whether a transistor is of the PNP kind, after its catalogue title."""
    return "PNP" in f"{part.type.noun} {part.type.title}".upper()


def _rails(graph: Graph, part: Part) -> tuple[str, str]:
    """The rail of the emitter and the rail of the load."""
    return (graph.plus, graph.ground) if is_pnp(part) else (graph.ground, graph.plus)


def load(graph: Graph, net: str | None, rail: str) -> Chain | None:
    """What lies between a collector and the far rail."""
    return next((c for c in graph.chains(net, "R", "LED", "LOAD") if c.b == rail), None)


def pairs(graph: Graph) -> Iterator[Shape]:
    """Two transistors, each one's collector joined to the other's base by a capacitor."""
    for first, second in combinations(graph.of("transistor"), 2):
        if is_pnp(first) != is_pnp(second):
            continue
        near, far = _rails(graph, first)
        if not first.net("E") == second.net("E") == near:
            continue
        to_second = capacitance(graph, first.net("C"), second.net("B"))
        to_first = capacitance(graph, second.net("C"), first.net("B"))
        base1, base2 = graph.resistance(far, first.net("B")), graph.resistance(far, second.net("B"))
        load1, load2 = load(graph, first.net("C"), far), load(graph, second.net("C"), far)
        if not (to_second and to_first and base1 and base2 and load1 and load2):
            continue
        nets = {"ground": graph.ground, "plus": graph.plus}
        for index, part in ((1, first), (2, second)):
            nets[f"collector{index}"], nets[f"base{index}"] = part.net("C") or "", part.net("B") or ""
        terms: dict[str, Expr] = {}
        for name, chain in (("load1", load1), ("load2", load2)):
            if (total := series(graph, chain)) is not None:
                terms[name] = total
        yield Shape(
            "transistor-astable",
            {
                "first": (first.id,),
                "second": (second.id,),
                "base1": base1.parts,
                "base2": base2.parts,
                "capacitor1": to_first[1],
                "capacitor2": to_second[1],
                "load1": load1.parts("LED", "LOAD", "R"),
                "load2": load2.parts("LED", "LOAD", "R"),
                "light1": load1.parts("LED"),
                "light2": load2.parts("LED"),
            },
            nets,
            terms={
                **terms,
                "base1": base1.expr,
                "base2": base2.expr,
                "capacitance1": to_first[0],
                "capacitance2": to_second[0],
            },
        )


def switches(graph: Graph, taken: frozenset[str]) -> Iterator[Shape]:
    """A transistor between a load and its rail, driven through a base resistor."""
    for part in graph.of("transistor"):
        near, far = _rails(graph, part)
        carried = load(graph, part.net("C"), far)
        driven = [c for c in graph.chains(part.net("B"), "R") if c.b != near]
        if part.id in taken or part.net("E") != near or carried is None or not driven:
            continue
        source = driven[0].b
        through = graph.resistance(part.net("B"), source)
        if through is None:
            continue
        bleed = graph.resistance(part.net("B"), near)
        wheel = [
            e.part
            for e in graph.between(part.net("C"), far, "D")
            if (e.b if not is_pnp(part) else e.a) == far
        ]
        resistance = graph.resistance(part.net("C"), far)
        terms = {"base": through.expr}
        if resistance is not None:
            terms["load"] = resistance.expr
        yield Shape(
            "transistor-switch",
            {
                "transistor": (part.id,),
                "base": through.parts,
                "load": carried.parts("R", "LED", "LOAD"),
                **({"bleed": bleed.parts} if bleed else {}),
            },
            {
                "base": part.net("B") or "",
                "collector": part.net("C") or "",
                "drive": source,
                "near": near,
                "far": far,
            },
            terms=terms,
        )
        if wheel:
            yield Shape(
                "freewheel",
                {"diode": tuple(wheel), "load": carried.parts("LOAD", "R", "LED"), "transistor": (part.id,)},
                {"collector": part.net("C") or "", "far": far},
            )
