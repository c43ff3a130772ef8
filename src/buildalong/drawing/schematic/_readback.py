"""Read-back: the circuit that a drawing really shows, from its wires, dots and terminals alone."""

from __future__ import annotations

from buildalong.circuit import Circuit, Pin
from buildalong.drawing.schematic._layout import Point, SchematicLayout, Segment

__all__ = ["difference", "read_back", "wires_of_nets"]


class _Sets:
    """Disjoint sets."""

    def __init__(self) -> None:
        self.parent: dict[object, object] = {}

    def find(self, key: object) -> object:
        self.parent.setdefault(key, key)
        while self.parent[key] != key:
            self.parent[key] = self.parent[self.parent[key]]
            key = self.parent[key]
        return key

    def join(self, one: object, other: object) -> None:
        self.parent[self.find(one)] = self.find(other)


def read_back(layout: SchematicLayout) -> frozenset[frozenset[Pin]]:
    """The nets of a drawing: each a set of pins, nets of a single pin left out.

    The rules are those of any printed schematic: wires join where a dot stands, or where exactly
    two ends meet; wires that cross without a dot, or three that meet without one, are not joined.
    The supply's terminal may be drawn at several places; it is one terminal all the same.
    """
    return frozenset(frozenset(pins) for pins, _ in _joined(layout) if len(pins) > 1)


def wires_of_nets(circuit: Circuit, layout: SchematicLayout) -> dict[str, list[Segment]]:
    """The wires of each net of the circuit, as drawn."""
    name = {pin: net for net, pins in circuit.nets.items() for pin in pins}
    out: dict[str, list[Segment]] = {}
    for pins, wires in _joined(layout):
        for net in sorted({name[pin] for pin in pins if pin in name})[:1]:
            out.setdefault(net, []).extend(wires)
    return out


def _joined(layout: SchematicLayout) -> list[tuple[set[Pin], list[Segment]]]:
    """Pins and wires of each piece that hangs together."""
    sets = _Sets()
    ends: dict[Point, list[object]] = {}
    pins: list[Pin] = []
    for i, segment in enumerate(layout.segments):
        sets.find(i)
        for point in segment:
            ends.setdefault(point, []).append(i)
    for symbol in layout.symbols:
        for pin, point in symbol.terminals:
            pins.append(pin)
            sets.find(pin)
            ends.setdefault(point, []).append(pin)
    dots = set(layout.dots)
    for point, meeting in ends.items():
        if point not in dots and len(meeting) == 2 and not _passing(layout, point):
            sets.join(*meeting)
    for point in layout.dots:
        meeting = [*ends.get(point, []), *(layout.segments.index(s) for s in _passing(layout, point))]
        for other in meeting[1:]:
            sets.join(meeting[0], other)
    pieces: dict[object, tuple[set[Pin], list[Segment]]] = {}
    for pin in pins:
        pieces.setdefault(sets.find(pin), (set(), []))[0].add(pin)
    for i, segment in enumerate(layout.segments):
        pieces.setdefault(sets.find(i), (set(), []))[1].append(segment)
    return list(pieces.values())


def _passing(layout: SchematicLayout, point: Point) -> list[Segment]:
    """Wires that run through a point without ending there."""
    return [s for s in layout.segments if point not in s and s.covers(point)]


def difference(circuit: Circuit, layout: SchematicLayout) -> tuple[str, ...]:
    """Sentences on how the drawing's nets differ from the circuit's; empty where they are equal."""
    wanted = {name: frozenset(pins) for name, pins in circuit.nets.items() if len(pins) > 1}
    shown = read_back(layout)
    out = []
    for name, pins in wanted.items():
        if pins in shown:
            continue
        pieces = sorted(
            (sorted(map(str, pins & net)) for net in [*shown, *(frozenset([p]) for p in pins)] if pins & net),
            key=lambda piece: (-len(piece), piece),
        )
        together = next((net for net in shown if pins < net), None)
        if together is not None:
            out.append(f"net {name} is drawn joined to {', '.join(sorted(str(p) for p in together - pins))}")
        else:
            out.append(f"net {name} is drawn in pieces: {' / '.join(', '.join(piece) for piece in pieces)}")
    known = {pin for pin, _ in circuit.pins()}
    drawn = {pin for symbol in layout.symbols for pin, _ in symbol.terminals}
    out += [f"{pin} is not drawn" for pin in sorted(known - drawn)]
    out += [f"{pin} is drawn but is not in the circuit" for pin in sorted(drawn - known)]
    for net in sorted(shown, key=lambda pins: sorted(pins)):
        if not out and net not in wanted.values():
            out.append(f"{', '.join(sorted(map(str, net)))} are drawn joined")
    return tuple(out)
