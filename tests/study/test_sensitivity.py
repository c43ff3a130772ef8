"""Sensitivities against closed forms and against scipy's derivatives of equations derived by hand."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from numpy import vectorize
from scipy.differentiate import derivative
from scipy.optimize import brentq

from buildalong.quantity import parse
from buildalong.study import Asked, runs_of, sensitivity

from ._circuits import astable, charging, light

DELAY = Asked("delay", "CAP")
FREQUENCY = Asked("frequency", "OUT")
CURRENT = Asked("current", "DS1")


def test_of_a_charging_time() -> None:
    """The time is ln 2 · R · C: one per cent for each per cent of R and of C, nothing for the supply."""
    found = sensitivity(*charging(), [DELAY])
    assert found.of("R1").relative == pytest.approx(1.0, abs=2e-3)
    assert found.of("C1").relative == pytest.approx(1.0, abs=2e-3)
    assert found.of("BT1.emf").relative == pytest.approx(0.0, abs=2e-3)
    assert found.usual[0][1] == pytest.approx(math.log(2) * 10e-3, rel=2e-3)
    assert [str(i.parameter) for i in found.influences][-1] == "BT1.emf"
    assert all(i.smooth for i in found.influences)


def test_of_an_astable() -> None:
    """From f = 1 / (ln 2 (R1 + 2 R2) C), TI SLFS043: −R1/(R1 + 2 R2), −2 R2/(R1 + 2 R2) and −1."""
    found = sensitivity(*astable(), [FREQUENCY])
    assert found.of("R1").relative == pytest.approx(-0.2, abs=0.01)
    assert found.of("R2").relative == pytest.approx(-0.8, abs=0.01)
    assert found.of("C1").relative == pytest.approx(-1.0, abs=2e-3)


def test_of_a_light_against_scipy() -> None:
    """An LED behind a resistor: scipy's derivative of the Shockley equation solved by brentq."""
    circuit, trial = light()
    model = circuit.by_id["DS1"].type.model
    n, rs, vf, current_f = (
        parse(model[name]["typ"]).value
        for name in ("ideality", "series_resistance", "forward_voltage", "forward_current")
    )
    supply = circuit.by_id["BT1"].type.model
    emf, inner = parse(supply["emf"]["typ"]).value, parse(supply["resistance"]["typ"]).value
    nvt = n * 8.617333262e-5 * 298.15
    saturation = current_f / math.expm1((vf - rs * current_f) / nvt)

    def current(volts: float, ohms: float) -> float:
        def rest(i: float) -> float:
            return nvt * math.log1p(i / saturation) + (rs + ohms + inner) * i - volts

        return float(brentq(rest, 0.0, volts / ohms, xtol=1e-15))

    over_ohms = derivative(vectorize(lambda r: current(emf, r)), 470.0, initial_step=5.0).df
    over_volts = derivative(vectorize(lambda v: current(v, 470.0)), emf, initial_step=0.1).df
    usual = current(emf, 470.0)
    found = sensitivity(circuit, trial, [CURRENT])
    assert found.usual[0][1] == pytest.approx(usual, rel=1e-4)
    assert found.of("R1").relative == pytest.approx(470.0 / usual * over_ohms, rel=1e-3)
    assert found.of("BT1.emf").relative == pytest.approx(emf / usual * over_volts, rel=1e-3)


def test_of_a_step() -> None:
    """A count jumps by whole ones, and its slopes differ there; zero has no per cent (no outside source)."""
    circuit, trial = astable()
    count = Asked("count", "OUT")
    found = sensitivity(circuit, trial, [count], ["C1", "U1.trigger"])
    assert math.isnan(found.of("U1.trigger").relative)
    assert "no per cent" in found.of("U1.trigger").why
    run = runs_of(circuit, trial, "R1", (20e3,))[0]
    rise = [e.time for e in run.events if e.kind == "state" and e.after == "high"][3]
    jumping = sensitivity(circuit, replace(trial, lasts=rise * 1.005), [count], ["C1"]).of("C1")
    assert not jumping.smooth
    steady = sensitivity(circuit, replace(trial, lasts=rise * 1.05), [count], ["C1"]).of("C1")
    assert steady.smooth
    assert steady.relative == 0.0


def test_what_is_never_measured_is_told() -> None:
    """No measure, no sensitivity: the reason stands in its place."""
    circuit, trial = charging()
    found = sensitivity(circuit, replace(trial, lasts=0.011), [DELAY])
    assert all(math.isnan(i.relative) and "does not change" in i.why for i in found.influences)
