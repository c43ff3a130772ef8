"""Like branches side by side stand in the order of the netlist: they change places when all is done."""

from __future__ import annotations

from collections.abc import Sequence

from buildalong.drawing.schematic._arrays import Problem, State, copied
from buildalong.drawing.schematic._branches import Branch, branches
from buildalong.drawing.schematic._items import Item

__all__ = ["in_order"]


def in_order(items: Sequence[Item], problem: Problem, state: State, still: frozenset[int]) -> State:
    """The placement with like branches between the same two nets in reading order; ``still`` items stay."""
    like: dict[object, list[Branch]] = {}
    for branch in branches(items):
        if not still & {i for i, _ in branch}:
            like.setdefault(_key(items, branch), []).append(branch)
    out = copied(state)
    for row in like.values():
        places = sorted(row, key=lambda b: (int(state.sym[0, b[0][0]]), int(state.sym[1, b[0][0]])))
        for branch, place in zip(sorted(row), places, strict=True):
            for (i, _), (j, _) in zip(branch, place, strict=True):
                out.sym[:2, i] = state.sym[:2, j]
                out.sym[2, i] = problem.s[1, i] + state.sym[2, j] - problem.s[1, j]
                t, u = int(problem.s[0, i]), int(problem.s[0, j])
                out.ter[:, t : t + 2] = state.ter[:, u : u + 2]
    return out


def _key(items: Sequence[Item], branch: Branch) -> object:
    """What two branches must share to change places: their nets, and part by part family and positions."""
    (first, k), (last, end) = branch[0], branch[-1]
    kinds = tuple(
        (items[i].part.type.family, entry, tuple((v.turn, v.mirror, v.side) for v in items[i].variants))
        for i, entry in branch
    )
    return items[first].nets[k], items[last].nets[1 - end], kinds
