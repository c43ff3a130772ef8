"""A layout from an author's table of holes and wires."""

from __future__ import annotations

import difflib
from collections.abc import Mapping, Sequence

from buildalong.board._board import Board
from buildalong.board._layout import Layout, Wire
from buildalong.board._words import and_list
from buildalong.circuit import Circuit
from buildalong.finding import Finding, Severity

__all__ = ["layout_from"]

_MOST_WIRES = 400


def layout_from(
    board: Board,
    circuit: Circuit,
    holes: Mapping[str, Sequence[str]],
    wires: Sequence[Sequence[str]] = (),
) -> tuple[Layout | None, list[Finding]]:
    """Make a layout from an author's table; nothing is raised for the author's mistakes.

    ``holes``: part -> one hole for each leg, in leg order, "-" for a lead in no hole; ``wires``:
    [start, end] or [start, end, colour].  Parts may be left out (the placer puts them down).  The
    layout is None where a finding is an error.
    """
    findings: list[Finding] = []
    owners: dict[str, str] = {}
    placed: dict[str, tuple[str, ...]] = {}

    def take(text: object, owner: str, about: str) -> str | None:
        name = board.spell(str(text))
        if name not in board.holes:
            findings.append(_no_hole(board, str(text), owner, about))
            return None
        if name in owners:
            findings.append(
                Finding(
                    Severity.ERROR,
                    "two-leads-in-one-hole",
                    f"Hole {name} is given to {owners[name]} and to {owner}; a hole takes one lead.",
                    hint=_free_hint(board, name, owners),
                    about=(about, name),
                )
            )
            return None
        owners[name] = owner
        return name

    for part_id, given in holes.items():
        part = circuit.by_id.get(part_id)
        if part is None:
            near = difflib.get_close_matches(part_id, circuit.by_id, n=1, cutoff=0.4)
            findings.append(
                Finding(
                    Severity.ERROR,
                    "layout-unknown-part",
                    f"The layout places {part_id}, but the circuit has no part of that name.",
                    hint=f"Did you mean {near[0]}?" if near else "Take the line out or add the part.",
                    about=(part_id,),
                )
            )
            continue
        legs = part.type.leg_names
        if isinstance(given, str) or len(given) != len(legs):
            count = 1 if isinstance(given, str) else len(given)
            findings.append(
                Finding(
                    Severity.ERROR,
                    "wrong-number-of-holes",
                    f"{part_id} ({part.type.noun}) has {len(legs)} legs, but the layout gives"
                    f" {count} {'hole' if count == 1 else 'holes'}.",
                    hint=f"Give one hole for each leg, in this order: {and_list(legs)}.",
                    about=(part_id,),
                )
            )
            continue
        found = [
            "-" if text == "-" else take(text, f"{part_id}'s leg {leg}", part_id)
            for leg, text in zip(legs, given, strict=True)
        ]
        if None not in found:
            placed[part_id] = tuple(name for name in found if name is not None)

    done: list[Wire] = []
    if len(wires) > _MOST_WIRES:
        findings.append(
            Finding(
                Severity.ERROR,
                "too-many-wires",
                f"The layout lists {len(wires)} wires; {_MOST_WIRES} is the most that is read.",
                hint="Take out the wires that join nothing new.",
            )
        )
    for number, ends in enumerate(wires if len(wires) <= _MOST_WIRES else (), start=1):
        owner = f"wire {number}"
        if isinstance(ends, str) or not 2 <= len(ends) <= 3:
            findings.append(
                Finding(
                    Severity.ERROR,
                    "wire-needs-two-holes",
                    f"Wire {number} is not a pair of holes.",
                    hint='Write it as ["a5", "L+3"], with a colour as third word if you like.',
                    about=(owner,),
                )
            )
            continue
        start, end = take(ends[0], owner, owner), take(ends[1], owner, owner)
        if start is not None and end is not None:
            done.append(Wire(start, end, str(ends[2]) if len(ends) == 3 else "grey"))

    if any(finding.severity >= Severity.ERROR for finding in findings):
        return None, findings
    return Layout(board, placed, tuple(done)), findings


def _no_hole(board: Board, text: str, owner: str, about: str) -> Finding:
    shown = text if len(text) <= 40 else text[:37] + "..."
    rails = f", rails {and_list(board.rails)} with holes 1 to {board.rail_holes}" if board.rails else ""
    if board.spell(text)[:1] in ("L", "R") and not board.rails:
        message = f"{_start(owner)} goes into hole {shown}, but the board {board.name} has no rails."
    else:
        message = f"{_start(owner)} goes into hole {shown}, but the board {board.name} has no such hole."
    return Finding(
        Severity.ERROR,
        "no-such-hole",
        message,
        hint=f"The nearest is {board.nearest(text)}. Holes are a1 to j{board.rows}{rails}.",
        about=(about, shown),
    )


def _free_hint(board: Board, hole: str, owners: Mapping[str, str]) -> str:
    free = [other for other in board.strips[board.strip_of[hole]] if other not in owners]
    if not free:
        return "The whole strip is full: go on in another strip, joined by a wire."
    x, y = board.holes[hole]
    best = min(free, key=lambda other: abs(board.holes[other][0] - x) + abs(board.holes[other][1] - y))
    return f"Hole {best} is on the same strip and free."


def _start(owner: str) -> str:
    return owner[0].upper() + owner[1:]
