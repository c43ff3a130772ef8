"""What a circuit does at one moment, on its schematic: voltages at the nets, currents at the parts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from buildalong.circuit import Circuit, Part
from buildalong.drawing import _text
from buildalong.drawing.schematic._beside import Line, beside, lead_at, lines_of
from buildalong.drawing.schematic._check import free_for
from buildalong.drawing.schematic._draw import extent
from buildalong.drawing.schematic._layout import CELL, Label, SchematicLayout, Segment, Stroke, Symbol
from buildalong.drawing.schematic._readback import wires_of_nets
from buildalong.drawing.schematic._shape import SMALL
from buildalong.quantity import format_quantity
from buildalong.words import say

__all__ = ["Written", "amps", "live_values", "moment_words", "volt", "with_notes", "write_values"]

OFF = 4.0
"""Distance of a number from its wire or lead, user units."""
LEAST = 1e-6
"""A smaller current than this [A] is written as nothing: '0 A'."""

HEAD, HALF = 6.5, 3.2
"""Length and half the breadth of an arrow's head."""
SUPPLY_ROLES = ("supply", "output", "open-output")
"""Of an IC, the pins whose current is worth a number."""


@dataclass(frozen=True)
class Written:
    """A schematic with numbers on it; ``left_over`` are those that found no room, as (name, number)."""

    layout: SchematicLayout
    left_over: tuple[tuple[str, str], ...]


def write_values(
    circuit: Circuit,
    layout: SchematicLayout,
    voltages: Mapping[str, float],
    currents: Mapping[tuple[str, str], float],
) -> Written:
    """Write the voltage [V] of each net and the current [A] of each part where there is room.

    ``currents`` are those into terminals.  Arrows on the leads point the way the current flows; beside two
    leads one number stands.  A number keeps clear of every wire, symbol and text; one that finds no place is
    left over, never squeezed in.
    """
    out, left = layout, []
    wires = wires_of_nets(circuit, layout)
    for net, volts in voltages.items():
        if net not in circuit.nets or net == circuit.ground:
            continue
        shown = volt(volts)
        label = _voltage_place(circuit, out, net, wires.get(net, ()), shown)
        if label is None:
            left.append((net, shown))
        else:
            out = replace(out, labels=(*out.labels, label))
    for branch in _branches(circuit, layout):
        for part, terminal in branch:
            flow = currents.get((part.id, terminal), 0.0)
            found = next(_current_places(out, part, terminal, amps(flow)), None)
            if found is not None:
                label, arrow = found
                marks = () if abs(flow) < LEAST else (arrow if flow > 0 else _turned(arrow),)
                out = replace(out, labels=(*out.labels, label), marks=(*out.marks, *marks))
                break
        else:
            part, terminal = branch[0]
            name = part.id if len(part.nets) == 2 else f"{part.id}.{terminal}"
            left.append((name, amps(currents.get((part.id, terminal), 0.0))))
    return Written(out, tuple(left))


def live_values(
    circuit: Circuit, layout: SchematicLayout, voltages: Mapping[str, float], widest: Mapping[str, float]
) -> SchematicLayout:
    """The layout with the voltage of each net where ``widest`` of it finds room, marked with the net."""
    out, wires = layout, wires_of_nets(circuit, layout)
    for net in voltages:
        if net in circuit.nets and net != circuit.ground:
            label = _voltage_place(circuit, out, net, wires.get(net, ()), volt(widest[net]))
            if label is not None:
                out = replace(out, labels=(*out.labels, replace(label, net=net)))
    shown = [replace(la, text=volt(voltages[la.net])) if la.net else la for la in out.labels]
    return replace(out, labels=tuple(shown))


def _voltage_place(
    circuit: Circuit, layout: SchematicLayout, net: str, wires: Sequence[Segment], shown: str
) -> Label | None:
    """The first free place beside a net, its longest level wire first."""
    rows = sorted(wires, key=lambda s: (s.start.x == s.end.x, -s.length, s))
    lines = lines_of(circuit, layout, net, rows)
    places = (place for line in lines for place in beside(shown, line, "bold", "volts"))
    return next((place for place in places if free_for(layout, place)), None)


def _branches(circuit: Circuit, layout: SchematicLayout) -> list[list[tuple[Part, str]]]:
    """The places where a current may be told, those that carry the same one together.

    A net with two ends only hands a current on, and what flows into one lead of two flows out of the other.
    """
    told = list(_worth_a_number(circuit, layout))
    up: dict[str, str] = {}

    def root(name: str) -> str:
        while up.get(name, name) != name:
            name = up[name]
        return name

    for part in circuit.parts:
        if len(part.nets) == 2:
            up[root(f"{part.id}.{part.type.terminals[1].name}")] = root(
                f"{part.id}.{part.type.terminals[0].name}"
            )
    for pins in circuit.nets.values():
        if len(pins) == 2:
            one, other = (root(str(pin)) for pin in pins)
            if one != other:
                up[one] = other
    groups: dict[str, list[tuple[Part, str]]] = {}
    for part, terminal in told:
        groups.setdefault(root(f"{part.id}.{terminal}"), []).append((part, terminal))
    return list(groups.values())


def with_notes(written: Written) -> SchematicLayout:
    """The layout with what found no room in lines below it."""
    if not written.left_over:
        return written.layout
    left, _, right, bottom = extent(written.layout)
    text = say("No room above for: {values}.", values=", ".join(map(" ".join, written.left_over)))
    lines = _text.wrap(text, SMALL, max(right - left, 200.0))
    notes = [
        Label(line, left, bottom + 26 + 15 * number, SMALL, "start", "regular", "net")
        for number, line in enumerate(lines)
    ]
    return replace(written.layout, labels=(*written.layout.labels, *notes))


def moment_words(
    circuit: Circuit, voltages: Mapping[str, float], currents: Mapping[tuple[str, str], float]
) -> str:
    """The same numbers as a sentence, for the text alternative."""
    nets = [
        f"{net} {volt(v)}" for net, v in voltages.items() if net in circuit.nets and net != circuit.ground
    ]
    flows = [
        f"{part.id} {amps(currents.get((part.id, part.type.terminals[0].name), 0.0))}"
        for part in circuit.parts
        if len(part.nets) == 2
    ]
    return say("Voltages: {nets}. Currents: {flows}.", nets=", ".join(nets), flows=", ".join(flows))


def _turned(arrow: Stroke) -> Stroke:
    """The same arrow's head pointing the other way, at the same place."""
    tip_x, tip_y, a, b, c, d = arrow.at
    middle = ((tip_x + (a + c) / 2) / 2, (tip_y + (b + d) / 2) / 2)
    return Stroke(
        arrow.kind,
        tuple(2 * middle[i % 2] - value for i, value in enumerate(arrow.at)),
    )


def amps(current: float) -> str:
    """A current as it is written; next to nothing is 0 A."""
    return format_quantity(abs(current), "A", 2) if abs(current) >= LEAST else "0 A"


def volt(voltage: float) -> str:
    """A voltage as it is written, to a hundredth of a volt at most."""
    digits = 3 if abs(voltage) >= 1 else 2
    shown = voltage if abs(voltage) >= 5e-3 else 0.0
    return format_quantity(shown, "V", digits).replace("-", "−")


def _worth_a_number(circuit: Circuit, layout: SchematicLayout) -> Iterator[tuple[Part, str]]:
    drawn = {symbol.part for symbol in layout.symbols}
    for part in circuit.parts:
        if part.id not in drawn or part.type.family == "supply":
            continue
        terminals = part.type.terminals
        if len(terminals) == 2:
            yield part, terminals[0].name
            continue
        for terminal in terminals:
            chip = any(t.role == "supply" for t in terminals)
            wanted = terminal.role in SUPPLY_ROLES if chip else terminal.role != "emitter"
            if wanted and part.net(terminal.name) is not None:
                yield part, terminal.name


def _current_places(
    layout: SchematicLayout, part: Part, terminal: str, text: str
) -> Iterator[tuple[Label, Stroke]]:
    """Free places for a current's number, nearest first, each with the arrow of a current that flows in."""
    names = [terminal] if len(part.nets) > 2 else [t.name for t in part.type.terminals]
    dots = set(layout.dots)
    found: list[tuple[float, Label, Symbol, Stroke]] = []
    for symbol in layout.symbols:
        for pin, point in symbol.terminals if symbol.part == part.id else ():
            lead = lead_at(symbol, point.x * CELL, point.y * CELL) if pin.terminal in names else None
            if lead is None:
                continue
            # What flows into the first terminal flows out of the other.
            arrow = _arrow(lead, pin.terminal == terminal, joint=point in dots)
            away = 15.0 * (point in dots) + 0.5 * (pin.terminal != terminal)
            found += [(away + further, label, symbol, arrow) for further, label in _along(text, lead)]
    for _, label, symbol, arrow in sorted(found, key=lambda place: place[0]):
        if free_for(layout, label, symbol):
            yield label, arrow


def _along(text: str, lead: Line) -> Iterator[tuple[float, Label]]:
    """Places beside a lead and beside the wire that goes on from it, each with its distance."""
    x, y, inner_x, inner_y = lead
    tall, wide = _text.CAP_HEIGHT * SMALL, _text.width(text, SMALL, "regular")
    upright = abs(x - inner_x) < 0.5
    outward = (y > inner_y) - (y < inner_y) if upright else (x > inner_x) - (x < inner_x)
    for further in (0.0, 3.0, 6.0, 9.0, 12.0, 16.0, 20.0, 25.0, 30.0, 36.0):
        if upright:
            middle = (y + inner_y) / 2 + outward * further + tall / 2
            yield further, Label(text, x + OFF + 2, middle, SMALL, "start", "regular", "amps")
            yield further, Label(text, x - OFF - 2, middle, SMALL, "end", "regular", "amps")
        else:
            centre = (x + inner_x) / 2 + outward * (further + wide / 2 - 4)
            yield further, Label(text, centre, y - OFF - 1, SMALL, "middle", "regular", "amps")
            yield further, Label(text, centre, y + OFF + 1 + tall, SMALL, "middle", "regular", "amps")


def _arrow(lead: Line, inward: bool, *, joint: bool) -> Stroke:
    """An arrow's head on a lead: at its outer end, or close to the body where a dot is in its way."""
    x, y, inner_x, inner_y = lead
    length = max(abs(inner_x - x) + abs(inner_y - y), 1e-6)
    dx, dy = (inner_x - x) / length, (inner_y - y) / length
    at = length - HEAD / 2 - 0.5 if joint else min(HEAD / 2 + 0.5, length / 2)
    cx, cy = x + dx * at, y + dy * at
    if not inward:
        dx, dy = -dx, -dy
    tail = (cx - dx * HEAD / 2, cy - dy * HEAD / 2)
    tip, side = (cx + dx * HEAD / 2, cy + dy * HEAD / 2), (dy * HALF, dx * HALF)
    return Stroke(
        "polygon", (*tip, tail[0] - side[0], tail[1] + side[1], tail[0] + side[0], tail[1] - side[1])
    )
