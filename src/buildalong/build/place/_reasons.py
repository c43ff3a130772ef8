"""Why a circuit cannot be placed as its author wants it: in the author's own holes, or beside them."""

from __future__ import annotations

from collections.abc import Sequence

from buildalong.board import Board, Layout, strip_words
from buildalong.build.place._bound import fewest_strips
from buildalong.build.place._insert import stands_anywhere
from buildalong.build.place._task import Problem
from buildalong.build.place._units import net_numbers
from buildalong.circuit import Circuit
from buildalong.finding import Finding, Severity
from buildalong.words import capital, listed

__all__ = ["fixed_findings", "too_few_strips", "why_not"]

SAY = {
    "no-such-hole": "{owner}: the board {board} has no hole {hole}.",
    "two-leads-in-one-hole": "Hole {hole} is fixed for {other} and for {owner}; a hole takes one lead.",
    "layout-unknown-part": "{part} is fixed, but is no part of the circuit.",
    "wrong-number-of-holes": "{part} has {legs} legs, but {holes} holes are fixed for it.",
    "strip-with-two-nets": "{part} in {hole} ({net}) and {other} ({their}) would be joined by {strip}.",
    "leads-in-one-strip": "{strip} would join {part}'s own leads, which belong to {net} and {their}.",
    "wire-joins-nets": "The wire from {start} to {end} would join {net} ({part}) and {their} ({other}).",
    "cannot-reach": "{part} cannot stand in the holes fixed for it: no turn of it reaches them.",
    "no-place-ever": "{part} has no place at all on the board {board}.",
    "barred-area": "{part} does not fit into '{area}'.",
    "barred-holes": "{part} in {holes} does not stand in '{area}'.",
    "barred-free": "What is to stay free leaves no place for {part}.",
    "no-room": "The board {board} has no room left for {part}.",
    "too-few-strips": "The circuit takes at least {strips} strips; the board {board} has {has}.",
    "no-room-wished": "With what is asked for, no room is left for {part}.",
    "one-in-the-way": "{other} at row {row} leaves no strip for {part}.",
    "several-in-the-way": "{others} as fixed leave no place for {part}.",
    "this-in-the-way": "{others} as fixed leaves no place for {part}.",
    "wires-in-the-way": "The wires as fixed leave no place for {part}.",
}
"""Every sentence about what cannot be had, whole, with named gaps."""
HINT = {
    "no-such-hole": "Name another hole.",
    "two-leads-in-one-hole": "Move one of them.",
    "layout-unknown-part": "Take it out.",
    "wrong-number-of-holes": "Give one hole for each leg, - for a leg that is free.",
    "strip-with-two-nets": "Move {part} or {other} to another row.",
    "leads-in-one-strip": "Put one of them into another row, or across the trench.",
    "wire-joins-nets": "Leave it out, or move one of its ends.",
    "free": "Free some of the fixed parts, or take a larger board.",
    "ask-for-less": "Ask for a larger piece of the board, or keep less of it free.",
    "larger": "Take a larger board.",
}


def _error(code: str, say: str, hint: str, about: tuple[str, ...], **gaps: object) -> Finding:
    return Finding(
        Severity.ERROR, code, capital(SAY[say].format(**gaps)), HINT[hint].format(**gaps), about=about
    )


def fixed_findings(circuit: Circuit, board: Board, fixed: Layout) -> list[Finding]:
    """What is wrong with the author's own legs and wires before anything is placed."""
    out: list[Finding] = []
    owners: dict[str, str] = {}

    def take(hole: str, owner: str) -> bool:
        if hole not in board.holes:
            code, gaps = "no-such-hole", {"owner": owner, "hole": hole, "board": board.name}
        elif hole in owners:
            code, gaps = "two-leads-in-one-hole", {"owner": owner, "hole": hole, "other": owners[hole]}
        else:
            owners[hole] = owner
            return True
        out.append(_error(code, code, code, (owner, hole), **gaps))
        return False

    stands: dict[str, tuple[str, str]] = {}
    for name, holes in fixed.holes.items():
        part = circuit.by_id.get(name)
        if part is None or len(holes) != len(part.type.leg_terminals):
            legs = 0 if part is None else len(part.type.leg_terminals)
            code = "layout-unknown-part" if part is None else "wrong-number-of-holes"
            out.append(_error(code, code, code, (name,), part=name, legs=legs, holes=len(holes)))
            continue
        joined = False
        for terminal, hole in zip(part.type.leg_terminals, holes, strict=True):
            if hole in ("", "-") or not take(hole, name):
                continue
            strip, net = board.strip_of[hole], _net_name(circuit, name, terminal)
            their, other = stands.setdefault(strip, (net, name))
            say = "leads-in-one-strip" if other == name else "strip-with-two-nets"
            if their != net and not (other == name and joined):
                joined = joined or other == name
                out.append(
                    _error("strip-with-two-nets", say, say, (name, other, hole), part=name, other=other,
                           hole=hole, net=net, their=their, strip=strip_words(strip))
                )  # fmt: skip
    groups: dict[str, str] = {}
    for number, wire in enumerate(fixed.wires, start=1):
        taken = [take(hole, f"wire {number}") for hole in (wire.start, wire.end)]
        if not all(taken):
            continue
        one, two = (_root(groups, board.strip_of[hole]) for hole in (wire.start, wire.end))
        here, there = stands.get(one), stands.get(two)
        if here is not None and there is not None and here[0] != there[0]:
            gaps = {"start": wire.start, "end": wire.end, "net": here[0], "part": here[1]}
            out.append(
                _error("wire-joins-nets", "wire-joins-nets", "wire-joins-nets", (f"wire {number}",),
                       **gaps, their=there[0], other=there[1])
            )  # fmt: skip
            continue
        groups[one] = two
        if here is not None:
            stands[two] = here
    return out


def _root(groups: dict[str, str], strip: str) -> str:
    while (up := groups.setdefault(strip, strip)) != strip:
        strip = up
    return strip


def _net_name(circuit: Circuit, part: str, terminal: str) -> str:
    """The net of a terminal as it is called; of those that are joined inside a part, the first."""
    number = net_numbers(circuit)[part, terminal][0]
    names = list(circuit.nets)
    return names[number] if number < len(names) else f"the open lead {terminal}"


def too_few_strips(circuit: Circuit, board: Board) -> list[Finding]:
    """A proof, found without a search, that the board is too small."""
    strips, has = fewest_strips(circuit, board), 2 * board.rows
    if strips <= has:
        return []
    return [_error("no-place", "too-few-strips", "larger", (), strips=strips, board=board.name, has=has)]


def why_not(problem: Problem, missing: Sequence[int], fixed: Layout | None) -> list[Finding]:
    """Say for each unit that found no place what keeps it from standing."""
    held = [i for i, unit in enumerate(problem.units) if len(unit) == 1]
    return [_why(problem, i, held, fixed) for i in missing]


def _why(problem: Problem, i: int, held: Sequence[int], fixed: Layout | None) -> Finding:
    unit = problem.units[i]
    name = unit.name.split(".")[0]
    pins = {} if fixed is None else fixed.holes
    others = sorted({problem.units[j].legs[0][0] for j in held} - {name})
    gaps: dict[str, object] = {"part": unit.name, "board": problem.geometry.board.name}
    gaps |= {"others": listed(others), "holes": listed(pins.get(name, ()))}
    hint = "free" if pins or problem.fixed_wires else "larger"
    barred = problem.barred or {}
    if unit.name in barred:
        gaps["area"] = barred[unit.name]
        say = "barred-free" if not gaps["area"] else "barred-holes" if name in pins else "barred-area"
        hint = "ask-for-less"
    elif not len(unit):
        say = "cannot-reach" if name in pins else "no-place-ever"
    elif stands_anywhere(problem, i, list(held)):
        say = "no-room" if problem.barred is None else "no-room-wished"
        hint = hint if problem.barred is None else "ask-for-less"
    else:
        say = "several-in-the-way" if others[1:] else "this-in-the-way" if others else "wires-in-the-way"
        for j in held:
            other = problem.units[j]
            if j != i and stands_anywhere(problem, i, [h for h in held if h != j]):
                say, row = "one-in-the-way", round(float(problem.geometry.y[other.holes[0][0]]))
                gaps |= {"other": other.legs[0][0], "row": row}
                break
    return _error("no-place", say, hint, (name,), **gaps)
