"""Which net each strip of a built board seems meant for: by vote, then by local search."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from buildalong.board._misfit import Built, Case, Misfit
from buildalong.board._readback import Joints

__all__ = ["guess_nets"]

_SWEEPS = 6


def guess_nets(
    case: Case, built: Built, start: Mapping[str, str] | None = None, only: Iterable[str] | None = None
) -> tuple[dict[str, str], Misfit]:
    """Choose the net of each strip in use so that the misfit is small; give both.

    Begins with the nets of ``start``, or by vote, and looks again at strips where something is
    wrong and at their neighbours along wires; with ``only``, at no others than these.
    """
    inside, beside = _contents(case, built)
    used = sorted({*inside, *beside}, key=case.rank)
    nets = _first(used, inside, beside, start or {})
    best = case.misfit(built, nets)
    allowed = set(used) if only is None else _with_neighbours(only, beside)
    groups = _groups(used, beside)
    for _ in range(_SWEEPS):
        before = best.cost
        looked: set[str] = set()
        look = allowed & _with_neighbours(best.trouble(built), beside)
        while todo := [strip for strip in used if strip in look and strip not in looked]:
            strip = todo[0]
            looked.add(strip)
            for group in dict.fromkeys(((strip,), groups[strip])):
                options = [*inside.get(strip, ()), *(nets[t] for t in beside.get(strip, ()) if t in nets)]
                for net in dict.fromkeys(options):
                    trial = nets | dict.fromkeys(group, net)
                    if trial != nets and (found := case.misfit(built, trial)).cost < best.cost - 1e-9:
                        nets, best = trial, found
                        look = allowed & _with_neighbours(best.trouble(built), beside)
        if best.cost >= before - 1e-9:
            break
    return nets, best


def _contents(case: Case, built: Built) -> tuple[dict[str, dict[str, float]], dict[str, list[str]]]:
    """Strip -> nets that its leads may be meant for, with votes; strip -> strips that wires lead to."""
    inside: dict[str, dict[str, float]] = {}
    for part, strips in built.legs.items():
        ways = case.want[part]
        for way in ways:
            for strip, net in zip(strips, way, strict=True):
                if strip is not None:
                    tally = inside.setdefault(strip, {})
                    tally[net] = tally.get(net, 0.0) + case.weight[part] / len(ways)
    beside: dict[str, list[str]] = {}
    for start, end in built.wires:
        if start is not None and end is not None and start != end:
            beside.setdefault(start, []).append(end)
            beside.setdefault(end, []).append(start)
    return inside, beside


def _first(
    used: list[str],
    inside: Mapping[str, Mapping[str, float]],
    beside: Mapping[str, list[str]],
    start: Mapping[str, str],
) -> dict[str, str]:
    """The nets to begin with: as before, else by the votes of the leads, else as at a wire's other end."""
    nets: dict[str, str] = {}
    for strip in used:
        if strip in start:
            nets[strip] = start[strip]
        elif strip in inside:
            nets[strip] = min(inside[strip], key=lambda net: -inside[strip][net])
    for _ in used:
        bare = [s for s in used if s not in nets and any(t in nets for t in beside.get(s, ()))]
        if not bare:
            break
        for strip in bare:
            nets[strip] = next(nets[t] for t in beside[strip] if t in nets)
    return nets


def _with_neighbours(strips: Iterable[str], beside: Mapping[str, list[str]]) -> set[str]:
    wanted = set(strips)
    return wanted | {other for strip in wanted for other in beside.get(strip, ())}


def _groups(used: list[str], beside: Mapping[str, list[str]]) -> dict[str, tuple[str, ...]]:
    """Strip -> all strips that wires join with it."""
    joints = Joints()
    for strip in used:
        for other in beside.get(strip, ()):
            joints.join(strip, other)
    members: dict[str, list[str]] = {}
    for strip in used:
        members.setdefault(joints.root(strip), []).append(strip)
    return {strip: tuple(members[joints.root(strip)]) for strip in used}
