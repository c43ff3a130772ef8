"""What the drawing knows of the circuit before it places anything.

Rails, the potential of every net, which parts stand and which lie, what follows what, which pin
belongs on which side.  All of it is read from the netlist and the catalogue; nothing is guessed
from names.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from buildalong.circuit import Circuit, Part
from buildalong.drawing.schematic._boxes import BoxPin, BoxSpec, Triangle, box_variant, triangle_variants
from buildalong.drawing.schematic._shape import DOWN, LEFT, RIGHT, UP, Side, Variant, drawn_variants
from buildalong.quantity import format_quantity

__all__ = ["GROUND", "PLUS", "Item", "Structure", "read_structure", "supply_words", "symbol_of", "value_text"]

PLUS, GROUND = 0, 1
"""Index of the two rails among the nets."""
LOCAL, OPEN = -2, -1
"""Instead of a net: the terminal has a supply mark of its own; the terminal is open."""


@dataclass(frozen=True, slots=True)
class Item:
    """One thing to place: a part, or one unit of it.

    ``nets`` gives the net index of each terminal, in the order of every variant's terminals.
    """

    part: Part
    unit: str
    nets: tuple[int, ...]
    variants: tuple[Variant, ...]
    box: BoxSpec | None = None
    triangle: bool = False
    """Drawn as an amplifier's triangle: its feedback goes above it."""

    @property
    def terminals(self) -> tuple[str, ...]:
        """Terminal names."""
        return tuple(name for name, *_ in self.variants[0].terminals)


@dataclass(frozen=True, slots=True)
class Feed:
    """A part in line with the plus rail: drawn lying in ``shape``, entered and left at two terminals."""

    item: Item
    shape: Variant
    entry: str
    exit: str


@dataclass(frozen=True, slots=True)
class Structure:
    """The circuit as the placer sees it: ``before`` lists (i, j, weight): i stands left of j."""

    items: tuple[Item, ...]
    nets: tuple[str, ...]
    before: tuple[tuple[int, int, float], ...]
    potential: Mapping[str, float]
    above: tuple[tuple[int, int], ...] = field(default=())
    """(i, j): i stands above j (feedback over its amplifier)."""
    feed: tuple[Feed, ...] = ()
    """Parts through which the supply reaches the plus rail, in order from the supply."""


def symbol_of(part: Part) -> dict[str, Any]:
    """The symbol's data with the form chosen (npn or pnp, from the part's noun unless stated)."""
    symbol = dict(part.type.symbol)
    for form in symbol.get("forms", {}):
        if form in part.type.noun.lower().split() and "form" not in part.type.symbol.get("own", {}):
            symbol["form"] = form
    return symbol


def value_text(part: Part) -> str:
    """What stands under the reference: the value, or the type's short name."""
    if part.value is not None and part.type.value is not None:
        return format_quantity(part.value, part.type.value.unit)
    symbol = part.type.symbol
    if "name" in symbol:
        return str(symbol["name"])
    if part.type.family == "led":
        return str(part.type.look.get("colour", ""))
    text = part.type.marking.text
    last = part.type.id.rsplit("-", 1)[-1].upper()
    if text and "{" not in text and len(text) <= 10 and not last.endswith(text.upper()):
        return text
    return last if any(c.isdigit() for c in last) else ""


def supply_words(part: Part) -> tuple[str, str]:
    """Voltage and kind of the supply: ("+6 V", "4 × AA")."""
    symbol = part.type.symbol
    each = symbol.get("each", {}).get(part.type.id, {})
    count = max(1, round(part.setting("count", 1)))
    volts = each.get("volts")
    kind = str(each.get("name", part.type.aliases[0] if part.type.aliases else part.type.title))
    text = f"+{format_quantity(float(volts) * count, 'V')}" if volts else "+"
    return text, f"{count} × {kind}" if count > 1 else kind


def potentials(circuit: Circuit, plus: str, ground: str) -> dict[str, float]:
    """Potential of every net from 0 (ground) to 1 (plus) if every part were a resistor."""
    edges: list[tuple[str, str, float]] = []
    for part in circuit.parts:
        if part.type.family == "supply":
            continue
        for a, b, weight in _conducting(part):
            if a is not None and b is not None and a != b:
                edges.append((a, b, weight))
    level = dict.fromkeys(circuit.nets, 0.5)
    level[plus], level[ground] = 1.0, 0.0
    near: dict[str, list[tuple[str, float]]] = {net: [] for net in circuit.nets}
    for a, b, weight in edges:
        near[a].append((b, weight))
        near[b].append((a, weight))
    for _ in range(300):
        for net, others in near.items():
            if net not in (plus, ground):
                total = 1e-3 + sum(w for _, w in others)
                level[net] = (0.5e-3 + sum(w * level[o] for o, w in others)) / total
    return level


def _conducting(part: Part) -> list[tuple[str | None, str | None, float]]:
    """Pairs of nets between which a part carries the main current."""
    roles = {t.role: net for t, net in zip(part.type.terminals, part.nets, strict=True)}
    if "collector" in roles:
        return [(roles["collector"], roles["emitter"], 1.0), (roles["base"], roles["emitter"], 0.3)]
    if part.type.symbol.get("kind") in ("box", "units"):
        return []
    nets = part.nets
    if len(nets) == 2:
        return [(nets[0], nets[1], 1.0)]
    return [(nets[i], nets[i + 1], 1.0) for i in range(len(nets) - 1)]


def _on_spine(circuit: Circuit, part: Part, plus: str, ground: str) -> bool:
    """Whether a chain of two-terminal parts and transistors leads from plus to ground through the part."""
    if part.type.family in ("capacitor", "electrolytic"):
        return False
    edges = [
        (a, b, p.id)
        for p in circuit.parts
        if p.type.family != "supply"
        for a, b, weight in _conducting(p)
        if weight == 1.0 and a is not None and b is not None and a != b
    ]
    first, last = part.nets[0], part.nets[1]

    def reach(start: str, goal: str, shut: frozenset[str], budget: list[int]) -> list[frozenset[str]]:
        found: list[frozenset[str]] = []
        stack = [(start, frozenset([start]))]
        while stack and budget[0] > 0 and len(found) < 12:
            budget[0] -= 1
            at, seen = stack.pop()
            if at == goal:
                found.append(seen)
                continue
            for a, b, _ in edges:
                for here, there in ((a, b), (b, a)):
                    if (
                        here == at
                        and there not in seen
                        and there not in shut
                        and (there == goal or there not in (plus, ground))
                    ):
                        stack.append((there, seen | {there}))
        return found

    for up, down in ((first, last), (last, first)):
        if up is None or down is None or up == down:
            continue
        budget = [400]
        for upper in reach(up, plus, frozenset([down]), budget):
            if reach(down, ground, upper, budget):
                return True
    return False


def _box_pins(circuit: Circuit, part: Part, plus: str, ground: str) -> list[BoxPin]:
    symbol = part.type.symbol
    names = symbol.get("names", {})
    side_of = {
        name: side
        for side, key in ((LEFT, "left"), (RIGHT, "right"), (UP, "top"), (DOWN, "bottom"))
        for name in symbol.get(key, [])
    }
    order = [name for key in ("left", "right", "top", "bottom") for name in symbol.get(key, [])]
    order += [t.name for t in part.type.terminals if t.name not in order]
    pins = []
    for name in order:
        terminal = part.type.terminal(name)
        net = part.net(name)
        side = side_of.get(name, _side_of_role(terminal.role))
        if net is not None and side != RIGHT:
            if net == plus:
                side = UP
            elif net == ground or (terminal.role == "control" and _only_capacitor_to(circuit, net, ground)):
                side = DOWN
        pins.append(BoxPin(name, str(names.get(name, name)), terminal.number, side, net is None))
    # An input that goes to a rail comes before the supply pin of the same side: the supply stays outermost.
    return [pin for s in (LEFT, RIGHT, UP, DOWN) for pin in pins if pin.side == s]


def _side_of_role(role: str) -> int:
    return {"output": RIGHT, "open-output": RIGHT, "supply": UP, "ground": DOWN}.get(role, LEFT)


def _only_capacitor_to(circuit: Circuit, net: str, ground: str) -> bool:
    others = [circuit.by_id[pin.part] for pin in circuit.nets[net]]
    return len(others) == 2 and any(p.type.family == "capacitor" and ground in p.nets for p in others)


Turn = tuple[int, bool, Side, float]


def _turns(upright: Sequence[int], flat: Sequence[int], extra: float, marks: bool, family: str) -> list[Turn]:
    """Positions of a two-terminal part: ``upright`` and ``flat`` turns, ``extra`` cost of lying."""
    out: list[Turn] = []
    for turn in upright:
        for mirror in (False, True) if marks else (False,):
            marked = "left" if (turn == 0) == (not mirror) else "right"
            if family in ("led", "button", "buzzer"):
                marked = "left" if marked == "right" else "right"
            for side in ("right", "left"):
                clash = marks and side == marked
                if not clash:
                    out.append((turn, mirror, side, 0.0))
    for turn in flat:
        for mirror in (False, True) if marks else (False,):
            out += _flat(turn, mirror, extra, marks, family)
    return out


def _flat(turn: int, mirror: bool, extra: float, marks: bool, family: str) -> list[Turn]:
    if not marks:
        return [(turn, mirror, "above", extra), (turn, mirror, "below", extra + 0.6)]
    # Unturned, a mark on the left ends below when the top goes left (turn 3) and above when it goes right.
    mark_left = (family not in ("led", "button", "buzzer")) != mirror
    above = mark_left == (turn == 1)
    out: list[Turn] = [(turn, mirror, "below" if above else "above", extra + (0.6 if above else 0.0))]
    if family == "led" and above:
        out.append((turn, mirror, "above left" if turn == 3 else "above right", extra + 0.3))
    return out


def _feeding(circuit: Circuit, plus: str, ground: str) -> tuple[list[tuple[Part, str, str]], str]:
    """Switches, buttons and diodes between the supply and all the rest: (part, entry, exit), and the net after them."""
    out: list[tuple[Part, str, str]] = []
    net = plus
    while len(out) < 3:
        others = [pin for pin in circuit.nets.get(net, ()) if circuit.by_id[pin.part].type.family != "supply"]
        others = [pin for pin in others if pin.part not in {part.id for part, _, _ in out}]
        if len(others) != 1:
            break
        part = circuit.by_id[others[0].part]
        if part.type.family not in FEEDS:
            break
        used = [(t.name, n) for t, n in zip(part.type.terminals, part.nets, strict=True) if n is not None]
        beyond = [(name, n) for name, n in used if name != others[0].terminal]
        if len(beyond) != 1 or beyond[0][1] in (plus, ground, net) or len(circuit.nets[beyond[0][1]]) < 3:
            break
        out.append((part, others[0].terminal, beyond[0][0]))
        net = beyond[0][1]
    return out, net


FEEDS = ("switch", "button", "diode")
"""Families that may stand in line with the plus rail."""


def _feed_item(part: Part, entry: str, leave: str, standard: str) -> Feed:
    """The part lying, entered on the left, everything else of it above the rail."""
    sides: list[Turn] = [(turn, mirror, "above", 0.0) for turn in range(4) for mirror in (False, True)]
    shapes = drawn_variants(symbol_of(part), standard, part.id, value_text(part), sides)

    def fits(shape: Variant) -> tuple[float, ...]:
        where = {name: (x, y) for name, x, y, _ in shape.terminals}
        (x1, y1), (x2, y2) = where[entry], where[leave]
        lowest = max(y for _, y in where.values())
        return (float(x1 >= x2), float(abs(y1 - y2)), float(lowest > y2), shape.body[3], float(shape.turn))

    best = min(shapes, key=fits)
    return Feed(Item(part, "", (), (best,)), best, entry, leave)


def read_structure(circuit: Circuit, standard: str, feeds: bool = True) -> Structure:
    """Read everything the placer needs; raises LookupError where a terminal has no symbol."""
    supply = next((p for p in circuit.parts if p.type.family == "supply"), None)
    plus, ground = (supply.nets[0] or "+", supply.nets[1] or "-") if supply else ("+", "-")
    feeding, plus = _feeding(circuit, plus, ground) if supply and feeds else ([], plus)
    names = [plus, ground, *(n for n in circuit.nets if n not in (plus, ground))]
    index = {net: i for i, net in enumerate(names)}
    level = potentials(circuit, plus, ground)
    items: list[Item] = []
    for part in circuit.parts:
        if part.type.family == "supply" or part.id in {fed.id for fed, _, _ in feeding}:
            continue
        kind = part.type.symbol.get("kind", "drawn")
        if kind == "box" or ("terminals" not in part.type.symbol and kind == "drawn"):
            items.append(_box_item(circuit, part, plus, ground, index))
        elif kind == "units":
            items += _unit_items(part, supply, index)
        else:
            items.append(_drawn_item(circuit, part, plus, ground, level, index, standard))
    before, above = _order(items)
    feed = tuple(_feed_item(part, entry, leave, standard) for part, entry, leave in feeding)
    return Structure(tuple(items), tuple(names), tuple(before), level, tuple(above), feed)


def _net(index: Mapping[str, int], net: str | None) -> int:
    return OPEN if net is None else index[net]


def _box_item(circuit: Circuit, part: Part, plus: str, ground: str, index: Mapping[str, int]) -> Item:
    pins = _box_pins(circuit, part, plus, ground)
    spec = BoxSpec.of(part.id, value_text(part), pins)
    variants = tuple(box_variant(spec, spec.start(), spec.height + more) for more in range(5))
    return Item(part, "", tuple(_net(index, part.net(p.terminal)) for p in pins), variants, spec)


def _unit_items(part: Part, supply: Part | None, index: Mapping[str, int]) -> list[Item]:
    symbol = part.type.symbol
    units = symbol["units"]
    used = [u for u in units if part.net(u["output"]) is not None]
    owner = (used or units)[0]["suffix"]
    out = []
    for unit in units:
        powered = unit["suffix"] == owner
        pair = lambda name: (name, part.type.terminal(name).number)  # noqa: E731
        local = powered and supply is not None and part.net(symbol["supply"]) == supply.nets[0]
        triangle = Triangle(
            part.id + unit["suffix"], value_text(part), pair(unit["output"]), pair(unit["minus"]),
            pair(unit["plus"]), pair(symbol["supply"]) if powered else None,
            pair(symbol["ground"]) if powered else None, part.net(unit["output"]) is None,
            supply_words(supply)[0] if local and supply else "",
        )  # fmt: skip
        variants = triangle_variants(triangle)
        nets = []
        for name, *_ in variants[0].terminals:
            nets.append(LOCAL if local and name == symbol["supply"] else _net(index, part.net(name)))
        out.append(Item(part, unit["suffix"], tuple(nets), variants, None, True))
    return out


def _drawn_item(
    circuit: Circuit, part: Part, plus: str, ground: str, level: Mapping[str, float],
    index: Mapping[str, int], standard: str,
) -> Item:  # fmt: skip
    symbol = symbol_of(part)
    names = list(symbol["terminals"])
    nets = [part.net(name) for name in names]
    family = part.type.family
    marks = family in ("led", "electrolytic", "buzzer", "button", "ldr")
    if len(names) == 2:
        turns = _two_terminal(circuit, part, nets, plus, ground, level, marks)
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
        turns = _change_over(nets, plus, ground)
    variants = drawn_variants(symbol, standard, part.id, value_text(part), turns)
    return Item(part, "", tuple(_net(index, net) for net in nets), variants)


def _two_terminal(
    circuit: Circuit, part: Part, nets: Sequence[str | None], plus: str, ground: str,
    level: Mapping[str, float], marks: bool,
) -> list[Turn]:  # fmt: skip
    family = part.type.family
    a, b = nets[0] or "", nets[1] or ""
    high = level.get(a, 0.5) - level.get(b, 0.5)
    lying = [3, 1] if family in ("led", "resistor") else []
    if a == plus or b == ground:
        return _turns([0], lying, 30.0, marks, family)
    if b == plus or a == ground:
        return _turns([2], lying, 30.0, marks, family)
    feeds_back = _feeds_back(circuit, part)
    if not feeds_back and _on_spine(circuit, part, plus, ground):
        ends = [0] if high >= -1e-9 else [2]
        return _turns(ends, [3, 1], 6.0, marks, family)
    flat = _turns([], [3, 1], 0.0, marks, family)
    stand = _turns([0, 2], [], 0.0, marks, family)
    price = 12.0 if feeds_back else 3.0
    return flat + [(t, m, s, price) for t, m, s, _ in stand]


def _feeds_back(circuit: Circuit, part: Part) -> bool:
    """Whether a part leads from an output of an IC back to an input of the same IC."""
    ends = [net for net in part.nets if net is not None]
    for other in circuit.parts:
        symbol = other.type.symbol
        if symbol.get("kind") not in ("box", "units"):
            continue
        left = set(symbol.get("left", []))
        outs = {
            net
            for t, net in zip(other.type.terminals, other.nets, strict=True)
            if t.role in ("output", "open-output") and t.name not in left
        }
        ins = {
            net
            for t, net in zip(other.type.terminals, other.nets, strict=True)
            if t.role in ("input", "control")
        }
        if len(ends) == 2 and ((ends[0] in outs and ends[1] in ins) or (ends[1] in outs and ends[0] in ins)):
            return True
    return False


def _change_over(nets: Sequence[str | None], plus: str, ground: str) -> list[Turn]:
    common = nets[1]
    if common == plus:
        return [
            (1, False, "right", 0.0),
            (1, True, "right", 0.0),
            (1, False, "left", 0.0),
            (1, True, "left", 0.0),
        ]
    if common == ground:
        return [
            (3, False, "right", 0.0),
            (3, True, "right", 0.0),
            (3, False, "left", 0.0),
            (3, True, "left", 0.0),
        ]
    out: list[Turn] = []
    for mirror in (False, True):
        out += [(0, mirror, "below", 0.0), (0, mirror, "above", 0.0)]
        out += [(2, mirror, "below", 0.0), (2, mirror, "above", 0.0)]
        out += [
            (1, mirror, "right", 1.0),
            (1, mirror, "left", 1.0),
            (3, mirror, "right", 1.0),
            (3, mirror, "left", 1.0),
        ]
    return out


def _order(items: Sequence[Item]) -> tuple[list[tuple[int, int, float]], list[tuple[int, int]]]:
    """Who stands left of whom: from each IC, inputs to the left and what follows the outputs to the right."""
    touching: dict[int, list[int]] = {}
    for i, item in enumerate(items):
        for net in item.nets:
            if net > GROUND:
                touching.setdefault(net, []).append(i)
    pairs: dict[tuple[int, int], float] = {}
    above: list[tuple[int, int]] = []
    for i, item in enumerate(items):
        base = _base_of(item)
        if item.box is None and not item.triangle and base is None:
            continue
        sides = [LEFT if k == base else RIGHT for k in range(3)] if base is not None else _sides(item)
        out_nets = {net for net, side in zip(item.nets, sides, strict=True) if side == RIGHT and net > GROUND}
        in_nets = {net for net, side in zip(item.nets, sides, strict=True) if side == LEFT and net > GROUND}
        after = _closure(items, touching, out_nets, in_nets, i)
        ahead = _closure(items, touching, in_nets, out_nets, i)
        for j in sorted(after - ahead):
            pairs[i, j] = 1.0
        for j in sorted(ahead - after):
            pairs[j, i] = 1.0
        if item.triangle and len(item.nets) > 0:
            above += [(i, j) for j in range(i + 1, len(items)) if items[j].part.id == item.part.id]
            for j, other in enumerate(items):
                ends = set(other.nets)
                if j != i and len(other.nets) == 2 and ends & out_nets and ends & in_nets:
                    above.append((j, i))
                    pairs.pop((i, j), None)
                    pairs.pop((j, i), None)
    ordered = [(i, j, w) for (i, j), w in sorted(pairs.items()) if (j, i) not in pairs]
    # What stands only between the rails (decoupling) keeps to the side of the supply.
    for i, item in enumerate(items):
        if (
            set(item.nets) == {PLUS, GROUND}
            and len(item.nets) == 2
            and item.part.type.family in ("capacitor", "electrolytic")
        ):
            ordered += [(i, j, 0.7) for j in range(len(items)) if j != i]
    # What is not in use stands at the far end.
    for i, item in enumerate(items):
        if item.triangle and all(net <= GROUND for net in item.nets):
            ordered += [(j, i, 0.5) for j in range(len(items)) if j != i]
    return ordered, above


def _base_of(item: Item) -> int | None:
    """Number of the base among a transistor's terminals, None for any other part."""
    roles = [item.part.type.terminal(name).role for name in item.terminals]
    return roles.index("base") if "base" in roles else None


def _sides(item: Item) -> list[int]:
    if item.box is not None:
        return [pin.side for pin in item.box.pins]
    return [way for *_, way in item.variants[0].terminals]


def _closure(
    items: Sequence[Item], touching: Mapping[int, list[int]], nets: set[int], shut: set[int], origin: int
) -> set[int]:
    """Parts reached from nets without passing a rail, an IC or the nets shut (the IC's other side)."""
    seen: set[int] = set()
    queue = sorted(nets)
    done = nets | shut
    while queue:
        net = queue.pop(0)
        for i in touching.get(net, []):
            if i == origin or i in seen:
                continue
            item = items[i]
            if item.box is not None or item.triangle:
                # The next IC follows only where the net enters it on its left side.
                enters = any(n == net and s == LEFT for n, s in zip(item.nets, _sides(item), strict=True))
                if enters:
                    seen.add(i)
                continue
            seen.add(i)
            for other in item.nets:
                if other > GROUND and other not in done:
                    done.add(other)
                    queue.append(other)
    return seen
