"""Single slips that would explain what is wrong with a built board, and what each would mend.

A repair undoes one slip of the kinds that beginners make: a part turned, a lead one row off, wires
crossed over.  Its cost says how unlikely the slip is; the search takes the repair that mends most
for its cost, again and again, so that few slips explain many differences.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import combinations, permutations

from buildalong.board._guess import guess_nets
from buildalong.board._misfit import Built, Case, Misfit
from buildalong.circuit import Part

__all__ = ["Repair", "repaired"]

_MOST_REPAIRS = 24
_MOST_TRIALS = 1000
"""Candidates weighed in all; what they leave is told lead by lead."""
_MOST_SWAPS = 12
"""Wires in trouble among which exchanged ends are looked for."""


@dataclass(frozen=True)
class Repair:
    """One slip undone.

    ``kind``: 'reversed', 'turned', 'legs-crossed', 'shifted', 'lead-off', 'lead-lost', 'wire-end-off',
    'wire-end', 'wires-swapped'; ``before`` and ``after``: the strips of the part's legs or the wire's ends.
    """

    kind: str
    cost: float
    built: Built = field(repr=False)
    part: str = ""
    leg: int = -1
    wires: tuple[int, ...] = ()
    end: int = -1
    shift: int = 0
    before: tuple[str | None, ...] = ()
    after: tuple[str | None, ...] = ()

    @property
    def key(self) -> Hashable:
        """What is done, whatever else has been repaired."""
        return (self.kind, self.part, self.leg, self.wires, self.before, self.after)


def repaired(
    case: Case, built: Built
) -> tuple[list[tuple[Repair, dict[str, str]]], Built, dict[str, str], Misfit]:
    """Undo likely slips as long as that explains more than it costs.

    Gives the repairs, each with the strips' nets once it is done, and what is left to explain.
    """
    nets, misfit = guess_nets(case, built)
    done: list[tuple[Repair, dict[str, str]]] = []
    hopes: dict[Hashable, float] = {}
    tried = 0
    for _ in range(_MOST_REPAIRS):
        if misfit.cost <= 0:
            break
        best: tuple[float, Repair, dict[str, str]] | None = None
        # What a repair mended before bounds what it mends now: look at the hopeful ones only.
        listed = sorted(
            _candidates(case, built, nets, misfit), key=lambda item: -hopes.get(item.key, math.inf)
        )
        for repair in listed:
            if best is not None and hopes.get(repair.key, math.inf) <= best[0] + 1e-6:
                break
            if (tried := tried + 1) > _MOST_TRIALS:
                break
            touched = {s for s in (*repair.before, *repair.after) if s is not None}
            found, left = guess_nets(case, repair.built, nets, touched)
            gain = misfit.cost - left.cost - repair.cost
            if repair.kind in ("wire-end", "wire-end-off") and _gaps(left) >= _gaps(misfit):
                gain = -1.0  # the wire joins nothing that has to be joined: it is one too many
            hopes[repair.key] = gain
            if gain > 1e-6 and (best is None or gain > best[0] + 1e-6):
                best = (gain, repair, found)
        if best is None:
            break
        built = best[1].built
        nets, misfit = guess_nets(case, built, best[2])
        done.append((best[1], nets))
    return done, built, nets, misfit


def _gaps(misfit: Misfit) -> int:
    return sum(len(groups) - 1 for groups in misfit.gaps.values())


def _candidates(case: Case, built: Built, nets: Mapping[str, str], misfit: Misfit) -> Iterator[Repair]:
    wrong = {part for part, _, _ in misfit.leads}
    trouble = misfit.trouble(built)
    for part in case.parts:
        strips = built.legs[part.id]
        if part.id in wrong or case.inner[part.id] or trouble & set(strips):
            yield from _of_part(case, built, part, strips, nets, misfit)
    yield from _of_wires(case, built, nets, misfit, trouble)


def _of_part(
    case: Case,
    built: Built,
    part: Part,
    strips: tuple[str | None, ...],
    nets: Mapping[str, str],
    misfit: Misfit,
) -> Iterator[Repair]:
    name, kind, seated = part.id, part.type, None not in strips

    def moved(what: str, cost: float, after: tuple[str | None, ...], leg: int = -1, shift: int = 0) -> Repair:
        return Repair(what, cost, built.with_part(name, after), name, leg, (), -1, shift, strips, after)

    if seated and len(strips) == 2 and not kind.swappable:
        yield moved("reversed", 0.9, strips[::-1])
    if seated and len(strips) >= 3:
        # A button whose joined legs lie along the board does not fit its holes: surely it is turned.
        pairs = case.inner[name]
        along = bool(pairs) and all(_sides(strips[i], strips[j]) == 1 for i, j in pairs)
        for order in _turns(part):
            yield moved("turned", 0.4 if along else 1.0, tuple(strips[i] for i in order))
        if len(strips) == 3:
            for order3 in permutations(range(3)):
                if order3 not in ((0, 1, 2), (2, 1, 0)):
                    yield moved("legs-crossed", 1.1, tuple(strips[i] for i in order3))
    if seated and sum(s is not None for s in strips) >= 2:
        for shift in (-1, 1, -2, 2):
            after = tuple(_shifted(case, strip, shift) for strip in strips)
            if None not in after and after != strips:
                yield moved("shifted", 0.85 + 0.15 * abs(shift), after, shift=shift)
    if len(strips) > 3 and kind.body.kind == "rigid":
        return
    lone = {group[0] for groups in misfit.gaps.values() for group in groups if len(group) == 1}
    wrong = {(p, leg) for p, leg, _ in misfit.leads}
    for leg, strip in enumerate(strips):
        if strip is None or not ((name, leg) in wrong or strip in lone):
            continue
        # The supply's rails are fed where it comes in: the rail opposite lacks a wire, not the supply.
        far = () if kind.family == "supply" else _across(case, strip)
        for near in (*case.board.next_strips(strip), *far):
            after = (*strips[:leg], near, *strips[leg + 1 :])
            across = near[:-1] == strip[:-1] and near[:1] not in "LR"
            yield moved("lead-off", 0.85 if across else 0.8, after, leg)


def _sides(one: str | None, other: str | None) -> int:
    """How many sides of the trench two strips lie on."""
    return len({strip[-1] for strip in (one, other) if strip is not None})


def _turns(part: Part) -> Iterator[tuple[int, ...]]:
    """Other ways in which a part's legs can stand in the same holes: leg -> whose hole it should take."""
    count = len(part.type.leg_terminals)
    if part.type.body.shape == "tact" and count == 4:
        yield (0, 2, 1, 3)
        yield (2, 0, 3, 1)
    elif part.type.body.straddles:
        yield tuple((i + count // 2) % count for i in range(count))
    else:
        yield tuple(range(count))[::-1]


def _shifted(case: Case, strip: str | None, shift: int) -> str | None:
    """The strip some rows further down, None for rails and beyond the board."""
    if strip is None or strip[:1] in "LR":
        return strip
    moved = f"{int(strip[:-1]) + shift}{strip[-1]}"
    return moved if moved in case.board.strips else None


def _across(case: Case, strip: str) -> tuple[str, ...]:
    """The strip of the same row on the other side of the trench; the rail of the same sign opposite."""
    if strip[:1] in "LR":
        other = f"{'R' if strip[0] == 'L' else 'L'}{strip[1:]}"
        halves = [s for s in case.board.strips if s[:2] == strip[:2] and s != strip]
        return (other, *halves)
    return (f"{strip[:-1]}{'R' if strip[-1] == 'L' else 'L'}",)


def _of_wires(
    case: Case, built: Built, nets: Mapping[str, str], misfit: Misfit, trouble: set[str]
) -> Iterator[Repair]:
    leads: dict[str, int] = {}
    for strips in built.legs.values():
        for strip in strips:
            if strip is not None:
                leads[strip] = leads.get(strip, 0) + 1
    ends: dict[str, int] = {}
    for wire in built.wires:
        for strip in wire:
            if strip is not None:
                ends[strip] = ends.get(strip, 0) + 1
    loose = [
        index
        for index, wire in enumerate(built.wires)
        if index in misfit.wires
        or any(s is not None and s not in leads and ends[s] == 1 for s in wire)
        or trouble & {s for s in wire if s is not None}
    ]
    targets: dict[str, list[str]] = {}
    for net, groups in misfit.gaps.items():
        targets[net] = [strip for group in groups for strip in group]
    for index in loose:
        wire = built.wires[index]
        if None in wire:
            continue
        for end in (0, 1):
            here, other = wire[end], wire[1 - end]
            if here is None or other is None:
                continue
            near = (*case.board.next_strips(here), *_across(case, here))
            far = targets.get(nets.get(other, ""), [])
            for goal in dict.fromkeys((*near, *far)):
                if goal not in (here, other):
                    after = (goal, other) if end == 0 else (other, goal)
                    what, cost = ("wire-end-off", 0.8) if goal in near else ("wire-end", 1.05)
                    moved = built.with_wire(index, after)
                    yield Repair(what, cost, moved, "", -1, (index,), end, 0, wire, after)
    first_bad = sorted(loose, key=lambda index: index not in misfit.wires)
    bad = sorted(index for index in first_bad[:_MOST_SWAPS] if None not in built.wires[index])
    for one, two in combinations(bad, 2):
        (a, b), (c, d) = built.wires[one], built.wires[two]
        for first, second in (((a, d), (c, b)), ((a, c), (b, d))):
            swapped = built.with_wire(one, first).with_wire(two, second)
            yield Repair(
                "wires-swapped",
                1.2,
                swapped,
                wires=(one, two),
                before=(a, b, c, d),
                after=(*first, *second),
            )
