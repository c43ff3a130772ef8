"""An independent reading of a layout: shares no code with the placer, nor with the board's read-back."""

from __future__ import annotations

import math
from itertools import combinations

from buildalong.board import Layout
from buildalong.circuit import Circuit

MM = 2.54


def partition(circuit: Circuit, layout: Layout) -> set[frozenset[tuple[str, str]]]:
    """Which terminals are joined, by flooding from strip to strip."""
    near: dict[str, set[str]] = {s: set() for s in layout.board.strips}
    on: dict[str, set[tuple[str, str]]] = {s: set() for s in layout.board.strips}
    where = {h: s for s, holes in layout.board.strips.items() for h in holes}
    for wire in layout.wires:
        a, b = where[wire.start], where[wire.end]
        near[a].add(b)
        near[b].add(a)
    for part in circuit.parts:
        legs: dict[str, list[str]] = {}
        for terminal, hole in zip(part.type.leg_terminals, layout.holes[part.id], strict=True):
            on[where[hole]].add((part.id, terminal))
            legs.setdefault(terminal, []).append(where[hole])
        for strips in legs.values():
            for a, b in combinations(strips, 2):
                near[a].add(b)
                near[b].add(a)
    out, seen = set(), set()
    for start in layout.board.strips:
        if start in seen:
            continue
        todo, pins = [start], set()
        seen.add(start)
        while todo:
            strip = todo.pop()
            pins |= on[strip]
            todo += [s for s in near[strip] if s not in seen]
            seen |= near[strip]
        if pins:
            out.add(frozenset(pins))
    return out


def wanted(circuit: Circuit) -> set[frozenset[tuple[str, str]]]:
    """The same partition as the circuit asks for it."""
    nets: dict[object, set[tuple[str, str]]] = {}
    for part in circuit.parts:
        for terminal, net in zip(part.type.terminals, part.nets, strict=True):
            nets.setdefault((part.id, terminal.name) if net is None else net, set()).add(
                (part.id, terminal.name)
            )
    return {frozenset(pins) for pins in nets.values()}


def _outline(part, points):
    """The body as (corners of an oriented rectangle, or centre and radius), mm."""
    body = part.type.body
    if body.kind == "off-board":
        return None
    xs, ys = [x * MM for x, _ in points], [y * MM for _, y in points]
    centre = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
    if body.length == body.width and body.shape in ("dome", "can", "buzzer"):
        return ("round", centre, body.length / 2)
    if body.legs:
        rows = max(leg.at[1] for leg in body.legs) - min(leg.at[1] for leg in body.legs)
        along_y = abs((max(ys) - min(ys)) / MM - rows) < 0.1
    else:
        along_y = max(ys) - min(ys) > max(xs) - min(xs)
    dx, dy = (body.width, body.length) if along_y else (body.length, body.width)
    return ("box", centre, (dx / 2, dy / 2))


def _depth(a, b) -> float:
    """How far two outlines overlap, mm (negative: apart)."""
    if a[0] == b[0] == "round":
        return a[2] + b[2] - math.dist(a[1], b[1])
    if a[0] == "round":
        a, b = b, a
    if b[0] == "round":
        inside = [a[2][k] - abs(b[1][k] - a[1][k]) for k in (0, 1)]
        if min(inside) > 0:
            return b[2] + min(inside)
        away = [max(-depth, 0) for depth in inside]
        return b[2] - math.hypot(*away)
    return min(a[2][k] + b[2][k] - abs(a[1][k] - b[1][k]) for k in (0, 1))


def faults(circuit: Circuit, layout: Layout) -> list[str]:
    """Everything that is wrong with a layout, in words; empty where it can be built."""
    out = []
    if partition(circuit, layout) != wanted(circuit):
        out.append("the board does not make the circuit")
    used = [hole for holes in layout.holes.values() for hole in holes]
    used += [hole for wire in layout.wires for hole in (wire.start, wire.end)]
    if len(used) != len(set(used)):
        out.append("a hole is used twice")
    places = layout.board.holes
    outlines = {}
    for part in circuit.parts:
        points = [places[h] for h in layout.holes[part.id]]
        outline = _outline(part, points)
        if outline is not None:
            outlines[part.id] = outline
        body = part.type.body
        if not body.legs and body.kind != "off-board":
            reach = math.dist(*points)
            if not body.span[0] - 0.15 <= reach <= body.span[1] + 0.15:
                out.append(f"{part.id} spans {reach}")
        if body.straddles and not min(x for x, _ in points) < 5.5 < max(x for x, _ in points):
            out.append(f"{part.id} does not straddle the trench")
        for i, j in combinations(range(len(body.legs)), 2):
            apart = math.dist(body.legs[i].at, body.legs[j].at)
            if abs(math.dist(points[i], points[j]) - apart) > 1e-6:
                out.append(f"{part.id}'s legs do not fit")
    for one, other in combinations(outlines, 2):
        if _depth(outlines[one], outlines[other]) > 0.05:
            out.append(f"{one} and {other} collide")
    owners = {h: p for p, holes in layout.holes.items() for h in holes}
    for name, outline in outlines.items():
        for hole in used:
            x, y = places[hole]
            if owners.get(hole) != name and _depth(outline, ("round", (x * MM, y * MM), 0.0)) > 0.05:
                out.append(f"{hole} lies under {name}")
    return out


def under_leads(circuit: Circuit, layout: Layout) -> list[str]:
    """Parts under the leads of what lies beside the board, each along its row to the nearer long edge."""
    out = []
    for part in circuit.parts:
        for hole in layout.holes[part.id] if part.type.body.kind == "off-board" else ():
            x, y = layout.board.holes[hole]
            edge = -5.0 if x < 5.5 else 16.0
            way = ("box", ((x + edge) / 2 * MM, y * MM), (abs(x - edge) / 2 * MM, 0.0))
            for other in circuit.parts:
                body = _outline(other, [layout.board.holes[h] for h in layout.holes[other.id]])
                if body is not None and _depth(body, way) > 0.05:
                    out.append(f"{hole} over {other.id}")
    return out
