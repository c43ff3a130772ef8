"""One form for all layouts that make the same circuit: what cannot carry current is left out."""

from __future__ import annotations

from dataclasses import dataclass, replace

from buildalong.circuit import Circuit, Part

__all__ = ["ISLAND", "Plain", "plain_form"]

ISLAND = "-"
"""What stands for a net that hangs together with nothing: a meter shows 0 V there."""


@dataclass(frozen=True)
class Plain:
    """A circuit in its one form; ``key`` is equal for equal ones.

    ``net_of`` gives for each net of the original the net of the form, "" where nothing defines a
    voltage, ISLAND where nothing leads to the supply.  ``dead`` tells why no current flows at all.
    """

    circuit: Circuit
    key: tuple[object, ...]
    net_of: dict[str, str]
    dead: str = ""


def plain_form(circuit: Circuit) -> Plain:
    """Leave out what dangles or has both ends in one net, and name nets by what meets there."""
    parts = {part.id: part for part in circuit.parts}
    alias: dict[str, str] = {}
    supply = next((p for p in circuit.parts if p.type.family == "supply"), None)
    if supply is None or None in supply.nets:
        return Plain(Circuit(()), ("open",), {}, "open")
    if supply.nets[0] == supply.nets[1]:
        return Plain(Circuit(()), ("shorted",), {}, "shorted")
    for _ in range(len(parts) + 1):
        pins: dict[str, int] = {}
        for part in parts.values():
            for net in part.nets:
                if net is not None:
                    pins[net] = pins.get(net, 0) + 1
        gone = [p for p in parts.values() if p.type.family != "supply" and _idle(p, pins)]
        if not gone:
            break
        for part in gone:
            del parts[part.id]
            held = [n for n in part.nets if n is not None and pins[n] > 1]
            for net in part.nets:
                if net is not None and pins[net] == 1:
                    alias[net] = _hanging(part, held)
    parts = {
        i: replace(p, nets=tuple(n if n and pins[n] > 1 else None for n in p.nets)) for i, p in parts.items()
    }
    parts = _reached(parts, supply)
    if len(parts) <= 1:
        ends = {str(supply.nets[0]): "plus", str(supply.nets[1]): "minus"}
        net_of = {net: _seen(net, alias, ends) for net in circuit.nets}
        emf = (supply.type.id, supply.settings)
        return Plain(Circuit((supply,)), ("open", emf), net_of, "open")
    tokens: dict[str, list[str]] = {}
    for part in parts.values():
        for terminal, net in zip(part.type.terminals, part.nets, strict=True):
            if net is not None:
                tokens.setdefault(net, []).append(f"{part.id}.{'' if _either(part) else terminal.name}")
    order = sorted(tokens, key=lambda net: sorted(tokens[net]))
    names = {net: f"n{number}" for number, net in enumerate(order)}
    named: list[Part] = []
    for part in sorted(parts.values(), key=lambda p: p.id):
        nets = tuple(names[n] if n else None for n in part.nets)
        if _either(part) and len(nets) == 2 and None not in nets:
            nets = tuple(sorted(nets, key=str))
        named.append(replace(part, nets=nets))
    net_of = {net: _seen(net, alias, names) for net in circuit.nets}
    key = tuple((p.id, p.type.id, p.value, p.settings, p.nets) for p in named)
    return Plain(Circuit(tuple(named)), key, net_of)


def _either(part: Part) -> bool:
    """Whether turning a part round changes nothing: a motor then turns the other way."""
    return part.type.swappable and part.type.family != "motor"


def _hanging(part: Part, held: list[str]) -> str:
    """The net whose voltage a meter finds at the free end of a part: a resistor passes it on."""
    if not held:
        return ISLAND
    return held[0] if part.type.family == "resistor" else ""


def _seen(net: str, alias: dict[str, str], names: dict[str, str]) -> str:
    """The net of the form that a meter finds at a net."""
    for _ in range(len(alias)):
        net = alias.get(net, net)
    return names.get(net, net if net in ("", ISLAND) else ISLAND)


def _idle(part: Part, pins: dict[str, int]) -> bool:
    """Whether no current can flow through a part: fewer than two different nets that lead on."""
    return len({net for net in part.nets if net is not None and pins[net] > 1}) < 2


def _reached(parts: dict[str, Part], supply: Part) -> dict[str, Part]:
    """The parts that hang together with the supply."""
    seen, nets = {supply.id}, {n for n in parts[supply.id].nets if n}
    while True:
        more = [p for p in parts.values() if p.id not in seen and nets & set(p.nets)]
        if not more:
            return {i: p for i, p in parts.items() if i in seen}
        for part in more:
            seen.add(part.id)
            nets |= {n for n in part.nets if n}
