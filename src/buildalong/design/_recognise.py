"""Recognising the known shapes of a circuit, from its graph alone."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from buildalong.circuit import Circuit
from buildalong.design import _lights, _simple, _timers, _transistors
from buildalong.design._expr import Num
from buildalong.design._graph import Graph
from buildalong.design._shape import Shape
from buildalong.design._words import DRIVE, HIGH, LOW, SHAPES, listed

__all__ = ["KINDS", "recognise"]

KINDS = tuple(SHAPES)
"""Every kind of shape, in the order in which :func:`recognise` lists them."""

_RC_KINDS = ("astable", "astable-steered", "astable-output", "one-shot", "transistor-astable")


def recognise(circuit: Circuit) -> tuple[Shape, ...]:
    """Find every known shape of a circuit from its graph; names of parts and nets play no part.

    The order is that of ``KINDS``, and within a kind the author's order of the parts.  A circuit
    without a supply has no shapes.
    """
    graph = Graph(circuit)
    try:
        _ = graph.plus
    except LookupError:
        return ()
    found = list(_timers.timers(graph))
    found += _transistors.pairs(graph)
    found += _transistors.switches(graph, _parts(found))
    rhythm = {s.nets["output"]: s.part("timer") for s in found if s.kind.startswith("astable")}
    found += _simple.counters(graph, rhythm)
    found += _simple.comparators(graph)
    lit = list(_lights.lights(graph))
    timing = _parts(s for s in found if s.kind in _RC_KINDS) | _parts(lit)
    held = list(_simple.pulls(graph, timing))
    based = frozenset(p for s in found for role in ("base", "bleed") for p in s.roles.get(role, ()))
    taken = timing | _parts(held) | based
    found += lit
    found += held
    found += _simple.dividers(graph, taken)
    found += _simple.chargers(graph, taken)
    found += _simple.networks(graph, taken)
    found += _simple.bypasses(graph)
    found += _simple.supplies(graph)
    shown = _lights.shown(graph, found)
    rank = {kind: index for index, kind in enumerate(KINDS)}
    told = [_told(graph, shape, shown) for shape in found]
    return tuple(
        sorted(told, key=lambda s: (rank[s.kind], min((graph.order[p] for p in s.parts), default=0)))
    )


def _parts(shapes: Iterable[Shape]) -> frozenset[str]:
    return frozenset(part for shape in shapes for part in shape.parts if shape.kind != "supply")


def _told(graph: Graph, shape: Shape, shown: dict[str, tuple[tuple[str, ...], str]]) -> Shape:
    """Put the words to a shape."""
    words = SHAPES[shape.kind]
    places = {role: listed(parts) for role, parts in shape.roles.items()}
    light, state = shown.get(shape.nets.get("output", ""), ((), ""))
    places["high"] = HIGH[state].format(light=listed(light))
    places["low"] = LOW[state].format(light=listed(light))
    if "from" in shape.nets and "to" in shape.nets:
        for name, net in (("source_words", shape.nets["from"]), ("sink_words", shape.nets["to"])):
            kind, part = _lights.driver(graph, net)
            places[name] = DRIVE[kind].format(part=part)
    if isinstance(length := shape.terms.get("length"), Num):
        places["length"] = f"{length.number:g}"
    reasons: dict[str, str] = {}
    for role, template in words.reasons.items():
        for part in shape.roles.get(role, ()):
            if part not in reasons and not (
                role in ("upper", "lower") and part in shape.roles.get("sensor", ())
            ):
                reasons[part] = template.format(**{**places, "each": part})
    return replace(shape, title=words.title, does=words.does.format(**places), reasons=reasons)
