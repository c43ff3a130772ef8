"""Choosing mistakes for exercises: seen on the picture, harmless, and unlike one another."""

from __future__ import annotations

import random
from collections.abc import Collection, Sequence

from buildalong.build.steps import Step
from buildalong.circuit import Circuit, bands_on
from buildalong.exercise._exercise import LEVELS, Exercise, Level
from buildalong.guide import Cause, Guide, Symptom, Way
from buildalong.mistakes import KINDS, Outcome
from buildalong.trace import Node, Plan, build_order, make_plan, seen_of
from buildalong.words import say

__all__ = ["choose", "fit"]

TRIES = 400
UNFIT_KINDS = ("wrong-colour", "weak-battery", "loose-contact", "rail-split")
"""Kinds that a picture of the board does not show, or gives away."""
UNFIT_SYMPTOMS = ("as-it-should", "overstressed", "undetermined", "comes-and-goes", "battery-hot")
"""Symptoms of which nothing firm can be told."""


def fit(guide: Guide) -> tuple[Outcome, ...]:
    """The mistakes that make exercises: to be seen on the picture, with a firm symptom and no danger."""
    return tuple(
        o for o in guide.lab.outcomes
        if not o.danger and o.mistake.seen and o.mistake.kind not in UNFIT_KINDS
        and o.symptom not in UNFIT_SYMPTOMS and _drawn(o, guide.lab.circuit)
    )  # fmt: skip


def _drawn(outcome: Outcome, circuit: Circuit) -> bool:
    """Whether a picture of the board shows it: of values only bands and codes are seen from above."""
    mistake = outcome.mistake
    parts = [circuit.by_id[name] for name in mistake.subjects if name in circuit.by_id]
    if mistake.kind == "swapped" and len({part.type.body.shape for part in parts}) > 1:
        return True
    valued = mistake.kind in ("wrong-decade", "read-backwards", "code-misread", "swapped")
    return not valued or all(bands_on(part) or part.type.marking.kind == "code" for part in parts)


def choose(
    guide: Guide, steps: Sequence[Step], count: int, *, seed: int = 1, levels: Collection[Level] = ()
) -> tuple[Exercise, ...]:
    """Choose ``count`` mistakes, easiest first, with as few as possible of one kind, part or symptom.

    Equal arguments give equal exercises.  ``levels`` limits them.  Raises ValueError where the build has
    fewer mistakes that fit.
    """
    plan = make_plan(guide.lab, build_order(steps))
    known = {o.mistake.id: _exercise(o, guide, plan) for o in fit(guide)}
    pool = [each for each in known.values() if not levels or each.level in levels]
    if len(pool) < count:
        raise ValueError(
            f"only {len(pool)} mistakes of this build make such exercises, not {count}: ask for fewer"
            " or for other levels"
        )
    rng = random.Random(seed)  # noqa: S311 - a choice, not a secret
    chosen: list[Exercise] = []
    while len(chosen) < count:
        left = [each for each in pool if each not in chosen]
        some = [rng.choice(left) for _ in range(min(TRIES, 3 * len(left)))]
        chosen.append(min(some, key=lambda each: _alike(each, chosen)))
    chosen.sort(key=lambda each: (each.readings, each.mistake))
    return tuple(_numbered(each, number) for number, each in enumerate(chosen, start=1))


def _alike(one: Exercise, others: Sequence[Exercise]) -> int:
    """How much an exercise repeats what was chosen before."""
    return sum(
        4 * bool(set(one.subjects) & set(other.subjects))
        + 3 * (one.kind == other.kind)
        + 2 * (one.symptom == other.symptom)
        + (one.level == other.level)
        for other in others
    )


def _numbered(each: Exercise, number: int) -> Exercise:
    from dataclasses import replace

    return replace(each, number=number)


def _exercise(outcome: Outcome, guide: Guide, plan: Plan) -> Exercise:
    mistake = outcome.mistake
    symptom, cause, told = _told(guide, mistake.id)
    root = next(r for r in plan.roots if r.seen == seen_of(outcome))
    way = _way(root.node, mistake.id)
    level: Level = next(name for name, most in LEVELS.items() if len(way) <= most)
    hint = _hint(way) or cause.look
    return Exercise(
        0, mistake.id, mistake.kind, mistake.subjects, symptom.title, level, len(way), hint, tuple(way),
        mistake.what, say(KINDS[mistake.kind].cure), told.step, mistake.circuit, mistake.layout,
    )  # fmt: skip


def _hint(way: Sequence[tuple[str, str]]) -> str:
    """The plan's first reading, with what it shows where that is not yet the answer."""
    if not way:
        return ""
    text, answer = way[0]
    return text if len(way) == 1 else f"{text} {say('You find: {answer}.', answer=answer.rstrip('.'))}"


def _told(guide: Guide, mistake: str) -> tuple[Symptom, Cause, Way]:
    return next(
        (symptom, cause, way)
        for symptom in guide.symptoms
        for cause in symptom.causes
        for way in cause.ways
        if way.mistake == mistake
    )


def _way(node: Node, mistake: str) -> list[tuple[str, str]]:
    """The readings and answers that lead to a mistake; of several ways the shortest."""
    if node.reading is None:
        return []
    below = [
        [(node.reading.text, answer.words), *_way(child, mistake)]
        for answer, child in node.branches
        if any(name == mistake for name, _ in child.suspects)
    ]
    return min(below, key=len)
