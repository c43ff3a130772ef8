"""The steps of the wires: in the order that costs least, with like ones together.

Wires of plus and 0 V come first, those of one net one after the other, and then whatever lies near: the
learner follows the circuit, and does not jump over the board.  Where two cross, the shorter lies below.

One wire is checked at a glance, and one row off is the commonest slip: so each has a step of its own.
Only where there are more than a dozen, those of one net share a step that follow one another within a few
rows and cross nothing; never the very first wire, with which the move is learned.
"""

from __future__ import annotations

from collections.abc import Sequence

from buildalong.board import Layout
from buildalong.build.hand import ListStep
from buildalong.build.steps._cost import Cost
from buildalong.build.steps._wiring import Wiring
from buildalong.circuit import Circuit

__all__ = ["wire_steps"]

_MANY = 12
_AT_ONCE = 4
_ROWS = 12
"""What shares a step lies within so many rows: a hand's breadth (12 rows are 30 mm)."""
_LONGEST = 8
"""So many wires at most are moved together in the search."""


def wire_steps(circuit: Circuit, layout: Layout, wiring: Wiring) -> list[ListStep]:
    """All wires in the order of building; deterministic, good, and not proved to be the best."""
    count = range(len(layout.wires))
    cost = Cost(circuit, layout, [ListStep(wires=(index,)) for index in count], wiring=wiring)
    near = [[cost.next_to(a, b) for b in count] for a in count]
    first: dict[str, float] = {}
    for index in count:
        first[wiring.net[index]] = min(first.get(wiring.net[index], 1e9), wiring.rows[index][0])

    def key(index: int) -> tuple[object, ...]:
        net = wiring.net[index]
        return (wiring.flexible[index], not wiring.supply[index], first[net], net, wiring.rows[index], index)

    return [
        ListStep(wires=tuple(wires))
        for wires in _shared(_tour(sorted(count, key=key), near, cost.matrix), layout, wiring)
    ]


def _tour(order: list[int], near: Sequence[Sequence[float]], before: Sequence[Sequence[float]]) -> list[int]:
    """The order, improved by moving a few that follow one another, turned round or not, as long as it helps.

    ``near``: what it costs that one comes next to another; ``before``: that one comes anywhere before it.
    """
    better = True
    while better:
        better = False
        for size in range(1, min(_LONGEST, len(order) - 1) + 1):
            for start in range(len(order) - size + 1):
                moved = _moved(order, start, size, near, before)
                if moved is not None:
                    order, better = moved, True
    return order


def _moved(
    order: list[int],
    start: int,
    size: int,
    near: Sequence[Sequence[float]],
    before: Sequence[Sequence[float]],
) -> list[int] | None:
    """The order with a piece of it where it costs least; None where that is where it is."""
    piece = order[start : start + size]
    rest = [*order[:start], *order[start + size :]]

    def joint(at: int, first: int, last: int) -> float:
        cost = near[rest[at - 1]][first] if at else 0.0
        cost += near[last][rest[at]] if at < len(rest) else 0.0
        return cost - (near[rest[at - 1]][rest[at]] if 0 < at < len(rest) else 0.0)

    turned = sum(before[b][a] - before[a][b] for i, a in enumerate(piece) for b in piece[i + 1 :])
    past = [sum(before[other][one] - before[one][other] for one in piece) for other in rest]
    here = joint(start, piece[0], piece[-1])
    least, best = -1e-9, None
    for way in (range(start, len(rest) + 1), range(start, -1, -1)):
        passing = 0.0
        for at in way:
            if at > start:
                passing += past[at - 1]
            elif at < start:
                passing -= past[at]
            for back in (False, True):
                first, last = (piece[-1], piece[0]) if back else (piece[0], piece[-1])
                change = joint(at, first, last) - here + passing + turned * back
                if change < least:
                    least, best = change, (at, back)
    if best is None:
        return None
    at, back = best
    return [*rest[:at], *(reversed(piece) if back else piece), *rest[at:]]


def _shared(order: Sequence[int], layout: Layout, wiring: Wiring) -> list[list[int]]:
    """The wires of each step."""
    crossing = {index for pair in wiring.crossed for index in pair}
    out: list[list[int]] = []
    for index in order:
        group = out[-1] if len(order) > _MANY and len(out) > 1 else []
        rows = [row for other in (*group, index) for row in wiring.rows[other]]
        like = {(wiring.net[i], layout.wires[i].colour, layout.wires[i].style) for i in (*group, index)}
        if (
            group
            and len(like) == 1
            and len(group) < _AT_ONCE
            and max(rows) - min(rows) <= _ROWS
            and not crossing.intersection((*group, index))
        ):
            group.append(index)
        else:
            out.append([index])
    return out
