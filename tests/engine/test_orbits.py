"""A circuit back in an earlier state repeats what followed, and nothing that is told of the run changes.

The yardstick is the same integration with every cycle computed (``Options.orbits`` off), which the
accuracy table holds against the reference simulator, and where there is one a closed form.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest
from _circuits import CIRCUITS
from _demo import DEMOS, demo, part, supply
from _miswire import miswired

from buildalong.circuit import Circuit
from buildalong.engine import (
    Action,
    Live,
    Options,
    Trial,
    Variation,
    measure,
    simulate,
    simulate_many,
)

COMPUTED = Options(orbits=False)
TIME = 1e-6
"""Event times may differ by this part: the integrator allows a hundred times more in each step."""
STRESS = 1e-6
"""... and a part's largest voltages, currents and power by this part."""
ENERGY = 2e-5
"""Energies are sums over samples, and steps are cut near the end of a run: they may differ by this part of
what the largest power would give."""


def apart(one, two):
    """Largest differences of two runs, relative: event times, stress, and energy as a part of the peak's."""
    assert [e._replace(time=0.0) for e in one.events] == [e._replace(time=0.0) for e in two.events]
    pairs = zip(one.events, two.events, strict=True)
    late = max((abs(a.time - b.time) / max(a.time, 1e-3) for a, b in pairs), default=0.0)
    assert [v.code for v in one.verdicts] == [v.code for v in two.verdicts]
    assert one.statistics["ended"] == pytest.approx(two.statistics["ended"], rel=1e-6)
    stress = energy = 0.0
    for name, a in one.extremes.items():
        b = two.extremes[name]
        for key in ("current", "voltage", "reverse", "power"):
            x, y = getattr(a, key), getattr(b, key)
            stress = max(stress, abs(x - y) / max(x, 1e-6))
        energy = max(energy, abs(a.mean_power - b.mean_power) / max(a.power, 1e-6))
    return late, stress, energy


@pytest.mark.parametrize("name", CIRCUITS)
def test_a_repeated_run_is_the_computed_one(name):
    """All circuits of the accuracy table, demos among them, three times as long as there."""
    circuit, trial = CIRCUITS[name][:2]
    trial = replace(trial, lasts=3 * trial.lasts)
    repeated, computed = simulate(circuit, trial), simulate(circuit, trial, None, COMPUTED)
    late, stress, energy = apart(computed, repeated)
    assert late < TIME
    assert stress < STRESS
    assert energy < ENERGY
    assert repeated.statistics["steps"] <= computed.statistics["steps"]


@pytest.mark.parametrize("name", DEMOS)
def test_with_mistakes_too(name):
    """Sixty random mistakes on each demo; the computed cycles' noise is up to 4e-6."""
    circuit, trial = demo(name)
    for seed in range(60):
        wrong = miswired(circuit, f"{name} {seed}")
        options = Options(max_events=1500)
        computed = simulate(wrong, trial, None, replace(options, orbits=False))
        late, stress, energy = apart(computed, simulate(wrong, trial, None, options))
        assert late < TIME, seed
        assert stress < 5 * STRESS, seed
        assert energy < ENERGY, seed


def test_cost_does_not_grow_with_cycles():
    """Two hundred cycles take no more steps than twenty but for the rest at the end; the period stays."""
    circuit, _ = demo("lighthouse")
    short, long = (simulate(circuit, Trial("", cycles * 2.727)) for cycles in (20, 200))
    assert long.statistics["steps"] < short.statistics["steps"] + 50
    assert len(long.events) == len(short.events) + 180 * 8
    periods = [measure(run, "period", "DS1").value for run in (short, long)]
    assert periods[1] == pytest.approx(periods[0], rel=1e-9)


def test_the_orbit_of_a_counter_is_its_whole_round():
    """TI CD4017B: ten outputs, each high for one clock cycle: only after ten clocks is the state the same."""
    circuit, _ = demo("runway-lights")
    run = simulate(circuit, Trial("", 6.0))
    assert run.statistics["repeated"] >= 3
    lit = [e for e in run.events if e.kind == "state" and e.part == "U2"]
    places = [int(e.after.removeprefix("q")) for e in lit if e.after.removeprefix("q").isdigit()]
    assert len(places) > 50
    assert all(b == (a + 1) % 10 for a, b in itertools.pairwise(places))


def test_a_slow_drift_is_not_cut_short():
    """Beside a blinking light 22 uF charges through 1 M (22 s): v = V·(1 - exp(-t/RC)), any textbook.

    The supply sags a little with each flash, hence 3 %.  The voltage moves by less and less from cycle to
    cycle, and only when it rests may cycles be repeated.
    """
    blink, _ = demo("lighthouse")
    slow = (
        part("RS", "resistor", ("PLUS", "SLOW"), 1e6),
        part("CS", "capacitor-film", ("SLOW", "0V"), 22e-6),
    )
    circuit, trial = Circuit((*blink.parts, *slow)), Trial("", 1200.0)
    run, computed = simulate(circuit, trial), simulate(circuit, trial, None, COMPUTED)
    volts = run.voltage("SLOW")
    for t in (2.0, 10.0, 40.0, 100.0):
        expected = float(volts[-1]) * (1.0 - math.exp(-t / 22.0))
        assert np.interp(t, run.times, volts) == pytest.approx(expected, rel=0.03)
    assert apart(computed, run)[0] < TIME
    assert volts[-1] == pytest.approx(computed.voltage("SLOW")[-1], rel=1e-6)
    # a billionth of 1 V + 9 V in a cycle: after some nineteen time constants
    last = 1200.0 - run.statistics["repeated"] * 2.727
    assert run.statistics["repeated"] > 100
    assert last > 15 * 22.0


def test_two_rhythms_without_a_common_one_are_never_repeated():
    """Two astables with periods as 1 to the square root of two: no state returns, nothing is repeated."""
    parts = [supply("9 V block")]
    for n, farad in ((1, 1e-6), (2, 1e-6 * math.sqrt(2.0))):
        parts += [
            part(f"U{n}", "timer-555", ("0V", f"C{n}", f"O{n}", "PLUS", f"V{n}", f"C{n}", f"D{n}", "PLUS")),
            part(f"RA{n}", "resistor", ("PLUS", f"D{n}"), "10k"),
            part(f"RB{n}", "resistor", (f"D{n}", f"C{n}"), "47k"),
            part(f"CT{n}", "capacitor-film", (f"C{n}", "0V"), farad),
            part(f"CV{n}", "capacitor-film", (f"V{n}", "0V"), "10n"),
        ]
    circuit, trial = Circuit(tuple(parts)), Trial("", 5.0)
    run, computed = simulate(circuit, trial), simulate(circuit, trial, None, COMPUTED)
    assert run.statistics["repeated"] == 0
    assert np.array_equal(run.voltages, computed.voltages)
    assert run.events == computed.events


def test_an_input_ends_the_repetition():
    """Reset pressed while an astable runs: before and after it, all is as computed; live as well."""
    circuit = CIRCUITS["reset-midway"][0]
    actions = tuple(Action(t, "S1", "pressed", v) for t, v in ((0.9, 1), (1.05, 0), (2.0, 1), (2.2, 0)))
    trial = Trial("", 4.0, actions)
    run, computed = simulate(circuit, trial), simulate(circuit, trial, None, COMPUTED)
    assert run.statistics["repeated"] > 10
    late, stress, energy = apart(computed, run)
    assert late < TIME
    assert stress < STRESS
    assert energy < ENERGY
    live = Live(circuit, step=4.0)
    events = list(live.advance(0.9).events)
    for action, dt in zip(actions, (0.15, 0.95, 0.2, 1.8), strict=True):
        live.act(action)
        piece = live.advance(dt)
        assert piece.statistics["steps"] > 0
        assert (piece.statistics["repeated"] > 5) == (action.value == 0)
        events += piece.events
    assert [(e.kind, e.what, e.after) for e in events] == [(e.kind, e.what, e.after) for e in computed.events]
    # a live run's pieces cut steps where a scripted run does not
    assert [e.time for e in events] == pytest.approx([e.time for e in computed.events], rel=1e-4, abs=1e-7)


@pytest.mark.parametrize("most", [300, 2000])
def test_limits_hold_for_repeated_events_and_samples(most):
    """The limits on events and samples stop a repeated run at the same event, with as many samples."""
    circuit, _ = demo("lighthouse")
    for options in (Options(max_events=most), Options(max_samples=most)):
        run = simulate(circuit, Trial("", 1000.0), None, options)
        computed = simulate(circuit, Trial("", 1000.0), None, replace(options, orbits=False))
        assert apart(computed, run)[0] < TIME
        assert len(run.times) == pytest.approx(len(computed.times), rel=0.1)
        assert run.statistics["steps"] < computed.statistics["steps"]


def test_variants_repeat_as_well():
    """Without waveforms, in a batch: events of each variant as computed."""
    circuit, trial = demo("lighthouse")
    variants = [Variation(((("C1", "value"), f),)) for f in (9e-6, 10e-6, 11e-6)]
    options = Options(waveforms=False)
    many = simulate_many(circuit, trial, variants, options)
    for run, variant in zip(many, variants, strict=True):
        computed = simulate(circuit, trial, variant, replace(options, orbits=False))
        assert run.statistics["repeated"] > 3
        assert [e.time for e in run.events] == pytest.approx([e.time for e in computed.events], rel=TIME)
