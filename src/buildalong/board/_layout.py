"""A layout: which hole holds which leg, and the wires."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from itertools import chain
from typing import Literal

from buildalong.board._board import Board

__all__ = ["Layout", "Wire"]


@dataclass(frozen=True, slots=True)
class Wire:
    """A wire between two holes.

    ``path`` holds the corner points between the two ends in pitches (x, y); empty for a straight
    wire.  ``net`` is what the placer meant it for; the read-back does not look at it.  ``dress`` holds
    the places past which a flexible wire is led, both ends included, for pictures only: wires that
    differ in nothing else are equal, and where an end has been moved since, it means nothing.  ``turn``
    tells in which order wires are put down, for pictures too: a later one lies over an earlier one.
    """

    start: str
    end: str
    colour: str = "grey"
    style: Literal["formed", "link", "flexible"] = "formed"
    path: tuple[tuple[float, float], ...] = ()
    net: str = ""
    dress: tuple[tuple[float, float], ...] = field(default=(), compare=False)
    turn: int = field(default=0, compare=False)

    @property
    def course(self) -> tuple[object, ...]:
        """How it lies: all but its colour and what it is meant for."""
        return self.start, self.end, self.path, self.style


@dataclass(frozen=True)
class Layout:
    """Legs in holes.  ``holes``: part id -> one hole for each leg, in the order of ``type.leg_terminals``.

    Off-board parts (supply, motor) bring their leads to holes in the same way.
    """

    board: Board
    holes: Mapping[str, tuple[str, ...]]
    wires: tuple[Wire, ...] = ()

    def line(self, wire: Wire) -> tuple[tuple[float, float], ...]:
        """Where a wire runs, its corners and both ends [pitches]; a flexible one as it is dressed."""
        start, end = self.board.holes[wire.start], self.board.holes[wire.end]
        if wire.dress[:1] + wire.dress[-1:] == (start, end):
            return wire.dress
        return start, *wire.path, end

    @property
    def stack(self) -> tuple[tuple[int, Wire], ...]:
        """The wires with their numbers from 0 on, as they lie one over the other, the lowest first."""
        return tuple(sorted(enumerate(self.wires), key=lambda item: (item[1].turn, item[0])))

    def stacked(self, order: Iterable[Iterable[int]]) -> Layout:
        """The layout with the turn of each wire: ``order`` gives the wires of each step, in their order."""
        turns = {index: turn for turn, index in enumerate(chain.from_iterable(order), 1)}
        wires = (replace(wire, turn=turns.get(index, 0)) for index, wire in enumerate(self.wires))
        return replace(self, wires=tuple(wires))

    def used(self) -> Iterator[tuple[str, str]]:
        """Every (hole, owner): a part's reference or 'wire 1', 'wire 2', ..."""
        for part, holes in self.holes.items():
            for hole in holes:
                yield hole, part
        for number, wire in enumerate(self.wires, start=1):
            yield wire.start, f"wire {number}"
            yield wire.end, f"wire {number}"
