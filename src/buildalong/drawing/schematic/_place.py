"""draw_layout: read the circuit, anneal, check, and only then hand the drawing out."""

from __future__ import annotations

from buildalong.circuit import Circuit
from buildalong.drawing.schematic._check import check
from buildalong.drawing.schematic._groups import find_groups
from buildalong.drawing.schematic._layout import SchematicLayout, statistics
from buildalong.drawing.schematic._plain import plain_layout
from buildalong.drawing.schematic._structure import read_structure

__all__ = ["draw_layout"]

RESTARTS = 3
ROUNDS = 700
"""Rounds of annealing for each thing that can be moved, at effort 1."""
TRIES = 3


def draw_layout(
    circuit: Circuit, *, standard: str = "iec", effort: float = 1.0, seed: int = 0
) -> SchematicLayout:
    """Lay out a circuit: the same circuit, effort and seed give the same drawing.

    ``effort`` multiplies the rounds of annealing (0.1 to 10).  A drawing that fails its check is
    tried again with other seeds; the last resort is an orderly plain one, which is always correct.
    """
    import numpy as np

    from buildalong.drawing.schematic._kernel import State, anneal, evaluate, new_work
    from buildalong.drawing.schematic._problem import build_problem, first_state, to_layout

    if not any(part.type.family != "supply" for part in circuit.parts):
        return SchematicLayout((), (), ())
    structure = read_structure(circuit, standard)
    groups = find_groups(circuit, structure)
    has_supply = any(part.type.family == "supply" for part in circuit.parts)
    problem = build_problem(structure, groups, has_supply)
    work = new_work(len(problem.t_sym), len(structure.nets))
    units = len(groups.groups)
    rounds = int(ROUNDS * (units + 4) * min(max(effort, 0.1), 10.0))
    found: list[tuple[float, int, State]] = []
    for attempt in range(TRIES):
        for restart in range(RESTARTS):
            number = 1 + seed * 101 + attempt * 11 + restart
            rng = np.array([number * 0x9E3779B97F4A7C15 & 0xFFFFFFFFFFFFFFFF], np.uint64)
            scatter = [(number * 7 + 13 * k) % 31 for k in range(17)] if restart else []
            start = first_state(structure, groups, problem, scatter)
            best = State(*(a.copy() for a in start))
            spare = State(*(a.copy() for a in start))
            score = anneal(problem, start, spare, best, work, rng, rounds, 12.0, 0.4)
            found.append((float(score), len(found), best))
        found.sort(key=lambda entry: entry[:2])
        _, order, first = found[0]
        start = State(*(a.copy() for a in first))
        best = State(*(a.copy() for a in first))
        spare = State(*(a.copy() for a in first))
        rng = np.array([(seed + 77 + attempt) * 0x9E3779B97F4A7C15 & 0xFFFFFFFFFFFFFFFF], np.uint64)
        score = anneal(problem, start, spare, best, work, rng, rounds, 1.5, 0.15)
        found[0] = (float(score), order, best)
        evaluate(problem, best, work, 1e18)
        layout = to_layout(circuit, structure, problem, best, work)
        if not check(circuit, layout):
            return layout
    return plain_layout(circuit, structure)
