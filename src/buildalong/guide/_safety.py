"""What to mind while building: dangers at their steps, and what to check before the supply goes on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from buildalong.guide._badness import SEVERITY, severity
from buildalong.guide._places import Places
from buildalong.guide._words import CAUTIONS, WHY
from buildalong.mistakes import DANGERS, Lab, Outcome
from buildalong.words import say

__all__ = ["Caution", "Check", "cautions_of", "checks_of"]

MOST = 8
"""Checks on the list at most."""
LEAST = 0.02
"""A check is worth its place from this share of the points of the worst one."""


@dataclass(frozen=True, slots=True)
class Caution:
    """A danger that a slip at one step leads to: its key in DANGERS, the words, and the slips."""

    step: int
    danger: str
    text: str
    mistakes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Check:
    """One thing to look at before the supply goes on: where, what is right, why, at which step it went in."""

    subject: str
    step: int
    right: str
    why: str
    severity: str
    points: float
    mistakes: tuple[str, ...]


def cautions_of(lab: Lab, places: Places) -> tuple[Caution, ...]:
    """One caution for each danger at the step where the slip happens, in the order of the steps."""
    found: dict[tuple[int, str], list[Outcome]] = {}
    for outcome in lab.outcomes:
        if not outcome.danger or outcome.mistake.comes_and_goes:
            continue
        step = max((places.step_of.get(name, 0) for name in outcome.mistake.subjects), default=0)
        if step:
            found.setdefault((step, outcome.danger), []).append(outcome)
    order = list(DANGERS)
    out: list[Caution] = []
    for (step, danger), outcomes in sorted(found.items(), key=lambda i: (i[0][0], order.index(i[0][1]))):
        slip = max(outcomes, key=lambda o: (o.mistake.weight, o.mistake.id)).mistake
        text = say(CAUTIONS[danger], slip=slip.slip)
        out.append(Caution(step, danger, text, tuple(o.mistake.id for o in outcomes)))
    return tuple(out)


def checks_of(lab: Lab, places: Places) -> tuple[Check, ...]:
    """What to look at before the supply goes on, worst first: what destroys, hurts, or is never seen."""
    found: dict[str, list[Outcome]] = {}
    for outcome in lab.outcomes:
        mistake = outcome.mistake
        if severity(outcome) in WHY and mistake.seen and not mistake.comes_and_goes:
            for subject in mistake.subjects:
                found.setdefault(subject, []).append(outcome)
    checks = [_check(places, subject, outcomes) for subject, outcomes in found.items()]
    checks = [check for check in checks if check.right]
    checks.sort(key=lambda check: (-check.points, check.subject))
    least = checks[0].points * LEAST if checks else 0.0
    return tuple(check for check in checks[:MOST] if check.points >= least)


def _check(places: Places, subject: str, outcomes: Sequence[Outcome]) -> Check:
    by_name: dict[str, float] = {}
    for outcome in outcomes:
        name = severity(outcome)
        points = outcome.mistake.weight * SEVERITY[name][0] / 100.0
        by_name[name] = by_name.get(name, 0.0) + points / len(outcome.mistake.subjects)
    worst = max(by_name, key=lambda name: SEVERITY[name][0])
    slips = [o for o in outcomes if severity(o) == worst]
    heaviest = max(slips, key=lambda o: (o.mistake.weight, o.mistake.id)).mistake
    right = places.proper(subject, heaviest.kind)
    return Check(
        subject, places.step_of.get(subject, 0), right, say(WHY[worst]), worst, sum(by_name.values()),
        tuple(o.mistake.id for o in outcomes),
    )  # fmt: skip
