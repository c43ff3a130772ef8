"""The one meter reading that proves a cause best."""

from __future__ import annotations

from collections.abc import Sequence

from buildalong.guide._cause import Reading
from buildalong.mistakes import Lab, Outcome
from buildalong.trace import SWINGS, Span, all_readings, spans_at

__all__ = ["Meter"]

SWING = 1.0
"""What a meter that swings beside one that rests is worth, as a distance [V]."""
CLEAR = 0.3
"""Bands of readings lie so far apart [V] at least where a reading is to prove something."""


class Meter:
    """The volts of a build, on the right board and with each cause."""

    def __init__(self, lab: Lab) -> None:
        self.lab = lab
        self.readings = [reading for reading in all_readings(lab) if reading.kind == "volts"]
        self.right = {reading.id: spans_at(reading, lab.right) for reading in self.readings}

    def proof(self, outcomes: Sequence[Outcome]) -> Reading | None:
        """The reading whose value lies furthest from the right one, whatever slip of the cause it was.

        Readings at a strip where the part or wire itself belongs come first.  None where no reading tells
        it, and where the supply must stay off.
        """
        if any(o.symptom == "battery-hot" or o.mistake.comes_and_goes for o in outcomes):
            return None
        own = self._own(outcomes[0])
        best: tuple[bool, float, int] | None = None
        found: Reading | None = None
        for number, probing in enumerate(self.readings):
            right = _one_span(self.right[probing.id])
            wrong = _one_span(*(spans_at(probing, outcome.volts) for outcome in outcomes))
            if right is None or wrong is None or (gap := _apart(right, wrong)) < CLEAR:
                continue
            score = (probing.strips[0] in own, round(gap, 2), -number)
            if best is None or score > best:
                best = score
                red, black = probing.holes
                when = self.lab.windows[probing.window].plain
                found = Reading(red, black, when, _rests(right), _rests(wrong))
        return found

    def _own(self, outcome: Outcome) -> set[str]:
        layout = self.lab.layout
        holes: list[str] = []
        for name in outcome.mistake.subjects:
            if name.startswith("wire "):
                wire = layout.wires[int(name[5:]) - 1]
                holes += [wire.start, wire.end]
            else:
                holes += layout.holes.get(name, ())
        return {layout.board.strip_of[hole] for hole in holes if hole in layout.board.strip_of}


def _one_span(*answers: tuple[Span, ...]) -> Span | None:
    """One span around all answers; None where one may rest or not, or says nothing."""
    spans = {span for answer in answers for span in answer}
    if not all(answers) or not spans or (SWINGS in spans and len(spans) > 1):
        return None
    return min(low for low, _ in spans), max(high for _, high in spans)


def _apart(one: Span, other: Span) -> float:
    """By how much two spans are apart [V]; one that swings is far from one that rests."""
    if SWINGS in (one, other):
        return 0.0 if one == other else SWING
    return max(other[0] - one[1], one[0] - other[1])


def _rests(span: Span) -> Span | None:
    return None if span == SWINGS else (round(span[0], 2), round(span[1], 2))
