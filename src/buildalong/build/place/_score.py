"""How tidy a layout is: one table of weights, one function; less is better."""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from buildalong.board import Layout, strip_nets
from buildalong.build.place._bypass import rows_astray
from buildalong.build.place._gentle import End, Hurts, harm
from buildalong.build.place._ground import Box, beside, body_boxes, edges_of
from buildalong.build.place._halves import halves_terms, pairs_of
from buildalong.build.place._leads import hides, under_leads
from buildalong.build.place._led import led_terms
from buildalong.build.place._near import near_terms
from buildalong.circuit import Circuit, Part

__all__ = [
    "AROUND",
    "WEIGHTS",
    "Score",
    "Term",
    "among_many",
    "crosses",
    "lead_terms",
    "measure",
    "passes_over",
    "score",
    "supply_terms",
]

Point = tuple[float, float]

WEIGHTS: Mapping[str, tuple[float, str]] = {
    "wire": (100.0, "each wire; larger than anything tidiness can save"),
    "wire length": (1.0, "each pitch of wire"),
    "bend": (3.0, "each right-angled bend of a wire"),
    "crossing": (14.0, "each place where a wire passes over another"),
    "crossing among many": (
        10.0,
        "each of these places more in a circuit of forty legs, where the eye has many wires to follow",
    ),
    "turn": (6.0, "each right angle by which a flexible wire turns on its way around things"),
    "squeezed": (3.0, "each pitch of a flexible wire that touches a body"),
    "over a part": (60.0, "each body that a wire passes over"),
    "beside the board": (20.0, "each wire that leaves the board's outline on its way"),
    "slant": (25.0, "each wire or two-legged part that lies neither along nor across the board"),
    "span": (3.0, "each pitch between a part's leads and its tidiest lead distance"),
    "across": (3.0, "each two-legged part that bridges the trench"),
    "turned": (9.0, "each IC that does not have pin 1 at the upper left"),
    "facing": (7.0, "each polarised part that faces against most of its family"),
    "parallel": (4.0, "each axial part that does not lie like most of them"),
    "line": (2.0, "each pitch by which like parts stand out of their common column"),
    "rows": (1.6, "each row between the first and the last row in use"),
    "crowded": (2.5, "each pair of bodies less than half a pitch apart"),
    "fingers": (
        4.0,
        "each body less than 1.2 pitches from a button, switch or potentiometer, which fingers must reach",
    ),
    "under a lead": (
        25.0,
        "each body, wire and hole in use between a lead from beside the board and the edge where it comes in",
    ),
    "own light": (
        15.0,
        "each pitch short of eight between the middles of what gives light and what senses it",
    ),
    "halves": (
        12.0,
        "each pair of parts by which the halves of a symmetric circuit are no copies or mirror images",
    ),
    "bypass": (
        2.0,
        "each row beyond two from a capacitor without polarity across the supply to the nearest pin that "
        "feeds an IC; the last steps move it there",
    ),
    "probe": (3.0, "each strip in use with no hole left open in which a meter's probe could stand"),
    "supply end": (
        2.0,
        "each row between the supply leads and one end of what is built, beyond one row each",
    ),
    "supply gap": (5.0, "each pitch between the two supply leads beyond two"),
    "supply edge": (3.0, "each column between a supply lead and the long edge"),
    "off the rail": (
        40.0,
        "each supply lead beside the rails where the board has them: for both less than one wire",
    ),
    "harm": (
        4.0,
        "each point of harm that likely slips of the hand do; counted only where `gentle = true` asks",
    ),
}
"""Name -> (weight, what is counted).  The only weights there are; docs/placement.md shows them.

A new term is a line here, its count in :func:`measure`, and the same count where the search weighs: in
``_problem._weigh`` where it depends on one part alone, else in ``_habits.Habits`` and in
``_lns_cost``.
"""

AROUND = 25.0
"""What it costs to lead a flexible wire around a body that lies straight between its ends, about; more where
many wires are about."""
MANY = 40
"""Legs from which on a circuit is large."""
APART = 3.0
"""Pitches that one supply lead on a rail and the other beside the rails count for."""


@dataclass(frozen=True, slots=True)
class Term:
    """One line of a score: how much of it there is, and what one of it costs."""

    name: str
    amount: float
    weight: float

    @property
    def cost(self) -> float:
        """Amount times weight."""
        return self.amount * self.weight


@dataclass(frozen=True, slots=True)
class Score:
    """What a layout costs, term by term; less is better, no unit."""

    terms: tuple[Term, ...]

    @property
    def total(self) -> float:
        """The sum of all terms."""
        return sum(term.cost for term in self.terms)

    def amount(self, name: str) -> float:
        """How much there is of one term; 0 where it does not occur."""
        return sum(term.amount for term in self.terms if term.name == name)


def score(circuit: Circuit, layout: Layout, hurts: Hurts | None = None) -> Score:
    """Weigh a layout (the placer's or an author's own) with WEIGHTS; with ``hurts`` its slips too."""
    holes = layout.board.holes
    legs = {
        part.id: tuple(holes[h] for h in layout.holes[part.id] if h in holes)
        for part in circuit.parts
        if part.id in layout.holes
    }
    lines = [layout.line(wire) for wire in layout.wires]
    loose = [line == wire.dress for line, wire in zip(lines, layout.wires, strict=True)]
    found = measure(circuit, legs, lines, loose, edges_of(layout.board), bool(layout.board.rail_holes))
    if hurts is not None and (amount := harm(*_ends(circuit, layout), hurts)):
        return Score((*found.terms, Term("harm", amount, WEIGHTS["harm"][0])))
    return found


def _ends(circuit: Circuit, layout: Layout) -> tuple[list[End], list[tuple[Point, str]]]:
    """Ends that may slip, and everything that stands in a strip with a net."""
    holes, nets = layout.board.holes, strip_nets(circuit, layout)
    ends: list[End] = []
    held: list[tuple[Point, str]] = []

    def add(hole: str, owner: str, slips: bool) -> None:
        net = nets.get(layout.board.strip_of.get(hole, ""), "")
        if net:
            held.append((holes[hole], net))
            if slips:
                ends.append((holes[hole], owner, net))

    for part in circuit.parts:
        for leg, hole in enumerate(layout.holes.get(part.id, ())):
            add(hole, f"{part.id} {leg}", not part.type.body.legs)
    for wire in layout.wires:
        add(wire.start, "", True)
        add(wire.end, "", True)
    return ends, held


def among_many(circuit: Circuit) -> bool:
    """Whether a circuit has so many legs that it counts as large."""
    return sum(len(part.type.leg_terminals) for part in circuit.parts) >= MANY


def measure(
    circuit: Circuit,
    legs: Mapping[str, Sequence[Point]],
    wires: Sequence[Sequence[Point]],
    loose: Sequence[bool],
    edges: Box,
    has_rails: bool,
) -> Score:
    """Weigh legs (part -> points) and wires (polylines) on a board with these edges; all in pitches.

    ``loose`` wires are led around things: they do not bend, and one slants as a whole or not at all.
    """
    n: dict[str, float] = dict.fromkeys(WEIGHTS, 0.0)
    n["wire"] = len(wires)
    n["beside the board"] = sum(beside(edges, wire) for wire in wires)
    boxes: list[tuple[str, Box]] = []
    lying: Counter[tuple[str, bool]] = Counter()
    facing: Counter[tuple[str, int, int]] = Counter()
    columns: dict[str, Counter[float]] = {}
    used: list[float] = []
    leads: list[Point] = []
    held: list[Point] = []
    for part in circuit.parts:
        points = legs.get(part.id, ())
        if not points:
            continue
        boxes += [(part.id, box) for box in body_boxes(part, points)]
        if part.type.body.kind == "off-board":
            leads += points
            continue
        held += points
        used += [y for _, y in points]
        _part_terms(part, points, n, lying, facing, columns)
    for wire in wires:
        used += [y for _, y in (wire[0], wire[-1])]
    n["parallel"] = min(lying["axial", True], lying["axial", False])
    families: dict[str, list[int]] = {}
    for (family, _, _), count in facing.items():
        families.setdefault(family, []).append(count)
    n["facing"] = sum(sum(counts) - max(counts) for counts in families.values())
    for counter in columns.values():
        if sum(counter.values()) >= 3:
            best = max(counter, key=lambda x: (counter[x], -x))
            n["line"] += sum(min(4, abs(x - best)) * count for x, count in counter.items())
    _wire_terms(wires, loose, boxes, n)
    led = (line for line, one in zip(wires, loose, strict=True) if one)
    _add(n, led_terms(led, [box for _, box in boxes]))
    n["crossing among many"] = n["crossing"] * among_many(circuit)
    n["under a lead"] = under_leads(leads, [box for _, box in boxes], wires, held)
    if used:
        n["rows"] = max(used) - min(used) + 1
        for part in circuit.parts:
            if part.type.body.kind == "off-board" and part.id in legs:
                if part.type.family == "supply":
                    _add(n, supply_terms(legs[part.id], min(used), max(used)))
                for place in legs[part.id]:
                    _add(n, lead_terms(part, place, has_rails))
    families_of = {part.id: part.type.family for part in circuit.parts}
    for i, (name, a) in enumerate(boxes):
        for other, b in boxes[i + 1 :]:
            if name != other:
                _add(n, near_terms(a, b, families_of[name], families_of[other]))
    _add(n, halves_terms([(legs.get(one, ()), legs.get(other, ())) for one, other in pairs_of(circuit)]))
    n["bypass"] = rows_astray(circuit, legs)
    n["probe"] = _without_probe(legs, wires, boxes, leads)
    return Score(tuple(Term(name, float(n[name]), w) for name, (w, _) in WEIGHTS.items() if n[name]))


def _part_terms(
    part: Part,
    points: Sequence[Point],
    n: dict[str, float],
    lying: Counter[tuple[str, bool]],
    facing: Counter[tuple[str, int, int]],
    columns: dict[str, Counter[float]],
) -> None:
    body = part.type.body
    (x0, y0), (x1, y1) = points[0], points[-1]
    if body.kind == "rigid":
        if body.shape == "dip":
            first, last = points[0], points[len(points) // 2 - 1]
            n["turned"] += int(not (first[0] < 5.5 and last[1] >= first[1]))
        elif part.type.polarised:
            facing[part.type.family, _sign(x1 - x0), _sign(y1 - y0)] += 1
        columns.setdefault(part.type.family, Counter())[x0] += 1
        return
    dx, dy = abs(x1 - x0), abs(y1 - y0)
    n["slant"] += int((dx > 0.01 and dy > 0.51) or 0.01 < dx <= 0.6)
    n["span"] += abs(max(dx, dy) - body.ideal_span)
    n["across"] += int(dx > dy and x0 * x1 >= 0 and (x0 < 5.5) != (x1 < 5.5))
    if body.kind == "axial":
        lying["axial", dy >= dx] += 1
    if part.type.polarised:
        facing[part.type.family, _sign(x1 - x0) if dx > dy else 0, _sign(y1 - y0) if dy >= dx else 0] += 1
    if body.kind == "radial" and part.type.family == "led":
        columns.setdefault("led", Counter())[(x0 + x1) / 2] += 1


def _add(n: dict[str, float], terms: Mapping[str, float]) -> None:
    for name, amount in terms.items():
        n[name] += amount


def _sign(value: float) -> int:
    return (value > 1e-6) - (value < -1e-6)


def _wire_terms(
    wires: Sequence[Sequence[Point]],
    loose: Sequence[bool],
    boxes: Sequence[tuple[str, Box]],
    n: dict[str, float],
) -> None:
    pieces: list[list[tuple[Point, Point]]] = []
    for line, led in zip(wires, loose, strict=True):
        slants: list[bool] = []
        n["bend"] += 0 if led else len(line) - 2
        mine = list(itertools.pairwise(line))
        pieces.append(mine)
        for (ax, ay), (bx, by) in mine:
            dx, dy = abs(ax - bx), abs(ay - by)
            n["wire length"] += dx + dy if min(dx, dy) < 0.51 else (dx * dx + dy * dy) ** 0.5
            slants.append(dx > 0.01 and dy > 0.51)
        n["slant"] += int(any(slants) or len(line) > 2) if led else sum(slants)
        for _, box in boxes:
            n["over a part"] += int(any(passes_over(box, a, b) for a, b in mine))
    for i, one in enumerate(pieces):
        for other in pieces[i + 1 :]:
            n["crossing"] += sum(crosses(a, b, c, d) for a, b in one for c, d in other)


def passes_over(box: Box, a: Point, b: Point) -> bool:
    if max(a[0], b[0]) <= box.x0 or min(a[0], b[0]) >= box.x1:
        return False
    if max(a[1], b[1]) <= box.y0 or min(a[1], b[1]) >= box.y1:
        return False
    steps = max(2, int(4 * (abs(a[0] - b[0]) + abs(a[1] - b[1]))))
    return any(
        box.holds(a[0] + (b[0] - a[0]) * k / steps, a[1] + (b[1] - a[1]) * k / steps)
        for k in range(steps + 1)
    )


def crosses(a: Point, b: Point, c: Point, d: Point) -> bool:
    if max(a[0], b[0]) < min(c[0], d[0]) or max(c[0], d[0]) < min(a[0], b[0]):
        return False
    if max(a[1], b[1]) < min(c[1], d[1]) or max(c[1], d[1]) < min(a[1], b[1]):
        return False

    def turn(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return turn(a, b, c) * turn(a, b, d) <= 1e-9 and turn(c, d, a) * turn(c, d, b) <= 1e-9


def supply_terms(leads: Sequence[Point], first: float, last: float) -> dict[str, float]:
    """How far the supply leads stand from one common end of what is built, and from each other."""
    if not leads or last < first:
        return {}
    ends = min(sum(abs(y - end) for _, y in leads) for end in (first, last))
    out = {"supply end": max(0.0, ends - len(leads))}
    if len(leads) == 2:
        (ax, ay), (bx, by) = leads
        apart = (0 <= ax <= 11) != (0 <= bx <= 11)
        out["supply gap"] = max(0.0, abs(ax - bx) + abs(ay - by) - 2) + APART * apart
    return out


def lead_terms(part: Part, place: Point, has_rails: bool) -> dict[str, float]:
    """How far a lead of an off-board part stands from the long edge, and whether it misses the rails."""
    x = place[0]
    if not 0 <= x <= 11:
        return {}
    if part.type.family != "supply":
        return {"supply edge": min(x, 11 - x) / 2}
    return {"supply edge": min(x, 11 - x), "off the rail": float(has_rails)}


def _without_probe(
    legs: Mapping[str, Sequence[Point]],
    wires: Sequence[Sequence[Point]],
    boxes: Sequence[tuple[str, Box]],
    leads: Sequence[Point],
) -> int:
    """How many strips in use have no hole that is neither used nor covered."""
    used = {point for points in legs.values() for point in points}
    used |= {point for wire in wires for point in (wire[0], wire[-1])}
    pieces = [piece for wire in wires for piece in itertools.pairwise(wire)]
    count = 0
    for y, right in sorted({(y, x > 5.5) for x, y in used if 0 <= x <= 11}):
        holes = [(float(x), y) for x in (range(7, 12) if right else range(5))]
        count += not any(
            hole not in used
            and not any(box.holds(*hole) for _, box in boxes)
            and not any(_lies_over(hole, a, b) for a, b in pieces)
            and not any(hides(lead, hole) for lead in leads)
            for hole in holes
        )
    return count


def _lies_over(hole: Point, a: Point, b: Point) -> bool:
    """Whether a straight piece of wire along a column or a row runs over a hole."""
    inside = all(min(a[k], b[k]) <= hole[k] <= max(a[k], b[k]) for k in (0, 1))
    return inside and (a[0] == b[0] or a[1] == b[1])
