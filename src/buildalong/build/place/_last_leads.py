"""The last step for supply leads: onto whatever their nets hold already, above all the rails."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import product

from buildalong.board import Layout, Wire, joined_strips
from buildalong.build.place._last import Ask, Built, Point, better, open_holes
from buildalong.build.place._leads import MIDDLE, under_leads
from buildalong.build.place._score import WEIGHTS, lead_terms, supply_terms
from buildalong.build.place._units import LEADS_APART, OUTER_COLUMNS
from buildalong.circuit import Circuit, Part

__all__ = ["supply_leads_moved"]

MOST = 12
"""Pairs of holes that are weighed exactly, those first that promise most."""


def supply_leads_moved(ask: Ask, layout: Layout) -> Layout:
    """The layout with each supply's leads in the best holes of strips that its wires join to theirs.

    No wire is laid; one that leads nowhere afterwards goes, where no fewer are proved impossible.
    """
    for part in ask.circuit.parts:
        if part.type.family == "supply" and len(layout.holes.get(part.id, ())) == 2 and not ask.held(part.id):
            trials = sorted(_moves(ask, layout, part), key=lambda trial: trial[0])
            for _, pair in trials[:MOST]:
                trial = _moved(ask, layout, part, pair)
                if len(trial.wires) >= min(ask.fewest, len(layout.wires)) and better(ask, trial, layout):
                    layout = trial
    return layout


def _moves(ask: Ask, layout: Layout, part: Part) -> Iterator[tuple[float, tuple[str, str]]]:
    """Pairs of holes that promise more than those of now, with what their place costs.

    Where both leads are on the rails they stay there: that may be worth a wire.
    """
    board = layout.board
    now = layout.holes[part.id]
    stay = all(map(board.rail_of, now))
    places = {
        hole: (x, y)
        for hole, (x, y) in {**open_holes(ask, layout), **{h: board.holes[h] for h in now}}.items()
        if (board.rail_of(hole) or (x in OUTER_COLUMNS and not stay)) and ask.lets(part, (x, y))
    }
    nets = [joined_strips(ask.circuit, layout, [board.strip_of[hole]]) for hole in now]
    choices = [[hole for hole in places if board.strip_of[hole] in net] for net in nets]
    left: dict[tuple[str, str], int] = {}
    weigh = _Weigh(ask.circuit, layout, part)
    limit = weigh([board.holes[h] for h in now])
    for one, other in product(*choices):
        a, b = places[one], places[other]
        if (a[0] > MIDDLE) == (b[0] > MIDDLE) and 1 <= abs(a[1] - b[1]) <= LEADS_APART:
            strips = (board.strip_of[one], board.strip_of[other])
            if strips not in left:
                left[strips] = len(_moved(ask, layout, part, (one, other)).wires)
            cost = weigh([a, b]) - WEIGHTS["wire"][0] * (len(layout.wires) - left[strips])
            if cost < limit:
                yield cost, (one, other)


class _Weigh:
    """What the score counts of a supply's leads themselves."""

    def __init__(self, circuit: Circuit, layout: Layout, part: Part) -> None:
        self.part, self.rails = part, bool(layout.board.rail_holes)
        self.built = Built(circuit, layout)

    def __call__(self, leads: Sequence[Point]) -> float:
        built = self.built
        found = [supply_terms(leads, built.first, built.last)]
        found += [lead_terms(self.part, lead, self.rails) for lead in leads]
        found.append({"under a lead": under_leads(leads, built.boxes, built.wires, built.legs)})
        return sum(WEIGHTS[name][0] * amount for terms in found for name, amount in terms.items())


def _moved(ask: Ask, layout: Layout, part: Part, pair: tuple[str, str]) -> Layout:
    """The leads in these holes; wires to strips in which nothing else stands any more are gone."""
    holes = {**layout.holes, part.id: pair}
    strip_of = layout.board.strip_of
    stands = {strip_of[hole] for legs in holes.values() for hole in legs}
    wires = list(layout.wires)
    while True:
        ends = Counter(strip_of[hole] for wire in wires for hole in (wire.start, wire.end))
        idle = [wire for wire in wires if not ask.stays(wire) and _idle(wire, strip_of, stands, ends)]
        if not idle:
            return replace(layout, holes=holes, wires=tuple(wires))
        wires.remove(idle[0])


def _idle(wire: Wire, strip_of: dict[str, str], stands: set[str], ends: Counter[str]) -> bool:
    """Whether a wire leads to a strip in which nothing else stands."""
    return any(strip_of[hole] not in stands and ends[strip_of[hole]] == 1 for hole in (wire.start, wire.end))
