"""draw_layout: read the circuit, anneal, check, and only then hand the drawing out."""

from __future__ import annotations

from typing import Any

from buildalong.circuit import Circuit
from buildalong.drawing.schematic._check import check
from buildalong.drawing.schematic._groups import find_groups
from buildalong.drawing.schematic._layout import SchematicLayout
from buildalong.drawing.schematic._plain import plain_layout
from buildalong.drawing.schematic._structure import read_structure

__all__ = ["draw_layout"]

RESTARTS, FINALISTS = 10, 4
LARGE, FEWER = 15, 6
"""Above so many symbols there are fewer restarts: each is long and seldom lost."""
ROUNDS, LAST_ROUNDS = 1800, 3000
"""Rounds of annealing for each thing that can be moved, at effort 1: each restart, each finalist."""
STANDARDS = ("iec", "ieee")
TRIES = 2


def draw_layout(
    circuit: Circuit, *, standard: str = "iec", effort: float = 1.0, seed: int = 0
) -> SchematicLayout:
    """Lay out a circuit: the same circuit, effort and seed give the same drawing.

    ``effort`` multiplies the rounds of annealing (0.1 to 10).  A drawing that fails its check is
    tried again with other seeds; the last resort is an orderly plain one, which is always correct.
    Raises ValueError for a standard other than "iec" and "ieee".
    """
    from buildalong.drawing.schematic._kernel import State, anneal, copied, evaluate, new_work
    from buildalong.drawing.schematic._problem import build_problem, first_state, to_layout

    if standard not in STANDARDS:
        raise ValueError(f"no symbols after '{standard}'; there are {' and '.join(STANDARDS)}")
    if not any(part.type.family != "supply" for part in circuit.parts):
        return SchematicLayout((), (), ())
    structure = read_structure(circuit, standard)
    groups = find_groups(circuit, structure)
    has_supply = any(part.type.family == "supply" for part in circuit.parts)
    problem = build_problem(structure, groups, has_supply)
    work = new_work(problem.t.shape[1], len(structure.nets))
    scale = (len(groups.groups) + 4 + len(groups.offsets) / 2) * min(max(effort, 0.1), 10.0)
    for attempt in range(TRIES):
        found: list[tuple[float, int, State]] = []
        for restart in range(FEWER if len(structure.items) > LARGE else RESTARTS):
            number = 1 + seed * 1009 + attempt * 101 + restart
            scatter = [(number * 7 + 13 * k) % 31 for k in range(17)] if restart else []
            start = first_state(structure, groups, problem, scatter)
            best = copied(start)
            score = anneal(
                problem, start, copied(start), best, work, _generator(number), int(ROUNDS * scale), 6.0, 0.4
            )
            found.append((float(score), restart, best))
        last: list[tuple[float, int, State]] = []
        for _, restart, first in sorted(found, key=lambda entry: entry[:2])[:FINALISTS]:
            best = copied(first)
            number = 501 + seed * 1009 + attempt * 101 + restart
            score = anneal(
                problem,
                first,
                copied(first),
                best,
                work,
                _generator(number),
                int(LAST_ROUNDS * scale),
                2.0,
                0.15,
            )
            last.append((float(score), restart, best))
        for _, _, best in sorted(last, key=lambda entry: entry[:2]):
            evaluate(problem, best, work, 1e18)
            layout = to_layout(circuit, structure, problem, best, work)
            if not check(circuit, layout):
                return layout
    return plain_layout(circuit, read_structure(circuit, standard, feeds=False))


def _generator(number: int) -> Any:
    """State of the kernel's random numbers."""
    import numpy as np

    return np.array([number * 0x9E3779B97F4A7C15 & 0xFFFFFFFFFFFFFFFF], np.uint64)
