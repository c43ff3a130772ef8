"""The circuit as a graph of two-terminal elements between nets; the ground recognition stands on.

Only families, terminal roles and connections are looked at, never the names of parts or nets.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from buildalong.circuit import Circuit, Part, Pin
from buildalong.design._expr import Expr, Sym

__all__ = ["Chain", "Element", "Graph", "Resistance", "symbol"]

_KINDS = {
    "resistor": "R", "ldr": "R", "capacitor": "C", "electrolytic": "C", "diode": "D", "led": "LED",
    "button": "B", "buzzer": "LOAD", "motor": "LOAD",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Element:
    """A two-terminal element: ``a`` is the anode or plus end of a polarised one."""

    part: str
    kind: str
    a: str
    b: str
    piece: str = ""
    """Which piece of a potentiometer's track, "" for a whole part."""

    def far(self, net: str) -> str:
        """The net at the other end."""
        return self.b if net == self.a else self.a


@dataclass(frozen=True, slots=True)
class Chain:
    """Elements in a row from ``a`` to ``b``; nothing else is joined to the nets between them."""

    a: str
    b: str
    elements: tuple[Element, ...]

    def parts(self, *kinds: str) -> tuple[str, ...]:
        """Ids of the parts of these kinds, in order."""
        return tuple(dict.fromkeys(e.part for e in self.elements if e.kind in kinds))

    @property
    def direction(self) -> int:
        """+1 where its diodes conduct from a to b, −1 against, 0 without diodes, 2 where they block both."""
        signs, net = set(), self.a
        for element in self.elements:
            if element.kind in ("D", "LED"):
                signs.add(1 if element.a == net else -1)
            net = element.far(net)
        return signs.pop() if len(signs) == 1 else (2 if signs else 0)


@dataclass(frozen=True, slots=True)
class Resistance:
    """A network of resistors seen between two nets: its formula and the parts in it."""

    expr: Expr
    parts: tuple[str, ...]


def symbol(part: Part, piece: str = "") -> Sym:
    """The quantity symbol of a part's value: the italic letter of its reference, the rest upright."""
    found = re.fullmatch(r"([^\W\d_]+)(.*)", part.id)
    letter, sub = (found[1], found[2]) if found else (part.id[:1], part.id[1:])
    if len(letter) > 1:
        letter, sub = letter[0], letter[1:] + sub
    unit = part.type.value.unit if part.type.value else ("Ω" if part.type.letter == "R" else "")
    number = float("nan") if part.value is None else part.value
    if piece:
        position = part.setting("position", 0.5)
        number *= {"a": position, "b": 1.0 - position}[piece]
    return Sym(letter, sub + piece, number, unit, part=True)


class Graph:
    """Elements, pins and rails of one circuit."""

    def __init__(self, circuit: Circuit) -> None:
        self.given = circuit
        self.power_switches = tuple(_power_switches(circuit))
        joined = {far: near for _, near, far in self.power_switches}
        self.circuit = circuit.renamed(joined) if joined else circuit
        self.order = {part.id: index for index, part in enumerate(circuit.parts)}

    @cached_property
    def plus(self) -> str:
        """The net of the supply's positive terminal."""
        return self.circuit.plus

    @cached_property
    def ground(self) -> str:
        """The net of the supply's negative terminal."""
        return self.circuit.ground

    def part(self, identity: str) -> Part:
        """A part by its reference."""
        return self.circuit.by_id[identity]

    def of(self, *families: str) -> Iterator[Part]:
        """Parts of these families, in the author's order."""
        return (part for part in self.circuit.parts if part.type.family in families)

    def pins(self, net: str | None) -> tuple[Pin, ...]:
        """Pins on a net."""
        return self.circuit.nets.get(net, ()) if net is not None else ()

    @cached_property
    def elements(self) -> tuple[Element, ...]:
        """Every two-terminal element whose ends lie on two different nets."""
        out: list[Element] = []
        for part in self.circuit.parts:
            out.extend(_elements(part))
        return tuple(e for e in out if e.a != e.b)

    @cached_property
    def _touching(self) -> dict[str, tuple[Element, ...]]:
        out: dict[str, list[Element]] = {}
        for element in self.elements:
            out.setdefault(element.a, []).append(element)
            out.setdefault(element.b, []).append(element)
        return {net: tuple(found) for net, found in out.items()}

    def at(self, net: str | None, *kinds: str) -> tuple[Element, ...]:
        """Elements at a net, of these kinds or of all."""
        found = self._touching.get(net, ()) if net is not None else ()
        return tuple(e for e in found if not kinds or e.kind in kinds)

    def between(self, a: str | None, b: str | None, *kinds: str) -> tuple[Element, ...]:
        """Elements that join two nets directly."""
        return tuple(e for e in self.at(a, *kinds) if a is not None and e.far(a) == b)

    def others(self, net: str, *parts: str) -> tuple[Pin, ...]:
        """Pins on a net that belong to other parts than these."""
        return tuple(pin for pin in self.pins(net) if pin.part not in parts)

    def role(self, pin: Pin) -> str:
        """The role of a pin's terminal."""
        return self.part(pin.part).type.terminal(pin.terminal).role

    def chains(self, a: str | None, *kinds: str) -> tuple[Chain, ...]:
        """Chains of elements of these kinds that start at ``a`` and end where something else joins."""
        if a is None:
            return ()
        out = []
        for first in self.at(a, *kinds):
            path, net = [first], first.far(a)
            while net not in (a, self.plus, self.ground) and len(self.pins(net)) == 2:
                onward = [e for e in self.at(net, *kinds) if e not in path]
                if len(onward) != 1:
                    break
                path.append(onward[0])
                net = onward[0].far(net)
            out.append(Chain(a, net, tuple(path)))
        return tuple(out)

    def chains_to(self, a: str | None, b: str | None, *kinds: str) -> tuple[Chain, ...]:
        """Chains from ``a`` that end at ``b``."""
        return tuple(c for c in self.chains(a, *kinds) if b is not None and c.b == b)

    def resistance(self, a: str | None, b: str | None) -> Resistance | None:
        """The resistors between two nets, series and parallel worked out, or None.

        Nets that anything but a resistor touches are kept apart, so only resistors that act as one
        between ``a`` and ``b`` are taken together.
        """
        if a is None or b is None or a == b:
            return None
        return self._reduced(frozenset((a, b, self.plus, self.ground))).get(frozenset((a, b)))

    def _reduced(self, keep: frozenset[str]) -> dict[frozenset[str], Resistance]:
        edges: dict[frozenset[str], Resistance] = {}

        def add(ends: frozenset[str], more: Resistance) -> None:
            old = edges.get(ends)
            edges[ends] = more if old is None else Resistance(old.expr // more.expr, old.parts + more.parts)

        resistive = [e for e in self.elements if e.kind == "R"]
        for e in resistive:
            add(frozenset((e.a, e.b)), Resistance(symbol(self.part(e.part), e.piece), (e.part,)))
        free = [
            net
            for net in self.circuit.nets
            if net not in keep and len(self.pins(net)) == len(self.at(net, "R"))
        ]
        changed = True
        while changed:
            changed = False
            for net in free:
                ends = [edge for edge in edges if net in edge]
                if len(ends) != 2 or ends[0] | ends[1] == {net}:
                    continue
                outer = (ends[0] | ends[1]) - {net}
                first, second = (edges.pop(edge) for edge in ends)
                changed = True
                if len(outer) == 2:
                    add(outer, Resistance(first.expr + second.expr, first.parts + second.parts))
        return edges


def _elements(part: Part) -> Iterator[Element]:
    family, nets = part.type.family, part.nets
    if family in _KINDS:
        if nets[0] is not None and nets[1] is not None:
            yield Element(part.id, _KINDS[family], nets[0], nets[1])
    elif family == "switch":
        first, common, second = nets
        for throw, piece in ((first, "a"), (second, "b")):
            if throw is not None and common is not None:
                yield Element(part.id, "B", throw, common, piece)
    elif family == "potentiometer":
        yield from _track(part)


def _track(part: Part) -> Iterator[Element]:
    first, wiper, second = part.nets
    pieces = [(end, piece) for end, piece in ((first, "a"), (second, "b")) if end not in (None, wiper)]
    if wiper is None:
        if first is not None and second is not None:
            yield Element(part.id, "R", first, second)
        return
    for end, piece in pieces:
        if end is not None:
            yield Element(part.id, "R", end, wiper, piece)


def _power_switches(circuit: Circuit) -> Iterator[tuple[str, str, str]]:
    """Switches that lie in a supply lead alone: (part, net at the supply, net behind the switch)."""
    try:
        rails = [(circuit.plus, circuit.supply.id), (circuit.ground, circuit.supply.id)]
    except LookupError:
        return
    for rail, supply in rails:
        pins = circuit.nets.get(rail, ())
        if len(pins) != 2:
            continue
        other = next((pin for pin in pins if pin.part != supply), None)
        if other is None or circuit.by_id[other.part].type.family != "switch":
            continue
        nets = [net for net in circuit.by_id[other.part].nets if net not in (None, rail)]
        if len(nets) == 1 and nets[0] is not None:
            yield other.part, rail, nets[0]


def ordered(graph: Graph, parts: Iterable[str]) -> tuple[str, ...]:
    """Ids in the author's order, each once."""
    return tuple(sorted(dict.fromkeys(parts), key=lambda identity: graph.order[identity]))


def ends(chain: Chain) -> Iterator[tuple[str, str]]:
    """The nets at both ends of each element of a chain, in order."""
    nets = [chain.a]
    for element in chain.elements:
        nets.append(element.far(nets[-1]))
    return pairwise(nets)
