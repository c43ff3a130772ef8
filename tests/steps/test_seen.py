"""What a learner is told to see at a test, held against simulated runs and against runs made up by hand."""

from __future__ import annotations

import pytest

from board._demo import EXAMPLES, circuit, crossing, mailbox
from buildalong.build.steps import make_steps
from buildalong.build.steps._turns import in_turn
from buildalong.lesson import load


def test_the_state_at_first_is_left_open() -> None:
    """A latch may wake either way (data sheets promise nothing): so it is said, and what ends it."""
    trials = load(EXAMPLES / "mailbox-flag").trials
    last = make_steps(circuit("mailbox-flag"), mailbox(), trials=trials)[-1]
    assert last.check.startswith(
        "DS1 may light or stay dark (either is right). Press S2 for a moment: DS1 must be dark."
        " Press S1 for a moment: DS1 must light. Press S2 for a moment: DS1 must go out. "
    )


def test_lights_that_take_turns_are_told_so() -> None:
    """Two transistors that switch each other off never light both lamps (textbook multivibrator)."""
    trials = load(EXAMPLES / "level-crossing").trials
    last = make_steps(circuit("level-crossing"), crossing(), trials=trials)[-1]
    assert last.check.startswith("DS1 and DS2 must flash in turn, each about once a second. ")


def blinks(period: float, on: float, phase: float) -> list[tuple[float, bool]]:
    """When a light comes on and goes out in ten periods."""
    begins = [n * period + phase for n in range(10)]
    return sorted([*((time, True) for time in begins), *((time + on, False) for time in begins)])


@pytest.mark.parametrize(
    ("lights", "turns"),
    [
        ([(1.0, 0.5, 0.0), (1.0, 0.5, 0.5)], True),
        ([(1.0, 0.54, 0.0), (1.0, 0.54, 0.5)], True),
        ([(1.0, 0.6, 0.0), (1.0, 0.6, 0.5)], False),
        ([(1.0, 0.5, 0.0), (1.0, 0.5, 0.0)], False),
        ([(1.0, 0.2, 0.0), (1.0, 0.2, 0.3), (1.0, 0.2, 0.6)], True),
        ([(0.1, 0.07, 0.0), (0.1, 0.07, 0.05)], False),
        ([(1.0, 0.5, 0.0)], False),
    ],
)
def test_in_turn(lights: list[tuple[float, float, float]], turns: bool) -> None:
    """One at a time, but for a glimpse at the change (0.04 s, not 0.1 s); fast ones overlap too much."""
    assert in_turn([blinks(*light) for light in lights], 0.0, 10.0) == turns
