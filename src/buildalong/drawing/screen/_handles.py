"""What can be pointed at in a picture: parts, nets, leads and holes, in the picture's own units.

A page lays them over the picture, so that the picture itself stays as it is printed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from buildalong.board import Layout, hole_words, pin_words, strip_nets
from buildalong.circuit import Circuit, Part
from buildalong.drawing._frame import Point, View
from buildalong.drawing._look import colour_of, marking_of, value_of
from buildalong.drawing._nets import net_colours
from buildalong.drawing._picture import Picture
from buildalong.drawing._scene import Scene
from buildalong.drawing.bodies._beside import BESIDE
from buildalong.drawing.schematic._layout import CELL, SchematicLayout
from buildalong.drawing.schematic._readback import wires_of_nets
from buildalong.words import listed, say

__all__ = ["Handles", "Lead", "Line", "Spot", "board_handles", "schematic_handles"]


@dataclass(frozen=True, slots=True)
class Spot:
    """A part: its outline, its middle, how far it reaches from there, what to call it, and its colour."""

    part: str
    shape: tuple[Point, ...]
    at: Point
    reach: float
    words: str
    colour: str = ""


@dataclass(frozen=True, slots=True)
class Line:
    """A piece of a net: a wire of the schematic, or a wire (``owner``) of the board."""

    net: str
    points: tuple[Point, ...]
    owner: str = ""


@dataclass(frozen=True, slots=True)
class Lead:
    """A lead that can be taken: of a part or a wire, the number of its leg, its hole, and what to call it."""

    owner: str
    leg: int
    hole: str
    words: str


@dataclass(frozen=True)
class Handles:
    """All handles of one picture; ``box`` is what it shows: left, top, width, height.

    ``holes``: name -> place and strip; ``strips``: strip -> the net that it carries;
    ``taken``: hole -> whose lead is in it, and which.
    """

    box: tuple[float, float, float, float]
    spots: tuple[Spot, ...]
    lines: tuple[Line, ...]
    leads: tuple[Lead, ...] = ()
    holes: Mapping[str, tuple[float, float, str]] = field(default_factory=dict)
    strips: Mapping[str, str] = field(default_factory=dict)
    taken: Mapping[str, tuple[str, int]] = field(default_factory=dict)
    colours: Mapping[str, str] = field(default_factory=dict)
    """Net -> its colour in every picture."""


def board_handles(
    circuit: Circuit, layout: Layout, picture: Picture, rows: tuple[int, int], view: View = "top"
) -> Handles:
    """The handles of a board picture that shows these rows."""
    scene = Scene(circuit, layout, view, rows)
    spots = [_on_board(scene, part) for part in scene.on_board]
    for beside in scene.beside:
        shape = _rectangle(beside.left, beside.top, beside.left + BESIDE[0], beside.top + BESIDE[1])
        spots.append(_spot(beside.part, shape, layout.holes[beside.part.id]))
    nets = strip_nets(circuit, layout)
    strip_of = layout.board.strip_of
    lines = [
        Line(nets.get(strip_of[wire.start], ""), tuple(line), f"wire {number + 1}")
        for number, (wire, line) in enumerate(zip(layout.wires, scene.lines, strict=False))
    ]
    for beside in scene.beside:
        for hole, run in zip(layout.holes[beside.part.id], beside.leads, strict=False):
            lines.append(Line(nets.get(strip_of[hole], ""), tuple(run), beside.part.id))
    holes = {
        hole: (*scene.frame.hole(hole), strip_of[hole])
        for hole in layout.board.holes
        if scene.frame.shows(hole)
    }
    colours = {net: colour.hex for net, colour in net_colours(circuit, layout).items()}
    return Handles(
        picture.box,
        tuple(spots),
        tuple(lines),
        tuple(_leads(circuit, layout)),
        holes,
        nets,
        _taken(layout),
        colours,
    )


def _taken(layout: Layout) -> dict[str, tuple[str, int]]:
    out = {hole: (part, leg) for part, holes in layout.holes.items() for leg, hole in enumerate(holes)}
    for number, wire in enumerate(layout.wires, start=1):
        out |= {wire.start: (f"wire {number}", 0), wire.end: (f"wire {number}", 1)}
    return out


def _on_board(scene: Scene, part: Part) -> Spot:
    pieces = scene.body_rect(part)
    return _spot(part, _rectangle(*pieces), scene.layout.holes[part.id])


def _spot(part: Part, shape: tuple[Point, ...], holes: tuple[str, ...]) -> Spot:
    (x0, y0), (x1, y1) = shape[0], shape[2]
    where = listed(list(dict.fromkeys(hole_words(hole) for hole in holes if hole)))
    words = ", ".join(bit for bit in (_name(part), where) if bit)
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    return Spot(part.id, shape, middle, max(x1 - x0, y1 - y0) / 2, words, colour_of(part))


def _name(part: Part) -> str:
    """'R1, resistor 56 kΩ'."""
    about = f"{say(part.type.noun)} {value_of(part) or marking_of(part)}".strip()
    return f"{part.id}, {about}"


def _leads(circuit: Circuit, layout: Layout) -> list[Lead]:
    """The leads that a hand can move one by one: those of parts that are not rigid, and ends of wires."""
    out: list[Lead] = []
    for part in circuit.parts:
        if part.type.body.legs or part.id not in layout.holes:
            continue
        legs = zip(part.type.leg_terminals, layout.holes[part.id], strict=False)
        out += [Lead(part.id, leg, hole, pin_words(part, name)) for leg, (name, hole) in enumerate(legs)]
    for number, wire in enumerate(layout.wires, start=1):
        out += [
            Lead(f"wire {number}", leg, hole, f"wire {number}")
            for leg, hole in enumerate((wire.start, wire.end))
        ]
    return out


def schematic_handles(circuit: Circuit, layout: SchematicLayout, picture: Picture) -> Handles:
    """The handles of a schematic: the same names as on the board."""
    spots: list[Spot] = []
    for symbol in layout.symbols:
        part = circuit.by_id.get(symbol.part)
        if part is not None:
            shape = _rectangle(*symbol.body)
            spots.append(_spot(part, shape, ()))
    lines = [
        Line(net, tuple((p.x * CELL, p.y * CELL) for p in segment))
        for net, wires in wires_of_nets(circuit, layout).items()
        for segment in wires
    ]
    return Handles(picture.box, tuple(spots), tuple(lines))


def _rectangle(x0: float, y0: float, x1: float, y1: float) -> tuple[Point, ...]:
    return (x0, y0), (x1, y0), (x1, y1), (x0, y1)
