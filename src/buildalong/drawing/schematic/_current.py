"""How the main current runs: potentials, spines from plus to ground, feeds, feedback."""

from __future__ import annotations

from buildalong.circuit import Circuit, Part

__all__ = ["feeding", "feeds_back", "on_spine", "potentials"]

FEEDS = ("switch", "button", "diode")
"""Families that may stand in line with the plus rail."""


def potentials(circuit: Circuit, plus: str, ground: str) -> dict[str, float]:
    """Potential of every net from 0 (ground) to 1 (plus) if every part were a resistor."""
    edges: list[tuple[str, str, float]] = []
    for part in circuit.parts:
        if part.type.family == "supply":
            continue
        for a, b, weight in conducting(part):
            if a is not None and b is not None and a != b:
                edges.append((a, b, weight))
    level = dict.fromkeys(circuit.nets, 0.5)
    level[plus], level[ground] = 1.0, 0.0
    near: dict[str, list[tuple[str, float]]] = {net: [] for net in circuit.nets}
    for a, b, weight in edges:
        near[a].append((b, weight))
        near[b].append((a, weight))
    for _ in range(300):
        for net, others in near.items():
            if net not in (plus, ground):
                total = 1e-3 + sum(w for _, w in others)
                level[net] = (0.5e-3 + sum(w * level[o] for o, w in others)) / total
    return level


def conducting(part: Part) -> list[tuple[str | None, str | None, float]]:
    """Pairs of nets between which a part carries the main current."""
    roles = {t.role: net for t, net in zip(part.type.terminals, part.nets, strict=True)}
    if "collector" in roles:
        return [(roles["collector"], roles["emitter"], 1.0), (roles["base"], roles["emitter"], 0.3)]
    kind = part.type.symbol.get("kind")
    if kind == "units":
        # An open collector takes its current to ground.
        ground = part.net(part.type.symbol["ground"])
        outs = [part.net(t.name) for t in part.type.terminals if t.role == "open-output"]
        return [(net, ground, 1.0) for net in outs]
    if kind == "box":
        return []
    nets = part.nets
    if len(nets) == 2:
        return [(nets[0], nets[1], 1.0)]
    return [(nets[i], nets[i + 1], 1.0) for i in range(len(nets) - 1)]


def on_spine(circuit: Circuit, part: Part, plus: str, ground: str) -> bool:
    """Whether a chain of two-terminal parts and transistors leads from plus to ground through the part."""
    if part.type.family in ("capacitor", "electrolytic"):
        return False
    edges = [
        (a, b, p.id)
        for p in circuit.parts
        if p.type.family != "supply"
        for a, b, weight in conducting(p)
        if weight == 1.0 and a is not None and b is not None and a != b
    ]
    first, last = part.nets[0], part.nets[1]

    def reach(start: str, goal: str, shut: frozenset[str], budget: list[int]) -> list[frozenset[str]]:
        found: list[frozenset[str]] = []
        stack = [(start, frozenset([start]))]
        while stack and budget[0] > 0 and len(found) < 12:
            budget[0] -= 1
            at, seen = stack.pop()
            if at == goal:
                found.append(seen)
                continue
            for a, b, _ in edges:
                for here, there in ((a, b), (b, a)):
                    if (
                        here == at
                        and there not in seen
                        and there not in shut
                        and (there == goal or there not in (plus, ground))
                    ):
                        stack.append((there, seen | {there}))
        return found

    for up, down in ((first, last), (last, first)):
        if up is None or down is None or up == down:
            continue
        budget = [400]
        for upper in reach(up, plus, frozenset([down]), budget):
            if reach(down, ground, upper, budget):
                return True
    return False


def feeding(circuit: Circuit, plus: str, ground: str) -> tuple[list[tuple[Part, str, str]], str]:
    """Parts in line between the supply and all the rest: (part, entry, exit); and the net after them."""
    out: list[tuple[Part, str, str]] = []
    net = plus
    while len(out) < 3:
        others = [pin for pin in circuit.nets.get(net, ()) if circuit.by_id[pin.part].type.family != "supply"]
        others = [pin for pin in others if pin.part not in {part.id for part, _, _ in out}]
        if len(others) != 1:
            break
        part = circuit.by_id[others[0].part]
        if part.type.family not in FEEDS:
            break
        used = [(t.name, n) for t, n in zip(part.type.terminals, part.nets, strict=True) if n is not None]
        beyond = [(name, n) for name, n in used if name != others[0].terminal]
        if len(beyond) != 1 or beyond[0][1] in (plus, ground, net) or len(circuit.nets[beyond[0][1]]) < 3:
            break
        out.append((part, others[0].terminal, beyond[0][0]))
        net = beyond[0][1]
    return out, net


def feeds_back(circuit: Circuit, part: Part) -> bool:
    """Whether a part leads from an output of an IC back to an input of the same IC."""
    ends = [net for net in part.nets if net is not None]
    for other in circuit.parts:
        symbol = other.type.symbol
        if symbol.get("kind") not in ("box", "units"):
            continue
        left = set(symbol.get("left", []))
        outs = {
            net
            for t, net in zip(other.type.terminals, other.nets, strict=True)
            if t.role in ("output", "open-output") and t.name not in left
        }
        ins = {
            net
            for t, net in zip(other.type.terminals, other.nets, strict=True)
            if t.role in ("input", "control")
        }
        if len(ends) == 2 and ((ends[0] in outs and ends[1] in ins) or (ends[1] in outs and ends[0] in ins)):
            return True
    return False
