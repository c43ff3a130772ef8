"""Builds that are not simulated on once their rhythm is known measure the same as whole ones."""

from __future__ import annotations

import numpy as np
import pytest
from tests.design._circuits import demo, demo_trial

from buildalong.spread import even, factors, variations
from buildalong.spread._brief import brief, whole
from buildalong.study import Asked


@pytest.mark.parametrize(
    ("name", "asked"),
    [
        ("lighthouse", (Asked("on_time", "DS1"), Asked("off_time", "DS1"))),
        ("level-crossing", (Asked("frequency", "DS1"), Asked("duty", "DS1"))),
        ("cupboard-light", (Asked("on_time", "DS1"),)),
    ],
)
def test_the_measures_are_those_of_the_whole_trial(name: str, asked: tuple[Asked, ...]) -> None:
    """Reference: the same builds simulated to the end of their trial; 0.1 %, the engine's error twice."""
    made, trial = demo(name), demo_trial(name)
    found = factors(made)
    builds = variations(found, even(72, len(found), 3))
    short = brief(made, trial, builds, asked, lambda share, text: None)
    full = whole(made, trial, builds, asked, lambda share, text: None)
    assert np.isfinite(full).all()
    assert short == pytest.approx(full, rel=1e-3)
