"""Who stands left of whom, and who above whom."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from buildalong.drawing.schematic._items import GROUND, Item, base_of, decouples, sides_of
from buildalong.drawing.schematic._shape import LEFT, RIGHT

__all__ = ["TWINS", "order_of"]

TWINS = 0.6
"""Weight of the wish that transistors of one type stand in the order of the netlist."""
AWAY = 0.3
"""Weight of the wish that what is not in use stands right of each thing."""
Pairs = list[tuple[int, int, float]]
"""(item, item, weight)"""


def order_of(items: Sequence[Item]) -> tuple[Pairs, Pairs, Pairs]:
    """Who stands left of, above and close to whom.

    From each IC, inputs to the left and what follows the outputs to the right; feedback above it;
    decoupling close to the nearest IC, or else towards the supply.
    """
    touching: dict[int, list[int]] = {}
    for i, item in enumerate(items):
        for net in item.nets:
            if net > GROUND:
                touching.setdefault(net, []).append(i)
    pairs: dict[tuple[int, int], float] = {}
    above: Pairs = []
    for i, item in enumerate(items):
        base = base_of(item)
        if item.box is None and not item.triangle and base is None:
            continue
        sides = [LEFT if k == base else RIGHT for k in range(3)] if base is not None else sides_of(item)
        out_nets = {net for net, side in zip(item.nets, sides, strict=True) if side == RIGHT and net > GROUND}
        in_nets = {net for net, side in zip(item.nets, sides, strict=True) if side == LEFT and net > GROUND}
        after = _closure(items, touching, out_nets, in_nets, i)
        ahead = _closure(items, touching, in_nets, out_nets, i)
        for j in sorted(after - ahead):
            pairs[i, j] = 1.0
        for j in sorted(ahead - after):
            pairs[j, i] = 1.0
        if item.triangle and len(item.nets) > 0:
            above += [(i, j, 1.0) for j in range(i + 1, len(items)) if items[j].part.id == item.part.id]
            for j, other in enumerate(items):
                ends = set(other.nets)
                if j != i and len(other.nets) == 2 and ends & out_nets and ends & in_nets:
                    above.append((j, i, 1.0))
                    pairs.pop((i, j), None)
                    pairs.pop((j, i), None)
    ordered = [(i, j, w) for (i, j), w in sorted(pairs.items()) if (j, i) not in pairs]
    ordered += _reading(items, {(i, j) for i, j, _ in ordered})
    near: Pairs = []
    chips = [
        j for j, item in enumerate(items) if item.box is not None or (item.triangle and len(item.nets) > 3)
    ]
    for i, item in enumerate(items):
        if decouples(item):
            near += [(i, j, 0.5 / len(chips)) for j in chips]
            ordered += [(i, j, 0.7 if not chips else 0.2) for j in range(len(items)) if j != i]
    # What is not in use stands at the far end.
    for i, item in enumerate(items):
        if item.triangle and all(net <= GROUND for net in item.nets):
            ordered += [(j, i, AWAY) for j in range(len(items)) if j != i]
    return ordered, above, near


def _reading(items: Sequence[Item], known: set[tuple[int, int]]) -> Pairs:
    """Like parts at one net or at one change-over switch, and transistors, in the order of the netlist.

    Only where nothing else orders them.
    """
    out: Pairs = []
    throws = {frozenset((item.nets[0], item.nets[2])) for item in items if item.part.type.family == "switch"}
    for i, one in enumerate(items):
        if base_of(one) is not None:
            others = [j for j in range(i + 1, len(items)) if base_of(items[j]) is not None]
            for j in others:
                if (i, j) not in known and (j, i) not in known:
                    out.append((i, j, TWINS if items[j].part.type.id == one.part.type.id else 0.15))
        if len(one.nets) != 2:
            continue
        for j in range(i + 1, len(items)):
            other = items[j]
            alike = other.part.type.family == one.part.type.family and len(other.nets) == 2
            met = set(one.nets) & set(other.nets) or any(
                frozenset((a, b)) in throws for a in one.nets for b in other.nets if a != b
            )
            if alike and met and (i, j) not in known and (j, i) not in known:
                out.append((i, j, 0.2))
    return out


def _closure(
    items: Sequence[Item], touching: Mapping[int, list[int]], nets: set[int], shut: set[int], origin: int
) -> set[int]:
    """Parts reached from nets without passing a rail, an IC or the nets shut (the IC's other side)."""
    seen: set[int] = set()
    queue = sorted(nets)
    done = nets | shut
    while queue:
        net = queue.pop(0)
        for i in touching.get(net, []):
            if i == origin or i in seen:
                continue
            item = items[i]
            if item.box is not None or item.triangle:
                # The next IC follows only where the net enters it on its left side.
                enters = any(n == net and s == LEFT for n, s in zip(item.nets, sides_of(item), strict=True))
                if enters:
                    seen.add(i)
                continue
            seen.add(i)
            for other in item.nets:
                if other > GROUND and other not in done:
                    done.add(other)
                    queue.append(other)
    return seen
