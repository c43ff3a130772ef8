"""The arrays of the compiled search.

The board is a lattice: columns one pitch apart from x = -7 on, rows half a pitch apart from y = -2 on.  A
lattice row is one whole number of bits, a lattice column three; so whether a piece of wire is free is one
look, however long it is.  Costs are hundredths of the score's.
"""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np
from numba import njit

from buildalong.build.place._near import HANDLED, LIGHTS, SENSORS
from buildalong.build.place._score import AROUND, WEIGHTS, among_many
from buildalong.build.place._task import Problem

__all__ = [
    "CELLS", "MOST_WIRES", "PER_WORD", "ROWS", "WIDE", "WORDS", "X0", "Y0",
    "Board", "State", "Work", "copied", "empty_state", "entry", "flattened", "helper", "new_work",
]  # fmt: skip

WIDE, ROWS = 26, 180
X0, Y0 = 7, 4
"""Lattice column of x = 0; lattice row of y = 0."""
PER_WORD, WORDS = 60, 3
"""Bits of a word of a column, and its words."""
CELLS = WIDE * ROWS
MOST_WIRES = 160
STYLES = ("formed", "link", "flexible")

helper: Any = njit(  # type: ignore[call-overload]
    nogil=True, no_cpython_wrapper=True, no_cfunc_wrapper=True, error_model="numpy", _nrt=False
)
"""For a function that only compiled functions call."""
entry: Any = njit(  # type: ignore[call-overload]
    cache=True, nogil=True, error_model="numpy", _nrt=False
)
"""For the function that Python calls: kept on disk."""


class Board(NamedTuple):
    """What does not change during a search.

    ``hole``: x, y on the lattice, strip of each hole; ``strip``: first of its holes in ``holes``, row on
    the lattice, on the right, on a rail, sign of the rail, the strip it is joined to by fixed wires, its
    holes; ``unit``: first leg, first candidate, number of candidates, first number in ``legs_at``, first
    box, bodies, axial, family that faces, family that lines up, stiff, off the board, handled, supply,
    first neighbour, 1 for what gives light and 2 for what senses it; ``legs``: net of each leg;
    ``legs_at``: the holes of all candidates; ``static``: cost of each candidate; ``cover``: holes under it,
    from ``cover_at`` on; ``boxes``: x0, y0, x1, y1 in pitches, round; ``near``: neighbours of units;
    ``net``: first in ``net_legs``, sign of its rail; ``net_legs``: unit, leg; ``links``: unit, leg, unit,
    leg; ``pairs``: units that change places in a swap; ``movable``: units with a choice; ``size``: style,
    last row, weights, first and last column and row of the lattice on the board; ``last``: rows of the
    lattice that a body or a wire may reach.
    """

    hole: Any
    strip: Any
    holes: Any
    unit: Any
    legs: Any
    legs_at: Any
    static: Any
    cover_at: Any
    cover: Any
    boxes: Any
    near: Any
    net: Any
    net_legs: Any
    links: Any
    pairs: Any
    movable: Any
    size: Any
    last: Any


class State(NamedTuple):
    """A layout.

    ``choice``: candidate of each unit; ``used``, ``covered``: leads in and bodies over each hole;
    ``owner``: net of each strip, legs and ends of wires in it; ``solid``: how often each cell is closed;
    ``bits``: closed, wires across, wires along, under leads, by lattice row; ``columns`` the same by column,
    in words;
    ``across``, ``along``: the wire in each cell, from 1 on; ``wire``: net (-1: none), strips, points, x and y
    of each; ``lost``: joins of each net for which no way was found; ``rank``: rank and cost, one more
    than the last wire, and what the parts cost, their first and last row and what they have under leads.
    """

    choice: Any
    used: Any
    covered: Any
    owner: Any
    solid: Any
    bits: Any
    columns: Any
    across: Any
    along: Any
    wire: Any
    lost: Any
    rank: Any


class Work(NamedTuple):
    """Scratch.

    ``path``: a way: points, then x and y of each; ``best``: the best of several; ``dirty``: nets to be laid
    again; ``order``: numbers to be shuffled; ``parent``, ``far``, ``came``: of strips while a net is joined;
    ``leg_cost``: of each strip for up to forty nets; ``which``: net of each of those; ``counts``: work so
    far, steps, and numbers handed on; ``rng``: random state; ``hit``: wires in the way of a part; ``runs``:
    how far from a hole it is free to the left, right, up and down, and when that was looked at;
    ``chosen``: units taken off; ``key``, ``near``, ``fresh``: of the strips in ``order``;
    ``cut``: wires past each row; of straight ones on each side, then columns there and the strip;
    ``moves``: what takes a pair of units onto one another.
    """

    path: Any
    best: Any
    dirty: Any
    order: Any
    parent: Any
    far: Any
    came: Any
    leg_cost: Any
    which: Any
    counts: Any
    rng: Any
    hit: Any
    runs: Any
    chosen: Any
    key: Any
    near: Any
    fresh: Any
    cut: Any
    moves: Any


def flattened(problem: Problem) -> Board:
    """A problem as arrays."""
    g, units = problem.geometry, problem.units
    hole = np.stack([g.x + X0, 2 * g.y + Y0, g.strip]).round().astype(np.int64)
    strip = np.zeros((6, len(g.strip_names) + 1), np.int64)
    strip[0, 1:] = np.cumsum([len(h) for h in g.strip_holes])
    strip[1, :-1] = (2 * g.row + Y0).round()
    strip[2, :-1], strip[3, :-1], strip[5, :-1] = g.right, g.rail, problem.group
    strip[4, :-1] = [g.sign[holes[0]] for holes in g.strip_holes]
    unit = np.zeros((15, len(units) + 1), np.int64)
    families: dict[str, int] = {}
    near: list[int] = []
    boxes: list[Any] = []
    covers: list[Any] = []
    for i, u in enumerate(units):
        part = problem.circuit.by_id[u.legs[0][0]]
        alone = len({p for p, _ in u.legs}) == 1
        body = part.type.body if alone else None
        unit[:, i + 1] = unit[:, i]
        unit[0, i + 1] += len(u.legs)
        unit[1, i + 1] += len(u)
        unit[2, i] = len(u)
        unit[3, i + 1] += len(u) * len(u.legs)
        unit[4, i + 1] += len(u) * len(u.rounds)
        unit[5, i] = len(u.rounds)
        unit[6:13, i] = 0
        unit[7:9, i] = -1
        unit[11, i] = part.type.family in HANDLED
        unit[12, i] = part.type.family == "supply"
        unit[14, i] = (part.type.family in LIGHTS) + 2 * (part.type.family in SENSORS)
        if body is not None:
            family = families.setdefault(part.type.family, len(families))
            unit[6, i] = body.kind == "axial"
            if part.type.polarised and body.shape != "dip":
                unit[7, i] = family
            if body.kind == "rigid" or part.type.family == "led":
                unit[8, i] = family
            unit[9, i] = body.kind == "rigid"
            unit[10, i] = body.kind == "off-board"
        near += [j for j, other in enumerate(units) if j != i and set(u.nets) & set(other.nets)]
        unit[13, i + 1] = len(near)
        rounds = np.broadcast_to(np.array(u.rounds, float)[None, :, None], (len(u), len(u.rounds), 1))
        boxes.append(np.concatenate([u.boxes, rounds], axis=2).reshape(-1, 5))
        bits = np.unpackbits(u.cover_bits.astype("<u8").view(np.uint8), axis=1, bitorder="little")
        where, holes = np.nonzero(bits)
        covers.append((np.bincount(where, minlength=len(u)), holes))
    nets: list[list[tuple[int, int]]] = [[] for _ in range(problem.nets)]
    where_leg = {}
    for i, u in enumerate(units):
        for k, (leg, number) in enumerate(zip(u.legs, u.nets, strict=True)):
            nets[number].append((i, k))
            where_leg[leg] = (i, k)
    names = list(problem.circuit.nets)
    net = np.zeros((2, problem.nets + 1), np.int64)
    net[0, 1:] = np.cumsum([len(n) for n in nets])
    for number, name in enumerate(names):
        net[1, number] = (name == problem.circuit.plus) - (name == problem.circuit.ground)
    links = [(*where_leg[a], *where_leg[b]) for a, b in problem.links if a in where_leg and b in where_leg]
    many = among_many(problem.circuit)
    more = {"crossing": WEIGHTS["crossing among many"][0] * many}
    if problem.router.style == "flexible" and not many:
        more["over a part"] = AROUND - WEIGHTS["over a part"][0]
    weights = [round(100 * (WEIGHTS[name][0] + more.get(name, 0.0))) for name in _WEIGHED]
    counts = np.concatenate([c for c, _ in covers])
    return Board(
        hole=hole,
        strip=strip,
        holes=np.array([h for holes in g.strip_holes for h in holes], np.int64),
        unit=unit,
        legs=np.array([n for u in units for n in u.nets], np.int64),
        legs_at=np.concatenate([u.holes.reshape(-1) for u in units]).astype(np.int64),
        static=np.concatenate([np.rint(100 * u.static) for u in units]).astype(np.int64),
        cover_at=np.concatenate([[0], np.cumsum(counts)]).astype(np.int64),
        cover=np.concatenate([h for _, h in covers]).astype(np.int64),
        boxes=np.concatenate(boxes),
        near=np.array([*near, 0], np.int64),
        net=net,
        net_legs=np.array([leg for n in nets for leg in n], np.int64).reshape(-1, 2),
        links=np.array(links, np.int64).reshape(-1, 4),
        pairs=np.array(problem.habits.pairs, np.int64).reshape(-1, 2),
        movable=np.array([i for i, u in enumerate(units) if len(u) > 1], np.int64),
        size=np.array([STYLES.index(problem.router.style), g.rows, *weights, *_edges(problem)], np.int64),
        last=min(ROWS, Y0 + max(2 * g.rows + 5, *(int(2 * box[:, 3].max(initial=0.0)) + 4 for box in boxes))),
    )


_WEIGHED = (
    "wire", "wire length", "bend", "crossing", "parallel", "facing", "line", "rows", "crowded", "fingers",
    "probe", "supply end", "supply gap", "own light", "halves", "under a lead",
    "over a part", "beside the board",
)  # fmt: skip


def _edges(problem: Problem) -> tuple[int, int, int, int]:
    """The first and the last lattice column on the board, the first and the last lattice row."""
    edges = problem.router.edges
    first, last = math.ceil(edges.x0 + X0), math.floor(edges.x1 + X0)
    return first, last, math.ceil(2 * edges.y0 + Y0), math.floor(2 * edges.y1 + Y0)


def empty_state(problem: Problem) -> State:
    """A board with nothing on it but wires that stay."""
    g = problem.geometry
    holes, strips = len(g.names), len(g.strip_names)
    state = State(
        choice=np.full(len(problem.units), -1, np.int64),
        used=np.zeros(holes, np.int16),
        covered=np.zeros(holes, np.int16),
        owner=np.zeros((3, strips), np.int64),
        solid=np.zeros(CELLS, np.int16),
        bits=np.zeros((4, ROWS), np.int64),
        columns=np.zeros((4, WIDE * WORDS), np.int64),
        across=np.zeros(CELLS, np.int16),
        along=np.zeros(CELLS, np.int16),
        wire=np.full((12, MOST_WIRES), -1, np.int16),
        lost=np.zeros(problem.nets, np.int64),
        rank=np.zeros(7, np.int64),
    )
    state.owner[0] = -1
    for wire in problem.fixed_wires:
        state.used[wire.start] += 1
        state.used[wire.end] += 1
    from buildalong.build.place._route import bit

    fixed = problem.fixed_lattice
    for row in range(ROWS):
        y = (row - Y0) / 2
        for column in range(WIDE):
            place = 1 << bit(column - X0, y)
            if fixed.solid & place or not -0.5 <= y <= g.rows + 1.5:
                _close(state, 0, column, row)
                state.solid[row * WIDE + column] += 1
            for kind, wires in ((1, fixed.h), (2, fixed.v)):
                if wires & place:
                    _close(state, kind, column, row)
    return state


def _close(state: State, kind: int, column: int, row: int) -> None:
    state.bits[kind, row] |= 1 << column
    state.columns[kind, column * WORDS + row // PER_WORD] |= 1 << (row % PER_WORD)


def new_work(problem: Problem, seed: int) -> Work:
    """Scratch arrays for a problem."""
    strips = len(problem.geometry.strip_names)
    most = max(problem.nets, len(problem.units), strips) + 8
    return Work(
        path=np.zeros(10, np.int64),
        best=np.zeros(10, np.int64),
        dirty=np.zeros(problem.nets + 1, np.int64),
        order=np.zeros(most, np.int64),
        parent=np.zeros(strips, np.int64),
        far=np.zeros(strips, np.int64),
        came=np.zeros(strips, np.int64),
        leg_cost=np.zeros((40, strips), np.int64),
        which=np.zeros(40, np.int64),
        counts=np.zeros(64 + 16 * 40, np.int64),
        rng=np.array([seed * 7919 + 12345], np.uint64),
        key=np.zeros(most, np.int64),
        near=np.zeros(most, np.int64),
        fresh=np.zeros(most, np.int64),
        cut=np.zeros(6 * ROWS, np.int64),
        hit=np.zeros(MOST_WIRES, np.int64),
        runs=np.zeros((len(problem.geometry.names), 5), np.int64),
        moves=np.zeros((4 * len(problem.habits.pairs) + 1, 4), np.int64),
        chosen=np.zeros(len(problem.units) + 8, np.int64),
    )


def copied(state: State) -> State:
    """A copy that shares nothing."""
    return State(*(array.copy() for array in state))
