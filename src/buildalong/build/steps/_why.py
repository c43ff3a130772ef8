"""What a part or a wire is there for, read from the nets and the roles of what meets on them."""

from __future__ import annotations

from collections.abc import Mapping

from buildalong.board import Layout, and_list, pin_words
from buildalong.build.steps._words import NETS, WHY, WIRE_WHY
from buildalong.circuit import Circuit, Part

__all__ = ["net_words", "part_why", "wire_why"]

_PLAIN = ("timer", "comparator", "counter", "buzzer", "motor", "supply")
_MOST_NAMED = 3


def net_words(circuit: Circuit, net: str | None) -> str:
    """Say a net: 'plus', '0 V', or its name."""
    kind = "plus" if net == circuit.plus else "ground" if net == circuit.ground else "other"
    return NETS[kind].format(net=net)


def part_why(circuit: Circuit, part: Part) -> str:
    """Say what a part is there for, as far as the circuit around it tells."""
    family = part.type.family
    if family in _PLAIN:
        return WHY[family]
    if family == "transistor":
        return WHY["transistor-pnp" if "PNP" in part.type.noun else "transistor"]
    ends = [net for net in part.nets if net is not None]
    if len(ends) < 2:
        return part.type.about
    one, other = net_words(circuit, ends[0]), net_words(circuit, ends[1])
    if family == "led":
        return WHY["light"].format(one=one, other=other)
    if family == "diode":
        return WHY["one-way"].format(one=one, other=other)
    if family == "button":
        return WHY["button"].format(one=one, other=other)
    if family == "switch":
        return WHY["switch"].format(one=net_words(circuit, part.net("C")))
    if family == "potentiometer":
        return WHY["track"].format(one=net_words(circuit, part.net("W")))
    if family == "ldr":
        inner = [net for net in ends if net not in (circuit.plus, circuit.ground)]
        return WHY["light-sensor"].format(net=net_words(circuit, (inner or ends)[0]))
    if family == "resistor":
        return _resistor(circuit, part, ends)
    if family in ("capacitor", "electrolytic"):
        return _capacitor(circuit, part, ends)
    return part.type.about or WHY["between"].format(one=one, other=other)


def _around(circuit: Circuit, net: str, part: Part) -> list[tuple[Part, str]]:
    """The other parts on a net with their roles there."""
    return [
        (circuit.by_id[pin.part], circuit.by_id[pin.part].type.terminal(pin.terminal).role)
        for pin in circuit.nets[net]
        if pin.part != part.id
    ]


def _resistor(circuit: Circuit, part: Part, ends: list[str]) -> str:
    supply = (circuit.plus, circuit.ground)
    inner = [net for net in ends if net not in supply]
    for net in inner:
        around = _around(circuit, net, part)
        lights = [other for other, _ in around if other.type.family == "led"]
        if lights and len(lights) == len(around):
            named = (
                lights[0].id if len(lights) == 1 else and_list([light.id for light in lights[:_MOST_NAMED]])
            )
            if len(lights) > _MOST_NAMED:
                named = f"{lights[0].id} to {lights[-1].id}"
            return WHY["limits-light"].format(light=named)
    for net in inner:
        around = _around(circuit, net, part)
        outer = next((end for end in ends if end != net and end in supply), None)
        buttons = [other.id for other, _ in around if other.type.family == "button"]
        if buttons and outer is not None:
            return WHY["holds"].format(
                net=net_words(circuit, net), level=net_words(circuit, outer), button=and_list(buttons)
            )
        for other, role in around:
            if role == "base":
                return WHY["limits-base"].format(base=pin_words(other, "B"))
        stores = [other.id for other, _ in around if other.type.family in ("capacitor", "electrolytic")]
        if stores:
            return WHY["times"].format(other=and_list(stores[:_MOST_NAMED]))
        mates = [
            other.id
            for other, _ in around
            if other.type.family in ("resistor", "ldr")
            and outer is not None
            and set(other.nets) == {net, *supply} - {outer}
        ]
        if mates:
            return WHY["divides"].format(other=and_list(mates), net=net_words(circuit, net))
    return WHY["between"].format(one=net_words(circuit, ends[0]), other=net_words(circuit, ends[1]))


def _capacitor(circuit: Circuit, part: Part, ends: list[str]) -> str:
    supply = {circuit.plus, circuit.ground}
    if set(ends) == supply:
        return WHY["steadies"]
    inner = [net for net in ends if net not in supply]
    for net in inner:
        for other, role in _around(circuit, net, part):
            if role == "control":
                terminal = next(t.name for t in other.type.terminals if other.net(t.name) == net)
                return WHY["quiets"].format(pin=pin_words(other, terminal))
    through = [
        other.id
        for net in inner
        for other, _ in _around(circuit, net, part)
        if other.type.family in ("resistor", "diode", "potentiometer", "ldr")
    ]
    if through:
        return WHY["charges"].format(other=and_list(list(dict.fromkeys(through))[:_MOST_NAMED]))
    return WHY["between"].format(one=net_words(circuit, ends[0]), other=net_words(circuit, ends[1]))


def wire_why(circuit: Circuit, layout: Layout, index: int, strips: Mapping[str, str]) -> str:
    """Say what a wire is there for; ``strips``: strip -> net, as of strip_nets for the whole layout."""
    wire = layout.wires[index]
    start, end = (layout.board.strip_of.get(hole, "") for hole in (wire.start, wire.end))
    net = strips.get(start) or strips.get(end)
    here, there = _leads(circuit, layout, start), _leads(circuit, layout, end)
    kind = "plus" if net == circuit.plus else "ground" if net == circuit.ground else ""
    if kind:
        # What the wire feeds is at the end away from the rail, or away from the supply's own lead.
        feeds = there if start[:2] in layout.board.rails or not here else here
        return WIRE_WHY[kind].format(who=feeds) if feeds else WIRE_WHY[f"{kind}-on"]
    if here and there:
        return WIRE_WHY["join"].format(one=here, other=there)
    words = net_words(circuit, net)
    if here or there:
        return WIRE_WHY["on"].format(net=words, who=here or there)
    return WIRE_WHY["only"].format(net=words)


def _leads(circuit: Circuit, layout: Layout, strip: str) -> str:
    """The leads that stand in a row strip, in words; '' for a rail."""
    if not strip or strip[:2] in layout.board.rails:
        return ""
    found: dict[str, None] = {}
    for part in circuit.parts:
        if part.type.family == "supply":
            continue
        for terminal, hole in zip(part.type.leg_terminals, layout.holes.get(part.id, ()), strict=False):
            if layout.board.strip_of.get(hole) == strip:
                found.setdefault(pin_words(part, terminal))
    return and_list(list(found)[:_MOST_NAMED])
