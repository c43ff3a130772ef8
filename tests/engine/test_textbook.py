"""RC charging and discharging against printed textbook answers.

Gr: Schultz, Grob's Basic Electronics; To: Tooley, Electronic Circuits; Gi: Giancoli, Physics 7e.
The exact values are those of the exponential law; the printed ones are checked to their digits.
"""

import math

import numpy as np
import pytest
from _demo import part, supply

from buildalong.circuit import Circuit
from buildalong.engine import Live, Options, Trial, Variation, simulate


def rc(volts, ohms, farads, lasts, start=0.0):
    """Voltage over time of a capacitor behind a resistor, the parts nearly ideal."""
    parts = (
        supply("9 V block"),
        part("R1", "resistor", ("PLUS", "CAP"), ohms),
        part("C1", "capacitor-film", ("CAP", "0V"), farads),
    )
    changes = (
        (("BT1", "emf"), volts),
        (("BT1", "resistance"), 1e-3),
        (("C1", "esr"), 1e-3),
        (("C1", "self_discharge"), 0.0),
    )
    options = Options(rtol=1e-6, charged=(("C1", start),))
    run = simulate(Circuit(parts), Trial("rc", lasts), Variation(changes), options)
    return run, lambda t: float(np.interp(t, run.times, run.voltage("CAP")))


@pytest.mark.parametrize(
    ("volts", "ohms", "farads", "start", "at", "printed", "digits"),
    [
        pytest.param(300, 1e6, 0.01e-6, 0, 10e-3, 189.64, 0.06, id="Gr 22-5 p677: 63 % of 300 V after RC"),
        pytest.param(
            1e-9, 1e6, 0.01e-6, 200, 10e-3, 73.58, 0.06, id="Gr 22-7 p680: 37 % of 200 V left after RC"
        ),
        pytest.param(1e-9, 3e5, 10e-6, 40, 6.0, 5.413, 0.01, id="Gr 22-9 p682: 40 V, RC 3 s, after 6 s"),
        pytest.param(36, 10e3, 0.05e-6, 0, 0.5493e-3, 24, 0.02, id="Gr 22-10 p682: 24 of 36 V after RC ln 3"),
        pytest.param(9, 3.3e6, 1e-6, 0, 1.0, 2.3528, 0.001, id="To 3.9 p59: 9 V, 3.3 M, 1 uF, 1 s"),
        pytest.param(1e-9, 47e3, 10e-6, 20, 0.32578, 10, 0.005, id="To 3.11 p61: 20 V halves in RC ln 2"),
        pytest.param(1e-9, 4.2e3, 1e-6, 100, 9.671e-3, 10, 0.01, id="Gi 19-14: to 10 % in 9.7 ms"),
    ],
)
def test_rc_follows_the_printed_example(volts, ohms, farads, start, at, printed, digits):
    """A capacitor charges and discharges as the book computes."""
    _, cap = rc(volts, ohms, farads, at * 1.2, start)
    assert cap(at) == pytest.approx(printed, abs=digits)


@pytest.mark.parametrize(("at", "printed"), [(50e-3, 0.2123), (100e-3, 0.1288)])
def test_charging_current(at, printed):
    """To 3.10 p59: 100 uF through 1 k from 350 V: 0.21 A after 50 ms, 0.13 A after 100 ms."""
    run, _ = rc(350, 1e3, 100e-6, 0.2)
    assert float(np.interp(at, run.times, run.current("R1", "1"))) == pytest.approx(printed, abs=2e-4)


def test_time_constant():
    """Gr 22-4 p676 and 22-8 p681: 0.01 uF with 1 M has 10 ms, with 2 M 20 ms."""
    for ohms, tau in ((1e6, 10e-3), (2e6, 20e-3)):
        _, cap = rc(10, ohms, 0.01e-6, 0.1)
        assert cap(tau) == pytest.approx(10 * (1 - math.exp(-1)), abs=2e-3)


def test_step_error_falls_with_the_tolerance():
    """The voltage after one time constant converges to 1 - 1/e as the tolerance is tightened."""
    errors = []
    for rtol in (1e-2, 1e-4, 1e-6):
        parts = (
            supply("9 V block"),
            part("R1", "resistor", ("PLUS", "CAP"), 1e4),
            part("C1", "capacitor-film", ("CAP", "0V"), 1e-5),
        )
        changes = ((("BT1", "resistance"), 1e-3), (("C1", "self_discharge"), 0.0), (("C1", "esr"), 1e-3))
        live = Live(Circuit(parts), Variation(changes), Options(rtol=rtol), step=10.0)
        run = live.advance(0.1)
        errors.append(abs(float(run.voltage("CAP")[-1]) - 9 * (1 - math.exp(-1))))
    assert errors[0] < 1e-2
    assert errors[1] < errors[0] / 10
    assert errors[2] < 2e-6
