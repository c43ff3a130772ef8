"""The minutes of a lesson, against reckonings by hand."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from buildalong.board import Layout, Wire, board
from buildalong.build.steps import Step
from buildalong.lesson import Compiled
from buildalong.publish.handout._timing import RATES, in_whole, minutes_of_step, times_of


def _step(words: int, parts: tuple[str, ...] = (), wires: tuple[int, ...] = ()) -> Step:
    layout = Layout(
        board("170"),
        {"R1": ("a1", "a5"), "U1": ("e7", "e8", "e9", "e10", "f10", "f9", "f8", "f7")},
        (Wire("a2", "a6", "red"),),
    )
    return Step(1, "flat", "", "word " * words, "", "", "", parts, wires, layout, layout)


@pytest.mark.parametrize(
    ("step", "minutes"),
    [
        # 50 words 30 s, find 20 s, two ends 30 s, look 20 s: 100 s
        (_step(50, ("R1",)), 1.5),
        # 25 words 15 s, find 20 s, two ends 30 s, look 20 s: 85 s
        (_step(25, (), (0,)), 1.5),
        # 100 words 60 s, find 20 s, of eight ends four count 60 s, look 20 s: 160 s
        (_step(100, ("U1",)), 2.5),
        # nothing but a look: 20 s
        (_step(0), 0.5),
    ],
)
def test_a_step_takes_what_its_words_and_ends_take(step: Step, minutes: float) -> None:
    """By hand, with the rates that the teacher's edition prints; rounded to half minutes."""
    assert minutes_of_step(step) == minutes


def test_stages_add_up(compiled_demo: Callable[[str], Compiled]) -> None:
    """The building time is that of the steps; the sum is rounded up to five minutes."""
    compiled = compiled_demo("mailbox-flag")
    times = times_of(compiled.steps, compiled.lesson.trials, words=200, pieces=30, questions=5)
    stages = dict(times.stages)
    assert stages["read"] == 2
    assert stages["sort"] == 10
    assert stages["questions"] == 10
    assert stages["tidy"] == RATES.tidy
    assert stages["build"] == sum(minutes for _, minutes in times.steps)
    assert stages["mend"] == stages["build"] / 4
    whole, total = in_whole(times.stages)
    assert all(0 <= minutes - stages[name] < 1 for name, minutes in whole)
    assert total % 5 == 0
    assert 0 <= total - sum(minutes for _, minutes in whole) < 5
