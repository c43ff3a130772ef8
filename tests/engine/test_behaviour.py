"""Events, measures, power-up, live runs, ratings and verdicts on the demo circuits."""

import itertools
import math
import os
import subprocess
import sys
import textwrap
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from _demo import DEMOS, demo, part

from buildalong.engine import (
    MEASURES,
    Action,
    Live,
    MeasureError,
    NeverHappened,
    Options,
    Trial,
    UnknownMeasure,
    Variation,
    check_ratings,
    measure,
    operating_point,
    power_up_variants,
    simulate,
    simulate_many,
    verdict_findings,
)
from buildalong.finding import Severity


@pytest.fixture(scope="module")
def runs():
    """One run of each demo."""
    return {name: simulate(*demo(name)) for name in DEMOS}


def test_steered_astable_is_slower_than_ln2(runs):
    """studies.md 1: on and off times of the steered astable are 18-19 % above ln 2 RC at 6 V."""
    run = runs["lighthouse"]
    on = measure(run, "on_time", "DS1").value / (math.log(2) * 56e3 * 10e-6)
    off = measure(run, "off_time", "DS1").value / (math.log(2) * 270e3 * 10e-6)
    assert on == pytest.approx(1.185, abs=0.02)
    # the trigger's bias current, left out of that study, makes the low time longer still
    assert 1.17 < off < 1.25


def test_one_shot_time(runs):
    """1.1 RC of 100 k and 100 uF is 11 s (all data sheets); within the 3 % a timer may be off."""
    assert measure(runs["cupboard-light"], "on_time", "DS1").value == pytest.approx(10.986, rel=0.03)


def test_counter_lights_in_turn(runs):
    """CD4017B: ten outputs in turn, each for one clock period, repeated after ten."""
    run = runs["runway-lights"]
    clock = measure(run, "period", "CLK").value
    assert measure(run, "on_time", "DS4").value == pytest.approx(clock, rel=1e-3)
    assert measure(run, "period", "DS4").value == pytest.approx(10 * clock, rel=1e-3)
    order = [e.part for e in run.events if e.kind == "light" and e.rising and e.time > clock]
    numbers = [int(name[2:]) for name in order]
    assert all(b == a % 10 + 1 for a, b in itertools.pairwise(numbers))


def test_latch_follows_its_buttons(runs):
    """A set/reset latch is lit from the set press to the clear press."""
    run = runs["mailbox-flag"]
    lights = [(round(e.time, 6), e.after) for e in run.events if e.kind == "light"]
    assert lights == [(2.0, "lit"), (6.0, "dark")]
    assert measure(run, "on_time", "DS1", 2, 8).value == pytest.approx(4.0, rel=1e-6)
    assert measure(run, "delay", "DS1", 1.5, 8).value == pytest.approx(0.0, abs=1e-5)


def test_causes_lead_back_to_the_start(runs):
    """Every event but the supply and the actions has a cause that came before it."""
    for run in runs.values():
        for number, event in enumerate(run.events):
            if event.kind in ("supply", "action"):
                assert event.because == -1
            else:
                assert 0 <= event.because < number
                assert run.events[event.because].time <= event.time
    events = runs["cupboard-light"].events
    dark = next(e for e in events if e.kind == "light" and e.after == "dark")
    low = events[dark.because]
    assert (low.kind, low.after) == ("state", "low")
    assert events[low.because].what == "threshold"
    # what filled the capacitor was the change of state that opened the discharge path
    assert events[events[low.because].because].after == "high"


def test_currents_sum_to_zero(runs):
    """Kirchhoff's current law: currents into the pins of each net, and of each part, sum to zero."""
    for run in runs.values():
        for net, pins in run.circuit.nets.items():
            if net == run.circuit.ground:
                continue
            total = sum(run.current(pin.part, pin.terminal) for pin in pins)
            assert np.max(np.abs(total)) < 2e-7
        for p in run.circuit.parts:
            total = sum(run.current(p.id, t.name) for t in p.type.terminals)
            assert np.max(np.abs(total)) < 1e-9


def test_energy_balances(runs):
    """Energy given by the supply equals what the parts take (nothing is made or lost)."""
    for run in runs.values():
        taken = sum(
            measure(run, "energy", p.id).value for p in run.circuit.parts if p.type.family != "supply"
        )
        given = measure(run, "energy", "BT1").value
        assert taken == pytest.approx(given, rel=5e-3)


def test_every_measure_gives_a_number_or_says_why(runs):
    """Each measure on each target ends in a finite number or a MeasureError with a sentence."""
    said = set()
    for run in runs.values():
        for name in MEASURES:
            for target in (*run.circuit.by_id, *run.nets, "DS1.A", "U1.OUT"):
                try:
                    assert math.isfinite(measure(run, name, target).value)
                except MeasureError as error:
                    said.add(str(error))
    assert said
    assert min(len(text) for text in said) > 20


def test_unknown_names_list_the_nearest(runs):
    """A wrong name is answered with the right one."""
    run = runs["lighthouse"]
    with pytest.raises(UnknownMeasure) as caught:
        measure(run, "on_tim", "DS1")
    assert "on_time" in caught.value.nearest
    with pytest.raises(UnknownMeasure) as caught:
        measure(run, "on_time", "DS2")
    assert "DS1" in caught.value.nearest
    with pytest.raises(NeverHappened, match="stays"):
        measure(run, "on_time", "PLUS")
    with pytest.raises(MeasureError, match="no interval"):
        measure(run, "on_time", "DS1", 3, 2)


def test_rms_of_a_ramp():
    """The root of the mean square of a straight ramp to V is V/sqrt 3, whatever the samples."""
    from buildalong.engine._measure_taken import rms

    t = np.array([0.0, 0.3, 1.0])
    assert rms((t, 5 * t)) == pytest.approx(5 / math.sqrt(3))


def test_power_up_is_undetermined_where_nothing_forces_it(runs):
    """No 555 data sheet promises a state: the latch may wake either way, the astable may not."""
    assert runs["mailbox-flag"].undetermined == ("U1",)
    assert runs["lighthouse"].undetermined == ()
    circuit, trial = demo("mailbox-flag")
    variants = power_up_variants(circuit, trial)
    first = [next((e.after for e in simulate(circuit, v).events if e.kind == "state"), "") for v in variants]
    assert sorted(first) == ["high", "low"]
    # a lamp that wakes lit goes dark at the first clear press at 0.5 s
    woken = simulate(circuit, variants[1])
    dark = next(e for e in woken.events if e.kind == "light" and e.after == "dark")
    assert dark.time == pytest.approx(0.5, abs=1e-5)
    assert len(power_up_variants(*demo("runway-lights"))) == 10
    assert len(power_up_variants(*demo("cupboard-light"))) == 1


def test_trigger_held_through_the_end():
    """TI and ST truth tables: a one-shot whose trigger is still low when time is up stays high."""
    circuit, _ = demo("cupboard-light")
    trial = Trial("hold", 20.0, (Action(2.0, "S1", "pressed", 1), Action(16.0, "S1", "pressed", 0)))
    run = simulate(circuit, trial)
    dark = [e.time for e in run.events if e.kind == "light" and e.after == "dark"]
    assert dark == [pytest.approx(16.0, abs=1e-3)]


def test_reset_in_mid_cycle():
    """Reset low wins over all (TI function table): the output falls at once and starts anew after."""
    circuit, trial = demo("lighthouse")
    timer = circuit.by_id["U1"]
    nets = tuple(
        "RST" if t.name == "RESET" else n for t, n in zip(timer.type.terminals, timer.nets, strict=True)
    )
    circuit = circuit.with_part(replace(timer, nets=nets))
    circuit = type(circuit)(
        (
            *circuit.parts,
            part("R9", "resistor", ("PLUS", "RST"), "10k"),
            part("S9", "push-button", ("RST", "0V")),
        )
    )
    press = (Action(3.1, "S9", "pressed", 1), Action(3.2, "S9", "pressed", 0))
    run = simulate(circuit, replace(trial, lasts=5.0, actions=press))
    changes = [(round(e.time, 3), e.after) for e in run.events if e.kind == "state" and e.time > 2.9]
    assert (3.1, "low") in changes


def test_bounce_is_many_edges_but_one_press(runs):
    """A bouncing contact (5 ms, Omron class) sets the latch once and changes nothing else."""
    circuit, trial = demo("mailbox-flag")
    run = simulate(circuit, trial, None, Options(bounce=5e-3))
    lights = [e.after for e in run.events if e.kind == "light"]
    assert lights == ["lit", "dark"]
    edges = sum(e.kind == "watch" and e.what == "trigger" for e in run.events)
    assert edges > 4
    assert measure(run, "on_time", "DS1").value == pytest.approx(4.0, abs=0.01)


def test_live_run_equals_batch_run(runs):
    """A run taken in pieces meets the same events as one in one piece; restoring goes back."""
    circuit, trial = demo("lighthouse")
    live = Live(circuit, step=trial.lasts)
    events = []
    for piece in range(10):
        events += [e for e in live.advance(1.0).events if e.kind == "light"]
        if piece == 4:
            kept = live.state()
    batch = [e for e in runs["lighthouse"].events if e.kind == "light" and e.time < 10.0]
    assert [e.after for e in events] == [e.after for e in batch]
    for a, b in zip(events, batch, strict=True):
        assert a.time == pytest.approx(b.time, rel=2e-4, abs=1e-6)
    live.restore(kept)
    again = []
    for _ in range(5):
        again += [e.time for e in live.advance(1.0).events if e.kind == "light"]
    assert again == [e.time for e in events if e.time > 5.0]


def test_live_action():
    """A button pressed in a live run acts at once."""
    circuit, _ = demo("mailbox-flag")
    live = Live(circuit)
    live.advance(1.0)
    live.act(Action(0, "S1", "pressed", 1))
    piece = live.advance(0.5)
    assert [e.after for e in piece.events if e.kind == "light"] == ["lit"]
    assert piece.events[0].kind == "action"


def test_many_variants_scale_with_the_capacitor():
    """Timing goes with the capacitance: 1 % more gives 1 % longer, and the order is kept."""
    circuit, trial = demo("lighthouse")
    values = (9e-6, 10e-6, 11e-6)
    seen = []
    runs = simulate_many(
        circuit,
        trial,
        [Variation(((("C1", "value"), v),)) for v in values],
        Options(waveforms=False, rtol=1e-5),
        lambda done, total: seen.append((done, total)),
    )
    times = [measure(run, "period", "DS1").value / v for run, v in zip(runs, values, strict=True)]
    assert times[0] == pytest.approx(times[1], rel=2e-3)
    assert times[2] == pytest.approx(times[1], rel=2e-3)
    assert seen[-1] == (3, 3)


def test_many_variants_equal_single_ones():
    """The shared layout changes nothing: events equal those of one call each, byte for byte.

    Among the variants: another supply voltage and temperature (other curves), a capacitor so small
    that the layout differs.
    """
    circuit, trial = demo("lighthouse")
    trial = replace(trial, lasts=4.0)
    changes = [
        Variation(),
        Variation(((("R1", "value"), 47e3), (("C1", "value"), 4.7e-6))),
        Variation(((("C2", "value"), 10e-12),)),
        Variation(((("BT1", "count"), 6.0),), temperature=40.0),
        Variation(((("U1", "trigger_level"), 0.1),)),
        Variation(((("D1", "forward_voltage"), 0.8),)),
    ]
    options = Options(waveforms=False)
    many = simulate_many(circuit, trial, changes, options)
    assert len({run.events for run in many}) > 3
    for change, run in zip(changes, many, strict=True):
        alone = simulate(circuit, trial, change, options)
        assert run.events == alone.events
        assert run.statistics == alone.statistics
        assert run.undetermined == alone.undetermined


def test_same_input_same_output(runs):
    """Two runs are equal byte for byte."""
    again = simulate(*demo("runway-lights"))
    assert again.voltages.tobytes() == runs["runway-lights"].voltages.tobytes()
    assert again.events == runs["runway-lights"].events


def test_demos_stay_inside_their_ratings(runs):
    """No demo overloads a part."""
    for name, run in runs.items():
        assert [f for f in check_ratings(run) if f.severity >= Severity.WARNING] == [], name
        assert [f for f in verdict_findings(run) if f.severity >= Severity.WARNING] == [], name


def _broken(name, *parts, without=()):
    circuit, trial = demo(name)
    for gone in without:
        circuit = circuit.without(gone)
    for p in parts:
        circuit = circuit.with_part(p) if p.id in circuit.by_id else type(circuit)((*circuit.parts, p))
    run = simulate(circuit, trial)
    return {f.code for f in (*check_ratings(run), *verdict_findings(run))}, run


def test_damage_is_named():
    """Each classic mistake is reported under its own name."""
    assert (
        "supply-shorted"
        in _broken("cupboard-light", part("W1", "push-button", ("PLUS", "0V"), pressed=1.0))[0]
    )
    assert "overcurrent" in _broken("mailbox-flag", part("DS1", "led-red", ("PLUS", "0V")))[0]
    assert (
        "reverse-voltage" in _broken("cupboard-light", part("C1", "electrolytic", ("0V", "CAP"), "100 µF"))[0]
    )
    assert "reverse-voltage" in _broken("cupboard-light", part("DS2", "led-red", ("0V", "PLUS")))[0]
    assert "overheats" in _broken("cupboard-light", part("R9", "resistor", ("PLUS", "0V"), "100"))[0]
    assert "floating-net" in _broken("mailbox-flag", without=("R1",))[0]
    codes, run = _broken(
        "mailbox-flag", part("U1", "timer-555-cmos", ("PLUS", "SET", "OUT", "CLEAR", "CTRL", "0V", "-", "0V"))
    )
    assert "supply-reversed" in codes
    assert np.isfinite(run.voltages).all()


def test_short_names_its_current():
    """Fresh 9 V block, 1.7 ohm (Duracell MN1604): a dead short takes about 5 A."""
    circuit, trial = demo("cupboard-light")
    run = simulate(circuit.renamed({"PLUS": "0V"}), trial)
    words = [f.message for f in verdict_findings(run) if f.code == "supply-shorted"]
    assert words
    assert "about 5.3 A" in words[0]


def test_surge_is_no_steady_overload():
    """A capacitor's charging surge of a few ms does not count as heat; the same current for long does."""
    from buildalong.engine._ratings import sliding_maximum

    t = np.array([0.0, 0.010, 0.010, 5.0])
    surge = np.array([1.0, 1.0, 0.0, 0.0])
    assert sliding_maximum(t, surge, 1.0) == pytest.approx(0.010)
    assert sliding_maximum(t, np.ones(4), 1.0) == pytest.approx(1.0)


def test_chatter_ends_in_a_verdict():
    """A timer's output tied to its own timing node oscillates: reported, not followed for ever."""
    circuit, trial = demo("lighthouse")
    run = simulate(circuit.renamed({"OUT": "CAP"}), trial, None, Options(max_events=500))
    assert any(v.code == "too-frequent-events" for v in run.verdicts)
    assert run.statistics["ended"] < trial.lasts


def test_samples_are_bounded():
    """A long run keeps its jumps but no more samples than allowed, give or take one chunk."""
    circuit, trial = demo("runway-lights")
    run = simulate(circuit, replace(trial, lasts=20.0), None, Options(max_samples=1500, max_events=50_000))
    assert len(run.times) < 1500 + 2 * 2100
    assert np.all(np.diff(run.times) >= 0)


def test_operating_point_of_a_divider():
    """To 3.4 p52: 5 V over 4 k and 1 k gives 1.00 V; loaded with 10 k 0.926 V."""
    from buildalong.circuit import Circuit

    parts = [
        part("BT1", "supply-usb", ("PLUS", "0V")),
        part("R1", "resistor", ("PLUS", "MID"), 4e3),
        part("R2", "resistor", ("MID", "0V"), 1e3),
    ]
    assert operating_point(Circuit(tuple(parts))).voltages["MID"] == pytest.approx(1.0, rel=1e-4)
    parts.append(part("RL", "resistor", ("MID", "0V"), 10e3))
    assert operating_point(Circuit(tuple(parts))).voltages["MID"] == pytest.approx(0.926, abs=5e-4)


def test_motor_reaches_its_no_load_speed():
    """At rest the motor takes only friction's current; at start it takes V/R (direct-current machine)."""
    from buildalong.circuit import Circuit

    parts = (part("BT1", "supply-aa", ("PLUS", "0V"), count=2.0), part("M1", "motor-3v", ("PLUS", "0V")))
    run = simulate(Circuit(parts), Trial("m", 2.0))
    start = measure(run, "peak_current", "M1").value
    assert start == pytest.approx(3.0 / (3.5 + 0.4), rel=0.02)
    running = measure(run, "mean_current", "M1", 1.5, 2.0).value
    k, friction = 0.0032, 4e-7
    omega = 3.0 * k / (k * k + friction * 3.9)
    assert running == pytest.approx(friction * omega / k, rel=0.02)


def test_plain_python_gives_the_same_answers(tmp_path):
    """Without numba the same functions give the same events and end voltages."""
    script = textwrap.dedent(
        """
        import sys; sys.path.insert(0, sys.argv[1])
        from _demo import demo
        from dataclasses import replace
        from buildalong.engine import simulate
        from buildalong.engine._jit import COMPILED
        out = [COMPILED]
        for name, lasts in (("mailbox-flag", 3.0), ("lighthouse", 1.0)):
            circuit, trial = demo(name)
            run = simulate(circuit, replace(trial, lasts=lasts))
            out += [(e.time, e.kind, e.part, e.what, e.after) for e in run.events]
            out += [float(v) for v in run.voltages[-1]]
        print(repr(out))
        """
    )
    outputs = []
    for flag in ("0", "1"):
        done = subprocess.run(
            [sys.executable, "-c", script, str(Path(__file__).parent)],
            capture_output=True,
            text=True,
            check=True,
            env={**os.environ, "BUILDALONG_NO_JIT": flag},
        )
        outputs.append(eval(done.stdout))
    assert (outputs[0][0], outputs[1][0]) == (True, False)
    assert len(outputs[0]) == len(outputs[1])
    for a, b in zip(outputs[0][1:], outputs[1][1:], strict=True):
        if isinstance(a, tuple):
            assert a[1:] == b[1:]
            assert a[0] == pytest.approx(b[0], rel=1e-6, abs=1e-9)
        else:
            assert a == pytest.approx(b, rel=1e-6, abs=1e-9)


def test_importing_the_engine_loads_no_numba():
    """The command line starts fast: numba and the kernels wait for the first simulation."""
    code = "import sys, buildalong.engine; print('numba' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"


def test_a_changed_kernel_is_compiled_anew(tmp_path):
    """An entry on disk is found under a digest of all files its kernels stand in, not of its own alone."""
    from types import SimpleNamespace

    from buildalong.engine import _jit

    def entry():
        return 1

    def key(text):
        file = tmp_path / "kernel.py"
        file.write_text(text, encoding="utf-8")
        needed = SimpleNamespace(py_func=SimpleNamespace(__code__=SimpleNamespace(co_filename=str(file))))
        made = _jit._with_digest(entry, [needed])
        assert made() == 1
        return made.__closure__[-1].cell_contents

    assert key("a = 1") == key("a = 1") != key("a = 2")
