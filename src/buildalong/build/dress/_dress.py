"""Flexible wires dressed: around bodies, over no hole in use, beside one another."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from buildalong.board import Layout, Wire
from buildalong.build.dress._ground import LINE, Ground, Point
from buildalong.build.dress._way import way
from buildalong.circuit import Circuit

__all__ = ["Dressing", "all_led", "dressed"]

ROUNDS = 3
"""Times that each wire is led: later it knows where all others lie."""


def dressed(circuit: Circuit, layout: Layout) -> Layout:
    """The layout with the places past which each flexible wire is led (``Wire.dress``) [pitches].

    Nothing else changes.  Short wires are led first, and those led already keep their way until it is their
    turn; the same layout is always dressed alike.
    """
    loose = [index for index, wire in enumerate(layout.wires) if _loose(layout, wire)]
    if not loose:
        return layout
    holes = layout.board.holes
    ends = {i: (holes[layout.wires[i].start], holes[layout.wires[i].end]) for i in loose}
    led = {index: layout.wires[index].dress for index in loose if _led(layout, layout.wires[index])}
    lying = [wire for index, wire in enumerate(layout.wires) if index not in ends or index in led]
    ground = Ground(circuit, layout)
    for line in lines_of(replace(layout, wires=tuple(lying))):
        ground.add(line)
    for _ in range(ROUNDS):
        before = dict(led)
        for index in sorted(loose, key=lambda i: (round(math.dist(*ends[i]), 6), i)):
            if index in led:
                ground.add(led[index], -LINE)
            led[index] = way(ground, *ends[index])
            ground.add(led[index])
        if led == before:
            break
    wires = tuple(
        replace(wire, dress=led[index]) if index in led else wire for index, wire in enumerate(layout.wires)
    )
    return replace(layout, wires=wires)


def all_led(layout: Layout) -> bool:
    """Whether each flexible wire of a layout is dressed already."""
    return all(_led(layout, wire) for wire in layout.wires if _loose(layout, wire))


class Dressing:
    """One more flexible wire in a layout whose other ones are dressed."""

    def __init__(self, circuit: Circuit, layout: Layout) -> None:
        self.ground = Ground(circuit, layout)
        for line in lines_of(layout):
            self.ground.add(line)

    def led(self, start: Point, end: Point) -> tuple[Point, ...]:
        """The places past which it is led from hole to hole [pitches]."""
        return way(self.ground, start, end)

    def straight(self, start: Point, ends: Sequence[Point]) -> list[float]:
        """What it costs to go straight from a hole to each of some others, as pitches of wire."""
        with self.ground.entered(start, *ends):
            costs: list[float] = self.ground.along(start, np.array(ends)).tolist()
        return costs


def lines_of(layout: Layout) -> Iterator[tuple[Point, ...]]:
    """Where each wire runs that has both ends on the board, both ends included [pitches]."""
    holes = layout.board.holes
    return (layout.line(wire) for wire in layout.wires if wire.start in holes and wire.end in holes)


def _loose(layout: Layout, wire: Wire) -> bool:
    """Whether a wire is flexible, with both ends on the board and no path of its author's."""
    holes = layout.board.holes
    return wire.style == "flexible" and not wire.path and wire.start in holes and wire.end in holes


def _led(layout: Layout, wire: Wire) -> bool:
    """Whether a flexible wire is dressed, from the holes in which it ends."""
    return layout.line(wire) == wire.dress
