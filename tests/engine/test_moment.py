"""Voltages and currents at one moment of a run."""

import math

import pytest
from _demo import demo, part, supply

from buildalong.circuit import Circuit
from buildalong.engine import Options, Trial, Variation, moment, simulate


def charging(**options):
    """1 uF behind 10 k on 9 V from 0 s on."""
    circuit = Circuit(
        (
            supply("9 V block"),
            part("R1", "resistor", ("PLUS", "CAP"), 10e3),
            part("C1", "capacitor-film", ("CAP", "0V"), 1e-6),
        )
    )
    return simulate(
        circuit, Trial("c", 0.05), Variation(((("BT1", "resistance"), 1e-3),)), Options(**options)
    )


@pytest.mark.parametrize("share", [0.5, 1.0, 3.0])
def test_of_a_charging_capacitor(share):
    """After n time constants the voltage is 9 V (1 - exp(-t/RC)), the current its rest over R (Grob)."""
    point = moment(charging(rtol=1e-6), share * 10e-3)
    left = math.exp(-share)
    assert point.voltages["CAP"] == pytest.approx(9 * (1 - left), abs=5e-3)
    assert point.currents["R1", "1"] == pytest.approx(9 * left / 10e3, abs=1e-6)
    assert point.currents["C1", "+" if ("C1", "+") in point.currents else "1"] == pytest.approx(
        point.currents["R1", "1"], rel=1e-6
    )


def test_at_a_jump_the_later_side_counts():
    """Pressed at 2 s, the latch is set: high at 2 s, low just before (TI SLFS022F, function table)."""
    circuit, trial = demo("mailbox-flag")
    run = simulate(circuit, trial)
    assert moment(run, 2.0).states["U1.latch"] == "high"
    assert moment(run, 2.0).voltages["OUT"] > 3
    assert moment(run, 1.999).voltages["OUT"] < 0.5


def test_times_that_are_not_in_the_run():
    """Before, after, or without waveforms there is nothing to tell."""
    run = charging()
    for time in (-1.0, 0.051, math.nan):
        with pytest.raises(ValueError, match="no waveforms"):
            moment(run, time)
    with pytest.raises(ValueError, match="no waveforms"):
        moment(charging(waveforms=False), 0.01)
