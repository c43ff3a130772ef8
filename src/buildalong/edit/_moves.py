"""Things moved on a board: from a layout to the layout with one thing elsewhere.  All raise Unreadable."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from buildalong.board import Layout, Style, Wire, coloured, footprint, layout_from, turn_of
from buildalong.build.hand import wire_among
from buildalong.circuit import Circuit, Part
from buildalong.edit._sentences import refused
from buildalong.finding import Severity, Unreadable

__all__ = [
    "lead_moved",
    "no_lead",
    "part_moved",
    "part_of",
    "part_put",
    "part_turned",
    "wire_moved",
    "wire_of",
    "wire_put",
]

_BEND = 0.75
"""How far a bendable lead goes to the next hole where its own would be none [pitches]: rails lie half a
pitch out of line and have gaps."""


def part_of(circuit: Circuit, name: str) -> Part:
    """The part of this name."""
    part = circuit.by_id.get(name)
    if part is None:
        raise refused("unknown-part", name[:40], part=name[:40], known=", ".join(circuit.by_id))
    return part


def part_put(circuit: Circuit, layout: Layout, name: str, holes: Sequence[str]) -> Layout:
    """A part in holes; a rigid one may be given the hole of its first leg only, and keeps its turn."""
    part, board = part_of(circuit, name), layout.board
    spelled = tuple(board.spell(hole) for hole in holes)
    if part.type.body.legs and len(spelled) == 1 and spelled[0] in board.holes:
        turn = turn_of(part.type, board, layout.holes.get(name, ())) or 0
        spelled = _standing(part, layout, spelled[0], turn)
    return _with(layout, name, spelled)


def part_moved(circuit: Circuit, layout: Layout, name: str, leg: int, hole: str) -> Layout:
    """A part moved as it stands, so that a leg comes into a hole."""
    part, board = part_of(circuit, name), layout.board
    holes = layout.holes.get(name)
    if holes is None or "-" in holes:
        raise refused("no-board-yet", name, part=name)
    if not 0 <= leg < len(holes):
        raise no_lead(part, str(leg), part.type.leg_names)
    to = board.spell(hole)
    if to not in board.holes:
        return _with(layout, name, (*holes[:leg], to, *holes[leg + 1 :]))
    (x0, y0), (x1, y1) = board.holes[holes[leg]], board.holes[to]
    found: list[str] = []
    for number, old in enumerate(holes):
        x, y = board.holes[old]
        spot = _hole_near(layout, x + x1 - x0, y + y1 - y0, 0.0 if part.type.body.legs else _BEND)
        if spot is None:
            raise refused("lead-off-board", name, part=name, lead=part.type.leg_names[number])
        found.append(to if number == leg else spot)
    return _with(layout, name, tuple(found))


def lead_moved(circuit: Circuit, layout: Layout, name: str, lead: str, hole: str) -> tuple[Layout, str]:
    """A part with one lead in another hole, and the lead's name."""
    part = part_of(circuit, name)
    holes, legs = layout.holes.get(name), part.type.leg_names
    if holes is None:
        raise refused("no-board-yet", name, part=name)
    if part.type.body.legs:
        raise refused("rigid", name, part=name, noun=part.type.noun)
    low = [leg.lower() for leg in legs]
    if lead.lower() in low:
        number = low.index(lead.lower())
    elif lead.isdecimal() and 1 <= int(lead[:4]) <= len(legs):
        number = int(lead) - 1
    else:
        raise no_lead(part, lead, part.type.leg_names)
    to = layout.board.spell(hole)
    return _with(layout, name, (*holes[:number], to, *holes[number + 1 :])), legs[number]


def part_turned(circuit: Circuit, layout: Layout, name: str, turn: int) -> Layout:
    """A rigid part turned about the middle of its legs as far as the holes allow, others end for end."""
    part, board = part_of(circuit, name), layout.board
    holes = layout.holes.get(name)
    if holes is None or any(hole not in board.holes for hole in holes):
        raise refused("no-board-yet", name, part=name)
    if not part.type.body.legs:
        return _with(layout, name, holes[::-1])
    before = turn_of(part.type, board, holes) or 0
    after = (before + turn) % 360
    spots = footprint(part.type, after)
    middle = [sum(board.holes[hole][axis] for hole in holes) / len(holes) for axis in (0, 1)]
    shift = [sum(spot[axis] for spot in spots) / len(spots) for axis in (0, 1)]
    fitting: list[tuple[float, str]] = []
    for hole, (x, y) in board.holes.items():
        if all(board.hole_at(x + dx, y + dy) for dx, dy in spots):
            fitting.append((round(math.dist((x + shift[0], y + shift[1]), middle), 6), hole))
    if not fitting:
        raise refused("lead-off-board", name, part=name, lead=part.type.leg_names[-1])
    return _with(layout, name, _standing(part, layout, min(fitting)[1], after))


def wire_of(layout: Layout, number: int) -> Wire:
    """A wire by its number, from 1."""
    if not 1 <= number <= len(layout.wires):
        raise refused("unknown-wire", f"wire {number}", wire=number, count=len(layout.wires))
    return layout.wires[number - 1]


def wire_put(circuit: Circuit, layout: Layout, words: Sequence[str], style: Style) -> Layout:
    """A wire more, in an author's words; without bends a way is looked for."""
    one, found = layout_from(layout.board, circuit, {}, [words], style)
    if one is None:
        wrong = [finding for finding in found if finding.severity >= Severity.ERROR]
        raise Unreadable(*wrong)
    wire = one.wires[0]
    named = any(word.strip().lower() == wire.colour for word in words)
    if not wire.path:
        wire = _laid(circuit, layout, replace(wire, colour=wire.colour if named else ""))
    return coloured(circuit, replace(layout, wires=(*layout.wires, wire)))


def wire_moved(circuit: Circuit, layout: Layout, number: int, end: int, hole: str) -> Layout:
    """A wire with one end in another hole, on a way that is free."""
    wire = wire_of(layout, number)
    to = layout.board.spell(hole)
    moved = replace(wire, end=to, path=()) if end else replace(wire, start=to, path=())
    others = (*layout.wires[: number - 1], *layout.wires[number:])
    if to in layout.board.holes:
        moved = _laid(circuit, replace(layout, wires=others), moved)
    return replace(layout, wires=(*layout.wires[: number - 1], moved, *layout.wires[number:]))


def _laid(circuit: Circuit, layout: Layout, wire: Wire) -> Wire:
    """The wire on the shortest free way between its ends; where there is none it arches over."""
    if wire.start == wire.end:
        raise refused("no-way", start=wire.start, end=wire.end)
    found = wire_among(circuit, layout, [wire.start], [wire.end], wire.style)
    return replace(wire, path=found.path, style=found.style) if found is not None else wire


def _standing(part: Part, layout: Layout, first: str, turn: int) -> tuple[str, ...]:
    """The holes of a rigid part with its first leg in a hole."""
    x0, y0 = layout.board.holes[first]
    found: list[str] = []
    for leg, (x, y) in zip(part.type.leg_names, footprint(part.type, turn), strict=True):
        hole = layout.board.hole_at(x0 + x, y0 + y)
        if hole is None:
            raise refused("lead-off-board", part.id, part=part.id, lead=leg)
        found.append(hole)
    return tuple(found)


def _hole_near(layout: Layout, x: float, y: float, reach: float) -> str | None:
    """The hole at a place, or the nearest within reach."""
    exact = layout.board.hole_at(x, y)
    if exact is not None or not reach:
        return exact
    far, hole = min((round(math.dist((x, y), place), 6), hole) for hole, place in layout.board.holes.items())
    return hole if far <= reach else None


def _with(layout: Layout, name: str, holes: tuple[str, ...]) -> Layout:
    return replace(layout, holes={**layout.holes, name: holes})


def no_lead(part: Part, lead: str, names: Sequence[str]) -> Unreadable:
    """That a part has no lead of this name; ``names``: those that it has."""
    leads = ", ".join(names)
    return refused("unknown-lead", part.id, part=part.id, noun=part.type.noun, lead=lead[:40], leads=leads)
