"""Single ends that went into the row beside theirs: a lead or an end of a wire, each put back alone."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from buildalong.board import Layout, Wire
from buildalong.build.hand._shift import astray, further
from buildalong.circuit import Circuit
from buildalong.finding import Finding

__all__ = ["ends_back"]

_MOST_ENDS = 4
_ROWS = (-1, 1, -2, 2)


def ends_back(circuit: Circuit, layout: Layout, errors: Callable[[Layout], list[Finding]]) -> Layout | None:
    """The layout with a few ends one or two rows elsewhere that is right; None where that does not mend it.

    Ends are moved one after the other, each the one that mends most; ``errors`` gives what is wrong.
    """
    wrong = astray(circuit, layout)
    for _ in range(_MOST_ENDS):
        weighed = [(astray(circuit, trial), n, trial) for n, trial in enumerate(_moves(circuit, layout))]
        if not weighed:
            return None
        least, _, trial = min(weighed, key=lambda one: one[:2])
        if least >= wrong:
            return None
        if least == 0:
            ready = (trial for rest, _, trial in weighed if rest == 0)
            return next((one for one in ready if not errors(one)), None)
        wrong, layout = least, trial
    return None


def _moves(circuit: Circuit, layout: Layout) -> Iterator[Layout]:
    """Every layout with one end some rows further; nearer rows first, wires before parts."""
    taken = {hole for hole, _ in layout.used()}
    for rows in _ROWS:
        for number, wire in enumerate(layout.wires):
            for new in _wire_moves(layout, wire, rows, taken):
                yield replace(layout, wires=(*layout.wires[:number], new, *layout.wires[number + 1 :]))
        for part, holes in layout.holes.items():
            if circuit.by_id[part].type.body.legs:
                continue
            for leg, hole in enumerate(holes):
                there = further(layout.board, hole, rows)
                if there is not None and there not in taken:
                    moved = (*holes[:leg], there, *holes[leg + 1 :])
                    yield replace(layout, holes={**layout.holes, part: moved})


def _wire_moves(layout: Layout, wire: Wire, rows: int, taken: set[str]) -> Iterator[Wire]:
    """The wire with its start, then its end, in another row; a bend beside it in its row goes along."""
    start, end = further(layout.board, wire.start, rows), further(layout.board, wire.end, rows)
    if start is not None and start not in taken:
        yield replace(wire, start=start, path=_bent(layout, wire.start, start, wire.path))
    if end is not None and end not in taken:
        back = _bent(layout, wire.end, end, wire.path[::-1])
        yield replace(wire, end=end, path=back[::-1])


def _bent(
    layout: Layout, old: str, new: str, path: tuple[tuple[float, float], ...]
) -> tuple[tuple[float, float], ...]:
    (_, was), (_, now) = layout.board.holes[old], layout.board.holes[new]
    if path and path[0][1] == was:
        return ((path[0][0], now), *path[1:])
    return path
