"""What stands where on a board picture, before anything is drawn."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable
from dataclasses import replace
from functools import cached_property
from itertools import pairwise

from buildalong.board import Layout, Wire
from buildalong.circuit import Circuit, Part
from buildalong.drawing._dots import ANYWHERE, plain_places
from buildalong.drawing._frame import PITCH, Frame, Point, Pose, View, pose
from buildalong.drawing._wires import THICK, Rect, arc, around, curve, hides, near, run_of
from buildalong.drawing.bodies._axial import stands_on_end, stripes
from buildalong.drawing.bodies._beside import BESIDE, CAPTION, Beside, exit_at
from buildalong.drawing.bodies._radial import flat_of, minus_sign

__all__ = ["Scene", "rows_around", "rows_in_use", "wide_enough"]

MORE = 7
"""Rows by which a crop is widened at most at each side."""
SLICED, EACH_ROW = 4.0, 0.3
"""What a part that an edge slices and a row more weigh, where a wire that ends beside the edge weighs 1."""
ARCS = tuple(
    (side * bow, lean)
    for bows, leans in (
        ((0.10, 0.16, 0.24, 0.34), (0.5,)),
        ((0.03, 0.16, 0.24, 0.34, 0.44, 0.56, 0.7), (0.5, 0.25, 0.75)),
    )
    for bow in bows
    for lean in leans
    for side in (1, -1)
)
"""Bows and leans of a flexible wire, in the order in which they are tried."""
ROUND = ("buzzer", "can", "disc", "dome", "ldr")
"""Shapes of bodies that leave the corners of their rectangle free."""
ROOM = 3.0
"""A place in sight keeps so far from what would hide it."""
GAP = 36.0
"""From the edge of the board to what lies beside it."""


def _along(layout: Layout, wire: Wire) -> list[float]:
    """The rows at which a wire ends and bends [pitches]."""
    return [y for _, y in layout.line(wire)]


def rows_in_use(layout: Layout, spare: int = 1) -> tuple[int, int]:
    """First and last row that hold all wires, and all holes in use with some to spare.

    The whole board if most is used.
    """
    ys = [layout.board.holes[hole][1] for hole, _ in layout.used()]
    rows = layout.board.rows
    if not ys:
        return 1, rows
    bends = [y for wire in layout.wires for y in _along(layout, wire)]
    first = max(1, math.floor(min([min(ys) - spare, *bends])))
    last = min(rows, math.ceil(max([max(ys) + spare, *bends])))
    if last - first + 1 > 0.8 * rows:
        return 1, rows
    return (1 if first <= spare + 1 else first), (rows if last >= rows - spare else last)


def wide_enough(layout: Layout, rows: tuple[int, int]) -> tuple[int, int]:
    """The rows asked for, and those up to all that is in use, so that no lead ends beyond the picture."""
    ys = [layout.board.holes[hole][1] for hole, _ in layout.used()]
    ys += [y for wire in layout.wires for y in _along(layout, wire)]
    first, last = min([rows[0], *map(math.floor, ys)]), max([rows[1], *map(math.ceil, ys)])
    return max(1, first), min(layout.board.rows, max(last, first))


def rows_around(
    layout: Layout, parts: Collection[str], wires: Collection[int], spare: int = 3, least: int = 10
) -> tuple[int, int]:
    """Rows around what is new, with some to spare, at least ``least``; those in use if they are fewer."""
    all_first, all_last = rows_in_use(layout)
    holes = [hole for part in parts for hole in layout.holes.get(part, ())]
    holes += [hole for index in wires for hole in (layout.wires[index].start, layout.wires[index].end)]
    if not holes:
        return all_first, all_last
    ys = [layout.board.holes[hole][1] for hole in holes]
    bends = [y for index in wires for y in _along(layout, layout.wires[index])]
    first = math.floor(min([min(ys) - spare, *bends]))
    last = math.ceil(max([max(ys) + spare, *bends]))
    lacking = max(0, least - (last - first + 1))
    first, last = first - lacking // 2, last + (lacking + 1) // 2
    if first < all_first:
        first, last = all_first, last + all_first - first
    if last > all_last:
        first, last = first - (last - all_last), all_last
    first, last = _unsliced(layout, first, last)
    return max(first, all_first), min(last, all_last)


def _unsliced(layout: Layout, first: int, last: int) -> tuple[int, int]:
    """The rows widened at each side by a few where fewer parts are sliced and wires end at the edge there."""
    places = layout.board.holes
    spans = [[places[hole][1] for hole in holes] for holes in layout.holes.values()]
    ends = [_along(layout, wire) for wire in layout.wires]

    def cost(outward: int, edge: int, added: int) -> float:
        parts = [sorted(outward * y for y in ys) for ys in spans]
        wires = [sorted(outward * y for y in ys) for ys in ends]
        edge *= outward
        sliced = sum(low - 0.5 <= edge < high for low, high in ((ys[0], ys[-1]) for ys in parts))
        stubs = sum(low - 0.5 <= edge < high <= edge + 2 for low, *_, high in wires)
        return SLICED * sliced + stubs + EACH_ROW * added

    first -= min(range(MORE + 1), key=lambda added: cost(-1, first - added, added))
    last += min(range(MORE + 1), key=lambda added: cost(1, last + added, added))
    return first, last


class Scene:
    """Poses of the parts, runs of the wires, places beside the board."""

    def __init__(self, circuit: Circuit, layout: Layout, view: View, rows: tuple[int, int]) -> None:
        self.circuit, self.layout = circuit, layout
        frame = Frame(layout.board, view, *rows)
        first, last = frame.first, frame.last or layout.board.rows
        beyond = any(not first <= y <= last for wire in layout.wires for y in _along(layout, wire))
        self.frame = replace(frame, sliced=beyond or not all(frame.shows(hole) for hole, _ in layout.used()))

    @cached_property
    def used(self) -> dict[str, Point]:
        """Every hole in use, in pitches."""
        return {hole: self.layout.board.holes[hole] for hole, _ in self.layout.used()}

    @cached_property
    def on_board(self) -> tuple[Part, ...]:
        """Parts on the board that the layout holds and that stand in the rows shown, lowest first."""
        parts = [
            p
            for p in self.circuit.parts
            if p.id in self.layout.holes
            and p.type.body.kind != "off-board"
            and self.frame.reaches(self.layout.board.holes[hole][1] for hole in self.layout.holes[p.id])
        ]
        return tuple(sorted(parts, key=lambda p: p.type.body.height))

    @cached_property
    def poses(self) -> dict[str, Pose]:
        """The pose of each part on the board."""
        holes = self.layout.holes
        return {p.id: pose(p, [self.frame.hole(h) for h in holes[p.id]]) for p in self.on_board}

    def body_rect(self, part: Part, with_leads: bool = False) -> Rect:
        """The rectangle around a body, in user units."""
        at = self.poses[part.id]
        x0, y0, x1, y1 = self.own_rect(part)
        corners = [at.place(corner) for corner in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))]
        if with_leads:
            corners += [at.place(leg) for leg in at.legs]
        return around(corners)

    def body_pieces(self, part: Part) -> list[Rect]:
        """Rectangles that cover a body closely, however it is turned, in user units."""
        return self._pieces[part.id]

    @cached_property
    def _pieces(self) -> dict[str, list[Rect]]:
        return {part.id: self._cut(part) for part in self.on_board}

    def _cut(self, part: Part) -> list[Rect]:
        at = self.poses[part.id]
        x0, y0, x1, y1 = self.own_rect(part)
        if at.angle % 90 == 0:
            return [self.body_rect(part)]
        count = max(1, math.ceil(2 * (x1 - x0) / (y1 - y0)))
        cuts = [x0 + (x1 - x0) * index / count for index in range(count + 1)]
        slices = pairwise(cuts)
        return [around([at.place(p) for p in ((a, y0), (b, y0), (b, y1), (a, y1))]) for a, b in slices]

    def in_sight(self, part: Part) -> tuple[Point, ...]:
        """Places of a body, inside its outline, before which no other body or flexible wire lies.

        They are off what is to be read on it, if any such place is in sight.
        """
        at = self.poses[part.id]
        x0, y0, x1, y1 = self.own_rect(part)
        found: list[Point] = []
        for shares in (*plain_places(part, at.legs), ANYWHERE):
            places = [
                at.place(((x0 + x1 + (x1 - x0) * u) / 2, (y0 + y1 + (y1 - y0) * v) / 2)) for u, v in shares
            ]
            places = [place for place in places if self.frame.inside(*place)] or [(at.x, at.y)]
            free = [place for place in places if not self._over_bodies(place, part)]
            clear = [place for place in free if self._clear(place)]
            if clear:
                return tuple(clear)
            found = free or places
        return tuple(found)

    def bare(self, at: Point) -> bool:
        """Whether a place of the board is in sight: no body and no wire lies there."""
        return not self._over_bodies(at) and self._clear(at, formed=True)

    def _over_bodies(self, at: Point, own: Part | None = None) -> bool:
        return any(
            left - ROOM < at[0] < right + ROOM and top - ROOM < at[1] < bottom + ROOM
            for part in self.on_board if part is not own
            for left, top, right, bottom in self.body_pieces(part)
        )  # fmt: skip

    def _clear(self, at: Point, formed: bool = False) -> bool:
        """Whether no wire that is drawn over bodies, or none at all, runs at a place."""
        wires = self.layout.wires
        lines = [
            line for index, line in enumerate(self.lines)
            if formed or index >= len(wires) or wires[index].style == "flexible"
        ]  # fmt: skip
        return all(near(at, line) > THICK / 2 + ROOM for line in lines)

    def signs(self, part: Part) -> tuple[Rect, ...]:
        """What is to be read on a body: the bands of a resistor, a diode's ring, the minus sign of a can."""
        at, (x0, y0, x1, y1) = self.poses[part.id], self.own_rect(part)
        if part.type.body.shape == "can":  # on the stripe
            return (around([at.place((x1 * x, y1 * y)) for x in (0.5, 1.0) for y in (-0.65, 0.65)]),)
        if part.type.body.shape != "cylinder" or stands_on_end(part, at.legs):
            return ()
        spans = [(x0 + (x1 - x0) * start, x0 + (x1 - x0) * end) for start, end in stripes(part)]
        return tuple(around([at.place((x, y)) for x in span for y in (y0, y1)]) for span in spans)

    def minus_signs(self, part: Part) -> tuple[Point, ...]:
        """Both ends and the middle of the minus printed on a can."""
        if part.type.body.shape != "can":
            return ()
        at = self.poses[part.id]
        middle, half = minus_sign(part.type.body.length * 5, at.legs)
        x, y = at.place(middle)
        return (x - half, y), (x, y), (x + half, y)

    def flat_side(self, part: Part) -> tuple[Point, ...]:
        """Both ends, the middle and two places between of the flat side of an LED's rim."""
        if part.type.body.shape != "dome":
            return ()
        x, half = flat_of(part.type.body.length * 5)
        return tuple(self.poses[part.id].place((x, half * share)) for share in (-1.0, -0.5, 0.0, 0.5, 1.0))

    def own_rect(self, part: Part) -> Rect:
        """The rectangle of a body as its pose sees it."""
        at = self.poses[part.id]
        a, b = part.type.body.length * 5, part.type.body.width * 5
        shift = 0.0
        if part.type.body.legs:
            a, b = b, a
            shift = (min(x for x, _ in at.legs) + max(x for x, _ in at.legs)) / 2
        return shift - a, -b, shift + a, b

    def covers(self, part: Part, at: Point) -> bool:
        """Whether a place lies below a body, seen from above."""
        pose, (x0, y0, x1, y1) = self.poses[part.id], self.own_rect(part)
        turn = math.radians(-pose.angle)
        x, y = at[0] - pose.x, at[1] - pose.y
        u = (2 * (x * math.cos(turn) - y * math.sin(turn)) - x0 - x1) / (x1 - x0)
        v = (2 * (x * math.sin(turn) + y * math.cos(turn)) - y0 - y1) / (y1 - y0)
        return u * u + v * v < 1 if part.type.body.shape in ROUND else max(abs(u), abs(v)) < 1

    @cached_property
    def _bodies_in_pitches(self) -> list[Rect]:
        out = []
        for part in self.on_board:
            x0, y0, x1, y1 = self.body_rect(part)
            (xa, ya), (xb, yb) = self.frame.place(x0, y0), self.frame.place(x1, y1)
            out.append((min(xa, xb), min(ya, yb), max(xa, xb), max(ya, yb)))
        return out

    @cached_property
    def runs(self) -> tuple[tuple[Point, ...], ...]:
        """The run of each wire: in pitches for formed wires and links, in user units for flexible ones."""
        return tuple(self._run(wire) for wire in self.layout.wires)

    @cached_property
    def lines(self) -> tuple[tuple[Point, ...], ...]:
        """The runs of all wires and leads, in user units."""
        wires = [
            run if wire.style == "flexible" else tuple(self.frame.point(x, y) for x, y in run)
            for wire, run in zip(self.layout.wires, self.runs, strict=True)
        ]
        return (*wires, *(lead for beside in self.beside for lead in beside.leads))

    def _run(self, wire: Wire) -> tuple[Point, ...]:
        board = self.layout.board
        if wire.style != "flexible":
            return run_of(wire, board, self.used, self._bodies_in_pitches)
        if (line := self.layout.line(wire)) == wire.dress:
            return curve([self.frame.point(x, y) for x, y in line])
        return self._clear_arc(self.frame.hole(wire.start), self.frame.hole(wire.end), (wire.start, wire.end))

    def _clear_arc(self, start: Point, end: Point, ends: tuple[str, ...]) -> tuple[Point, ...]:
        """The flattest arc that hides no hole in use and, if there is one, runs over no body."""
        placed = {hole: self.frame.hole(hole) for hole in self.used}
        bodies = [(part.type.body.height, self.body_pieces(part)) for part in self.on_board]
        best: tuple[tuple[int, float, int], tuple[Point, ...]] | None = None
        for number, (bow, lean) in enumerate(ARCS):
            points = arc(start, end, bow, lean)
            inside = [p for p in points if math.dist(p, start) > PITCH / 2]
            scaled = [(x / PITCH, y / PITCH) for x, y in inside] or [
                (x / PITCH, y / PITCH) for x, y in points
            ]
            hidden = hides(scaled, {h: (x / PITCH, y / PITCH) for h, (x, y) in placed.items()}, ends)
            over = sum(height for height, pieces in bodies if _over(points, pieces))
            key = (hidden, over, number)
            if best is None or key < best[0]:
                best = key, points
            if not any(key[:2]):
                break
        return best[1] if best else (start, end)

    @cached_property
    def beside(self) -> tuple[Beside, ...]:
        """Parts beside the board, on the side from which their leads run clearest, one after another."""
        sides = ("top", "bottom") if self.frame.view == "turned" else ("left", "right")
        parts = [
            p
            for p in self.circuit.parts
            if p.type.body.kind == "off-board"
            and p.id in self.layout.holes
            and all(self.frame.shows(hole) for hole in self.layout.holes[p.id])
        ]
        rects = [self.body_rect(part) for part in self.on_board]
        taken: dict[str, float] = {}
        out: list[Beside] = []
        for part in parts:
            best: tuple[tuple[int, int, float], Beside, float] | None = None
            for side in sides:
                beside, end = self._at_side(part, side, taken.get(side))
                key = self._lead_cost(beside, rects)
                if best is None or key < best[0]:
                    best = key, beside, end
            if best:
                out.append(best[1])
                taken[best[1].side] = best[2]
        return tuple(out)

    def _at_side(self, part: Part, side: str, least: float | None) -> tuple[Beside, float]:
        """The part at one side, as near to its holes as what lies there already allows; and where it ends."""
        left, top, right, bottom = self.frame.rectangle
        holes = self.layout.holes[part.id]
        points = [self.frame.hole(hole) for hole in holes]
        x, y = sum(p[0] for p in points) / len(points), sum(p[1] for p in points) / len(points)
        if side in ("top", "bottom"):
            x = max(min(x - BESIDE[0] / 2, right - BESIDE[0]), left if least is None else least)
            y = top - GAP - BESIDE[1] if side == "top" else bottom + GAP
            end = x + BESIDE[0] + 40
        else:
            y = max(min(y - BESIDE[1] / 2, bottom - BESIDE[1] - CAPTION), top if least is None else least)
            x = left - GAP - BESIDE[0] if side == "left" else right + GAP
            end = y + BESIDE[1] + CAPTION + 24
        return Beside(part, x, y, side, self._leads(x, y, side, points, holes)), end

    def _lead_cost(self, beside: Beside, rects: list[Rect]) -> tuple[int, int, float]:
        """Holes in use that the leads hide, bodies that they cross, their length."""
        used = {hole: (x / PITCH, y / PITCH) for hole, (x, y) in ((h, self.frame.hole(h)) for h in self.used)}
        hidden, crossed, length = 0, 0, 0.0
        for lead, hole in zip(beside.leads, self.layout.holes[beside.part.id], strict=False):
            hidden += hides([(x / PITCH, y / PITCH) for x, y in lead], used, (hole,))
            crossed += _over(lead, rects)
            length += math.dist(lead[0], lead[-1])
        return hidden, crossed, round(length, 3)

    def _leads(
        self, x: float, y: float, side: str, points: Iterable[Point], holes: tuple[str, ...]
    ) -> tuple[tuple[Point, ...], ...]:
        points = list(points)
        out = []
        # Leads leave in the order in which their holes lie, so that they do not cross.
        axis = 0 if side in ("top", "bottom") else 1
        order = sorted(range(len(points)), key=lambda i: (points[i][axis], points[i][1 - axis]))
        for index, point in enumerate(points):
            share = (order.index(index) + 1) / (len(points) + 1)
            start = exit_at(x, y, side, share)
            out.append(self._clear_lead(start, point, side, holes[index]))
        return tuple(out)

    def _clear_lead(self, start: Point, end: Point, side: str, hole: str) -> tuple[Point, ...]:
        """The straightest lead that hides no hole in use and, if there is one, runs over no body."""
        placed = {h: (x / PITCH, y / PITCH) for h, (x, y) in ((h, self.frame.hole(h)) for h in self.used)}
        bodies = [rect for part in self.on_board for rect in self.body_pieces(part)]
        best: tuple[tuple[int, int, float], tuple[Point, ...]] | None = None
        for offset in (0.0, 0.5, -0.5, 1.0, -1.0, 1.5, -1.5, 2.2, -2.2, 3.0, -3.0):
            shift = offset * PITCH
            via = (0.0, shift) if side in ("left", "right") else (shift, 0.0)
            points = _lead_curve(start, end, side, via)
            hidden = hides([(px / PITCH, py / PITCH) for px, py in points], placed, (hole,))
            key = (hidden, _over(points, bodies), abs(offset))
            if best is None or key < best[0]:
                best = key, points
            if not any(key[:2]):
                break
        return best[1] if best else (start, end)


def _over(points: Iterable[Point], rects: Iterable[Rect]) -> int:
    """How many rectangles a line runs over, by its points."""
    line = list(points)
    return sum(any(r[0] < x < r[2] and r[1] < y < r[3] for x, y in line) for r in rects)


def _lead_curve(start: Point, end: Point, side: str, via: Point) -> tuple[Point, ...]:
    """A lead that leaves its part at right angles and comes to its hole the same way."""
    reach = {"left": (1, 0), "right": (-1, 0), "top": (0, 1), "bottom": (0, -1)}[side]
    far = abs(end[0] - start[0]) if reach[0] else abs(end[1] - start[1])
    pull = max(far * 0.5, 20)
    c1 = (start[0] + reach[0] * pull, start[1] + reach[1] * pull)
    c2 = (end[0] - reach[0] * pull + via[0], end[1] - reach[1] * pull + via[1])
    out = []
    for step in range(17):
        t = step / 16
        w = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
        out.append(
            (
                w[0] * start[0] + w[1] * c1[0] + w[2] * c2[0] + w[3] * end[0],
                w[0] * start[1] + w[1] * c1[1] + w[2] * c2[1] + w[3] * end[1],
            )
        )
    return tuple(out)
