"""A learner with a dead circuit: ten hidden faults, found by what is seen and read alone.

The builds are not those of the laboratory: every resistor is off by up to 4 %, every capacitor by up to 8 %,
as real parts are, and one mistake is made, which the learner is not told.  The learner may only look, press,
feel and measure, and follows the guide or the plan.
"""

from __future__ import annotations

import random
from dataclasses import dataclass, replace
from functools import cache

import pytest

from buildalong.build.steps import make_steps
from buildalong.circuit import Circuit
from buildalong.mistakes import Outcome, Wishes, laboratory, mistakes_of
from buildalong.trace import Answer, Given, Reading, all_readings, build_order, next_reading
from mistakes._labs import built, lab

from .test_guide import guide

OFF = {"resistor": 0.04, "capacitor": 0.08, "electrolytic": 0.08}
DEMOS = ("cupboard-light", "dusk-light", "level-crossing", "lighthouse", "mailbox-flag")
PLANTED = tuple((demo, seed) for seed in (1, 2) for demo in DEMOS)
MOST = 14
"""Readings after which a learner gives up."""


@dataclass(frozen=True)
class Bench:
    """A build with a hidden fault: it can be watched and read, and says in the end whether it was found."""

    demo: str
    hidden: Outcome

    @property
    def symptom(self) -> tuple[str, str]:
        """What is seen, as a class, and the class while a contact fails."""
        return self.hidden.symptom, self.hidden.failing

    def looks_right(self, subject: str) -> bool:
        """Whether a part or wire stands as its step shows and is the right one."""
        right, wrong = lab(self.demo).layout, self.hidden.mistake.layout
        if subject == "rails":
            return right.board.split_rails == wrong.board.split_rails
        if subject.startswith("wire "):
            index = int(subject[5:]) - 1
            if len(wrong.wires) < len(right.wires):
                return subject not in self.hidden.mistake.subjects
            ends = [(w.start, w.end) for w in (right.wires[index], wrong.wires[index])]
            return ends[0] == ends[1]
        if self.hidden.mistake.comes_and_goes:
            return True
        here, there = (c.by_id.get(subject) for c in (build(self.demo), self.hidden.mistake.circuit))
        if here is None or there is None or right.holes[subject] != wrong.holes.get(subject):
            return False
        return (here.type.id, here.value) == (there.type.id, there.value)

    def answer(self, reading: Reading, offered: tuple[Answer, ...]) -> Answer:
        """What a reading shows, in the words that the advice offers where it offers any that fit."""
        mistake = self.hidden.mistake
        if reading.kind == "look":
            return Answer("right" if self.looks_right(reading.subject) else "wrong", "")
        if reading.kind == "press":
            hit = mistake.comes_and_goes and reading.subject in mistake.subjects
            return Answer("yes" if hit else "no", "")
        if reading.kind == "feel":
            return Answer("yes" if reading.subject in self.hidden.warm else "no", "")
        if reading.kind == "continuity":
            one, other = (self.hidden.joined.get(strip) for strip in reading.strips)
            return Answer("yes" if one is not None and one == other else "no", "")
        shown = self.hidden.volts[reading.window]
        if any(strip not in shown for strip in reading.strips):
            return Answer("steady", "", 0.0, 0.0)
        red, black = (shown[strip] for strip in reading.strips)
        if not red or not black:  # held by nothing: the meter itself pulls it to 0 V
            return Answer("steady", "", 0.0, 0.0)
        values = [a - b for a, b in zip(_long(red[0], black[0]), _long(black[0], red[0]), strict=True)]
        if max(values) - min(values) > 0.4:
            return Answer("swings", "")
        return Answer("steady", "", min(values), max(values))


def _long(one: tuple[float, ...], other: tuple[float, ...]) -> tuple[float, ...]:
    return one * len(other) if len(one) == 1 else one


@cache
def build(demo: str) -> Circuit:
    """The circuit with parts as they come out of the bag."""
    rng = random.Random(demo)
    return Circuit(
        tuple(
            replace(p, value=p.value * (1 + rng.uniform(-1, 1) * OFF[p.type.family]))
            if p.value is not None and p.type.family in OFF else p
            for p in built(demo)[0].circuit.parts
        )
    )  # fmt: skip


@cache
def bench(demo: str, seed: int) -> Bench:
    """A build with a mistake drawn by its weight; one that is seen by what the lights do."""
    lesson, layout = built(demo)
    quiet = ("as-it-should", "overstressed")
    pool = [o for o in lab(demo).outcomes if o.symptom not in quiet]
    drawn = random.Random(f"{demo} {seed}").choices(pool, [o.mistake.weight for o in pool])[0].mistake.id
    others = frozenset(m.id for m in mistakes_of(build(demo), layout)) - {drawn}
    (hidden,) = laboratory(build(demo), layout, lesson.trials, wishes=Wishes(forbid=others)).outcomes
    assert hidden.mistake.id == drawn
    return Bench(demo, hidden)


@pytest.mark.parametrize(("demo", "seed"), PLANTED)
def test_the_plan_leads_to_the_fault(demo: str, seed: int) -> None:
    """Reading after reading the advice leads to the part or wire, or leaves it among three at most."""
    hidden = bench(demo, seed)
    given: list[Given] = []
    while len(given) < MOST:
        lights = dict(hidden.hidden.sights) if "undetermined" not in hidden.symptom else None
        advice = next_reading(lab(demo), hidden.symptom[0], given, failing=hidden.symptom[1], lights=lights)
        assert advice.suspects, f"nothing explains {given}"
        if advice.reading is None:
            left = {name for name, _ in advice.suspects}
            assert hidden.hidden.mistake.id in left
            assert advice.causes <= 3
            return
        answer = hidden.answer(advice.reading, advice.answers)
        if answer.key == "wrong":
            assert advice.reading.subject in hidden.hidden.mistake.subjects
            return
        given.append(Given(advice.reading.id, answer))
    pytest.fail(f"not found after {MOST} readings")


def looks(demo: str, seed: int) -> tuple[int, int]:
    """How many things a learner looks at until the fault is met: by the guide, and in building order."""
    hidden = bench(demo, seed)
    symptom = guide(demo).seen(hidden.hidden.symptom, hidden.hidden.sights)
    assert symptom is not None
    lesson, layout = built(demo)
    order = build_order(make_steps(lesson.circuit, layout))
    subjects = hidden.hidden.mistake.subjects
    plain = min((order.index(s) + 1 for s in subjects if s in order), default=len(order) + 1)
    seen: list[str] = []
    for cause in symptom.causes:
        for subject in cause.subjects:
            if subject in seen:
                continue
            seen.append(subject)
            pressed = hidden.hidden.mistake.comes_and_goes and subject in subjects
            spent = hidden.hidden.mistake.kind == "weak-battery" and subject in subjects
            if pressed or spent or not hidden.looks_right(subject):
                assert subject in subjects
                return len(seen), plain
    raise AssertionError("the guide does not name the part")


def test_the_guide_leads_to_every_fault_sooner_than_going_through_the_steps() -> None:
    """By symptom and order of the guide all ten are found, together with fewer looks than step by step."""
    found = [looks(demo, seed) for demo, seed in PLANTED]
    assert sum(count for count, _ in found) < 0.7 * sum(plain for _, plain in found)


@pytest.mark.parametrize(("demo", "seed"), PLANTED)
def test_a_reading_of_the_guide_proves_its_cause(demo: str, seed: int) -> None:
    """On a build with other values the reading offered for the true cause shows the wrong value."""
    hidden = bench(demo, seed)
    symptom = guide(demo).seen(hidden.hidden.symptom, hidden.hidden.sights)
    assert symptom is not None
    name = hidden.hidden.mistake.id
    cause = next(c for c in symptom.causes if name in {way.mistake for way in c.ways})
    if cause.reading is None:
        return
    probes = [r for r in all_readings(lab(demo)) if r.holes == (cause.reading.red, cause.reading.black)]
    shown = [hidden.answer(reading, ()) for reading in probes if reading.kind == "volts"]
    wrong = cause.reading.wrong
    if wrong is None:
        assert any(answer.key == "swings" for answer in shown)
    else:
        assert any(wrong[0] <= answer.low and answer.high <= wrong[1] for answer in shown)
