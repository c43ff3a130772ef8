"""Things that stand some rows off all together: an IC moved without its wires, wires without their parts."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable
from dataclasses import replace

from buildalong.board import Board, Layout, oriented, read_back
from buildalong.circuit import Circuit
from buildalong.finding import Finding

__all__ = ["astray", "further", "shifted_back"]

_MOST_ROWS = 6
_MOST_THINGS = 24
"""Things that are moved at once; an author who moved more is better served by a new list."""


def shifted_back(
    circuit: Circuit, layout: Layout, errors: Callable[[Layout], list[Finding]]
) -> Layout | None:
    """The layout with the fewest things moved by one number of rows that is right; None where there is none.

    Things are moved one after the other, each the one that mends most; ``errors`` gives what is wrong.
    """
    best: tuple[int, Layout] | None = None
    for rows in sorted((n for n in range(-_MOST_ROWS, _MOST_ROWS + 1) if n), key=lambda n: (abs(n), n)):
        found, left, moved = _joined(circuit, layout, rows)
        if astray(circuit, found) or (best is not None and moved >= best[0]):
            continue
        found, more = _freed(found, left, rows, errors)
        moved += more
        if moved and (best is None or moved < best[0]) and not errors(found):
            best = (moved, found)
    return best[1] if best else None


def _joined(circuit: Circuit, layout: Layout, rows: int) -> tuple[Layout, list[str | int], int]:
    """The layout after all moves that join what belongs together, what stayed, and how many moved."""
    wrong, moved = astray(circuit, layout), 0
    left: list[str | int] = [*layout.holes, *range(len(layout.wires))]
    while wrong and left and moved < _MOST_THINGS:
        trials = [(name, _moved(layout, name, rows)) for name in left]
        weighed = [(astray(circuit, trial), n) for n, (_, trial) in enumerate(trials) if trial is not None]
        least, number = min(weighed, default=(wrong, 0))
        name, trial = trials[number]
        if least >= wrong or trial is None:
            break
        layout, wrong, moved = trial, least, moved + 1
        left.remove(name)
        left.sort(key=lambda other: type(other) is not type(name))  # what moved last, wires or parts, first
    return layout, left, moved


def _freed(
    layout: Layout, left: list[str | int], rows: int, errors: Callable[[Layout], list[Finding]]
) -> tuple[Layout, int]:
    """The layout after more moves of what is in the way still, and how many they are."""
    wrong, moved = errors(layout), 0
    for name in left:
        known = name if isinstance(name, str) else f"wire {name + 1}"
        if not any(known in error.about for error in wrong):
            continue
        trial = _moved(layout, name, rows)
        if trial is not None and len(found := errors(trial)) < len(wrong):
            layout, wrong, moved = trial, found, moved + 1
    return layout, moved


def _moved(layout: Layout, name: str | int, rows: int) -> Layout | None:
    """The layout with a part or a wire so many rows further down."""
    board = layout.board
    if isinstance(name, str):
        holes = [further(board, hole, rows) for hole in layout.holes[name]]
        if None in holes:
            return None
        return replace(layout, holes={**layout.holes, name: tuple(hole for hole in holes if hole)})
    wire = layout.wires[name]
    start, end = further(board, wire.start, rows), further(board, wire.end, rows)
    if start is None or end is None:
        return None
    new = replace(wire, start=start, end=end, path=tuple((x, y + rows) for x, y in wire.path))
    return replace(layout, wires=(*layout.wires[:name], new, *layout.wires[name + 1 :]))


def further(board: Board, hole: str, rows: int) -> str | None:
    """The hole so many rows further down; on a rail the nearest one within a pitch."""
    if hole not in board.holes:
        return hole
    x, y = board.holes[hole]
    if board.rail_of(hole) is None:
        return board.hole_at(x, y + rows)
    rail = [other for strip in board.strips for other in board.strips[strip] if other[:2] == hole[:2]]
    near = min(rail, key=lambda other: (abs(board.holes[other][1] - y - rows), other))
    return near if abs(board.holes[near][1] - y - rows) <= 1.0 else None


def astray(circuit: Circuit, layout: Layout) -> int:
    """How many leads are joined with others than theirs, and how many pieces nets are in too many."""
    wanted = oriented(circuit, layout)
    groups: dict[str, Counter[str]] = defaultdict(Counter)
    for part in read_back(wanted.parts, layout).parts:
        for terminal, strip in zip(part.type.terminals, part.nets, strict=True):
            if strip is not None:
                net = wanted.by_id[part.id].net(terminal.name) or f"~{part.id}.{terminal.name}"
                groups[strip][net] += 1
    ruled = Counter(max(leads, key=lambda net: (leads[net], net)) for leads in groups.values())
    strangers = sum(sum(leads.values()) - max(leads.values()) for leads in groups.values())
    return 2 * strangers + sum(count - 1 for count in ruled.values())
