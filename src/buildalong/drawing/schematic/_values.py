"""What a circuit does at one moment, on its schematic: voltages at the nets, currents at the parts."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from buildalong.circuit import Circuit, Part, Pin
from buildalong.drawing import _text
from buildalong.drawing._text import Box
from buildalong.drawing.schematic._beside import beside, lines_of
from buildalong.drawing.schematic._check import free_for
from buildalong.drawing.schematic._draw import extent
from buildalong.drawing.schematic._flow import current_places, turned
from buildalong.drawing.schematic._layout import Label, SchematicLayout, Segment
from buildalong.drawing.schematic._readback import wires_of_nets
from buildalong.drawing.schematic._shape import SMALL
from buildalong.drawing.schematic._stretch import stretched
from buildalong.quantity import to_figures
from buildalong.words import say, with_unit

__all__ = ["Written", "amps", "live_values", "moment_words", "volt", "with_notes", "write_values"]

LEAST = 1e-6
"""A smaller current than this [A] is written as nothing: '0 mA'."""
UNITS = {"µA": 1e-6, "mA": 1e-3, "A": 1.0}
"""In what currents are written, and from how many of it on the next one is taken: one unit for a drawing."""
MOST_OF = {"µA": 1e-3, "mA": 10.0}
NEAR = 70.0
"""Two voltages of different nets stand so far apart [units] where there is a choice, or seem one net's."""
MOST_PULLS = 6
"""In how many places a drawing may grow for its numbers."""
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
    leads one number stands.  A number keeps clear of every wire, symbol and text; for one that finds no place
    the drawing is pulled longer beside it, at ``MOST_PULLS`` places at most; then it is left over, never
    squeezed in.
    """
    best = _written(circuit, layout, voltages, currents)
    drawn = layout
    for _ in range(MOST_PULLS):
        pins = [pin for name, _ in best.left_over for pin in _pins_at(circuit, name)]
        tries = [
            (longer, _written(circuit, longer, voltages, currents))
            for longer in (stretched(circuit, drawn, pins) if pins else ())
        ]
        tries = [found for found in tries if len(found[1].left_over) < len(best.left_over)]
        if not tries:
            break
        drawn, best = min(tries, key=lambda found: len(found[1].left_over))
    return best


def _pins_at(circuit: Circuit, name: str) -> list[Pin]:
    """The pins beside which a number would stand: those of a net, of a part, or the one that is named."""
    if name in circuit.nets:
        return list(circuit.nets[name])
    part, _, only = name.partition(".")
    terminals = circuit.by_id[part].type.terminals
    return [Pin(part, terminal.name) for terminal in terminals if only in ("", terminal.name)]


def _written(
    circuit: Circuit,
    layout: SchematicLayout,
    voltages: Mapping[str, float],
    currents: Mapping[tuple[str, str], float],
) -> Written:
    """Write the numbers on the drawing as it is."""
    out, left, unit = layout, [], current_unit(currents)
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
            found = next(current_places(out, part, terminal, amps(flow, unit)), None)
            if found is not None:
                label, arrow = found
                marks = () if abs(flow) < LEAST else (arrow if flow > 0 else turned(arrow),)
                out = replace(out, labels=(*out.labels, label), marks=(*out.marks, *marks))
                break
        else:
            part, terminal = branch[0]
            name = part.id if len(part.nets) == 2 else f"{part.id}.{terminal}"
            left.append((name, amps(currents.get((part.id, terminal), 0.0), unit)))
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
    told = [label.box for label in layout.labels if label.role == "volts"]
    free = (place for place in places if free_for(layout, place))
    first = next(free, None)
    if first is None or not _near(first, told):
        return first
    return next((place for place in free if not _near(place, told)), first)


def _near(label: Label, others: Sequence[Box]) -> bool:
    """Whether a text is nearer than ``NEAR`` to one of other rectangles."""
    left, top, right, bottom = label.box
    gaps = ((max(x0 - right, left - x1, 0.0), max(y0 - bottom, top - y1, 0.0)) for x0, y0, x1, y1 in others)
    return any(math.hypot(*gap) < NEAR for gap in gaps)


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
    unit = current_unit(currents)
    flows = [
        f"{part.id} {amps(currents.get((part.id, part.type.terminals[0].name), 0.0), unit)}"
        for part in circuit.parts
        if len(part.nets) == 2
    ]
    return say("Voltages: {nets}. Currents: {flows}.", nets=", ".join(nets), flows=", ".join(flows))


def current_unit(currents: Mapping[tuple[str, str], float]) -> str:
    """The unit for all currents of a drawing, by the greatest of them."""
    most = max(map(abs, currents.values()), default=0.0)
    return next((unit for unit, above in MOST_OF.items() if most < above), "A")


def amps(current: float, unit: str) -> str:
    """A current as it is written in a unit of ``UNITS``, two figures; next to nothing is 0."""
    shown = abs(current) / UNITS[unit] if abs(current) >= LEAST else 0.0
    return with_unit(to_figures(shown, 2), unit)


def volt(voltage: float) -> str:
    """A voltage as it is written, in volts to three figures, a hundredth of a volt at most."""
    shown = float(f"{voltage:.3g}") if abs(voltage) >= 1 else round(voltage, 2) + 0.0
    return with_unit(f"{shown:g}".replace("-", "−"), "V")


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
