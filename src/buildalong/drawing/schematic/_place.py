"""draw_layout: read the circuit, anneal, check, and only then hand the drawing out."""

from __future__ import annotations

from collections.abc import Callable, Collection
from typing import Any

from buildalong.circuit import Circuit
from buildalong.drawing.schematic._check import check
from buildalong.drawing.schematic._draw import extent
from buildalong.drawing.schematic._groups import find_groups
from buildalong.drawing.schematic._hints import follow
from buildalong.drawing.schematic._layout import SchematicLayout, page_width, statistics
from buildalong.drawing.schematic._plain import plain_layout
from buildalong.drawing.schematic._structure import read_structure
from buildalong.words import SOURCE, language

__all__ = ["STANDARDS", "draw_layout"]

STAGES = ((8, 1500, 12.0, 1.5), (4, 4000, 8.0, 0.6), (2, 4500, 2.5, 0.15))
"""Of the search: how many placements go on, rounds of annealing for each thing that can be moved, and the
temperature at the beginning and the end."""
LEAST_THINGS = 20
"""A small circuit is searched as long as one with so many."""
WORK = 22_000_000
"""Steps of routing and comparing at most in each stage, at effort 1."""
MANY, MOST = 12, 1.35
"""A circuit of more things has more work, for each change costs more and more of them are needed; so many
times as much at most, since there may be three tries."""
STANDARDS = {"IEC 60617": "iec", "IEEE 315": "ieee"}
"""The standards of the symbols, and our short names for them."""
Found = tuple[float, int, Any]
"""Score, number of the random sequence, placement."""
TRIES = 3


def draw_layout(
    circuit: Circuit, *, standard: str = "iec", hints: Collection[tuple[str, str, str]] = (),
    effort: float = 1.0, seed: int = 0, going_on: Callable[[], None] = lambda: None,
) -> SchematicLayout:  # fmt: skip
    """Lay out a circuit: the same circuit, effort and seed give the same drawing.

    ``hints`` are (kind, part, other part): kind is "left of", "above", "in line with", "near", "upright" or
    "lying" (the last two without another part); a part that is not drawn is passed over.
    ``effort`` multiplies the rounds of annealing (0.1 to 10).  A drawing that fails its check, or
    has many crossings or bends, is tried again with other seeds; the last resort is an orderly plain one,
    which is always correct.  ``going_on`` is called before each piece of the search; what it raises ends it.
    Raises ValueError for a standard other than "iec" and "ieee".
    """
    if standard not in STANDARDS.values():
        raise ValueError(f"no symbols after '{standard}'; there are {' and '.join(STANDARDS.values())}")
    if not any(part.type.family != "supply" for part in circuit.parts):
        return SchematicLayout((), (), ())
    for every in (False, True):
        found = _searched(circuit, standard, hints, min(max(effort, 0.1), 10.0), seed, going_on, every)
        if found is not None:
            return found
    return plain_layout(circuit, read_structure(circuit, standard, feeds=False))


def _searched(
    circuit: Circuit, standard: str, hints: Collection[tuple[str, str, str]], strength: float, seed: int,
    going_on: Callable[[], None], every: bool,
) -> SchematicLayout | None:  # fmt: skip
    """The best drawing found, None where none passes its check.

    Room is kept for English words, so that drawings are alike in the languages; or for those of ``every``
    language, where others do not fit into it.
    """
    from buildalong.drawing.schematic._anneal import anneal
    from buildalong.drawing.schematic._arrays import State, copied, new_work
    from buildalong.drawing.schematic._exchange import in_order
    from buildalong.drawing.schematic._problem import build_problem, first_state
    from buildalong.drawing.schematic._trace import to_layout

    structure = follow(read_structure(circuit, standard, every=every), hints)
    groups = find_groups(circuit, structure)
    supply = next((part for part in circuit.parts if part.type.family == "supply"), None)
    problem = build_problem(structure, groups, supply)
    work = new_work(problem)
    mirrored = range(len(structure.items)) if groups.mirrored else ()
    still = frozenset((*groups.offsets, *mirrored))
    strength *= min(max(1.0, (len(groups.groups) / MANY) ** 2), MOST)
    things = max(LEAST_THINGS, len(groups.groups) + 4 + len(groups.offsets) / 10) * strength

    def search(start: State, number: int, rounds: int, most: float, hot: float, cold: float) -> Found:
        going_on()
        best = copied(start)
        score = anneal(
            problem, start, copied(start), best, work, _generator(number), int(rounds * things),
            most * strength, hot, cold,
        )  # fmt: skip
        return float(score), number, best

    def finished(best: State) -> SchematicLayout | None:
        for state in (in_order(structure.items, problem, best, still), best):
            work.node[:2], work.node[2:] = -1, 0
            anneal(problem, state, copied(state), copied(state), work, _generator(0), 0, 1.0, 1.0, 1.0)
            layout = to_layout(circuit, structure, problem, state, work)
            if not check(circuit, layout):
                return layout
        return None

    good: list[tuple[float, float, int, SchematicLayout]] = []
    for attempt in range(TRIES):
        pool: list[Found] = []
        for restart in range(STAGES[0][0]):
            number = 1 + (seed + attempt) * 1009 + restart
            scatter = [(number * 7 + 13 * k) % 31 for k in range(17)] if restart else []
            pool.append((0.0, number, first_state(structure, groups, problem, scatter)))
        for stage, (count, rounds, hot, cold) in enumerate(STAGES):
            pool = [
                search(start, number + 500 * stage, rounds, WORK / count, hot, cold)
                for _, number, start in sorted(pool, key=_rank)[:count]
            ]
        for score, _, best in sorted(pool, key=_rank):
            made = finished(best)
            if made is not None:
                good.append((_excess(circuit, made), score, attempt, made))
                break
        if (min(good)[0] == 0) if good else (language() != SOURCE and not every):
            break
    return min(good)[3] if good else None


def _excess(circuit: Circuit, layout: SchematicLayout) -> float:
    """By how much a drawing exceeds the wish: one crossing, one bend to two parts, the width of a page."""
    found = statistics(layout)
    left, _, right, _ = extent(layout)
    smallest = min(label.size for symbol in layout.symbols for label in symbol.labels)
    over = right - left - page_width(smallest)
    bends = max(0.0, found.bends - len(circuit.parts) / 2)
    return 2.0 * max(0, found.crossings - 1) + bends + (4.0 if over > 0 else 0.0)


def _rank(found: Found) -> tuple[float, int]:
    return found[0], found[1]


def _generator(number: int) -> Any:
    """State of the kernel's random numbers."""
    import numpy as np

    return np.array([number * 0x9E3779B97F4A7C15 & 0xFFFFFFFFFFFFFFFF], np.uint64)
