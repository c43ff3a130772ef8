"""The guide of one build: symptoms with causes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from buildalong.build.steps import Step
from buildalong.guide._badness import Badness, badness
from buildalong.guide._cause import Symptom
from buildalong.guide._causes import seen_as, symptoms_of
from buildalong.guide._meter import Meter
from buildalong.guide._places import Places
from buildalong.guide._safety import Caution, Check, cautions_of, checks_of
from buildalong.mistakes import Lab, wire_name

__all__ = ["Guide", "guide_of"]


@dataclass(frozen=True)
class Guide:
    """What a learner and a teacher get out of the laboratory."""

    lab: Lab
    symptoms: tuple[Symptom, ...]
    cautions: tuple[Caution, ...]
    checks: tuple[Check, ...]
    badness: Badness

    def worst_steps(self, steps: Sequence[Step]) -> tuple[tuple[Step, float], ...]:
        """Steps that put something down, with the points of their likely mistakes, worst first."""
        found = [
            (step, self.badness.of((*step.parts, *(wire_name(index) for index in step.wires))))
            for step in steps
            if step.kind not in ("test", "check")
        ]
        return tuple(sorted(found, key=lambda pair: (-pair[1], pair[0].number)))

    def seen(self, kind: str, sights: tuple[tuple[str, str], ...]) -> Symptom | None:
        """The symptom of a class in which each light differs so (as in ``Outcome.sights``); None for none."""
        wanted = seen_as(kind, sights)
        of = {outcome.mistake.id: outcome for outcome in self.lab.outcomes}
        for symptom in self.symptoms:
            first = of[symptom.causes[0].id]
            if seen_as(first.symptom, first.sights) == wanted:
                return symptom
        return None


def guide_of(lab: Lab, steps: Sequence[Step]) -> Guide:
    """Turn the outcomes of a laboratory into help; ``steps`` are those that build its layout."""
    places = Places(lab.circuit, lab.layout, steps)
    symptoms = symptoms_of(lab, places, Meter(lab).proof)
    return Guide(lab, symptoms, cautions_of(lab, places), checks_of(lab, places), badness(lab))
