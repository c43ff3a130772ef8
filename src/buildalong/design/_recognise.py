"""Recognising the known shapes of a circuit, from its graph alone."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from buildalong.board import pin_words
from buildalong.circuit import Circuit
from buildalong.design import _lights, _simple, _timers, _transistors
from buildalong.design._expr import Num
from buildalong.design._graph import Graph
from buildalong.design._shape import Shape, reasons
from buildalong.design._words import DARK, DRIVE, FROM_TO, INPUT, LIT, OUTPUT, SHAPES
from buildalong.words import Many, listed, numeral, say, say_many

__all__ = ["KINDS", "recognise", "shared_reason"]

KINDS = tuple(SHAPES)
"""Every kind of shape, in the order in which :func:`recognise` lists them."""

_MOST_NAMED = 4
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
    title, does, why = SHAPES[shape.kind]
    places = {role: _listed(parts) for role, parts in shape.roles.items()}
    light, state = shown.get(shape.nets.get("output", ""), ((), ""))
    places["high"], places["low"] = say(OUTPUT["high"]), say(OUTPUT["low"])
    if state:
        lit, dark = (say_many(message, len(light), light=_listed(light)) for message in (LIT, DARK))
        places["high"], places["low"] = (lit, dark) if state == "lit" else (dark, lit)
    if "from" in shape.nets and "to" in shape.nets:
        for name, net in (("source_words", shape.nets["from"]), ("sink_words", shape.nets["to"])):
            kind, part = _lights.driver(graph, net)
            places[name] = say(DRIVE[kind], part=part)
    places["input"] = _listening(graph, shape.nets.get("signal"))
    if isinstance(length := shape.terms.get("length"), Num):
        places["length"] = numeral(f"{length.number:g}")
    said: dict[str, str] = {}
    for role, template in why.items():
        for part in shape.roles.get(role, ()):
            if part not in said and not (
                role in ("upper", "lower") and part in shape.roles.get("sensor", ())
            ):
                known = {**places, "each": part}
                said[part] = (
                    say(template, **known) if isinstance(template, str) else say_many(template, 1, **known)
                )
    return replace(shape, title=say(title), does=say(does, **places), reasons=said)


def _listening(graph: Graph, net: str | None) -> str:
    """The first pin on a net that takes a signal in, in words."""
    found = (pin for pin in graph.pins(net) if graph.role(pin) in _simple.LISTENING)
    first = next(found, None)
    return pin_words(graph.part(first.part), first.terminal) if first else say(INPUT)


def shared_reason(shapes: Sequence[Shape], parts: Sequence[str]) -> str:
    """Why several parts are there, in one sentence; '' where they have not one and the same reason."""
    why = reasons(shapes)
    for shape in shapes:
        places = {role: _listed(ids) for role, ids in shape.roles.items()}
        for role, template in SHAPES[shape.kind][2].items():
            if isinstance(template, Many) and set(parts) <= set(shape.roles.get(role, ())):
                alone = {part: say_many(template, 1, **places, each=part) for part in parts}
                if all(why.get(part) == said for part, said in alone.items()):
                    return say_many(template, len(parts), **places, each=listed(parts))
    return ""


def _listed(names: Sequence[str]) -> str:
    """Join names for a sentence: ``R1``, ``R1 and R2``, ``R1, R2 and R3``; a long run is shortened."""
    if len(names) > _MOST_NAMED:
        return say(FROM_TO, first=names[0], last=names[-1])
    return listed(names)
