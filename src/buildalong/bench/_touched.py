"""The board under the learner's hand: leads pulled out and put elsewhere, and what comes of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from buildalong.board import Layout, check_change, compare, hole_words, read_back, strip_nets
from buildalong.circuit import Circuit
from buildalong.engine import Trial
from buildalong.finding import Finding, Severity
from buildalong.mistakes import DANGERS, Mistake, laboratory
from buildalong.words import say

__all__ = ["OUT", "Consequence", "Touched", "consequence_of"]

OUT = "-"
"""The hole of a lead that is in no hole."""
Key = tuple[str, int]


@dataclass(frozen=True)
class Consequence:
    """What a changed board means: how its circuit differs, what is then seen, what can hurt.

    ``dangers`` say what to do; ``harms`` what each part suffers.
    """

    differences: tuple[Finding, ...] = ()
    symptom: str = ""
    harms: tuple[str, ...] = ()
    dangers: tuple[str, ...] = ()


@dataclass(frozen=True)
class Touched:
    """A layout and the leads that were moved on it: (owner, leg) -> hole, or OUT."""

    circuit: Circuit
    layout: Layout
    moved: Mapping[Key, str] = field(default_factory=dict)

    def hole_of(self, owner: str, leg: int) -> str:
        """Where a lead belongs; raises KeyError where there is no such lead."""
        if owner.startswith("wire "):
            number = int(owner[5:]) - 1 if owner[5:].isdecimal() else -1
            if not 0 <= number < len(self.layout.wires) or leg not in (0, 1):
                raise KeyError(owner)
            wire = self.layout.wires[number]
            return (wire.start, wire.end)[leg]
        holes = self.layout.holes[owner]
        if not 0 <= leg < len(holes) or self.circuit.by_id[owner].type.body.legs:
            raise KeyError(owner)
        return holes[leg]

    def with_lead(self, owner: str, leg: int, hole: str) -> Touched | Finding:
        """The board with one lead elsewhere, or why that cannot be done with a hand."""
        own = self.hole_of(owner, leg)
        moved = {key: where for key, where in self.moved.items() if key != (owner, leg)}
        if hole != own:
            moved[owner, leg] = hole
        new = replace(self, moved=moved)
        if hole != OUT and hole not in self.layout.board.holes:
            return Finding(Severity.ERROR, "no-such-hole", say("This board has no such hole."))
        if hole != OUT:
            for finding in check_change(self.circuit, self.shown, new.shown):
                if finding.severity >= Severity.ERROR and owner in finding.about:
                    return finding
        return new

    @property
    def shown(self) -> Layout:
        """The layout to draw: a lead in no hole is drawn where it was."""
        return self._moved(lambda owner, leg, hole: self.hole_of(owner, leg) if hole == OUT else hole)

    @property
    def real(self) -> Layout:
        """The layout as it is: wires with a loose end join nothing and are left out."""
        layout = self._moved(lambda owner, leg, hole: hole)
        wires = tuple(wire for wire in layout.wires if OUT not in (wire.start, wire.end))
        return replace(layout, wires=wires)

    def _moved(self, where: Callable[[str, int, str], str]) -> Layout:
        """The layout with each moved lead ``where`` it is to be, by its owner, leg and hole."""
        holes = {part: list(legs) for part, legs in self.layout.holes.items()}
        wires = list(self.layout.wires)
        for (owner, leg), hole in self.moved.items():
            there = where(owner, leg, hole)
            if owner.startswith("wire "):
                number = int(owner[5:]) - 1
                wire = wires[number]
                wires[number] = (
                    replace(wire, end=there, path=()) if leg else replace(wire, start=there, path=())
                )
            else:
                holes[owner][leg] = there
        return replace(
            self.layout, holes={part: tuple(legs) for part, legs in holes.items()}, wires=tuple(wires)
        )

    def read_back(self) -> tuple[Circuit, dict[str, str]]:
        """The circuit that the board makes now, and for each strip in it the net that it carries."""
        layout = self.real
        made = read_back(self.circuit.parts, layout)
        return made, strip_nets(made, layout)

    def words(self) -> tuple[str, ...]:
        """Which leads are elsewhere."""
        out = []
        for (owner, leg), hole in self.moved.items():
            was = hole_words(self.hole_of(owner, leg))
            if hole == OUT:
                out.append(say("{owner}: out of {was}", owner=owner, was=was))
            else:
                out.append(say("{owner}: from {was} to {now}", owner=owner, was=was, now=hole_words(hole)))
        return tuple(out)


def consequence_of(touched: Touched, trials: Sequence[Trial]) -> Consequence:
    """Compare, simulate and judge the board as it stands."""
    if not touched.moved:
        return Consequence()
    circuit, layout = touched.circuit, touched.real
    made, _ = touched.read_back()
    differences = tuple(compare(circuit, made, layout))
    if not differences:
        return Consequence(symptom=say("It makes the same circuit: nothing changes."))
    subjects = tuple(dict.fromkeys(owner for owner, _ in touched.moved))
    mistake = Mistake("by-hand", "own", "", "", subjects, 1.0, made, layout)
    lab = laboratory(circuit, touched.layout, trials, made=[mistake])
    if not lab.outcomes:
        return Consequence(differences, say("Nothing that can be seen changes."))
    outcome = lab.outcomes[0]
    dangers = (say(DANGERS[outcome.danger]),) if outcome.danger else ()
    harms = tuple(harm.sentence for harm in outcome.harms)
    return Consequence(differences, outcome.sentence, harms, dangers)
