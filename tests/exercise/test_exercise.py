"""Exercises: one mistake each, drawn as it is, harmless, and as hard as the plan is long."""

from __future__ import annotations

import pytest

from buildalong.board import equal
from buildalong.build.steps import make_steps
from buildalong.exercise import LEVELS, choose, fit
from guide.test_guide import guide
from mistakes._labs import built, lab

DEMOS = ("cupboard-light", "dusk-light", "lighthouse", "mailbox-flag")


def chosen(demo: str, count: int = 6, **more):
    lesson, layout = built(demo)
    return choose(guide(demo), make_steps(lesson.circuit, layout), count, **more)


def _put_down(step) -> set[str]:
    return {*step.parts, *(f"wire {index + 1}" for index in step.wires)}


@pytest.mark.parametrize("demo", DEMOS)
def test_each_board_has_its_one_mistake(demo: str) -> None:
    """The board makes another circuit, that of its mistake; the step is told; nothing is dangerous."""
    of = {o.mistake.id: o for o in lab(demo).outcomes}
    found = chosen(demo)
    lesson, layout = built(demo)
    steps = make_steps(lesson.circuit, layout)
    assert [each.number for each in found] == list(range(1, 7))
    assert len({each.mistake for each in found}) == len(found)
    for each in found:
        outcome = of[each.mistake]
        assert outcome.danger == ""
        assert outcome.mistake.seen
        assert each.layout == outcome.mistake.layout
        assert each.answer == outcome.mistake.what
        assert each.step in {s.number for s in steps if set(each.subjects) & _put_down(s)}
        values = [(p.id, p.type.id, p.value) for p in each.circuit.parts]
        right = [(p.id, p.type.id, p.value) for p in lab(demo).circuit.parts]
        assert values != right or not equal(lab(demo).circuit, each.circuit)


@pytest.mark.parametrize("demo", DEMOS)
def test_levels_come_from_the_plan(demo: str) -> None:
    """An exercise is as hard as the plan takes readings to find it, and the easiest come first."""
    found = chosen(demo, 8)
    assert [each.readings for each in found] == sorted(each.readings for each in found)
    for each in found:
        assert each.readings == len(each.found) <= LEVELS[each.level]
        if not each.found:
            continue
        first, shows = each.found[0]
        assert each.hint.startswith(first)
        assert (shows.rstrip(".") in each.hint) == (len(each.found) > 1)


def test_exercises_are_unlike_one_another() -> None:
    """Six of the lighthouse are of at least four kinds and show at least three symptoms."""
    found = chosen("lighthouse")
    assert len({each.kind for each in found}) >= 4
    assert len({each.symptom for each in found}) >= 3


def test_seeds_give_other_exercises_and_the_same_again() -> None:
    """The same seed gives the same boards, another seed others."""
    first = [each.mistake for each in chosen("lighthouse", seed=3)]
    assert [each.mistake for each in chosen("lighthouse", seed=3)] == first
    assert [each.mistake for each in chosen("lighthouse", seed=4)] != first


def test_a_level_can_be_asked_for() -> None:
    """Only that level is given; more than there are is refused."""
    assert {each.level for each in chosen("lighthouse", 3, levels=("hard",))} == {"hard"}
    with pytest.raises(ValueError, match="make such exercises"):
        chosen("lighthouse", len(fit(guide("lighthouse"))) + 1)
