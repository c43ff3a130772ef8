"""What a part or a wire is there for, read from the nets and the roles of what meets on them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from buildalong.board import Layout, pin_words, swappable_lead
from buildalong.build.steps._joint import supplied, through
from buildalong.build.steps._words import LEADS, NETS, WHY, WIRE_WHY
from buildalong.circuit import Circuit, Part
from buildalong.words import listed, say

__all__ = ["net_words", "part_why", "wire_why"]

_PLAIN = ("timer", "comparator", "counter", "buzzer", "motor", "supply")
_PASSING = ("resistor", "diode", "potentiometer")
_STORES = ("capacitor", "electrolytic")
_MOST_NAMED = 3


def net_words(circuit: Circuit, net: str | None) -> str:
    """Say a net: 'plus', '0 V', or its name."""
    kind = "plus" if net == circuit.plus else "ground" if net == circuit.ground else "other"
    return say(NETS[kind], net=net)


def part_why(circuit: Circuit, part: Part) -> str:
    """Say what a part is there for, as far as the circuit around it tells."""
    family = part.type.family
    if family in _PLAIN:
        return say(WHY[family])
    if family == "transistor":
        return say(WHY["transistor-pnp" if "PNP" in part.type.noun else "transistor"])
    ends = [net for net in part.nets if net is not None]
    if len(ends) < 2:
        return say(part.type.about)
    one, other = net_words(circuit, ends[0]), net_words(circuit, ends[1])
    if family == "led":
        return _light(circuit, part) or say(WHY["light"], one=one, other=other)
    if family == "diode":
        return say(WHY["one-way"], one=one, other=other)
    if family == "button":
        return say(WHY["button"], one=one, other=other)
    if family == "switch":
        return say(WHY["switch"], one=net_words(circuit, part.net("C")))
    if family == "potentiometer":
        return say(WHY["track"], one=net_words(circuit, part.net("W")))
    if family == "ldr":
        inner = [net for net in ends if net not in (circuit.plus, circuit.ground)]
        return say(WHY["light-sensor"], net=net_words(circuit, (inner or ends)[0]))
    if family == "resistor":
        return _resistor(circuit, part, ends)
    if family in ("capacitor", "electrolytic"):
        return _capacitor(circuit, part, ends)
    return say(part.type.about) or say(WHY["between"], one=one, other=other)


def _around(circuit: Circuit, net: str, part: Part) -> list[tuple[Part, str]]:
    """The other parts on a net with their roles there."""
    return [
        (circuit.by_id[pin.part], circuit.by_id[pin.part].type.terminal(pin.terminal).role)
        for pin in circuit.nets[net]
        if pin.part != part.id
    ]


def _beyond(circuit: Circuit, net: str, part: Part) -> list[str]:
    """A net and those behind one resistor or diode from it, without the supply's nets and ``part``."""
    out = [net]
    for other, _ in _around(circuit, net, part):
        if other.type.family in _PASSING:
            out += [end for end in other.nets if end not in (None, net, circuit.plus, circuit.ground)]
    return list(dict.fromkeys(out))


def _pin_on(part: Part, net: str, role: str) -> str:
    """The terminal of a part that stands on a net in this role; '' where there is none."""
    return next((t.name for t in part.type.terminals if t.role == role and part.net(t.name) == net), "")


def _light(circuit: Circuit, part: Part) -> str:
    """When a light is lit, told by the pin that drives it, directly or behind its resistor."""
    for terminal, level in (("A", "light-high"), ("K", "light-low")):
        net = part.net(terminal)
        if net is None or net in (circuit.plus, circuit.ground):
            continue
        for near in _beyond(circuit, net, part):
            for other, role in _around(circuit, near, part):
                if role == "collector":
                    return say(WHY["light-conducts"], part=other.id)
                if role in ("output", "open-output"):
                    pin = next(
                        t.name for t in other.type.terminals if t.role == role and other.net(t.name) == near
                    )
                    return say(WHY[level], pin=pin_words(other, pin))
    return ""


def _resistor(circuit: Circuit, part: Part, ends: list[str]) -> str:
    supply = (circuit.plus, circuit.ground)
    inner = [net for net in ends if net not in supply]
    for rule in (_limits_light, _holds, _times, _limits_base, _divides, _feeds_back):
        for net in inner:
            other = next((end for end in ends if end != net), net)
            if said := rule(circuit, part, net, other):
                return said
    return say(WHY["between"], one=net_words(circuit, ends[0]), other=net_words(circuit, ends[1]))


def _limits_light(circuit: Circuit, part: Part, net: str, other: str) -> str:
    around = _around(circuit, net, part)
    lights = [item.id for item, _ in around if item.type.family == "led"]
    if not lights or len(lights) < len(around):
        return ""
    if len(lights) > _MOST_NAMED:
        return say(WHY["limits-lights"], first=lights[0], last=lights[-1])
    return say(WHY["limits-light"], light=listed(lights))


def _holds(circuit: Circuit, part: Part, net: str, other: str) -> str:
    buttons = [item.id for item, _ in _around(circuit, net, part) if item.type.family == "button"]
    if not buttons or other not in (circuit.plus, circuit.ground):
        return ""
    words = net_words(circuit, net), net_words(circuit, other)
    return say(WHY["holds"], net=words[0], level=words[1], button=listed(buttons))


def _times(circuit: Circuit, part: Part, net: str, other: str) -> str:
    """A capacitor on the net, or behind a further resistor or diode, is filled through this resistor."""
    for near in _beyond(circuit, net, part):
        around = _around(circuit, near, part)
        if any(role == "control" for _, role in around):
            continue
        stores = [item.id for item, _ in around if item.type.family in _STORES]
        if stores:
            return say(WHY["times"], other=listed(stores[:_MOST_NAMED]))
    return ""


def _limits_base(circuit: Circuit, part: Part, net: str, other: str) -> str:
    bases = [item for item, role in _around(circuit, net, part) if role == "base"]
    return say(WHY["limits-base"], base=pin_words(bases[0], "B")) if bases else ""


def _divides(circuit: Circuit, part: Part, net: str, other: str) -> str:
    """Another resistor leads from the net to the other side of the supply."""
    supply = {circuit.plus, circuit.ground}
    mates = [
        item.id
        for item, _ in _around(circuit, net, part)
        if item.type.family in ("resistor", "ldr") and set(item.nets) == {net, *(supply - {other})}
    ]
    if not mates or other not in supply:
        return ""
    return say(WHY["divides"], other=listed(mates), net=net_words(circuit, net))


def _feeds_back(circuit: Circuit, part: Part, net: str, other: str) -> str:
    """From an output of a chip to an input of the same chip."""
    for chip, role in _around(circuit, net, part):
        back = _pin_on(chip, other, "input")
        if role in ("output", "open-output") and back:
            pin = pin_words(chip, _pin_on(chip, net, role))
            return say(WHY["feeds-back"], pin=pin, other=pin_words(chip, back))
    return ""


def _capacitor(circuit: Circuit, part: Part, ends: list[str]) -> str:
    supply = {circuit.plus, circuit.ground}
    if set(ends) == supply:
        return say(WHY["steadies"])
    inner = [net for net in ends if net not in supply]
    for net in inner:
        for other, role in _around(circuit, net, part):
            if role == "control":
                terminal = next(t.name for t in other.type.terminals if other.net(t.name) == net)
                return say(WHY["quiets"], pin=pin_words(other, terminal))
    through = [
        other.id
        for net in inner
        for other, _ in _around(circuit, net, part)
        if other.type.family in ("resistor", "diode", "potentiometer", "ldr")
    ]
    if through:
        return say(WHY["charges"], other=listed(list(dict.fromkeys(through))[:_MOST_NAMED]))
    return say(WHY["between"], one=net_words(circuit, ends[0]), other=net_words(circuit, ends[1]))


def wire_why(circuit: Circuit, layout: Layout, index: int, strips: Mapping[str, str]) -> str:
    """Say what a wire is there for; ``strips``: strip -> net, as of strip_nets for the whole layout."""
    wire = layout.wires[index]
    start, end = (layout.board.strip_of.get(hole, "") for hole in (wire.start, wire.end))
    net = strips.get(start) or strips.get(end)
    here, there = _leads(circuit, layout, start), _leads(circuit, layout, end)
    kind = "plus" if net == circuit.plus else "ground" if net == circuit.ground else ""
    if kind:
        rest = Layout(layout.board, layout.holes, (*layout.wires[:index], *layout.wires[index + 1 :]))
        fed = supplied(circuit, rest)
        if (end in fed) != (start in fed):
            near, who = (end, here) if end in fed else (start, there)
            if who and (parts := through(circuit, rest, near)):
                return say(WIRE_WHY[f"{kind}-through"], who=who, parts=listed(parts))
            return say(WIRE_WHY[kind], who=who) if who else say(WIRE_WHY[f"{kind}-on"])
    if here and there:
        return say(WIRE_WHY["join"], one=here, other=there)
    words = net_words(circuit, net)
    if here or there:
        return say(WIRE_WHY["on"], net=words, who=here or there)
    return say(WIRE_WHY["only"], net=words)


def _leads(circuit: Circuit, layout: Layout, strip: str) -> str:
    """The leads that stand in a row strip, in words; '' for a rail."""
    if not strip or strip[:2] in layout.board.rails:
        return ""
    found: dict[tuple[str, str], tuple[Part, str]] = {}
    for part in circuit.parts:
        if part.type.family == "supply":
            continue
        for terminal, hole in zip(part.type.leg_terminals, layout.holes.get(part.id, ()), strict=False):
            if layout.board.strip_of.get(hole) == strip:
                found.setdefault((part.id, pin_words(part, terminal)), (part, terminal))
    return _leads_words(list(found.values())[:_MOST_NAMED])


def _leads_words(leads: Sequence[tuple[Part, str]]) -> str:
    """'U1's trigger (pin 2), one lead of C2 and one of C3' for parts and their terminals."""
    said: list[str] = []
    before = ""
    for part, terminal in leads:
        what = swappable_lead(part, terminal) if part.type.swappable else ""
        again = what and what == before
        said.append(say(LEADS["more" if again else what], id=part.id) if what else pin_words(part, terminal))
        before = what
    return listed(said)
