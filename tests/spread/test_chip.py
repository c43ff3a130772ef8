"""The chip's own error, against the timing errors that the makers print."""

from __future__ import annotations

import math

import pytest
from tests.design._circuits import circuit, demo

from buildalong.circuit import Circuit
from buildalong.engine import Action, Trial, Variation, measure, simulate
from buildalong.quantity import Quantity
from buildalong.spread import Surroundings, Target, factors, spread

ONE_SHOT = """
    U1 timer-555 0V TRIG OUT PLUS - CAP CAP PLUS
    R1 resistor 51k PLUS CAP
    C1 capacitor-film 100nF CAP 0V
    R2 resistor 10k PLUS TRIG
    S1 push-button TRIG 0V
"""
ASTABLE = """
    {timer} 0V CAP OUT PLUS - CAP DIS PLUS
    R1 resistor 51k PLUS DIS
    R2 resistor 51k DIS CAP
    C1 capacitor-film 100nF CAP 0V
"""


def levels(made: Circuit, around: Surroundings | None = None) -> dict[str, float]:
    """The largest offsets of the timer's comparators [V]."""
    found = factors(made, around)
    return {f.name: f.high for f in found if f.part == "U1" and f.name in ("threshold", "trigger")}


def test_a_one_shot_is_off_by_what_its_sheet_says() -> None:
    """TI SLFS022F: initial error of a one-shot 1 % typical, 3 % at most (2 kΩ to 100 kΩ, 0.1 µF)."""
    made = circuit(ONE_SHOT)
    press = (Action(1e-3, "S1", "pressed", 1.0), Action(2e-3, "S1", "pressed", 0.0))
    trial = Trial("press", 0.03, press)
    offset = levels(made)["threshold"]
    usual, late = (
        measure(simulate(made, trial, Variation(((("U1", "threshold"), volts),))), "pulse_width", "OUT").value
        for volts in (0.0, offset)
    )
    assert late / usual - 1.0 == pytest.approx(0.03, rel=0.05)


@pytest.mark.parametrize(("timer", "typical"), [("U1 timer-555", 0.0225), ("U1 timer-555-cmos", 0.01)])
def test_astables_are_off_by_what_their_sheets_say(timer: str, typical: float) -> None:
    """2.25 % typical (TI SLFS022F) and 1 % (TI SLFS043F), with RA = RB and 0.1 µF as in the makers' tests.

    Our reading: the typical error is the mean of the errors of many chips, either sign.  Only the chip
    differs here: resistors and capacitor are exact.
    """
    from dataclasses import replace

    made = circuit(ASTABLE.format(timer=timer))
    exact = Circuit(tuple(replace(p, tolerance=0.0) if p.value is not None else p for p in made.parts))
    wanted = Target("period", "OUT", "run", Quantity(0.0106, "s"), 0.001)
    outcome = spread(exact, [Trial("run", 0.08)], [wanted], samples=300).outcomes[0]
    errors = abs(outcome.values / outcome.nominal - 1.0)
    assert errors.mean() == pytest.approx(typical, rel=0.12)
    assert outcome.shares["U1"] > 0.95


def test_warmth_and_another_supply_add_to_it() -> None:
    """TI SLFS022F: 50 ppm/K and at most 0.5 %/V as one-shot; 3 V from 9 V's nominal, 15 K from 25 °C."""
    made = demo("cupboard-light")
    usual = levels(made)["threshold"]
    cold = levels(made, Surroundings((10.0, 25.0)))["threshold"]
    assert cold / usual == pytest.approx((0.03 + 15 * 50e-6) / 0.03)
    tired = levels(made, Surroundings(supply=(0.25, 1.0)))["threshold"]
    # 9 V block, spent at 4.8 V, fresh at 9.6 V: a quarter of the way is 6 V
    assert tired / usual == pytest.approx((0.03 + 3.0 * 0.005) / 0.03)


def test_a_comparator_is_off_by_its_offset_voltage() -> None:
    """ST LM393: 5 mV at most, either sign; and the sheet is named."""
    found = [f for f in factors(demo("dusk-light")) if f.part == "U1"]
    assert [(f.name, f.low, f.high) for f in found] == [("above", -5e-3, 5e-3)]
    assert "LM393" in found[0].source


def test_a_latch_does_not_care() -> None:
    """A timer that only remembers keeps its time whatever its comparators are off by: the presses make it."""
    made = demo("mailbox-flag")
    press = tuple(
        Action(t, s, "pressed", v) for t, s, v in ((0.2, "S1", 1.0), (0.3, "S1", 0.0), (1.2, "S2", 1.0))
    )
    wanted = Target("pulse_width", "DS1", "run", Quantity(1.0, "s"), 0.1)
    outcome = spread(made, [Trial("run", 2.0, press)], [wanted], samples=60).outcomes[0]
    assert outcome.shares.get("U1", 0.0) < 0.02
    assert math.isclose(outcome.low, outcome.high, rel_tol=1e-3)
