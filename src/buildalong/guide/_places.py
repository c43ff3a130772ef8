"""Where parts and wires belong, in words for the learner."""

from __future__ import annotations

from collections.abc import Sequence

from buildalong.board import Layout, hole_words, the_wire
from buildalong.build.steps import Step, mark_of, what_of
from buildalong.circuit import Circuit, Part
from buildalong.guide._words import LEAD_MARKS, RAILS, RIGHT
from buildalong.words import listed, say

__all__ = ["Places"]


VALUES = ("wrong-decade", "read-backwards", "code-misread", "swapped", "wrong-colour")
"""Kinds of mistakes in which the wrong part stands in the right holes."""


class Places:
    """The words for the parts and wires of one right board."""

    def __init__(self, circuit: Circuit, layout: Layout, steps: Sequence[Step]) -> None:
        self.circuit, self.layout = circuit, layout
        self.step_of: dict[str, int] = {}
        for step in steps:
            for name in (*step.parts, *(f"wire {index + 1}" for index in step.wires)):
                self.step_of.setdefault(name, step.number)

    def name(self, subject: str) -> str:
        """'R1', or 'the red wire from hole a3 to hole b9'."""
        if subject.startswith("wire "):
            return the_wire(self.layout.wires[int(subject[5:]) - 1])
        return say(RAILS) if subject == "rails" else subject

    def right(self, subject: str) -> str:
        """Into which holes a part goes; '' for what is no part."""
        part = self.circuit.by_id.get(subject)
        if part is None or subject not in self.layout.holes:
            return ""
        holes = self.layout.holes[subject]
        if part.type.swappable and len(holes) == 2:
            return say(RIGHT["swappable"], a=hole_words(holes[0]), b=hole_words(holes[1]))
        legs = list(zip(part.type.leg_terminals, holes, strict=True))
        if len(legs) > 4:
            half = len(legs) // 2
            legs = [legs[0], legs[half - 1], legs[half], legs[-1]]
        return listed([self._lead(part, name, hole) for name, hole in legs])

    @staticmethod
    def _lead(part: Part, name: str, hole: str) -> str:
        terminal, shape = part.type.terminal(name), part.type.body.shape
        if part.type.body.straddles and terminal.number:
            return say(RIGHT["pin"], number=terminal.number, hole=hole_words(hole))
        body = "supply" if part.type.family == "supply" else shape
        known = LEAD_MARKS.get((body, terminal.role)) or LEAD_MARKS.get((body, name))
        return say(RIGHT["lead"], lead=say(known or terminal.title), hole=hole_words(hole))

    def proper(self, subject: str, kind: str) -> str:
        """What is right about a part or wire where a slip of this kind is feared; '' for the rails."""
        if kind in VALUES and subject in self.circuit.by_id:
            return self.value(subject)
        return self.right(subject) or (self.name(subject) if subject.startswith("wire ") else "")

    def value(self, subject: str) -> str:
        """'330 Ω resistor, marked orange, orange, brown, gold'."""
        part = self.circuit.by_id[subject]
        mark = mark_of(part)
        return say(RIGHT["marked"], value=what_of(part), mark=mark) if mark else what_of(part)
