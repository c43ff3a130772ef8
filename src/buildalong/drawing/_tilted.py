"""The board seen from above and aside, so that heights are understood."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from typing import Literal

from buildalong.board import Layout
from buildalong.circuit import Circuit, Part
from buildalong.drawing import _palette as palette
from buildalong.drawing import _text
from buildalong.drawing._frame import Point, Pose, View
from buildalong.drawing._ground import MARK, draw_ground
from buildalong.drawing._hidden import (
    MOSTLY,
    Front,
    Way,
    draw_dashed,
    out_of_sight,
    shown_of,
    unseen_outline,
    way_of,
)
from buildalong.drawing._labels import Placed
from buildalong.drawing._look import look_of
from buildalong.drawing._marks import marks, shared
from buildalong.drawing._palette import Tone
from buildalong.drawing._pen import Pen
from buildalong.drawing._picture import Picture
from buildalong.drawing._scene import Scene, rows_in_use
from buildalong.drawing._strands import Block, Strand, block_of, lead, rising, runs
from buildalong.drawing._svg import Svg
from buildalong.drawing._tilt import (
    FROM_THE_LEFT,
    FROM_THE_RIGHT,
    Eye,
    Solids,
    Space,
    covers,
    hull,
    rectangle,
)
from buildalong.drawing._tilted_labels import Drawn, place_labels
from buildalong.drawing._tilted_print import Print, print_of
from buildalong.drawing._wires import BARE, THICK, Rect, around, casing_of, near
from buildalong.drawing._words import UNSEEN, tilted_words
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
MIDDLE, APART = 5.5, 3
"""Where the two sides of a board meet [pitches across]; so many rows apart are two of its row numbers."""
SAMPLE = 42.0
"""Length of the dashed line beside which it says what dashes mean."""
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
    """The eye that sees best where leads from beside the board go in, and then most of parts and wires."""
    right, left = FROM_THE_RIGHT, FROM_THE_LEFT
    if off := _hidden(scene, right) - _hidden(scene, left):
        return left if off > 0 else right
    return min((right, left), key=lambda eye: round(_Tilted(scene, palette.PLAIN, eye).unseen(), 2))


def _hidden(scene: Scene, eye: Eye) -> int:
    """How much of where leads from beside the board go into their holes no eye can see, by such an eye.

    Parts hide it, or another lead.
    """
    blocks = [block_of(part, scene.poses[part.id], scene.own_rect(part), eye) for part in scene.on_board]
    leads = [run for beside in scene.beside for run in beside.leads]
    lines = [[eye.project(*at) for at in lead(run, "", blocks).points] for run in leads]
    ends = [(n, (*run[-1], z)) for n, run in enumerate(leads) for z in ENTRY]
    return sum(
        any(block.hides(end) for block in blocks)
        or any(near(eye.project(*end), line) < THICK / 2 for m, line in enumerate(lines) if m != n)
        for n, end in ends
    )


class _Tilted:
    def __init__(self, scene: Scene, tone: Tone, eye: Eye = FROM_THE_RIGHT) -> None:
        self.scene, self.tone, self.eye = scene, tone, eye
        self.stands: dict[str, list[Point]] = {}
        self.leads: dict[str, list[list[Point]]] = {}
        """Bare leads of parts, as lines on the page."""
        self.wires: list[list[Point]] = []
        self.order: tuple[str, ...] = ()
        """The parts on the board, from the farthest to the nearest."""
        self.over: list[tuple[int, list[Point]]] = []
        """Stretches of flexible wires, each with the number of the part before which it is drawn."""
        self.lost: dict[str, Point] = {}
        """Holes of leads from beside the board that a part hides, and where the lead is last seen."""
        self.size = MARK
        self.plates: list[Rect] = []
        self.leaders: list[tuple[Point, Point]] = []
        """Labels and leaders: of a letter or number that one would cut, nothing is left."""

    def draw(self, labels: bool) -> Picture:
        scene = self.scene
        alt = tilted_words(scene.circuit, scene.layout)
        # Drawn once to learn how far everything reaches, then for good.
        probe = Svg(1, 1, title="", alt="", tone=self.tone)
        self._contents(probe)
        left, top, right, bottom = self._extent()
        self.size = max(MARK, math.ceil((right - left) * 9 * 25.4 / 72 / SHEET * 10) / 10)
        prints = self._prints() if labels else {}
        placed = place_labels(self._drawn(prints), (left, top, right, bottom)) if labels else ()
        self.plates = [label.rect for label in placed]
        self.leaders = [label.leader for label in placed if label.leader]
        left, top, right, bottom = self._around_all(placed)
        dashed = list(self._dashed()) if labels else []
        key = self._key_box((left, top, right, bottom)) if dashed else None
        bottom = max(bottom, key[3] + MARGIN / 2) if key else bottom
        title = say("Breadboard, seen from above and aside")
        svg = Svg(
            right - left, bottom - top, title=title, alt=alt, x=left, y=top,
            background=palette.PAPER, tone=self.tone, words=labels,
        )  # fmt: skip
        self._contents(svg)
        for each in prints.values():
            each.write(svg, self.eye)
        for line, colour in dashed:
            draw_dashed(svg, line, colour)
        if key:
            middle = (key[1] + key[3]) / 2
            draw_dashed(svg, ((key[0], middle), (key[0] + SAMPLE, middle)), palette.INK)
            svg.text(key[0] + SAMPLE + 8, key[3] - 0.1 * self.size, say(UNSEEN), self.size, fill=palette.INK)
        framed = palette.plates_vanish(self.tone)
        for label in placed:
            # All alike dark: a hole named in red would seem to be that of plus.
            write_label(svg, label, fill=palette.INK, over=self.wires, framed=framed)
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

    # -- what is out of sight --------------------------------------------------------------

    def unseen(self) -> float:
        """How much is out of sight: the sum over parts and wires of the share of each, 0 to 1."""
        self._contents(Svg(1, 1, title="", alt="", tone=self.tone))
        parts = sum(1.0 - shown_of(hull(self.stands[name]), fronts) for name, fronts in self._before())
        return parts + sum(way.share for way, _ in self._ways())

    def _before(self) -> Iterator[tuple[str, list[list[Point]]]]:
        """Each part with the outlines of those that are nearer to the eye."""
        for rank, name in enumerate(self.order):
            yield name, [hull(self.stands[other]) for other in self.order[rank + 1 :]]

    def _ways(self) -> Iterator[tuple[Way, str]]:
        """The wires and the leads from beside the board, with their colours."""
        scene, eye = self.scene, self.eye
        parts = [scene.circuit.by_id[name] for name in self.order]
        blocks = [block_of(part, scene.poses[part.id], scene.own_rect(part), eye) for part in parts]
        fronts = [Front(block, hull(self.stands[part.id])) for block, part in zip(blocks, parts, strict=True)]
        for index, wire in scene.layout.stack:
            if wire.style != "flexible":
                run = [scene.frame.point(*at) for at in scene.runs[index]]
                ends = [(*run[0], 0.0), *((*at, LYING) for at in run), (*run[-1], 0.0)]
                yield way_of(ends, eye, fronts, lying=True), wire.colour
        for strand in self._strands(blocks):
            yield way_of(strand.points, eye, fronts, lying=False), strand.colour

    def _dashed(self) -> Iterator[tuple[Sequence[Point], str]]:
        """What is hidden, to be dashed over what hides it: lines and their colours."""
        for name, fronts in self._before():
            outline = hull(self.stands[name])
            if shown_of(outline, fronts) < MOSTLY:
                yield from ((run, palette.INK) for run in unseen_outline(outline, fronts))
        for way, colour in self._ways():
            yield from ((run, palette.wire_colour(colour)) for run in out_of_sight(way))

    def _key_box(self, shown: Rect) -> Rect:
        """Where it says what dashes mean: in a lower corner if one is free, else below the picture."""
        left, _, right, bottom = shown
        wide = SAMPLE + 8 + _text.width(say(UNSEEN), self.size, "regular")
        left, right, low = left + MARGIN, right - MARGIN, bottom - MARGIN
        hulls = [hull(points) for points in self.stands.values()]
        for start in (left, right - wide):
            box = (start, low - self.size, start + wide, low)
            if not any(covers(each, box) for each in hulls) and not any(shared(box, p) for p in self.plates):
                return box
        return left, bottom, left + wide, bottom + self.size

    # -- the board ---------------------------------------------------------------------------

    def _board(self, svg: Svg) -> None:
        outline = self._plan
        solids = Solids(svg, _PLAIN, self.stands.setdefault("", []), self.eye)
        solids.prism(outline, -THICKNESS, -0.1, palette.BOARD, palette.BOARD_EDGE, lid=False)
        with svg.group(transform=self.eye.matrix()):
            draw_ground(svg, self.scene.frame, self.scene.used)
        for text, (x, y), _ in self._marks:
            svg.text(
                x, y + 0.3 * self.size, text, self.size, anchor="middle", style="bold", fill=palette.INK_SOFT
            )

    @property
    def _plan(self) -> tuple[Point, ...]:
        """The corners of the board in the plan; the block ends inside the teeth of a torn edge."""
        frame = self.scene.frame
        x0, y0, x1, y1 = frame.edges
        y0 += TEETH if frame.first > 1 else 0.0
        y1 -= TEETH if frame.last < frame.board.rows else 0.0
        (left, top), (right, bottom) = frame.point(x0, y0), frame.point(x1, y1)
        half = (abs(right - left) / 2, abs(bottom - top) / 2)
        return rectangle((left + right) / 2, (top + bottom) / 2, *half)

    @property
    def _top(self) -> list[Point]:
        """The corners of the upper face of the board on the page."""
        return [self.eye.project(*corner) for corner in self._plan]

    @property
    def _marks(self) -> list[tuple[str, Point, Rect]]:
        """Letters and row numbers before which nothing known so far stands, with their boxes.

        Each fifth row has its number, another row where those three rows away or nearer have none.
        """
        bodies = [hull(points) for name, points in self.stands.items() if name]
        strokes = [(wire, 3.0) for wire in self.wires] + [(leader, 1.0) for leader in self.leaders]
        out, told = [], set[tuple[int, float]]()
        for mark in sorted(marks(self.scene.frame), key=lambda mark: not mark.bold):
            side = self.scene.frame.place(*mark.places[0])[0] > MIDDLE
            if mark.row and any((mark.row + off, side) in told for off in range(-APART, APART + 1)):
                continue
            x, y = self.eye.project(*mark.places[0])
            half = _text.width(mark.text, self.size, "bold") / 2
            box = (x - half, y - 0.45 * self.size, x + half, y + 0.45 * self.size)
            if any(covers(body, box) for body in bodies) or any(shared(box, plate) for plate in self.plates):
                continue
            if all(near((x, y), line) > half + far for line, far in strokes):
                out.append((mark.text, (x, y), box))
                told |= {(mark.row, side)} if mark.row else set()
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
        casing, rim = casing_of(fill, self.tone)
        Solids(svg, _PLAIN, [], self.eye).rod(points, THICK, fill, casing, "butt", rim)

    def _part(self, svg: Svg, part: Part) -> None:
        pose = self.scene.poses[part.id]
        leads = self.leads.setdefault(part.id, [])
        solids = Solids(svg, pose, self.stands.setdefault(part.id, []), self.eye, leads)
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

    def _prints(self) -> dict[str, Print]:
        """What is written on bodies, by the names of their parts, which need no label then."""
        found = {}
        for rank, (name, fronts) in enumerate(self._before()):
            part, pose = self.scene.circuit.by_id[name], self.scene.poses[name]
            lines = [line for first, line in self.over if first > rank]
            if each := print_of(part, pose, self.eye, self.size, fronts, lines):
                found[name] = each
        return found

    def _drawn(self, printed: Collection[str]) -> Drawn:
        outlines = {name: hull(points) for name, points in self.stands.items()}
        return Drawn(
            self.scene, self.eye, self.size, outlines, self.leads, self.wires, self.order, self.over,
            self.lost, [box for _, _, box in self._marks], self._top, printed,
        )  # fmt: skip

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
        left, top, right, bottom = around(corners)
        return left - MARGIN, top - MARGIN, right + MARGIN, bottom + MARGIN


def _middle(rect: Rect) -> Point:
    """The middle of a rectangle given by its corner, width and height."""
    left, top, width, high = rect
    return left + width / 2, top + high / 2
