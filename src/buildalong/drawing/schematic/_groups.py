"""Symbols that move together: fan-out arrays locked to their IC, and halves that mirror each other."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from buildalong.circuit import Circuit, Part
from buildalong.drawing import _text
from buildalong.drawing._text import Box
from buildalong.drawing.schematic._boxes import NUMBER_OFF, BoxSpec
from buildalong.drawing.schematic._items import GROUND, Item, Structure
from buildalong.drawing.schematic._layout import CELL, GAP
from buildalong.drawing.schematic._shape import RIGHT, TINY, around

__all__ = ["Groups", "find_groups", "mirror_of"]


MANY = 4
"""So many outputs keep the order of the catalogue and stand evenly."""


@dataclass(frozen=True)
class Groups:
    """Who moves with whom.

    ``groups``: item numbers, the leader first; ``offsets``: of a follower from its leader, cells;
    ``fixed``: item -> the variant it must keep; ``locked``: (item, pin number) that must not move
    along its side; ``mate``: for each group the group that mirrors it or -1; ``pins``: item ->
    its terminal's name -> the mate's terminal's name.
    """

    groups: tuple[tuple[int, ...], ...]
    offsets: Mapping[int, tuple[int, int]]
    fixed: Mapping[int, int]
    locked: frozenset[tuple[int, int]]
    mate: tuple[int, ...]
    pins: Mapping[int, dict[str, str]] = field(default_factory=dict)
    mirrored: bool = False
    hulls: Mapping[int, tuple[Box, ...]] = field(default_factory=dict)
    """Rectangles of an array's followers: those of a whole stage stand with its first."""


def find_groups(circuit: Circuit, structure: Structure) -> Groups:
    """Find arrays and, where there are none, a mirror."""
    items = structure.items
    offsets: dict[int, tuple[int, int]] = {}
    fixed: dict[int, int] = {}
    locked: set[tuple[int, int]] = set()
    followers: dict[int, list[int]] = {}
    hulls: dict[int, tuple[Box, ...]] = {}
    for i, item in enumerate(items):
        if item.box is None:
            continue
        outputs = [k for k, pin in enumerate(item.box.pins) if pin.side == RIGHT]
        if len(outputs) >= MANY:
            locked.update((i, k) for k in outputs)
        chains = {k: _chain(items, i, k) for k, pin in enumerate(item.box.pins) if pin.side == RIGHT}
        kinds = [tuple(items[j].part.type.family for j, _ in c) for c in chains.values() if c]
        common = max(set(kinds), key=lambda kind: (kinds.count(kind), kind)) if kinds else ()
        chosen = {
            k: c for k, c in chains.items() if c and tuple(items[j].part.type.family for j, _ in c) == common
        }
        if len(chosen) < 3:
            continue
        columns = _columns(items, item.box, list(chosen.values()))
        if not columns:
            continue
        for chain in chosen.values():
            followers.setdefault(i, []).extend(j for j, _ in chain)
        start = item.box.start()
        locked.update((i, k) for k in outputs)
        for k, chain in chosen.items():
            for (j, entry), (x, v) in zip(chain, columns, strict=True):
                centre = x - items[j].variants[v].terminals[entry][1]
                offsets[j] = (centre, start[k])
                fixed[j] = v
        hulls.update(_hulls(items, list(chosen.values()), offsets, fixed))
    grouped = {j for rows in followers.values() for j in rows}
    groups = [(i, *followers.get(i, ())) for i in range(len(items)) if i not in grouped]
    mirror = None if followers else mirror_of(circuit)
    mate = [-1] * len(groups)
    pins: dict[int, dict[str, str]] = {}
    if mirror is not None:
        number = {items[group[0]].part.id: g for g, group in enumerate(groups)}
        for one, (other, names) in mirror.items():
            if one != other:
                mate[number[one]] = number[other]
                pins[groups[number[one]][0]] = names
    return Groups(
        tuple(groups), offsets, fixed, frozenset(locked), tuple(mate), pins, mirror is not None, hulls
    )


def _chain(items: Sequence[Item], origin: int, pin: int) -> list[tuple[int, int]]:
    """Two-terminal parts in a row from an output pin: (item, number of the terminal it is entered by)."""
    net = items[origin].nets[pin]
    out: list[tuple[int, int]] = []
    seen = {origin}
    while net > GROUND:
        touching = [(j, k) for j, item in enumerate(items) for k, n in enumerate(item.nets) if n == net]
        nexts = [(j, k) for j, k in touching if j not in seen]
        if len(touching) != 2 or len(nexts) != 1:
            break
        j, k = nexts[0]
        if len(items[j].nets) != 2:
            break
        out.append((j, k))
        seen.add(j)
        net = items[j].nets[1 - k]
    return out


def _columns(
    items: Sequence[Item], box: BoxSpec, chains: Sequence[Sequence[tuple[int, int]]]
) -> list[tuple[int, int]]:
    """For each stage of the chains: the column where it is entered, and its variant (alike in all rows)."""
    edge = box.width * CELL
    widest = max((_text.width(pin.number, TINY) for pin in box.pins), default=0.0)
    taken: list[Box] = [(edge, -NUMBER_OFF - 0.668 * TINY, edge + NUMBER_OFF + widest, 0.0)]
    x = box.width + 1
    out = []
    for stage in range(len(chains[0])):
        options = []
        for v in range(len(items[chains[0][stage][0]].variants)):
            lying = all(items[c[stage][0]].variants[v].terminals[c[stage][1]][1] < 0 for c in chains)
            shape = items[chains[0][stage][0]].variants[v]
            if not lying or shape.turn % 2 == 0:
                continue
            rects = _around_all([items[c[stage][0]].variants[v].rects for c in chains])
            tight = any(_apart(a, _by(b, 0.0, 2 * CELL)) < GAP for a in rects for b in rects)
            at = x + 1
            enter = shape.terminals[chains[0][stage][1]][1]
            while any(_apart(_by(a, (at - enter) * CELL, 0.0), b) < GAP for a in rects for b in taken):
                at += 1
            options.append((tight, shape.cost + 0.3 * (at - x), v, at, rects, enter))
        if not options:
            return []
        _, _, v, at, rects, enter = min(options, key=lambda option: option[:3])
        taken = [_by(a, (at - enter) * CELL, 0.0) for a in rects]
        out.append((at, v))
        x = at - 2 * enter
    return out


def _hulls(
    items: Sequence[Item], chains: Sequence[Sequence[tuple[int, int]]],
    offsets: Mapping[int, tuple[int, int]], fixed: Mapping[int, int],
) -> dict[int, tuple[Box, ...]]:  # fmt: skip
    """For each follower its rectangles: all of a stage with the first, none with the others."""
    out: dict[int, tuple[Box, ...]] = {}
    for stage in zip(*chains, strict=True):
        first = stage[0][0]
        x, y = offsets[first]
        moved = []
        for j, _ in stage:
            dx, dy = (offsets[j][0] - x) * CELL, (offsets[j][1] - y) * CELL
            moved.append([_by(box, dx, dy) for box in items[j].variants[fixed[j]].rects])
            out[j] = ()
        out[first] = tuple(_around_all(moved))
    return out


def _around_all(rows: Sequence[Sequence[Box]]) -> list[Box]:
    """Rectangle by rectangle, what covers all rows (their texts differ in width)."""
    return [around(boxes) for boxes in zip(*rows, strict=True)]


def _by(box: Box, dx: float, dy: float) -> Box:
    return box[0] + dx, box[1] + dy, box[2] + dx, box[3] + dy


def _apart(one: Box, other: Box) -> float:
    return max(one[0] - other[2], other[0] - one[2], one[1] - other[3], other[1] - one[3])


def mirror_of(circuit: Circuit, least: float = 0.7) -> dict[str, tuple[str, dict[str, str]]] | None:
    """A way to exchange the circuit's halves that leaves its netlist as it is, or None.

    Gives part -> (its mirror image, terminal -> terminal).  At least ``least`` of the parts must
    change places, among them a pair of transistors; the rails stay where they are.
    """
    parts = [p for p in circuit.parts if p.type.family != "supply"]
    if sum("base" in {t.role for t in p.type.terminals} for p in parts) < 2:
        return None
    budget = [20000]

    def ways(one: Part, other: Part) -> list[dict[str, str]]:
        names = [t.name for t in one.type.terminals]
        straight = dict(zip(names, names, strict=True))
        if one.type.swappable and len(names) == 2:
            return [straight, {names[0]: names[1], names[1]: names[0]}]
        if one is other and one.type.family == "switch" and len(names) == 3:
            return [{names[0]: names[2], names[1]: names[1], names[2]: names[0]}, straight]
        return [straight]

    def extend(
        at: int, mapped: dict[str, tuple[str, dict[str, str]]], nets: dict[str, str]
    ) -> dict[str, tuple[str, dict[str, str]]] | None:
        budget[0] -= 1
        if budget[0] < 0:
            return None
        while at < len(parts) and parts[at].id in mapped:
            at += 1
        if at == len(parts):
            moved = sum(one != other for one, (other, _) in mapped.items())
            pair = any(
                one != other and "base" in {t.role for t in circuit.by_id[one].type.terminals}
                for one, (other, _) in mapped.items()
            )
            return mapped if pair and moved >= least * len(parts) else None
        one = parts[at]
        rest = [
            p for p in parts[at:] if p.id not in mapped and p.type.id == one.type.id and p.value == one.value
        ]
        for other in [*(p for p in rest if p is not one), one]:
            for names in ways(one, other):
                more = dict(nets)
                if _join(one, other, names, more):
                    back = {b: a for a, b in names.items()}
                    found = extend(
                        at + 1, {**mapped, one.id: (other.id, names), other.id: (one.id, back)}, more
                    )
                    if found is not None:
                        return found
        return None

    return extend(0, {}, {circuit.plus: circuit.plus, circuit.ground: circuit.ground})


def _join(one: Part, other: Part, names: Mapping[str, str], nets: dict[str, str]) -> bool:
    """Add the nets' correspondence that exchanging two parts needs; False where it contradicts itself."""
    for mine, theirs in names.items():
        a, b = one.net(mine), other.net(theirs)
        if (a is None) != (b is None):
            return False
        if a is None or b is None:
            continue
        if nets.get(a, b) != b or nets.get(b, a) != a:
            return False
        nets[a], nets[b] = b, a
    return True
