"""What labels must keep off, and what it costs to cover it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from buildalong.drawing._frame import PITCH

__all__ = [
    "AWAY", "Field", "Floats", "Obstacles", "Owned", "Rect", "areas_of", "gaps", "on_the_way", "overlaps",
    "reads_on",
]  # fmt: skip

Floats = NDArray[np.float64]
Rect = tuple[float, float, float, float]
AWAY = -1e6
"""Where the line of a label without leader is said to lie."""
STRANGER = 900.0
"""What it costs a leader to run over a body that is not its own."""
BEYOND = 45.0
"""What it costs to make the picture wider."""
ACROSS = 70.0
"""What it costs to lie across the edge of the board."""
FOREIGN = 500.0
"""What it costs the name of a net to lie on a strip or wire of another."""
FILLED = 65.0
"""What it costs a part's or net's leader besides to run over a hole in use: it would seem to end there."""
THROUGH = 260.0
"""What that costs the leader of a hole's name: more than standing in another row."""
LEAD = 80.0
"""What it costs a leader to cross the lead of another part."""
ALONG = 35.0
"""What it costs it to run along a piece of a lead of its own part, as a second lead."""
ACROSS_WIRE = 14.0
"""What it costs a leader to cross a piece of a wire."""
STRUCK_OUT, PASSED, ONLY = 110.0, 30.0, 170.0
"""What it costs the leader of a part or net to strike out a letter or number; a hole's; the only one."""
ACROSS_NET = 90.0
"""What it costs the leader of a net to run over a strip or wire of another, a piece of it."""
ACROSS_BODY, STRIDE = 60.0, 150.0
"""What it costs the leader of a hole's name to run over a body, its own too, if it runs further than that."""
ON_BODY, RIM = 110.0, 4.0
"""What it costs the leader of a net to end on a body or at its rim, so near: it would seem to name that."""
HIDDEN = 120.0
"""What it costs the name of a part to lie on the lead of another, which then seems to end there."""
OWN_LEAD = 40.0
"""What it costs it to lie on a lead of its own."""
ON_BEND = 90.0
"""What it costs the name of a net besides to hide the bend of a wire, its own too."""
TURN = 45.0
"""What it costs to hide the bend or the end of a wire."""
WIRE, PART_ON_WIRE = 24.0, 28.0
"""What it costs to cover a piece of a wire, which then seems cut in two; the name of a part besides."""
OLD_TURN, OLD_WIRE = 45.0, 12.0
"""What it costs to hide the bend or end of a muted wire; a piece of one."""
NEEDED = 80.0
"""What it costs besides to drive away the only number of a row in use."""
USEFUL = 100.0
"""What it costs to drive away a letter or the number of a row in use."""


LAP = 8.0
"""Labels that share less than this of their widths or heights stand on different lines."""

Owned = tuple[str, Rect]
"""A rectangle with the key of the tag that names what lies in it."""


@dataclass
class Obstacles:
    """Rectangles by how bad covering them is: never, much, some, a little."""

    limits: Rect
    never: list[Rect] = field(default_factory=list)
    much: list[Rect] = field(default_factory=list)
    some: list[Rect] = field(default_factory=list)
    marks: list[Rect] = field(default_factory=list)
    """Numbers and letters that stand nowhere else: half of one tells nothing."""
    spare: list[Rect] = field(default_factory=list)
    """Numbers that the other side of the board has too: a cut one is left out."""
    useful: list[Rect] = field(default_factory=list)
    """Letters and numbers of rows in use that the other side has too: one counts by them."""
    needed: list[Rect] = field(default_factory=list)
    """Of the marks that stand nowhere else the numbers of rows in use."""
    turns: list[Rect] = field(default_factory=list)
    """Bends and ends of wires, and once more the signs of rails."""
    bends: list[Rect] = field(default_factory=list)
    """Bends of wires: under the name of a net a wire seems to end there."""
    faint: list[Rect] = field(default_factory=list)
    """Leads that are muted: a name close by is worth more than every piece of them."""
    old: list[Rect] = field(default_factory=list)
    """Wires that are muted."""
    old_turns: list[Rect] = field(default_factory=list)
    """Their bends and ends: a wire whose bend is hidden looks like two."""
    wires: list[Rect] = field(default_factory=list)
    """Wires where none is muted: one under a label seems cut in two."""
    little: list[Rect] = field(default_factory=list)
    bodies: list[Owned] = field(default_factory=list)
    """Bodies with the keys of the tags that name them: a label lies on none, and is nearest to its own."""
    used: list[Rect] = field(default_factory=list)
    """Holes in use."""
    leads: list[Owned] = field(default_factory=list)
    """Leads with the keys of the tags that name their parts: a leader over one misleads."""
    nets: list[Owned] = field(default_factory=list)
    """Strips and wires with the keys of the tags that name their nets: the name of another lies on none."""
    edges: list[Rect] = field(default_factory=list)
    """The sides of the board: a label lies on it or beside it, seldom across."""
    beyond: list[Rect] = field(default_factory=list)
    """Room around the picture: a label there makes it wider."""


class _Group:
    """Rectangles with what covering one costs at once, per area, and where it is half covered."""

    def __init__(self, *groups: tuple[Sequence[Rect], float, float], halves: float = 0.0) -> None:
        self.rects = np.array([rect for rects, _, _ in groups for rect in rects], float).reshape(-1, 4)
        self.base = np.array([base for rects, base, _ in groups for _ in rects])
        self.share = np.array([share for rects, _, share in groups for _ in rects])
        self.halves = halves

    def costs(self, rects: Floats) -> Floats:
        """What it costs that each of ``rects`` covers of them."""
        least, most = rects.min(axis=0), rects.max(axis=0)
        met = (self.rects[:, :2] < most[2:]).all(axis=1) & (self.rects[:, 2:] > least[:2]).all(axis=1)
        near = self.rects[met]
        areas = overlaps(rects, near)
        cost = (areas > 0) @ self.base[met] + areas @ self.share[met]
        if self.halves:
            shares = areas / areas_of(near)
            cost = cost + self.halves * (shares * (1.0 - shares)).sum(axis=1)
        return np.asarray(cost)


class Field:
    """The obstacles as arrays."""

    def __init__(self, obstacles: Obstacles) -> None:
        bodies = [rect for _, rect in obstacles.bodies]
        self.coarse = (
            _Group(
                (obstacles.never, 300.0, 1.0), (obstacles.much, 30.0, 0.3), (obstacles.some, 12.0, 0.08),
                (bodies, 250.0, 1.0), (obstacles.faint, 3.0, 0.02),
                (obstacles.old, OLD_WIRE, 0.02), (obstacles.old_turns, OLD_TURN, 0.0),
                (obstacles.beyond, BEYOND, 0.0), (obstacles.edges, ACROSS, 0.0),
                (obstacles.spare, 18.0, 0.05), (obstacles.useful, USEFUL, 0.1),
                (obstacles.turns, TURN, 0.0), (obstacles.wires, WIRE, 0.14), (obstacles.needed, NEEDED, 0.2),
            ),
            _Group((obstacles.marks, 30.0, 0.3), halves=60.0),
        )  # fmt: skip
        self.fine = _Group((obstacles.little, 0.5, 0.0), halves=6.0)
        """Many, and worth little: they are looked at for the best places only."""
        never, much = len(obstacles.never), len(obstacles.much)
        self.never, self.hard = self.coarse[0].rects[:never], self.coarse[0].rects[: never + much]
        self.marks = np.array([*obstacles.marks, *obstacles.useful, *obstacles.spare], float).reshape(-1, 4)
        self.single = np.array(obstacles.marks, float).reshape(-1, 4)
        self.bodies = np.array(bodies, float).reshape(-1, 4)
        self.owners = np.array([owner for owner, _ in obstacles.bodies], str)
        self.leads = np.array([rect for _, rect in obstacles.leads], float).reshape(-1, 4)
        self.lead_owners = np.array([owner for owner, _ in obstacles.leads], str)
        self.nets = np.array([rect for _, rect in obstacles.nets], float).reshape(-1, 4)
        self.net_owners = np.array([owner for owner, _ in obstacles.nets], str)
        self.wires = np.array(obstacles.wires, float).reshape(-1, 4)
        self.all_wires = np.array([*obstacles.wires, *obstacles.old, *obstacles.faint], float).reshape(-1, 4)
        self.needed = np.array(obstacles.needed, float).reshape(-1, 4)
        self.bends = np.array(obstacles.bends, float).reshape(-1, 4)
        self.used = np.array(obstacles.used, float).reshape(-1, 4)
        self.limits = obstacles.limits

    def costs(self, rects: Floats) -> Floats:
        """What each place costs for what it covers, free holes apart, and for leaving the picture."""
        left, top, right, bottom = self.limits
        outside = np.max(
            [left - rects[:, 0], top - rects[:, 1], rects[:, 2] - right, rects[:, 3] - bottom], axis=0
        )
        covered = self.coarse[0].costs(rects) + self.coarse[1].costs(rects)
        return np.asarray(covered + np.where(outside > 0, 5000 + outside, 0.0))

    def over_wires(self, rects: Floats) -> NDArray[np.bool_]:
        """Which of the places lie over a wire, be it a muted one."""
        return np.asarray((overlaps(rects, self.all_wires) > 0).any(axis=1))

    def behind_wires(self, lines: Floats) -> NDArray[np.bool_]:
        """Which of the leaders, drawn or not, run over a wire."""
        return np.asarray(on_the_way(lines, self.all_wires).any(axis=1))

    def to_leads(self, key: str, rects: Floats) -> Floats:
        """How far from the places the nearest lead of another part is."""
        others = self.leads[self.lead_owners != key]
        return np.asarray(gaps(rects, others).min(axis=1)) if len(others) else np.full(len(rects), np.inf)

    def foreign(self, key: str, rects: Floats) -> Floats:
        """What it costs a name to lie on what it would seem to name: another net, for a part a lead."""
        if key.startswith("part "):
            own = self.lead_owners == key
            met = overlaps(rects, self.leads) > 0
            leads = HIDDEN * met[:, ~own].any(axis=1) + OWN_LEAD * met[:, own].any(axis=1)
            return np.asarray(leads + PART_ON_WIRE * (overlaps(rects, self.wires) > 0).sum(axis=1))
        if not key.startswith("net "):
            return np.zeros(len(rects))
        areas = overlaps(rects, self.nets[self.net_owners != key])
        bent = (overlaps(rects, self.bends) > 0).any(axis=1)
        return np.asarray(FOREIGN * (areas > 0).any(axis=1) + areas.sum(axis=1) + ON_BEND * bent)

    def strangers(self, key: str, own: Floats) -> Floats:
        """The bodies that a tag does not name: of a hole or a net, those that do not lie over it."""
        if key.startswith("part "):
            return np.asarray(self.bodies[self.owners != key])
        return np.asarray(self.bodies[overlaps(self.bodies, own).sum(axis=1) <= 0])

    def crossed(self, key: str, lines: Floats, strangers: Floats, around: Rect) -> Floats:
        """What leaders cost that run over holes in use, bodies, leads, marks; their own are in no way."""
        own = np.array([around])
        # The name of a hole tells itself where its leader ends, and stands in its row, past the number.
        hole = key.startswith("hole ")
        struck = [(self.marks, PASSED), (self.single, ONLY)] if hole else [(self.marks, STRUCK_OUT)]
        prices = [(self.never, 55.0), (self.used, THROUGH if hole else FILLED), (self.hard, 25.0), *struck]
        prices += [(self.wires, ACROSS_WIRE), (self.needed, NEEDED)]
        out = STRANGER * on_the_way(lines, strangers).sum(axis=1)
        for rects, price in prices:
            smaller = np.minimum(areas_of(rects), areas_of(own))
            others = rects[overlaps(rects, own)[:, 0] < smaller / 2]
            out += price * on_the_way(lines, others).sum(axis=1)
        if hole:
            far = np.hypot(*(lines[:, 1] - lines[:, 0]).T) > ACROSS_BODY
            out += STRIDE * (far & on_the_way(lines, self.bodies).any(axis=1))
        if key.startswith("net "):
            ends = np.hstack([lines[:, 1] - RIM, lines[:, 1] + RIM])
            out += ON_BODY * (overlaps(ends, self.bodies) > 0).any(axis=1)
            out += ACROSS_NET * on_the_way(lines, self.nets[self.net_owners != key]).sum(axis=1)
        leads = self.leads[(self.lead_owners != key) & (overlaps(self.leads, own)[:, 0] <= 0)]
        along = self.leads[(self.lead_owners == key) & (overlaps(self.leads, own)[:, 0] <= 0)]
        out += ALONG * on_the_way(lines, along).sum(axis=1)
        return np.asarray(out + LEAD * on_the_way(lines, leads).any(axis=1))


def areas_of(rects: Floats) -> Floats:
    """The area of each rectangle."""
    return np.asarray(np.prod(rects[:, 2:] - rects[:, :2], axis=1))


def overlaps(a: Floats, b: Floats) -> Floats:
    """Areas that each rectangle of a shares with each of b, shape (len(a), len(b))."""
    w = np.minimum(a[:, None, 2], b[None, :, 2]) - np.maximum(a[:, None, 0], b[None, :, 0])
    h = np.minimum(a[:, None, 3], b[None, :, 3]) - np.maximum(a[:, None, 1], b[None, :, 1])
    return np.asarray(np.clip(w, 0, None) * np.clip(h, 0, None))


def gaps(a: Floats, b: Floats) -> Floats:
    """Distances between rectangles, shape (len(a), len(b)); 0 where they meet."""
    dx = np.maximum(a[:, None, 0] - b[None, :, 2], b[None, :, 0] - a[:, None, 2]).clip(0)
    dy = np.maximum(a[:, None, 1] - b[None, :, 3], b[None, :, 1] - a[:, None, 3]).clip(0)
    return np.asarray(np.hypot(dx, dy))


def reads_on(a: Floats, b: Floats) -> NDArray[np.bool_]:
    """Whether a label reads on in another: less than a hole apart on one line, or right below it."""
    dx = np.maximum(a[:, None, 0], b[None, :, 0]) - np.minimum(a[:, None, 2], b[None, :, 2])
    dy = np.maximum(a[:, None, 1], b[None, :, 1]) - np.minimum(a[:, None, 3], b[None, :, 3])
    return np.asarray(((dx < PITCH) & (dy < -LAP)) | ((dy < PITCH / 3) & (dx < -LAP)))


def on_the_way(lines: Floats, rects: Floats) -> NDArray[np.bool_]:
    """Whether each leader runs over each rectangle, shape (leaders, rectangles)."""
    out = np.zeros((len(lines), len(rects)), bool)
    drawn = np.flatnonzero(lines[:, 0, 0] > AWAY)
    if not len(drawn) or not len(rects):
        return out
    least, most = lines[drawn].min(axis=(0, 1)), lines[drawn].max(axis=(0, 1))
    met = np.flatnonzero((rects[:, :2] < most).all(axis=1) & (rects[:, 2:] > least).all(axis=1))
    if len(met):
        out[np.ix_(drawn, met)] = _cuts(lines[drawn], rects[met])
    return out


def _cuts(lines: Floats, rects: Floats) -> NDArray[np.bool_]:
    enters: float | Floats = 0.0
    leaves: float | Floats = 1.0
    with np.errstate(divide="ignore", invalid="ignore"):
        for axis in (0, 1):
            start = lines[:, 0, axis, None]
            step = lines[:, 1, axis, None] - start
            one, other = ((rects[None, :, side] - start) / step for side in (axis, axis + 2))
            enters = np.maximum(enters, np.minimum(one, other))
            leaves = np.minimum(leaves, np.maximum(one, other))
    return np.asarray(enters < leaves)
