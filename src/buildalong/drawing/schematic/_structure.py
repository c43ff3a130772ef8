"""What the drawing knows of the circuit before it places anything.

Rails, potentials, which parts stand and which lie, what follows what, which pin belongs on which
side: all of it is read from the netlist and the catalogue; nothing is guessed from names.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from buildalong.circuit import Circuit, Part
from buildalong.drawing.schematic._boxes import (
    BoxPin,
    BoxSpec,
    Triangle,
    box_variant,
    cross,
    triangle_variants,
)
from buildalong.drawing.schematic._current import feeding, potentials
from buildalong.drawing.schematic._items import LOCAL, OPEN, Feed, Item, Structure
from buildalong.drawing.schematic._layout import CELL
from buildalong.drawing.schematic._legs import across, legs
from buildalong.drawing.schematic._order import order_of
from buildalong.drawing.schematic._positions import Turn, change_over, two_terminal
from buildalong.drawing.schematic._shape import DOWN, LEFT, RIGHT, UP, Variant, drawn_variants
from buildalong.drawing.schematic._words import room_of, supply_words, symbol_of, value_text

__all__ = ["read_structure"]

BESIDE = 1.0
"""Weight of the wish that a diode stands beside the transistor of a bridge that it protects."""


def read_structure(circuit: Circuit, standard: str, feeds: bool = True, every: bool = False) -> Structure:
    """Read everything the placer needs; raises LookupError where a terminal has no symbol.

    Words keep room for their English, so that drawings are alike in the languages; or for ``every`` language.
    """
    supply = next((p for p in circuit.parts if p.type.family == "supply"), None)
    plus, ground = (supply.nets[0] or "+", supply.nets[1] or "-") if supply else ("+", "-")
    feeds_in, plus = feeding(circuit, plus, ground) if supply and feeds else ([], plus)
    names = [plus, ground, *(n for n in circuit.nets if n not in (plus, ground))]
    index = {net: i for i, net in enumerate(names)}
    level = potentials(circuit, plus, ground)
    items: list[Item] = []
    for part in circuit.parts:
        if part.type.family == "supply" or part.id in {fed.id for fed, _, _ in feeds_in}:
            continue
        kind = part.type.symbol.get("kind", "drawn")
        if kind == "box" or ("terminals" not in part.type.symbol and kind == "drawn"):
            items.append(_box_item(circuit, part, plus, ground, index, every))
        elif kind == "units":
            items += _unit_items(part, supply, index, every)
        else:
            items.append(_drawn_item(circuit, part, plus, ground, level, index, standard, every))
    before, above, near = order_of(items)
    feed = tuple(_feed_item(part, entry, leave, standard, every) for part, entry, leave in feeds_in)
    number = {item.part.id: i for i, item in enumerate(items)}
    near += [(number[a], number[b], BESIDE) for a, b in across(circuit, plus, ground)]
    leg = tuple(
        (number[bar], items[number[bar]].terminals.index(circuit.by_id[bar].type.terminals[lead].name),
         number[upper], number[lower])
        for bar, lead, upper, lower in legs(circuit, plus, ground)
    )  # fmt: skip
    return Structure(
        tuple(items), tuple(names), tuple(before), level, tuple(above), tuple(near), (), leg, feed
    )


def _feed_item(part: Part, entry: str, leave: str, standard: str, every: bool) -> Feed:
    """The part lying, entered on the left, everything else of it above the rail."""
    sides: list[Turn] = [(turn, mirror, "above", 0.0) for turn in range(4) for mirror in (False, True)]
    shapes = _variants(part, symbol_of(part), standard, sides, every)

    def fits(shape: Variant) -> tuple[float, ...]:
        where = {name: (x, y) for name, x, y, _ in shape.terminals}
        (x1, y1), (x2, y2) = where[entry], where[leave]
        lowest = max(y for _, y in where.values())
        return (float(x1 >= x2), float(abs(y1 - y2)), float(lowest > y2), shape.body[3], float(shape.turn))

    best = min(shapes, key=fits)
    return Feed(Item(part, "", (), (best,)), best, entry, leave)


def _variants(
    part: Part, symbol: Mapping[str, Any], standard: str, turns: Iterable[Turn], every: bool
) -> tuple[Variant, ...]:
    """The symbol in each position, with a cross at each terminal left open, as at the pins of an IC."""
    room = room_of(lambda: value_text(part), every)
    drawn = drawn_variants(symbol, standard, part.id, value_text(part), turns, room)
    return tuple(
        replace(
            variant,
            strokes=variant.strokes + tuple(
                stroke for name, x, y, _ in variant.terminals if part.net(name) is None
                for stroke in cross(x * CELL, y * CELL)
            ),
        )
        for variant in drawn
    )  # fmt: skip


def _net(index: Mapping[str, int], net: str | None) -> int:
    return OPEN if net is None else index[net]


def _box_item(
    circuit: Circuit, part: Part, plus: str, ground: str, index: Mapping[str, int], every: bool
) -> Item:  # fmt: skip
    pins = _box_pins(circuit, part, plus, ground)
    spec = BoxSpec.of(part.id, value_text(part), pins, room_of(lambda: value_text(part), every))
    variants = tuple(box_variant(spec, spec.start(), spec.height + more) for more in range(5))
    return Item(part, "", tuple(_net(index, part.net(p.terminal)) for p in pins), variants, spec)


def _unit_items(part: Part, supply: Part | None, index: Mapping[str, int], every: bool) -> list[Item]:
    symbol = part.type.symbol
    units = symbol["units"]
    used = [u for u in units if part.net(u["output"]) is not None]
    owner = (used or units)[0]["suffix"]

    def pair(name: str) -> tuple[str, str]:
        return name, part.type.terminal(name).number

    out = []
    for unit in units:
        powered = unit["suffix"] == owner
        local = powered and supply is not None and part.net(symbol["supply"]) == supply.nets[0]
        triangle = Triangle(
            part.id + unit["suffix"], value_text(part), pair(unit["output"]), pair(unit["minus"]),
            pair(unit["plus"]), pair(symbol["supply"]) if powered else None,
            pair(symbol["ground"]) if powered else None, part.net(unit["output"]) is None,
            room_of(lambda: supply_words(supply)[0], every, "bold") if local and supply else "",
        )  # fmt: skip
        variants = triangle_variants(triangle)
        nets = []
        for name, *_ in variants[0].terminals:
            nets.append(LOCAL if local and name == symbol["supply"] else _net(index, part.net(name)))
        out.append(Item(part, unit["suffix"], tuple(nets), variants, None, True))
    return out


def _drawn_item(
    circuit: Circuit, part: Part, plus: str, ground: str, level: Mapping[str, float],
    index: Mapping[str, int], standard: str, every: bool,
) -> Item:  # fmt: skip
    symbol = symbol_of(part)
    names = list(symbol["terminals"])
    nets = [part.net(name) for name in names]
    family = part.type.family
    marks = family in ("led", "electrolytic", "buzzer", "button", "ldr")
    if len(names) == 2:
        turns = two_terminal(circuit, part, nets, plus, ground, level, marks)
    elif "base" in {t.role for t in part.type.terminals}:
        upright = symbol.get("form") != "pnp"
        turns = [
            (0 if upright else 2, not upright, "right", 0.0),
            (0 if upright else 2, upright, "left", 2.0),
        ]
    elif family == "potentiometer":
        a, b = level.get(nets[0] or "", 0.5), level.get(nets[2] or "", 0.5)
        up = 0 if a >= b else 2
        turns = [
            (up, False, "left" if up == 0 else "right", 0.0),
            (up, True, "right" if up == 0 else "left", 0.0),
        ]
    else:
        turns = change_over(nets, plus, ground)
    variants = _variants(part, symbol, standard, turns, every)
    return Item(part, "", tuple(_net(index, net) for net in nets), variants)


def _box_pins(circuit: Circuit, part: Part, plus: str, ground: str) -> list[BoxPin]:
    symbol = part.type.symbol
    names = symbol.get("names", {})
    side_of = {
        name: side
        for side, key in ((LEFT, "left"), (RIGHT, "right"), (UP, "top"), (DOWN, "bottom"))
        for name in symbol.get(key, [])
    }
    outputs = {part.net(name) for name, side in side_of.items() if side == RIGHT} - {None}
    order = [name for key in ("left", "right", "top", "bottom") for name in symbol.get(key, [])]
    order += [t.name for t in part.type.terminals if t.name not in order]
    pins: list[BoxPin] = []
    returned: list[str] = []
    for name in order:
        terminal = part.type.terminal(name)
        net = part.net(name)
        side = side_of.get(name, _side_of_role(terminal.role))
        if net is not None and side != RIGHT:
            if net == plus:
                side = UP
            elif net == ground or (terminal.role == "control" and _only_capacitor_to(circuit, net, ground)):
                side = DOWN
            elif net in outputs:
                side = DOWN
                returned.append(name)
        shown, edge = str(names.get(name, terminal.shown)), name in symbol.get("edge", [])
        pins.append(BoxPin(name, shown, terminal.number, side, net is None, edge))
    # An input that goes to a rail comes before the supply pin of the same side: the supply stays outermost.
    # One that an output of the same IC leads back to stands below too, nearest to the outputs.
    pins.sort(key=lambda pin: pin.terminal in returned)
    return [pin for s in (LEFT, RIGHT, UP, DOWN) for pin in pins if pin.side == s]


def _side_of_role(role: str) -> int:
    return {"output": RIGHT, "open-output": RIGHT, "supply": UP, "ground": DOWN}.get(role, LEFT)


def _only_capacitor_to(circuit: Circuit, net: str, ground: str) -> bool:
    others = [circuit.by_id[pin.part] for pin in circuit.nets[net]]
    return len(others) == 2 and any(p.type.family == "capacitor" and ground in p.nets for p in others)
