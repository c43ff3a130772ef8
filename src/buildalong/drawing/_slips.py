"""A part put in wrong, as a layout: what the ``slips`` of a part type mean on the board."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from buildalong.board import Board, Layout, Wire
from buildalong.circuit import Part
from buildalong.parts import Slip

__all__ = ["misplaced", "shown_slips", "two_wires", "with_bends", "without_bridge"]

Holes = tuple[str, ...]


def shown_slips(part: Part, layout: Layout) -> tuple[Slip, ...]:
    """The slips of a part that can be shown on the board, in the catalogue's order."""
    return tuple(slip for slip in part.type.slips if misplaced(part, layout, slip.kind) is not None)


def misplaced(part: Part, layout: Layout, kind: str) -> Layout | None:
    """The layout with this one part put in wrong; None where the slip moves no lead or has no room."""
    holes = layout.holes.get(part.id, ())
    move = _MOVES.get(kind)
    if move is None or not holes:
        return None
    wrong = move(part, holes, layout.board)
    if wrong is None or wrong == holes:
        return None
    return replace(layout, holes={**layout.holes, part.id: wrong})


def without_bridge(layout: Layout, index: int) -> Layout | None:
    """The layout without a wire that joins the two halves of a rail; None where the wire does not."""
    wire, board = layout.wires[index], layout.board
    rails = {board.rail_of(hole) for hole in (wire.start, wire.end)}
    strips = {board.strip_of[hole] for hole in (wire.start, wire.end)}
    if len(rails) != 1 or None in rails or len(strips) != 2:
        return None
    return replace(layout, wires=layout.wires[:index] + layout.wires[index + 1 :])


def two_wires(right: Layout, wrong: Layout, index: int) -> tuple[Wire, Wire | None]:
    """The wire as it should be and as it is, with its bends taken along; None where it is left out."""
    wire = right.wires[index]
    if len(wrong.wires) < len(right.wires):
        return wire, None
    other, holes = wrong.wires[index], right.board.holes
    path = list(wire.path)
    for end, corner in (("start", 0), ("end", -1)):
        old, new = (holes.get(getattr(each, end), (0.0, 0.0)) for each in (wire, other))
        if path and old != new:
            x, y = path[corner]
            path[corner] = (new[0] if x == old[0] else x, new[1] if y == old[1] else y)
    return wire, replace(other, path=tuple(path))


def with_bends(right: Layout, wrong: Layout) -> Layout:
    """A wrong board with its wires bent like those of the right one, as a learner would bend them."""
    if len(right.wires) != len(wrong.wires):
        return wrong
    pairs = (two_wires(right, wrong, index)[1] for index in range(len(right.wires)))
    return replace(wrong, wires=tuple(wire for wire in pairs if wire is not None))


def _reversed(part: Part, holes: Holes, board: Board) -> Holes | None:
    """Turned by half a turn on the same holes."""
    if part.type.body.shape == "dip":
        half = len(holes) // 2
        return holes[half:] + holes[:half]
    return holes[::-1] if len(holes) == 2 else None


def _turned_legs(part: Part, holes: Holes, board: Board) -> Holes | None:
    """Three legs in a row, the outer two swapped by turning the body round."""
    places = [board.holes[hole] for hole in holes]
    if len(places) != 3:
        return None
    middle = ((places[0][0] + places[2][0]) / 2, (places[0][1] + places[2][1]) / 2)
    return holes[::-1] if middle == places[1] else None


def _quarter(part: Part, holes: Holes, board: Board) -> Holes | None:
    """Four legs at the corners, turned by a quarter: the second and the third corner change places."""
    return (holes[0], holes[2], holes[1], holes[3]) if len(holes) == 4 else None


def _one_strip(part: Part, holes: Holes, board: Board) -> Holes | None:
    """Both leads in one strip: the one where a lead stands already, as far apart as the body needs."""
    least = part.type.body.span[0]
    if len(holes) != 2 or part.type.body.legs:
        return None
    for hole in holes:
        strip = board.strips[board.strip_of[hole]]
        if board.rail_of(hole) is None and len(strip) > least:
            return strip[0], strip[min(max(least, part.type.body.ideal_span), len(strip) - 1)]
    return None


def _next_row(part: Part, holes: Holes, board: Board) -> Holes | None:
    """All legs one row towards the end of the first, so that its label is far from where the part belongs.

    The other way where the board leaves no row for the label.
    """
    rows = [board.holes[hole][1] for hole in holes]
    way = -1 if 2 * rows[0] < min(rows) + max(rows) else 1
    for step, beyond in ((way, 1), (-way, 0), (way, 0)):
        moved = [board.hole_at(board.holes[h][0], board.holes[h][1] + step) for h in holes]
        if all(moved) and board.hole_at(board.holes[holes[0]][0], rows[0] + step * (1 + beyond)):
            return tuple(hole for hole in moved if hole)
    return None


_MOVES: Mapping[str, Callable[[Part, Holes, Board], Holes | None]] = {
    "reversed": _reversed,
    "leg-order": _turned_legs,
    "rotated": _quarter,
    "one-strip": _one_strip,
    "off-by-one": _next_row,
}
"""What happens to a part's holes, by the kind of slip.  Other kinds move no lead of the part itself."""
