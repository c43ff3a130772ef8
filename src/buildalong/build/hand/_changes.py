"""What is not the same on two layouts, paired and told in words."""

from __future__ import annotations

import math
from collections.abc import Sequence

from buildalong.board import Layout, Wire, turn_of
from buildalong.build.hand._sentences import CHANGED
from buildalong.circuit import Circuit
from buildalong.words import listed

__all__ = ["changed_wires", "told_changes"]

_MOST_WIRES = 2
"""So many wires that moved alike are named; more are counted."""


def changed_wires(old: Layout, new: Layout) -> list[tuple[int | None, int | None]]:
    """Numbers of wires [from 0] of the old and the new layout that are not the same, nearest ones paired.

    None stands for a wire that is gone or is added.
    """
    fresh = list(range(len(new.wires)))
    lost: list[int] = []
    for n, wire in enumerate(old.wires):
        same = next((m for m in fresh if new.wires[m].course == wire.course), None)
        if same is None:
            lost.append(n)
        else:
            fresh.remove(same)
    pairs: list[tuple[int | None, int | None]] = []
    ways = sorted((_apart(old.wires[i], new.wires[j], new), i, j) for i in lost for j in fresh)
    for _, i, j in ways:
        if i in lost and j in fresh:
            pairs.append((i, j))
            lost.remove(i)
            fresh.remove(j)
    pairs.sort(key=lambda pair: pair[0] or 0)
    return [*pairs, *((i, None) for i in lost), *((None, j) for j in fresh)]


def told_changes(circuit: Circuit, old: Layout, new: Layout) -> tuple[str, ...]:
    """Say what is elsewhere on the new layout: things that moved by as many rows in one sentence."""
    said: list[str] = []
    together: dict[int, list[str]] = {}

    def tell(rows: int | None, name: str, key: str, **gaps: str) -> None:
        if rows is None:
            said.append(CHANGED[key].format(name=name, **gaps))
        else:
            together.setdefault(rows, []).append(name)

    for part in circuit.parts:
        before, after = old.holes.get(part.id, ()), new.holes.get(part.id, ())
        if before == after:
            continue
        rigid = bool(part.type.body.legs)
        key = "first" if rigid else "holes"
        there = CHANGED[key].format(
            holes=listed([hole for hole in after if hole in new.board.holes] or ["-"]), first=after[0]
        )
        turned = rigid and bool(before)
        turned = turned and turn_of(part.type, old.board, before) != turn_of(part.type, new.board, after)
        key = "added" if not before else "turned" if turned else "moved"
        tell(_rows(new, before, after), part.id, key, there=there)
    for one, other in changed_wires(old, new):
        wire = new.wires[other] if other is not None else old.wires[one or 0]
        was = old.wires[one] if one is not None else wire
        name = CHANGED["wire"].format(start=was.start, end=was.end)
        ends = [(was.start, was.end), (wire.start, wire.end)]
        same = set(ends[0]) == set(ends[1])
        key = "wire-added" if one is None else "wire-gone" if other is None else "bent" if same else "moved"
        rows = None if one is None or other is None else _rows(new, *ends)
        tell(rows, name, key, there=CHANGED["ends"].format(start=wire.start, end=wire.end))
    for rows, names in together.items():
        key = ("up" if rows < 0 else "down") + ("-one" if abs(rows) == 1 else "")
        wires = [name for name in names if name not in new.holes]
        if len(wires) > _MOST_WIRES:
            names = [
                *(name for name in names if name in new.holes),
                CHANGED["wires"].format(count=len(wires)),
            ]
        said.append(CHANGED[key].format(name=listed(names), rows=abs(rows)))
    return tuple(said)


def _rows(layout: Layout, before: Sequence[str], after: Sequence[str]) -> int | None:
    """By how many rows all of these holes moved down; None where they did not move so."""
    at = layout.board.holes
    if len(before) != len(after) or not before or any(hole not in at for hole in (*before, *after)):
        return None
    if any(at[a][0] != at[b][0] for a, b in zip(before, after, strict=True)):
        return None
    moves = {at[b][1] - at[a][1] for a, b in zip(before, after, strict=True) if layout.board.row_of(a)}
    rails = [at[b][1] - at[a][1] for a, b in zip(before, after, strict=True) if not layout.board.row_of(a)]
    moves = moves or set(rails[:1])
    if len(moves) != 1 or any(abs(move - min(moves)) > 1 for move in rails):
        return None
    return round(moves.pop()) or None


def _apart(one: Wire, other: Wire, layout: Layout) -> tuple[float, ...]:
    """How far the ends of two wires are apart: ends that stay, or stay in their column, count first."""
    at = layout.board.holes
    ways = []
    for a, b in ((one.start, one.end), (one.end, one.start)):
        if all(hole in at for hole in (a, b, other.start, other.end)):
            moved = (a != other.start) + (b != other.end)
            aside = (at[a][0] != at[other.start][0]) + (at[b][0] != at[other.end][0])
            way = math.dist(at[a], at[other.start]) + math.dist(at[b], at[other.end])
            ways.append((moved + 2 * aside, round(way, 6)))
    return min(ways, default=(6, math.inf))
