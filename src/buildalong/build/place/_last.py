"""Last steps on a finished layout: what the score finds better, and the board's check finds no worse."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

from buildalong.board import Board, Layout, Wire
from buildalong.build.place._gentle import Hurts
from buildalong.build.place._ground import EDGE, Box, body_boxes
from buildalong.build.place._score import Score, score
from buildalong.build.place._verify import verify
from buildalong.build.place._wishes import Wishes
from buildalong.circuit import Circuit, Part

__all__ = [
    "Ask",
    "Built",
    "Point",
    "better",
    "bodies",
    "from_the_top",
    "in_order",
    "open_holes",
    "sounder",
    "taken_up",
]

Point = tuple[float, float]


@dataclass(frozen=True)
class Ask:
    """What the last steps keep to: the circuit, what the author holds and wishes, the fewest wires proved."""

    circuit: Circuit
    fixed: Layout | None
    wishes: Wishes | None
    hurts: Hurts | None
    fewest: int

    def held(self, part: str) -> bool:
        """Whether the author holds a leg of a part."""
        return self.fixed is not None and part in self.fixed.holes

    def stays(self, wire: Wire) -> bool:
        """Whether the author holds a wire."""
        return self.fixed is not None and wire in self.fixed.wires

    def lets(self, part: Part, place: Point) -> bool:
        """Whether the author's wishes let a lead of a part stand at a place."""
        area = self.wishes.areas.get(part.id) if self.wishes else None
        return area is None or area.holds(*place)

    def weighed(self, layout: Layout) -> Score:
        """The exact score of a layout."""
        return score(self.circuit, layout, self.hurts)


def better(ask: Ask, new: Layout, old: Layout) -> bool:
    """Whether a layout is tidier than another, does no more harm, and the board's check finds nothing new."""
    one, other = ask.weighed(new), ask.weighed(old)
    if one.total > other.total - EDGE or one.amount("harm") > other.amount("harm"):
        return False
    return len(new.wires) <= len(old.wires) and _told(ask, new) <= _told(ask, old)


def sounder(ask: Ask, new: Layout, old: Layout) -> bool:
    """Whether the board's check finds less, and of no kind more, in a layout with as many wires."""
    one, other = (Counter(f.code for f in verify(ask.circuit, layout)) for layout in (new, old))
    return len(new.wires) <= len(old.wires) and one < other


def _told(ask: Ask, layout: Layout) -> set[tuple[str, tuple[str, ...]]]:
    """What the board's check and its read-back say, without the holes."""
    return {(finding.code, tuple(finding.about)) for finding in verify(ask.circuit, layout)}


def bodies(circuit: Circuit, layout: Layout) -> list[Box]:
    """The ground plans of all parts that stand."""
    holes = layout.board.holes
    standing = [(part, layout.holes[part.id]) for part in circuit.parts if part.id in layout.holes]
    return [box for part, legs in standing for box in body_boxes(part, [holes[h] for h in legs])]


class Built:
    """What stands and lies in a layout, for weighing one more thing among it; all in pitches."""

    def __init__(self, circuit: Circuit, layout: Layout) -> None:
        holes = layout.board.holes
        self.boxes = bodies(circuit, layout)
        self.wires = [layout.line(wire) for wire in layout.wires]
        standing = [part for part in circuit.parts if part.type.body.kind != "off-board"]
        self.legs = [holes[h] for part in standing for h in layout.holes.get(part.id, ())]
        rows = [y for _, y in self.legs] + [y for line in self.wires for _, y in (line[0], line[-1])]
        self.first, self.last = min(rows, default=0.0), max(rows, default=0.0)


def open_holes(ask: Ask, layout: Layout, margin: float = 0.0) -> Mapping[str, Point]:
    """The holes that are neither used nor covered, by a body with some room or by a wire that lies flat."""
    used = {hole for hole, _ in layout.used()}
    boxes = bodies(ask.circuit, layout)
    flat: list[tuple[Point, Point]] = []
    places = layout.board.holes
    for wire in layout.wires:
        if wire.style != "flexible":
            flat += pairwise((places[wire.start], *wire.path, places[wire.end]))
    free = ask.wishes.free if ask.wishes else ()
    return {
        hole: (x, y)
        for hole, (x, y) in places.items()
        if hole not in used
        and not any(box.holds(x, y, margin) for box in boxes)
        and not any(_along((x, y), *piece) for piece in flat)
        and not any(area.holds(x, y) for area in free)
    }


def taken_up(ask: Ask, layout: Layout, part: Part) -> tuple[Layout, dict[str, Point]]:
    """The layout without a part, and the holes that are then open to its leads."""
    without = replace(layout, holes={name: legs for name, legs in layout.holes.items() if name != part.id})
    return without, {hole: at for hole, at in open_holes(ask, without).items() if ask.lets(part, at)}


def from_the_top(board: Board, wires: Iterable[Wire]) -> tuple[Wire, ...]:
    """Wires from the top down, each from its upper end."""

    def order(hole: str) -> tuple[float, float]:
        x, y = board.holes[hole]
        return (y, x)

    turned = [
        replace(wire, start=wire.end, end=wire.start, path=wire.path[::-1], dress=wire.dress[::-1])
        if order(wire.end) < order(wire.start)
        else wire
        for wire in wires
    ]
    return tuple(sorted(turned, key=lambda wire: (order(wire.start), order(wire.end))))


def in_order(ask: Ask, layout: Layout) -> Layout:
    """The layout with its wires from the top down, after those of the author."""
    held = tuple(wire for wire in layout.wires if ask.stays(wire))
    rest = (wire for wire in layout.wires if not ask.stays(wire))
    return replace(layout, wires=(*held, *from_the_top(layout.board, rest)))


def _along(hole: Point, a: Point, b: Point) -> bool:
    """Whether a piece of wire lies over a hole; one to a rail may lean a little."""
    return all(min(a[k], b[k]) <= hole[k] <= max(a[k], b[k]) for k in (0, 1))
