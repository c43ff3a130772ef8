"""How bad the likely mistakes of a build are: one table, one formula."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from buildalong.mistakes import Lab, Outcome

__all__ = ["QUIET", "SEVERITY", "Badness", "badness", "severity"]

SEVERITY: Mapping[str, tuple[float, str]] = {
    "burst": (100.0, "something may burst"),
    "battery": (60.0, "the supply and its leads get hot"),
    "heat": (40.0, "a part gets hot enough to burn a finger"),
    "dies": (20.0, "a part is lost"),
    "hot": (8.0, "a part is strained"),
    "ages": (4.0, "a part ages"),
    "hidden": (2.0, "nothing is seen"),
    "undetermined": (2.0, "it is not the same each time, so it is hard to find"),
    "seen": (1.0, "it is seen that something is wrong, and nothing comes of it"),
}
"""Name -> (points, what it means).  The points are OUR JUDGEMENT: what hurts comes before what costs a
part, and that before what costs time."""
QUIET = ("as-it-should", "overstressed")
"""Classes of symptoms that show nothing."""


@dataclass(frozen=True, slots=True)
class Badness:
    """How bad the mistakes of a build are.

    ``total``: the sum over all single mistakes of weight times points of the worst that comes of it, in
    hundreds; ``by_name``: the same for each name of SEVERITY; ``by_subject``: for each part and wire.
    """

    total: float
    by_name: Mapping[str, float]
    by_subject: Mapping[str, float]

    def of(self, subjects: Iterable[str]) -> float:
        """The share of some parts and wires."""
        return sum(self.by_subject.get(name, 0.0) for name in subjects)


def severity(outcome: Outcome) -> str:
    """The worst name of SEVERITY that holds of an outcome."""
    names = [outcome.danger, outcome.grade, "hidden" if outcome.symptom in QUIET else "seen"]
    if outcome.symptom in ("undetermined", "comes-and-goes"):
        names.append("undetermined")
    return max((name for name in names if name in SEVERITY), key=lambda name: SEVERITY[name][0])


def badness(lab: Lab) -> Badness:
    """Weigh the mistakes of a build; what changes nothing counts nothing."""
    by_name: dict[str, float] = dict.fromkeys(SEVERITY, 0.0)
    by_subject: dict[str, float] = {}
    for outcome in lab.outcomes:
        name = severity(outcome)
        points = outcome.mistake.weight * SEVERITY[name][0] / 100.0
        by_name[name] += points
        for subject in outcome.mistake.subjects:
            share = points / len(outcome.mistake.subjects)
            by_subject[subject] = by_subject.get(subject, 0.0) + share
    return Badness(sum(by_name.values()), by_name, by_subject)
