"""draw_layout: read the circuit, anneal, check, and only then hand the drawing out."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from buildalong.circuit import Circuit
from buildalong.drawing.schematic._check import check
from buildalong.drawing.schematic._groups import find_groups
from buildalong.drawing.schematic._hints import follow
from buildalong.drawing.schematic._layout import SchematicLayout
from buildalong.drawing.schematic._plain import plain_layout
from buildalong.drawing.schematic._structure import read_structure

__all__ = ["STANDARDS", "draw_layout"]

RESTARTS, FINALISTS = 8, 3
LARGE, FEWER, FEWER_FINALISTS = 10, 4, 2
"""From so many things to move on there are fewer searches, each of them longer."""
ROUNDS, LAST_ROUNDS = 2000, 5000
"""Rounds of annealing for each thing that can be moved, at effort 1: each restart, each finalist."""
WORK, LAST_WORK = 36_000_000, 40_000_000
"""Steps of routing and comparing at most, at effort 1, of all restarts and of all finalists."""
STANDARDS = {"IEC 60617": "iec", "IEEE 315": "ieee"}
"""The standards of the symbols, and our short names for them."""
Found = tuple[float, int, Any]
"""Score, number of the random sequence, placement."""
TRIES = 2


def draw_layout(
    circuit: Circuit, *, standard: str = "iec", hints: Collection[tuple[str, str, str]] = (),
    effort: float = 1.0, seed: int = 0,
) -> SchematicLayout:  # fmt: skip
    """Lay out a circuit: the same circuit, effort and seed give the same drawing.

    ``hints`` are (kind, part, other part): kind is "left of", "above", "in line with", "near", "upright" or
    "lying" (the last two without another part); a part that is not drawn is passed over.
    ``effort`` multiplies the rounds of annealing (0.1 to 10).  A drawing that fails its check is
    tried again with other seeds; the last resort is an orderly plain one, which is always correct.
    Raises ValueError for a standard other than "iec" and "ieee".
    """
    from buildalong.drawing.schematic._anneal import anneal
    from buildalong.drawing.schematic._arrays import State, copied, new_work
    from buildalong.drawing.schematic._problem import build_problem, first_state
    from buildalong.drawing.schematic._trace import to_layout

    if standard not in STANDARDS.values():
        raise ValueError(f"no symbols after '{standard}'; there are {' and '.join(STANDARDS.values())}")
    if not any(part.type.family != "supply" for part in circuit.parts):
        return SchematicLayout((), (), ())
    structure = follow(read_structure(circuit, standard), hints)
    groups = find_groups(circuit, structure)
    has_supply = any(part.type.family == "supply" for part in circuit.parts)
    problem = build_problem(structure, groups, has_supply)
    work = new_work(problem)
    large = len(groups.groups) >= LARGE
    restarts, finalists = (FEWER, FEWER_FINALISTS) if large else (RESTARTS, FINALISTS)
    strength = min(max(effort, 0.1), 10.0)
    things = (len(groups.groups) + 4 + len(groups.offsets) / 10) * strength

    def search(start: State, number: int, rounds: int, work_most: int, hot: float, cold: float) -> Found:
        best = copied(start)
        score = anneal(
            problem, start, copied(start), best, work, _generator(number), int(rounds * things),
            work_most * strength, hot, cold,
        )  # fmt: skip
        return float(score), number, best

    for attempt in range(TRIES):
        found: list[Found] = []
        for restart in range(restarts):
            number = 1 + seed * 1009 + attempt * 101 + restart
            scatter = [(number * 7 + 13 * k) % 31 for k in range(17)] if restart else []
            start = first_state(structure, groups, problem, scatter)
            found.append(search(start, number, ROUNDS, WORK // restarts, 6.0, 0.4))
        last = [
            search(first, number + 500, LAST_ROUNDS, LAST_WORK // finalists, 2.0, 0.15)
            for _, number, first in sorted(found, key=_rank)[:finalists]
        ]
        for _, _, best in sorted(last, key=_rank):
            work.node[:2], work.node[2:] = -1, 0
            anneal(problem, best, copied(best), copied(best), work, _generator(0), 0, 1.0, 1.0, 1.0)
            layout = to_layout(circuit, structure, problem, best, work)
            if not check(circuit, layout):
                return layout
    return plain_layout(circuit, read_structure(circuit, standard, feeds=False))


def _rank(found: Found) -> tuple[float, int]:
    return found[0], found[1]


def _generator(number: int) -> Any:
    """State of the kernel's random numbers."""
    import numpy as np

    return np.array([number * 0x9E3779B97F4A7C15 & 0xFFFFFFFFFFFFFFFF], np.uint64)
