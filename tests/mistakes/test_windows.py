"""When a meter is read, in words."""

from __future__ import annotations

import pytest

from buildalong.engine import Action, Trial
from buildalong.mistakes._case import windows_of


@pytest.mark.parametrize(
    ("action", "said"),
    [
        (Action(2.0, "R1", "position", 0.1), "after R1 is turned to 10 %"),
        (Action(2.0, "S1", "thrown", 1.0), "after S1 is thrown to B"),
        (Action(2.0, "S1", "thrown", 0.0), "after S1 is thrown to A"),
    ],
)
def test_what_was_done_is_said_as_the_trial_says_it(action: Action, said: str) -> None:
    """A turn is told in per cent and a throw by its contact, as the lines of a trial are written."""
    assert [window.plain for window in windows_of([Trial("t", 20.0, (action,))])][-1] == said
