"""Whatever a learner builds, there is a result: seeded random mistakes on every demo."""

from dataclasses import replace

import numpy as np
import pytest
from _demo import DEMOS, demo
from _miswire import miswired

from buildalong.engine import Options, check_ratings, simulate, verdict_findings

MISTAKES = 150


@pytest.mark.parametrize("name", DEMOS)
def test_mistakes_end_in_a_result(name):
    """Each of 150 mistakes gives finite voltages, bounded by what the sources can give, and findings."""
    circuit, trial = demo(name)
    trial = replace(trial, lasts=min(trial.lasts, 10.0))
    for seed in range(MISTAKES):
        run = simulate(miswired(circuit, f"{name} {seed}"), trial, None, Options(max_events=1500))
        assert np.isfinite(run.voltages).all(), seed
        assert np.isfinite(run.currents).all(), seed
        # a capacitor may lift a net once by the supply, and junctions clamp: three times is ample
        assert float(np.abs(run.voltages).max(initial=0.0)) < 3.0 * run.statistics["nominal"] + 3.0, seed
        assert float(np.diff(run.times).min(initial=0.0)) >= 0.0
        check_ratings(run)
        verdict_findings(run)
        ended = run.statistics["ended"]
        assert ended >= trial.lasts * (1 - 1e-9) or any("too-" in v.code for v in run.verdicts), seed


def test_rest_of_a_chattering_counter_is_cheap():
    """A counter turned round chatters; a cell that rests costs one step, not a search for its crossing.

    The seed is one that took 60,076 steps before crossings that wait for the end of a rest were told apart.
    """
    circuit, trial = demo("runway-lights")
    run = simulate(miswired(circuit, "runway-lights 1275"), trial)
    assert "too-frequent-events" in {v.code for v in run.verdicts}
    assert run.statistics["steps"] < 5 * run.statistics["jumps"]


@pytest.mark.parametrize("seed", [3, 438])
def test_schmitt_input_with_its_supply_reversed_does_not_turn_for_ever(seed):
    """With the supply reversed, the level for the way back lies above the other; the outer one counts.

    The seeds are two that took 34,979 and 107,396 steps, within picoseconds, before it did.
    """
    circuit, trial = demo("runway-lights")
    run = simulate(miswired(circuit, f"runway-lights {seed}"), trial)
    assert run.statistics["ended"] == trial.lasts
    assert run.statistics["steps"] < 2000
