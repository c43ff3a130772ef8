"""What the labels of a board picture must keep off."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import replace
from itertools import pairwise

from buildalong.board import strip_nets
from buildalong.drawing._extent import WIDEST
from buildalong.drawing._frame import PITCH, Point, View
from buildalong.drawing._ground import rail_signs
from buildalong.drawing._label_field import Obstacles, Owned
from buildalong.drawing._marks import PlacedMark, ink, rail_places
from buildalong.drawing._scene import Scene
from buildalong.drawing._wires import Rect

__all__ = ["obstacles", "pieces", "with_room"]

ROOM = 130.0
"""How much wider labels may make a picture at each side, across the rows."""


def obstacles(
    scene: Scene,
    limits: Rect,
    marks: Sequence[PlacedMark],
    muted: Collection[str | int],
    kept: Collection[str] = (),
    firm: bool = False,
) -> Obstacles:
    """What labels must keep off: holes in use, bodies and wires (less if muted), marks, edges, free holes.

    Marks in ``kept`` are dear on both sides; with ``firm`` as dear as holes in use.
    """
    left, top, right, bottom = limits
    out = Obstacles((left + 3, top + 3, right - 3, bottom - 3))
    for hole in scene.used:
        x, y = scene.frame.hole(hole)
        out.used.append((x - 8, y - 8, x + 8, y + 8))
    out.never += out.used
    for part in scene.on_board:
        out.bodies += [(f"part {part.id}", rect) for rect in scene.body_pieces(part)]
        pose = scene.poses[part.id]
        for leg in pose.legs:
            bits = pieces(((pose.x, pose.y), pose.place(leg)), 5)
            (out.faint if part.id in muted else out.some).extend(bits)
            out.leads += [(f"part {part.id}", bit) for bit in bits]
    for beside in scene.beside:
        out.never.append(beside.rect)
    for index, line in enumerate(scene.lines):
        lead = index >= len(scene.layout.wires)  # of the supply: the name of its hole may lie on it
        fresh = out.much if muted and not lead else out.wires
        (out.old if index in muted else fresh).extend(pieces(line, 7))
    for index, wire in enumerate(scene.layout.wires):
        if wire.style != "flexible" and (index in muted or not muted):
            (out.old_turns if muted else out.turns).extend(turns(scene.lines[index]))
            out.bends += [(x - 8, y - 8, x + 8, y + 8) for x, y in scene.lines[index][1:-1]]
    out.nets += _nets(scene)
    signs = [(x - 9, y - 9, x + 9, y + 9) for x, y in rail_signs(scene.frame)]
    out.marks += signs
    out.turns += signs
    told = Counter(placed.mark.text for placed in marks)
    rows = {int(hole[1:]) for hole in scene.used if hole[0] not in "LR"}
    for placed in marks:
        x0, y0, x1, y1 = ink(placed)
        if muted:  # names of holes stand beside the numbers
            x0, x1 = placed.at[0] - 10, placed.at[0] + 10
        twin = told[placed.mark.text] > 1 and placed.mark.text not in kept
        useful = not placed.mark.row or placed.mark.row in rows
        if useful and placed.mark.row and told[placed.mark.text] == 1:
            out.needed.append((x0 - 2, y0 - 1, x1 + 2, y1 + 1))
        if firm and placed.mark.text in kept:
            out.never.append((x0 - 2, y0 - 1, x1 + 2, y1 + 1))
        group = out.marks if not twin else out.useful if useful and not muted else out.spare
        group.append((x0 - 2, y0 - 1, x1 + 2, y1 + 1))
    sides = {hole[0] for hole in scene.used}
    for side, _, (x, y) in rail_places(scene.frame):
        if side in sides:
            out.useful.append((x - 13, y - 8, x + 13, y + 8))
    x0, y0, x1, y1 = scene.frame.rectangle
    out.some += [(x0, y0 - 5, x1, y0 + 5), (x0, y1 - 5, x1, y1 + 5)]  # edges, straight or torn
    out.edges += [(x0 - 2, y0, x0 + 2, y1), (x1 - 2, y0, x1 + 2, y1)]
    for name in scene.frame.board.holes:
        if scene.frame.shows(name):
            x, y = scene.frame.hole(name)
            out.little.append((x - 4, y - 4, x + 4, y + 4))
    return out


def _nets(scene: Scene) -> list[Owned]:
    """Strips, wires and leads to the supply, each with the key of the tag that names its net."""
    layout, frame = scene.layout, scene.frame
    strips, strip_of = strip_nets(scene.circuit, layout), layout.board.strip_of
    out = []
    for strip, net in strips.items():
        holes = [frame.hole(hole) for hole in layout.board.strips[strip]]
        out += [(f"net {net}", piece) for piece in pieces((holes[0], holes[-1]), 9)]
    starts = [wire.start for wire in layout.wires]
    starts += [
        hole for beside in scene.beside
        for _, hole in zip(beside.leads, layout.holes[beside.part.id], strict=False)
    ]  # fmt: skip
    for hole, line in zip(starts, scene.lines, strict=True):
        key = f"net {strips.get(strip_of[hole], '')}"
        out += [(key, piece) for piece in pieces(line, 7)]
    return out


def with_room(found: Obstacles, view: View) -> Obstacles:
    """The same with room for labels at the two sides of the board, where a picture may become wider."""
    left, top, right, bottom = found.limits
    room = min(ROOM, max(0.0, (WIDEST - (right - left)) / 2))
    across, along = (0.0, ROOM / 2) if view == "turned" else (room, 0.0)
    wider = (left - across, top - along, right + across, bottom + along)
    if view == "turned":
        beyond = [(left, wider[1], right, top), (left, bottom, right, wider[3])]
    else:
        beyond = [(wider[0], top, left, bottom), (right, top, wider[2], bottom)]
    return replace(found, limits=wider, beyond=beyond)


def turns(line: Sequence[Point]) -> list[Rect]:
    """The bends of a wire, and a pitch before each end: hidden, it is not seen where it goes."""
    bends = [(x - 8, y - 8, x + 8, y + 8) for x, y in line[1:-1]]
    tips = []
    for (x0, y0), (x1, y1) in ((line[0], line[1]), (line[-1], line[-2])):
        share = min(1.0, PITCH / (math.dist((x0, y0), (x1, y1)) or 1.0))
        x, y = x0 + (x1 - x0) * share, y0 + (y1 - y0) * share
        tips.append((min(x0, x) - 6, min(y0, y) - 6, max(x0, x) + 6, max(y0, y) + 6))
    return [*bends, *tips]


def pieces(points: Sequence[Point], half: float) -> list[tuple[float, float, float, float]]:
    """Rectangles along a line, for keeping labels off it."""
    out = []
    for (x0, y0), (x1, y1) in pairwise(points):
        steps = max(1, int(max(abs(x1 - x0), abs(y1 - y0)) / 14))
        for step in range(steps):
            a = (x0 + (x1 - x0) * step / steps, y0 + (y1 - y0) * step / steps)
            b = (x0 + (x1 - x0) * (step + 1) / steps, y0 + (y1 - y0) * (step + 1) / steps)
            out.append(
                (
                    min(a[0], b[0]) - half,
                    min(a[1], b[1]) - half,
                    max(a[0], b[0]) + half,
                    max(a[1], b[1]) + half,
                )
            )
    return out
