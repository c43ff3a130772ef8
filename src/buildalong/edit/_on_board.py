"""Edits of what stands on the board."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from buildalong.board import Layout
from buildalong.edit import _edits as e
from buildalong.edit import _moves as moves
from buildalong.edit._sentences import refused, told
from buildalong.edit._work import Way, Work
from buildalong.lesson import Lesson
from buildalong.words import listed

__all__ = ["ON_BOARD"]


def put_part(work: Work, wanted: e.PutPart) -> str:
    """Put a part into holes."""
    _, new = work.drop(lambda le, la: moves.part_put(le.circuit, la, wanted.part, wanted.holes))
    return told("put-part", part=wanted.part, holes=", ".join(new.holes[wanted.part]))


def move_part(work: Work, wanted: e.MovePart) -> str:
    """Move a part as it stands."""
    _, new = work.drop(lambda le, la: moves.part_moved(le.circuit, la, wanted.part, wanted.leg, wanted.hole))
    return told("put-part", part=wanted.part, holes=", ".join(new.holes[wanted.part]))


def move_lead(work: Work, wanted: e.MoveLead) -> str:
    """Move one lead."""
    names: list[str] = []

    def moved(lesson: Lesson, layout: Layout) -> Layout:
        new, name = moves.lead_moved(lesson.circuit, layout, wanted.part, wanted.lead, wanted.hole)
        names.append(name)
        return new

    _, new = work.drop(moved)
    return told("move-lead", part=wanted.part, lead=names[0], hole=new.board.spell(wanted.hole))


def turn_part(work: Work, wanted: e.TurnPart) -> str:
    """Turn a part."""
    work.drop(lambda le, la: moves.part_turned(le.circuit, la, wanted.part, wanted.turn))
    return told("turn-part", part=wanted.part)


def put_wire(work: Work, wanted: e.PutWire) -> str:
    """Lay a wire."""
    _, new = work.drop(lambda le, la: moves.wire_put(le.circuit, la, wanted.words, le.layout.style))
    return told("put-wire", start=new.wires[-1].start, end=new.wires[-1].end)


def move_wire(work: Work, wanted: e.MoveWire) -> str:
    """Move an end of a wire."""
    _, new = work.drop(lambda le, la: moves.wire_moved(le.circuit, la, wanted.wire, wanted.end, wanted.hole))
    wire = new.wires[wanted.wire - 1]
    return told("move-wire", number=wanted.wire, start=wire.start, end=wire.end)


def remove_wire(work: Work, wanted: e.RemoveWire) -> str:
    """Take out a wire."""

    def moved(_: Lesson, layout: Layout) -> Layout:
        gone = moves.wire_of(layout, wanted.wire)
        return replace(layout, wires=tuple(wire for wire in layout.wires if wire is not gone))

    old, _ = work.drop(moved)
    wire = old.wires[wanted.wire - 1]
    return told("remove-wire", start=wire.start, end=wire.end)


def tidy(work: Work, _: e.Tidy) -> str:
    """Give up all holes and wires."""
    work.drop(lambda _le, la: Layout(la.board, {}), check=False)
    return told("tidy")


def fewest_wires(work: Work, _: e.FewestWires) -> str:
    """Give up all wires."""
    work.drop(lambda _le, la: replace(la, wires=()), check=False)
    return told("fewest-wires")


def keep_these(work: Work, wanted: e.KeepThese) -> str:
    """Give up all but these."""

    def kept(lesson: Lesson, layout: Layout) -> Layout:
        numbers = {f"wire {number}": number for number in range(1, len(layout.wires) + 1)}
        for name in wanted.names:
            if name not in numbers and name not in layout.holes:
                moves.part_of(lesson.circuit, name)
                raise refused("no-board-yet", name, part=name)
        holes = {name: holes for name, holes in layout.holes.items() if name in wanted.names}
        wires = [layout.wires[numbers[name] - 1] for name in numbers if name in wanted.names]
        return Layout(layout.board, holes, tuple(wires))

    work.drop(kept, check=False)
    return told("keep-these", names=listed(wanted.names)) if wanted.names else told("tidy")


ON_BOARD: dict[type[Any], Way] = {
    e.PutPart: put_part,
    e.MovePart: move_part,
    e.MoveLead: move_lead,
    e.TurnPart: turn_part,
    e.PutWire: put_wire,
    e.MoveWire: move_wire,
    e.RemoveWire: remove_wire,
    e.Tidy: tidy,
    e.FewestWires: fewest_wires,
    e.KeepThese: keep_these,
}
"""How each of them is done."""
