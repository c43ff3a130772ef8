"""Parts that do the same job stand alike: about like transistors and ICs, in a pair, at a fork."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from itertools import combinations, pairwise

from buildalong.drawing.schematic._items import GROUND, Item, base_of

__all__ = ["copies", "forks", "pairs", "stages", "twins"]

MANY = 3
"""So many like transistors are a row of stages."""


def twins(items: Sequence[Item]) -> list[tuple[int, int]]:
    """ICs, and transistors, of one type: each with the next of them."""
    like: dict[str, list[int]] = {}
    for i, item in enumerate(items):
        if item.box is not None or base_of(item) is not None:
            like.setdefault(item.part.type.id, []).append(i)
    return sorted(pair for row in like.values() for pair in pairwise(row))


def copies(items: Sequence[Item], still: Collection[int]) -> list[tuple[int, int, int, int]]:
    """(i, j, a, b): part i is to a what part j is to its twin b; none of ``still``.

    From both twins the circuit is followed pin by pin over parts of two leads, as far as there is just one
    like part on either side, and not beyond the pins of another IC or transistor.
    """
    found: dict[tuple[int, int, int, int], None] = {}
    for a, b in twins(items):
        for i, j in _grown(items, a, b).items():
            if not {i, j, a, b} & set(still) and i != j:
                found[i, j, a, b] = None
    return sorted(found)


def _grown(items: Sequence[Item], a: int, b: int) -> dict[int, int]:
    """The parts about one item, each with the like part about the other."""
    one, other = (dict(zip(items[k].terminals, items[k].nets, strict=True)) for k in (a, b))
    queue = [(one[name], other[name]) for name in sorted(one)]
    done: set[tuple[int, int]] = set()
    out: dict[int, int] = {}
    while queue:
        near, far = queue.pop(0)
        if min(near, far) <= GROUND or near == far or (near, far) in done:
            continue
        done.add((near, far))
        here, there = _ends(items, near), _ends(items, far)
        for key, parts in sorted(here.items()):
            if len(parts) != 1 or len(there.get(key, ())) != 1:
                continue
            (i, k), (j, m) = parts[0], there[key][0]
            if i in out or j in out.values():
                continue
            out[i] = j
            ahead, beyond = items[i].nets[1 - k], items[j].nets[1 - m]
            if not _busy(items, ahead) and not _busy(items, beyond):
                queue.append((ahead, beyond))
    return out


def _ends(items: Sequence[Item], net: int) -> dict[tuple[str, str, int], list[tuple[int, int]]]:
    """Parts of two leads at a net, by what tells them apart: (item, number of the lead at the net)."""
    out: dict[tuple[str, str, int], list[tuple[int, int]]] = {}
    for i, item in enumerate(items):
        for k, at in enumerate(item.nets if len(item.nets) == 2 else ()):
            if at == net:
                kind = item.part.type
                lead = "" if kind.swappable else item.terminals[k]
                out.setdefault((kind.family, lead, min(item.nets[1 - k], GROUND + 1)), []).append((i, k))
    return out


def _busy(items: Sequence[Item], net: int) -> bool:
    """Whether an IC or a transistor is at a net."""
    return any(net in item.nets and len(item.nets) > 2 for item in items)


def stages(items: Sequence[Item]) -> set[int]:
    """Transistors of one type, three or more: a wire back past them would cross their ways to 0 V."""
    like: dict[str, set[int]] = {}
    for a, b in twins(items):
        if base_of(items[a]) is not None:
            like.setdefault(items[a].part.type.id, set()).update((a, b))
    return {i for row in like.values() if len(row) >= MANY for i in sorted(row)}


def pairs(items: Sequence[Item]) -> list[tuple[int, int]]:
    """Transistors with their bases and their emitters joined, which together drive one output."""
    stages = [i for i, item in enumerate(items) if base_of(item) is not None]
    return [
        (i, j) for i, j in combinations(stages, 2)
        if all(_net(items[i], role) == _net(items[j], role) > GROUND for role in ("base", "emitter"))
        and items[i].part.type.id != items[j].part.type.id
    ]  # fmt: skip


def _net(item: Item, role: str) -> int:
    roles = [str(item.part.type.terminal(name).role) for name in item.terminals]
    return item.nets[roles.index(role)]


def forks(items: Sequence[Item]) -> Iterator[tuple[int, int]]:
    """(switch, part): what follows where the branches of a change-over switch meet again."""
    for s, switch in enumerate(items):
        if switch.part.type.family != "switch" or len(switch.nets) != 3:
            continue
        ends = [[e for e in _two(items, net) if e[0] != s] for net in (switch.nets[0], switch.nets[2])]
        if any(len(found) != 1 for found in ends):
            continue
        (i, k), (j, m) = ends[0][0], ends[1][0]
        net = items[i].nets[1 - k]
        came = {i, j}
        while net == items[j].nets[1 - m] or len(came) > 2:
            nexts = [e for e in _two(items, net) if e[0] not in came]
            if net <= GROUND or len(nexts) != 1 or _busy(items, net):
                break
            (part, lead), *_ = nexts
            yield s, part
            came.add(part)
            net = items[part].nets[1 - lead]


def _two(items: Sequence[Item], net: int) -> list[tuple[int, int]]:
    """Parts of two leads at a net."""
    return [end for ends in _ends(items, net).values() for end in ends]
