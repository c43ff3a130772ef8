"""place(): from a circuit and a board to a layout that is correct, has few wires and is tidy."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np

from buildalong.board import Board, Layout, Wire
from buildalong.build.place._bound import lower_bound
from buildalong.build.place._route import Router
from buildalong.build.place._score import WEIGHTS, Score, score
from buildalong.build.place._search import Problem, Solution, evaluate, search
from buildalong.build.place._space import Geometry, Unit, net_numbers, single_unit
from buildalong.circuit import Circuit
from buildalong.finding import Finding, Severity

__all__ = ["Placement", "Style", "place"]

Style = Literal["formed", "link", "flexible"]

STEPS_PER_SECOND = 220
"""Search steps that stand for one second of ``seconds``; a count, so that results do not depend on the clock."""
COLOURS = ("yellow", "green", "blue", "orange", "white", "violet", "grey", "brown")


@dataclass(frozen=True)
class Placement:
    """A layout with its score, the proved lower bound on its wires, and what there is to say about it."""

    layout: Layout
    wire_count: int
    lower_bound: int
    proved: bool
    score: Score
    findings: tuple[Finding, ...] = ()


def place(
    circuit: Circuit,
    board: Board,
    *,
    fixed: Layout | None = None,
    style: str = "formed",
    seconds: float = 10.0,
    progress: Callable[[float, str], None] | None = None,
) -> Placement:
    """Place a circuit on a board with as few wires as possible, and tidily.

    ``fixed``: legs and wires that stay (parts left out are placed).  ``style``: "formed" wires lie
    flat with at most two right-angled bends, "link" wires are straight, "flexible" ones arch over.
    ``seconds`` sets the amount of work as a count of steps, not as a time: the same call gives the
    same bytes everywhere.  ``progress`` is called with a share (0..1) and a sentence.  Whatever
    cannot be done is a finding of severity ERROR, and the layout then holds what could be placed.
    """
    say = progress or (lambda share, text: None)
    say(0.0, "counting the fewest wires")
    bound, _ = lower_bound(circuit, board)
    began = time.monotonic()
    late = False

    def stop() -> bool:
        nonlocal late
        late = late or time.monotonic() - began > 6 * seconds + 20
        return late

    problem = build_problem(circuit, board, style)
    total = max(60, int(seconds * STEPS_PER_SECOND))
    runs = 3
    found: list[Solution] = []
    for run in range(runs):
        say(0.05 + 0.8 * run / runs, f"placing, attempt {run + 1} of {runs}")
        found.append(search(problem, steps=total, seed=run + 1, heat=120.0, stop=stop))
        import sys; print(run, found[-1].cost, round(time.monotonic()-began,2), file=sys.stderr)
    best = min(found, key=lambda s: s.cost)
    say(0.85, "tidying")
    best = search(problem, steps=total // (runs + 1), seed=99, start=best, heat=10.0, stop=stop)
    say(1.0, "done")
    layout = to_layout(problem, best, style)
    return Placement(
        layout=layout,
        wire_count=len(layout.wires),
        lower_bound=bound,
        proved=best.valid and bound == len(layout.wires),
        score=score(circuit, layout),
    )


def build_problem(circuit: Circuit, board: Board, style: str) -> Problem:
    """The search problem of a circuit on a board."""
    geometry = Geometry(board)
    numbers = net_numbers(circuit)
    units: list[Unit] = []
    links: list[tuple[tuple[str, int], tuple[str, int]]] = []
    for part in circuit.parts:
        terminals = part.type.leg_terminals
        nets = [numbers[part.id, t] for t in terminals]
        legs = range(len(terminals))
        groups = [[i] for i in legs] if part.type.body.kind == "off-board" else [list(legs)]
        for group in groups:
            units.append(single_unit(part, group, nets, geometry, circuit.plus, circuit.ground))
        for i in legs:
            for j in legs:
                if i < j and (
                    terminals[i] == terminals[j] or (terminals[i], terminals[j]) in part.type.internal_links
                ):
                    links.append(((part.id, i), (part.id, j)))
    units.sort(key=lambda u: -len(u.legs) * (2 if u.rounds else 1))
    for unit in units:
        _weigh(circuit, unit)
    count = max(n for n, _ in numbers.values()) + 1
    return Problem(circuit, geometry, units, count, Router(geometry, style), links)


def _weigh(circuit: Circuit, unit: Unit) -> None:
    """The part of the score that depends on the unit alone, for every place of it."""
    g = unit.geometry
    x, y = g.x[unit.holes], g.y[unit.holes]
    part = circuit.by_id[unit.legs[0][0]]
    body = part.type.body
    static = unit.static
    if body.kind in ("axial", "radial"):
        dx, dy = np.abs(x[:, 0] - x[:, 1]), np.abs(y[:, 0] - y[:, 1])
        static += WEIGHTS["span"][0] * np.abs(np.maximum(dx, dy) - body.ideal_span)
        main = (x[:, 0] >= 0) & (x[:, 0] <= 11) & (x[:, 1] >= 0) & (x[:, 1] <= 11)
        static += WEIGHTS["across"][0] * ((dx > dy) & main)
    elif body.kind == "rigid" and body.shape == "dip":
        half = len(unit.legs) // 2 - 1
        static += WEIGHTS["turned"][0] * ~((x[:, 0] < 5.5) & (y[:, half] >= y[:, 0]))
    elif body.kind == "off-board":
        main = (x[:, 0] >= 0) & (x[:, 0] <= 11)
        edge = np.minimum(x[:, 0], 11 - x[:, 0]) * main
        if part.type.family == "supply":
            static += WEIGHTS["supply edge"][0] * edge
            if g.board.rail_holes:
                static += WEIGHTS["off the rail"][0] * main
        else:
            static += WEIGHTS["supply edge"][0] * edge / 2


def net_colours(circuit: Circuit) -> Mapping[str, str]:
    """A wire colour for every net: red for plus, black for ground, then a fixed palette in net order."""
    out = {circuit.plus: "red", circuit.ground: "black"}
    rest = [net for net in circuit.nets if net not in out]
    return {**out, **{net: COLOURS[i % len(COLOURS)] for i, net in enumerate(rest)}}


def to_layout(problem: Problem, solution: Solution, style: str) -> Layout:
    """The layout of a solution, parts in the circuit's order, wires from the top down."""
    g = problem.geometry
    legs: dict[str, dict[int, str]] = {}
    for unit, k in zip(problem.units, solution.choice, strict=True):
        if k >= 0:
            for (part, leg), hole in zip(unit.legs, unit.holes[k].tolist(), strict=True):
                legs.setdefault(part, {})[leg] = g.names[hole]
    holes = {
        part.id: tuple(legs[part.id][i] for i in sorted(legs[part.id]))
        for part in problem.circuit.parts
        if len(legs.get(part.id, ())) == len(part.type.leg_terminals)
    }
    names = list(problem.circuit.nets)
    colours = net_colours(problem.circuit)
    wires = []
    for net, path in solution.wires:
        ends = [g.names[g.at[p]] for p in (path.points[0], path.points[-1])]
        points = path.points[1:-1]
        if _order(g, ends[1]) < _order(g, ends[0]):
            ends.reverse()
            points = points[::-1]
        name = names[net]
        wires.append(Wire(ends[0], ends[1], colours[name], style, points, name))  # type: ignore[arg-type]
    wires.sort(key=lambda w: (_order(g, w.start), _order(g, w.end)))
    return Layout(g.board, holes, tuple(wires))


def _order(g: Geometry, hole: str) -> tuple[float, float]:
    x, y = g.board.holes[hole]
    return (y, x)


_ = (Severity, evaluate)
