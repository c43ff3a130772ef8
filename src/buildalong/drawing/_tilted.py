"""The board seen from above and aside, so that heights are understood."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import Literal

import numpy as np

from buildalong.board import Layout, hole_name
from buildalong.circuit import Circuit, Part
from buildalong.drawing import _palette as palette
from buildalong.drawing import _text
from buildalong.drawing._frame import Point, Pose, View
from buildalong.drawing._ground import MARK, draw_ground
from buildalong.drawing._label_field import Obstacles
from buildalong.drawing._labels import Placed, Tag, place
from buildalong.drawing._look import look_of, marking_of, value_of
from buildalong.drawing._marks import marks, shared
from buildalong.drawing._obstacles import pieces
from buildalong.drawing._palette import Tone
from buildalong.drawing._pen import Pen
from buildalong.drawing._picture import Picture
from buildalong.drawing._scene import Scene, rows_in_use
from buildalong.drawing._strands import Block, Strand, block_of, lead, rising, runs
from buildalong.drawing._svg import Svg
from buildalong.drawing._tags import wordings_of
from buildalong.drawing._tilt import (
    FROM_THE_LEFT,
    FROM_THE_RIGHT,
    Eye,
    Solids,
    Space,
    covers,
    hull,
    rectangle,
    slices,
    within,
)
from buildalong.drawing._wires import BARE, THICK, Rect, near
from buildalong.drawing._words import BEHIND, tilted_words
from buildalong.drawing._written import write_label
from buildalong.drawing.bodies._beside import (
    BESIDE,
    Beside,
    draw_beside,
    draw_grip,
    draw_shell,
    lead_colour,
    plug_rects,
)
from buildalong.drawing.bodies._solid import draw_solid
from buildalong.words import say

__all__ = ["eye_for", "tilted_picture"]

THICKNESS = 85.0
"""Height of the board itself: 8.5 mm (makers' sheets of boards with 400 and 830 tie-points)."""
LYING = 11.0
"""Height of a formed wire."""
TEETH = 0.17
"""Depth of a torn edge, pitches."""
MARGIN = 14.0
SLICE, INSIDE = 10.0, 6.0
"""Height of the slices that stand for a body, and how deep in it a leader ends."""
SHEET = 175.0
"""Width of a printed page [mm]: on it the text of a wide picture must still have nine points."""
ENTRY = (1.0, 5.0, 10.0, 15.0)
"""Heights over a hole at which the end of a lead should be seen."""
_PLAIN = Pose(0.0, 0.0, 0.0, ())


def tilted_picture(
    circuit: Circuit, layout: Layout, *, view: View = "top", labels: bool = True,
    crop: Literal["auto"] | None = "auto", tone: Tone = palette.PLAIN,
) -> Picture:  # fmt: skip
    """Draw a board from above and aside; every body has its true size and height (see ``_tilt``).

    ``crop`` "auto" shows the rows in use; without ``labels`` there is no word in it.  What lies beside the
    board is drawn smaller than life.
    """
    rows = rows_in_use(layout) if crop else (1, layout.board.rows)
    scene = Scene(circuit, layout, view, rows)
    return _Tilted(scene, tone, eye_for(scene)).draw(labels)


def eye_for(scene: Scene) -> Eye:
    """The eye that sees best where leads from beside the board go in; the usual one where both do."""
    return min((FROM_THE_RIGHT, FROM_THE_LEFT), key=lambda eye: _hidden(scene, eye))


def _hidden(scene: Scene, eye: Eye) -> int:
    """How much of where leads from beside the board go into their holes no eye can see, by such an eye."""
    blocks = [block_of(part, scene.poses[part.id], scene.own_rect(part), eye) for part in scene.on_board]
    ends = [(*run[-1], z) for beside in scene.beside for run in beside.leads for z in ENTRY]
    return sum(any(block.hides(end) for block in blocks) for end in ends)


class _Tilted:
    def __init__(self, scene: Scene, tone: Tone, eye: Eye = FROM_THE_RIGHT) -> None:
        self.scene, self.tone, self.eye = scene, tone, eye
        self.stands: dict[str, list[Point]] = {}
        self.wires: list[list[Point]] = []
        self.order: tuple[str, ...] = ()
        """The parts on the board, from the farthest to the nearest."""
        self.over: list[tuple[int, list[Point]]] = []
        """Stretches of flexible wires, each with the number of the part before which it is drawn."""
        self.lost: dict[str, Point] = {}
        """Holes of leads from beside the board that a part hides, and where the lead is last seen."""
        self.size = MARK
        self.plates: list[Rect] = []
        """Where labels lie: of a letter or number that one would cut, nothing is left."""

    def draw(self, labels: bool) -> Picture:
        scene = self.scene
        alt = tilted_words(scene.circuit, scene.layout)
        # Drawn once to learn how far everything reaches, then for good.
        probe = Svg(1, 1, title="", alt="", tone=self.tone)
        self._contents(probe)
        left, top, right, bottom = self._extent()
        self.size = max(MARK, math.ceil((right - left) * 9 * 25.4 / 72 / SHEET * 10) / 10)
        placed = self._labels((left, top, right, bottom)) if labels else ()
        self.plates = [label.rect for label in placed]
        left, top, right, bottom = self._around_all(placed)
        title = say("Breadboard, seen from above and aside")
        svg = Svg(
            right - left, bottom - top, title=title, alt=alt, x=left, y=top,
            background=palette.PAPER, tone=self.tone, words=labels,
        )  # fmt: skip
        self._contents(svg)
        framed = palette.plates_vanish(self.tone)
        for label in placed:
            ink = palette.ACCENT if label.tag.key.startswith("hole ") else palette.INK
            write_label(svg, label, fill=ink, over=self.wires, framed=framed)
        return svg.picture()

    def _contents(self, svg: Svg) -> None:
        scene = self.scene
        self._board(svg)
        for index, wire in scene.layout.stack:
            if wire.style != "flexible":
                self._formed(svg, scene.runs[index], wire.colour)
        for beside in scene.beside:
            self._beside(svg, beside)
        items = [(self.eye.depth(scene.poses[p.id].x, scene.poses[p.id].y), p.id, p) for p in scene.on_board]
        parts = [part for _, _, part in sorted(items, key=lambda item: item[:2])]
        blocks = [block_of(part, scene.poses[part.id], scene.own_rect(part), self.eye) for part in parts]
        pieces = [
            (first, bare, stretch, strand.colour)
            for strand in self._strands(blocks)
            for first, bare, stretch in runs(strand, blocks)
        ]
        self.lost = dict(self._lost(blocks))
        self.order = tuple(part.id for part in parts)
        self.over = [
            (first, [self.eye.project(*point) for point in stretch]) for first, _, stretch, _ in pieces
        ]
        for index in range(len(parts) + 1):
            for first, bare, stretch, colour in pieces:
                if first == index:
                    self._stretch(svg, stretch, bare, colour)
            if index < len(parts):
                self._part(svg, parts[index])

    def _strands(self, blocks: Sequence[Block]) -> Iterator[Strand]:
        """The flexible wires and the leads from beside the board."""
        scene = self.scene
        for index, wire in scene.layout.stack:
            if wire.style == "flexible":
                yield rising(scene.runs[index], wire.colour, blocks)
        for beside in scene.beside:
            for run, terminal in zip(beside.leads, beside.part.type.terminals, strict=False):
                yield lead(run, lead_colour(terminal.role), blocks)

    def _lost(self, blocks: Sequence[Block]) -> Iterator[tuple[str, Point]]:
        """Holes in which half of a lead's end is hidden, or more: the lead bears their names."""
        scene = self.scene
        for beside in scene.beside:
            for run, hole in zip(beside.leads, scene.layout.holes[beside.part.id], strict=False):
                hidden = [any(block.hides((*run[-1], z)) for block in blocks) for z in ENTRY]
                if sum(hidden) >= len(ENTRY) / 2:
                    points = lead(run, "", blocks).points
                    seen = [at for at in points if not any(block.hides(at) for block in blocks)]
                    yield hole, self.eye.project(*seen[-1])

    # -- the board ---------------------------------------------------------------------------

    def _board(self, svg: Svg) -> None:
        frame = self.scene.frame
        x0, y0, x1, y1 = frame.edges
        # A torn edge is drawn by the ground; the block ends inside its teeth.
        y0 += TEETH if frame.first > 1 else 0.0
        y1 -= TEETH if frame.last < frame.board.rows else 0.0
        (left, top), (right, bottom) = frame.point(x0, y0), frame.point(x1, y1)
        half = (abs(right - left) / 2, abs(bottom - top) / 2)
        outline = rectangle((left + right) / 2, (top + bottom) / 2, *half)
        solids = Solids(svg, _PLAIN, self.stands.setdefault("", []), self.eye)
        solids.prism(outline, -THICKNESS, -0.1, palette.BOARD, palette.BOARD_EDGE, lid=False)
        with svg.group(transform=self.eye.matrix()):
            draw_ground(svg, self.scene.frame, self.scene.used)
        for text, (x, y), _ in self._marks:
            svg.text(
                x, y + 0.3 * self.size, text, self.size, anchor="middle", style="bold", fill=palette.INK_SOFT
            )

    @property
    def _marks(self) -> list[tuple[str, Point, Rect]]:
        """Letters and each fifth row number before which nothing known so far stands, with their boxes."""
        bodies = [hull(points) for name, points in self.stands.items() if name]
        out = []
        for mark in marks(self.scene.frame):
            if mark.row and not mark.bold:
                continue
            x, y = self.eye.project(*mark.places[0])
            half = _text.width(mark.text, self.size, "bold") / 2
            box = (x - half, y - 0.45 * self.size, x + half, y + 0.45 * self.size)
            if any(covers(body, box) for body in bodies) or any(shared(box, plate) for plate in self.plates):
                continue
            if all(near((x, y), wire) > half + 3 for wire in self.wires):
                out.append((mark.text, (x, y), box))
        return out

    def _formed(self, svg: Svg, run: Sequence[Point], colour: str) -> None:
        """A stiff wire that lies on the board, its bare ends bent down into the holes."""
        points = [self.scene.frame.point(x, y) for x, y in run]
        inner = list(points)
        for end, beside in ((0, 1), (-1, -2)):
            away = math.dist(points[end], points[beside])
            share = min(BARE / away, 0.22)
            (x, y), (x1, y1) = points[end], points[beside]
            inner[end] = (x + (x1 - x) * share, y + (y1 - y) * share)
            self._stretch(svg, [(x, y, 0.0), (x, y, LYING), (*inner[end], LYING)], True, colour)
        self._stretch(svg, [(*point, LYING) for point in inner], False, colour)

    def _stretch(self, svg: Svg, points: Sequence[Space], bare: bool, colour: str) -> None:
        self.wires.append([self.eye.project(*point) for point in points])
        if bare:
            Solids(svg, _PLAIN, [], self.eye).lead(*points)
            return
        fill = palette.wire_colour(colour)
        Solids(svg, _PLAIN, [], self.eye).rod(
            points, THICK, fill, palette.mix(fill, "#000000", self.tone.casing[0]), "butt"
        )

    def _part(self, svg: Svg, part: Part) -> None:
        pose = self.scene.poses[part.id]
        solids = Solids(svg, pose, self.stands.setdefault(part.id, []), self.eye)
        draw_solid(solids, part, look_of(part.type), pose.legs)

    def _beside(self, svg: Svg, beside: Beside) -> None:
        look = look_of(beside.part.type)
        solids = Solids(svg, _PLAIN, self.stands.setdefault(beside.part.id, []), self.eye)
        if look.cells == "plug":
            self._plug(svg, solids, beside)
            return
        width, deep = BESIDE
        x, y = beside.left + width / 2, beside.top + deep / 2
        solids.prism(rectangle(x, y, width / 2, deep / 2), -THICKNESS, 0, look.body, look.edge)
        with svg.group(transform=self.eye.matrix()):
            draw_beside(Pen(svg, ground=palette.PAPER), beside)

    def _plug(self, svg: Svg, solids: Solids, beside: Beside) -> None:
        """A plug that lies on the table: its grip, and the shell half as thick; the farther one first."""
        look = look_of(beside.part.type)
        shell, grip = plug_rects(beside)
        two = [
            (shell, -THICKNESS * 0.78, -THICKNESS * 0.22, palette.METAL, draw_shell),
            (grip, -THICKNESS, 0.0, look.body, draw_grip),
        ]
        two.sort(key=lambda solid: self.eye.depth(*_middle(solid[0])))
        for (left, top, width, deep), low, high, fill, draw in two:
            outline = rectangle(*_middle((left, top, width, deep)), width / 2, deep / 2)
            solids.prism(outline, low, high, fill, look.edge)
            with svg.group(transform=self.eye.matrix(high)):
                draw(Pen(svg, ground=palette.PAPER), look, beside)

    # -- labels ------------------------------------------------------------------------------

    def _extent(self) -> Rect:
        points = [p for stand in self.stands.values() for p in stand]
        left, top = min(x for x, _ in points), min(y for _, y in points)
        right, bottom = max(x for x, _ in points), max(y for _, y in points)
        room = MARGIN + 34
        return left - room, top - room, right + room, bottom + room

    def _around_all(self, labels: Sequence[Placed]) -> Rect:
        """What the picture shows: everything that is drawn, with a margin."""
        corners = [p for stand in self.stands.values() for p in stand]
        corners += [p for line in self.wires for p in line]
        corners += [p for label in labels for p in (label.rect[:2], label.rect[2:])]
        left, top, right, bottom = _around(corners)
        return left - MARGIN, top - MARGIN, right + MARGIN, bottom + MARGIN

    def _labels(self, limits: Rect) -> tuple[Placed, ...]:
        obstacles = Obstacles((limits[0] + 3, limits[1] + 3, limits[2] - 3, limits[3] - 3))
        tags = []
        for name, points in self.stands.items():
            if not name:
                continue
            part = self.scene.circuit.by_id[name]
            rects = slices(hull(points), SLICE)
            obstacles.bodies += [(f"part {name}", rect) for rect in rects]
            words = value_of(part) or marking_of(part)
            ends, front = self._in_sight(name)
            if part.type.body.shape == "dip":  # on its middle: dot, notch and pins tell which way round
                middle = _middle_of(points)
                ends = tuple(sorted(ends, key=lambda at: math.dist(at, middle))[: max(1, len(ends) // 5)])
            if front:  # nothing of it can be pointed at: its label stands at what hides it
                whole = hull(self.stands[front])
                hidden = tuple(say(BEHIND, part=said, other=front) for said in wordings_of(name, words))
                tags.append(
                    Tag(f"part {front}", hidden, self.size * 1.1, _around(whole), slack=math.inf,
                        own=tuple(slices(whole, SLICE)))
                )  # fmt: skip
                continue
            tags.append(
                Tag(
                    f"part {name}", wordings_of(name, words), self.size * 1.1, _around(points), insist=420.0,
                    clear=6.0, own=tuple(rects), ends=ends,
                )
            )  # fmt: skip
        for hole, (x, y) in self.lost.items():
            around = (x - 4, y - 4, x + 4, y + 4)
            named = (hole_name(hole),)
            tags.append(Tag(f"hole {hole}", named, self.size * 1.1, around, slack=0.0, ends=((x, y),)))
        for line in self.wires:
            obstacles.wires += pieces(line, 6)
        block = hull(self.stands[""])
        obstacles.some += pieces((*block, block[0]), 4)
        for hole in self.scene.used:
            x, y = self.eye.project(*self.scene.frame.hole(hole))
            obstacles.much.append((x - 7, y - 6, x + 7, y + 6))
        obstacles.much += [box for _, _, box in self._marks]
        return place(tags, obstacles)

    def _in_sight(self, name: str) -> tuple[tuple[Point, ...], str]:
        """Places of a body, well inside its outline, before which no other body or flexible wire stands.

        Where there is none, the part that hides most of it.
        """
        outline = hull(self.stands[name])
        order = list(self.order)
        rank = order.index(name) if name in order else -1
        before = {other: hull(self.stands[other]) for other in order[rank + 1 :]}
        lines = [line for first, line in self.over if first > rank]

        def beside(some: list[Point], hulls: Iterable[Sequence[Point]]) -> list[Point]:
            """Those that lie in none of the hulls, nor close to one."""
            off = np.all([within(each, some) < -2 for each in hulls], axis=0)
            return [at for at, free in zip(some, np.broadcast_to(off, len(some)), strict=True) if free]

        left, top, right, bottom = _around(outline)
        places = [
            (left + (right - left) * u / 10, top + (bottom - top) * v / 10)
            for v in range(1, 10) for u in range(1, 10)
        ]  # fmt: skip
        depths = within(outline, places)
        inner = [places[n] for deep in (INSIDE, INSIDE / 2) for n in np.flatnonzero(depths > deep)]
        free = beside(inner, before.values())
        clear = [at for at in free if all(near(at, line) > THICK / 2 + 3 for line in lines)]
        others = [hull(points) for other, points in self.stands.items() if other not in ("", name)]
        # Over no part behind it either, where there is such a place: a leader then ends upon one part alone.
        alone = beside(clear, others)
        if alone or clear or free or not before:
            return tuple(alone or clear or free or inner), ""
        return (), max(before, key=lambda other: int((within(before[other], inner) > -2).sum()))


def _middle(rect: Rect) -> Point:
    """The middle of a rectangle given by its corner, width and height."""
    left, top, width, high = rect
    return left + width / 2, top + high / 2


def _middle_of(points: Sequence[Point]) -> Point:
    left, top, right, bottom = _around(points)
    return (left + right) / 2, (top + bottom) / 2


def _around(points: Sequence[Point]) -> Rect:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)
