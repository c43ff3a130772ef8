"""What placing gives: a layout with its score, the bound on its wires, and what there is to say about it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from buildalong.board import Board, Layout, Wire, check_layout, net_colours
from buildalong.build.dress import dressed
from buildalong.build.place._bridge import bridge, clear
from buildalong.build.place._count import StripCount
from buildalong.build.place._last import from_the_top
from buildalong.build.place._problem import lamps_alike, rows_taken
from buildalong.build.place._reasons import why_not
from buildalong.build.place._score import Score, score
from buildalong.build.place._task import Problem, Solution
from buildalong.circuit import Circuit, Part
from buildalong.finding import Finding, Severity
from buildalong.words import listed

__all__ = ["Placement", "finished", "on_rails", "railed", "refused"]

UNTANGLE = 5
"""Failed joins for which wires are taken up and laid again."""


@dataclass(frozen=True)
class Placement:
    """A layout with its score, the proved lower bound on its wires, and what there is to say about it."""

    layout: Layout
    wire_count: int
    lower_bound: int
    proved: bool
    score: Score
    findings: tuple[Finding, ...] = ()
    flat_bound: int = 0
    """The bound for layouts in which no wire arches over; ``lower_bound`` is that of this one."""


def finished(
    problem: Problem,
    best: Solution,
    count: StripCount,
    style: str,
    fixed: Layout | None,
    late: str = "",
    last: Callable[[Layout, int], Layout] | None = None,
) -> Placement:
    """The placement of a solution; ``late``: what cut the search short, if anything did.

    ``last``: makes a layout tidier, given the fewest wires that are proved of it.
    """
    best = clear(problem, best, UNTANGLE)
    arches, failed = bridge(problem, best)
    layout = _layout(problem, best, style, fixed, arches)
    if last is not None:
        flat = count.bound(on_rails(problem, best))
        layout = last(layout, count.bent if arches else flat)
    names = list(problem.circuit.nets)
    over = [names[net] for net, _, _ in arches]
    if arches and style != "flexible":
        held = () if fixed is None else fixed.wires
        layout = _lifted(problem.circuit, layout, held)
        over = [wire.net for wire in layout.wires if wire.style == "flexible" and wire not in held]
    flat = count.bound(railed(problem.circuit, layout))
    bound = count.bent if arches else flat
    findings = why_not(problem, [i for i, k in enumerate(best.choice) if k < 0], fixed)
    findings += [_unjoined(net) for net in failed]
    if arches and -1 not in best.choice:
        findings.append(_arching(over))
    findings += [_apart(row, problem.geometry.board) for row in _rows_apart(problem, fixed)]
    if late:
        findings.append(
            Finding(
                Severity.WARNING,
                "placing-cut-short",
                f"Placing was stopped {late}; another time the layout may differ.",
                hint="Give fewer seconds, or keep this layout in the lesson.",
            )
        )
    return Placement(
        layout=layout,
        wire_count=len(layout.wires),
        lower_bound=bound,
        proved=best.valid and not arches and not (fixed and fixed.wires) and bound == len(layout.wires),
        score=score(problem.circuit, layout, problem.hurts),
        findings=tuple(findings),
        flat_bound=flat,
    )


def on_rails(problem: Problem, solution: Solution) -> bool:
    """Whether every supply comes in on the rails, if there is one."""
    supplies = [
        k >= 0 and all(problem.rails[strip] for strip in problem.leg_strips(i, k))
        for i, (unit, k) in enumerate(zip(problem.units, solution.choice, strict=True))
        if problem.circuit.by_id[unit.legs[0][0]].type.family == "supply"
    ]
    return bool(supplies) and all(supplies)


def railed(circuit: Circuit, layout: Layout) -> bool:
    """The same of a layout."""
    leads = [layout.holes.get(part.id, ()) for part in circuit.parts if part.type.family == "supply"]
    return bool(leads) and all(holes and all(map(layout.board.rail_of, holes)) for holes in leads)


def _lifted(circuit: Circuit, layout: Layout, held: tuple[Wire, ...]) -> Layout:
    """The layout with flat wires arching, too, under which another one that arches has to end."""
    names = {f.about[0] for f in check_layout(circuit, layout) if f.code == "wire-over-hole"}
    wires = tuple(
        replace(wire, style="flexible", path=()) if f"wire {number}" in names and wire not in held else wire
        for number, wire in enumerate(layout.wires, 1)
    )
    return dressed(circuit, replace(layout, wires=wires))


def _rows_apart(problem: Problem, fixed: Layout | None) -> list[tuple[Part, ...]]:
    """Rows of lamps that were not put down as rows, though the author holds none of them."""
    together = {frozenset(part for part, _ in unit.legs) for unit in problem.units}
    held = () if fixed is None else fixed.holes
    rows = lamps_alike(problem.circuit)
    return [row for row in rows if not any(p.id in held for p in row) and {p.id for p in row} not in together]


def _apart(row: tuple[Part, ...], board: Board) -> Finding:
    names = tuple(part.id for part in row)
    return Finding(
        Severity.WARNING,
        "lamps-apart",
        f"{listed(names)} find no room in a row on the board {board.name}: they stand where there is some.",
        hint=f"Take a board of {rows_taken(row)} rows or more, or say where each of them stands.",
        about=names,
    )


def _arching(nets: list[str]) -> Finding:
    names = tuple(dict.fromkeys(nets))
    return Finding(
        Severity.WARNING,
        "wire-arches-over",
        f"No flat way was found for {len(nets)} of the wires (net {', '.join(names)}): they arch over.",
        hint="Give the placer more seconds or a larger board, or use flexible wires there.",
        about=names,
    )


def refused(circuit: Circuit, board: Board, fixed: Layout, findings: list[Finding]) -> Placement:
    holes = {p: h for p, h in fixed.holes.items() if p in circuit.by_id and all(x in board.holes for x in h)}
    wires = tuple(w for w in fixed.wires if w.start in board.holes and w.end in board.holes)
    layout = Layout(board, holes, wires)
    return Placement(layout, len(wires), 0, False, score(circuit, layout), tuple(findings))


def _unjoined(net: str) -> Finding:
    return Finding(
        Severity.ERROR,
        "no-way-for-a-wire",
        f"No free way is left for a wire that net {net} needs.",
        hint="Take a larger board, another wire style, or free some of the fixed parts.",
        about=(net,),
    )


def _layout(
    problem: Problem, solution: Solution, style: str, fixed: Layout | None, arches: list[tuple[int, int, int]]
) -> Layout:
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
    wires = []
    for net, path in solution.wires:
        start, end = (g.names[g.at[p]] for p in (path.points[0], path.points[-1]))
        name = names[net]
        wires.append(Wire(start, end, "", style, path.points[1:-1], name))  # type: ignore[arg-type]
    for net, a, b in arches:
        wires.append(Wire(g.names[a], g.names[b], "", "flexible", (), names[net]))
    held = () if fixed is None else fixed.wires
    laid = from_the_top(g.board, wires)
    plain = Layout(g.board, holes, (*held, *laid))
    colours = net_colours(problem.circuit, plain, {wire.net: wire.colour for wire in reversed(held)})
    return replace(plain, wires=(*held, *(replace(wire, colour=colours[wire.net]) for wire in laid)))
