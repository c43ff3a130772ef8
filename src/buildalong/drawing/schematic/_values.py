"""What a circuit does at one moment, on its schematic: voltages at the nets, currents at the parts."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from buildalong.circuit import Circuit, Pin
from buildalong.drawing import _text
from buildalong.drawing._text import Box
from buildalong.drawing.schematic._amps import amount, amps, branches_told
from buildalong.drawing.schematic._beside import beside, lines_of
from buildalong.drawing.schematic._check import free_for
from buildalong.drawing.schematic._draw import extent
from buildalong.drawing.schematic._flow import current_places, turned
from buildalong.drawing.schematic._layout import Label, SchematicLayout, Segment, page_width, statistics
from buildalong.drawing.schematic._mistaken import in_foreign_row, mistaken
from buildalong.drawing.schematic._readback import wires_of_nets
from buildalong.drawing.schematic._rows import at_rest, rows_of
from buildalong.drawing.schematic._shape import SMALL
from buildalong.drawing.schematic._stretch import stretched
from buildalong.words import say, with_unit

__all__ = ["Written", "amps", "live_values", "moment_words", "volt", "with_notes", "write_values"]

NEAR = 70.0
"""Two voltages of different nets stand so far apart [units] where there is a choice, or seem one net's."""
MOST_PULLS = 6
"""In how many places a drawing may grow for its numbers."""


@dataclass(frozen=True)
class Written:
    """A schematic with numbers on it; ``left_over`` are those that found no room, as (name, number)."""

    layout: SchematicLayout
    left_over: tuple[tuple[str, str], ...]
    rest: str = ""
    """What all the rows of an array have that bear no number."""


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
        # A wire that was straight stays so where another place serves, if it takes one pull more.
        drawn, best = min(tries, key=lambda found: (statistics(found[0]).bends, len(found[1].left_over)))
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
    out, left, on_page = layout, [], _page_of(layout)
    branches = branches_told(circuit, layout, currents)
    told = {net: volt(v) for net, v in voltages.items() if net in circuit.nets and net != circuit.ground}
    rows = rows_of(circuit, layout, wires_of_nets(circuit, layout))
    flowing = {
        net: any(amount(currents.get((pin.part, pin.terminal), 0.0)) for pin in circuit.nets[net])
        for net in rows
    }
    still = {net for family in set(rows.values()) for net in at_rest(family, told, flowing)}
    rest = sorted({told.pop(net) for net in still})
    for net, label in _voltage_places(circuit, out, told, rows).items():
        if label is None:
            left.append((net, told[net]))
        else:
            out = replace(out, labels=(*out.labels, label))
    for branch in branches:
        if any(part.net(terminal) in still for part, terminal in branch):
            continue
        for part, terminal in branch:
            flow = currents.get((part.id, terminal), 0.0)
            places = current_places(out, part, terminal, amps(flow))
            found = next((place for place in places if on_page(place[0])), None)
            if found is not None:
                label, arrow = found
                marks = () if not amount(flow) else (arrow if flow > 0 else turned(arrow),)
                out = replace(out, labels=(*out.labels, label), marks=(*out.marks, *marks))
                break
        else:
            part, terminal = branch[0]
            name = part.id if len(part.nets) == 2 else f"{part.id}.{terminal}"
            left.append((name, amps(currents.get((part.id, terminal), 0.0))))
    return Written(out, tuple(left), ", ".join((*rest, amps(0.0))) if rest else "")


def live_values(
    circuit: Circuit, layout: SchematicLayout, voltages: Mapping[str, float], widest: Mapping[str, float]
) -> SchematicLayout:
    """The layout with the voltage of each net where ``widest`` of it finds room, marked with the net."""
    told = {net: volt(widest[net]) for net in voltages if net in circuit.nets and net != circuit.ground}
    rows = rows_of(circuit, layout, wires_of_nets(circuit, layout))
    found = _voltage_places(circuit, layout, told, rows)
    shown = [replace(la, text=volt(voltages[net]), net=net) for net, la in found.items() if la is not None]
    return replace(layout, labels=(*layout.labels, *shown))


def _voltage_places(
    circuit: Circuit, layout: SchematicLayout, told: Mapping[str, str], rows: Mapping[str, Sequence[str]]
) -> dict[str, Label | None]:
    """A free place beside each net, its longest level wire first; rows of an array have it at one place."""
    wires, on_page = wires_of_nets(circuit, layout), _page_of(layout)
    out: dict[str, Label | None] = {}
    for net in told:
        if net in out:
            continue
        family = [other for other in rows.get(net, (net,)) if other in told]
        widest = max((told[other] for other in family), key=lambda text: _text.width(text, SMALL, "bold"))
        before = [label.box for label in layout.labels if label.role == "volts"]
        best: tuple[tuple[int, bool], list[Label]] | None = None
        for places in zip(
            *(_places(circuit, layout, other, wires, widest) for other in family), strict=False
        ):
            if all(on_page(place) and free_for(layout, place) for place in places):
                doubtful = sum(
                    mistaken(layout, place) + in_foreign_row(layout, place, wires.get(other, ()))
                    for place, other in zip(places, family, strict=True)
                )
                price = doubtful, any(_near(place, before) for place in places)
                if best is None or price < best[0]:
                    best = price, list(places)
                if price == (0, False):
                    break
        for k, other in enumerate(family):
            out[other] = replace(best[1][k], text=told[other]) if best is not None else None
        layout = replace(layout, labels=(*layout.labels, *(la for o in family if (la := out[o]) is not None)))
    return {net: out[net] for net in told}


def _places(
    circuit: Circuit, layout: SchematicLayout, net: str, wires: Mapping[str, Sequence[Segment]], text: str
) -> Iterator[Label]:
    """Where a voltage may stand beside a net's wires and leads, free or not."""
    rows = sorted(wires.get(net, ()), key=lambda s: (s.start.x == s.end.x, -s.length, s))
    for line in lines_of(circuit, layout, net, rows):
        yield from beside(text, line, "bold", "volts")


def _page_of(layout: SchematicLayout) -> Callable[[Label], bool]:
    """Whether a number makes the drawing no wider than a page on which it has nine points."""
    left, _, right, _ = extent(layout)
    most = max(page_width(SMALL), right - left) + 1e-6
    return lambda label: max(right, label.box[2]) - min(left, label.box[0]) <= most


def _near(label: Label, others: Sequence[Box]) -> bool:
    """Whether a text is nearer than ``NEAR`` to one of other rectangles."""
    left, top, right, bottom = label.box
    gaps = ((max(x0 - right, left - x1, 0.0), max(y0 - bottom, top - y1, 0.0)) for x0, y0, x1, y1 in others)
    return any(math.hypot(*gap) < NEAR for gap in gaps)


def with_notes(written: Written) -> SchematicLayout:
    """The layout with what found no room in lines below it."""
    left, _, right, bottom = extent(written.layout)
    texts = [say("Rows without numbers: {values}.", values=written.rest)] if written.rest else []
    if written.left_over:
        over = ", ".join(map(" ".join, written.left_over))
        texts.append(say("No room above for: {values}.", values=over))
    lines = [line for text in texts for line in _text.wrap(text, SMALL, max(right - left, 200.0))]
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


def volt(voltage: float) -> str:
    """A voltage as it is written, in volts to three figures, a hundredth of a volt at most."""
    shown = float(f"{voltage:.3g}") if abs(voltage) >= 1 else round(voltage, 2) + 0.0
    return with_unit(f"{shown:g}".replace("-", "−"), "V")
