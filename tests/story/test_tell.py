"""The story of a run: every number in it is in the run, every cause is one the events name.

What the timer does at which level is checked against the function table and the levels of the data
sheet (TI, NE555, SLFS022F: thresholds at one and two thirds of the supply; reset over trigger over
threshold); the ratio of first and later charging times against ln 3 / ln 2 (closed form of an RC
that charges from 0 V instead of one third).
"""

from __future__ import annotations

import math
import re
from functools import cache

import numpy as np
import pytest

from buildalong.design import recognise
from buildalong.engine import Action, Run, Trial, measure, simulate
from buildalong.quantity import parse
from buildalong.story import Sentence, tell
from design._circuits import DEMOS, astable, circuit, demo, demo_trial, one_shot


@cache
def run(name: str) -> Run:
    return simulate(demo(name), demo_trial(name))


@cache
def story(name: str) -> tuple[Sentence, ...]:
    return tell(run(name), demo(name), recognise(demo(name)))


def words(name: str) -> str:
    return "\n".join(sentence.text for sentence in story(name))


@pytest.mark.parametrize("name", DEMOS)
def test_form(name: str) -> None:
    """A story is short, in order of time, ends in full stops, and has no unfilled place."""
    told = story(name)
    assert 4 <= len(told) <= 12
    assert [s.time for s in told] == sorted(s.time for s in told)
    for sentence in told:
        assert sentence.text.endswith(".")
        assert not re.search(r"[{}]|nan|  |\.\.|e-\d", sentence.text), sentence.text


@pytest.mark.parametrize("name", DEMOS)
def test_every_event_index_is_one_of_the_run(name: str) -> None:
    """Sentences point at events that exist and lie at their time; none is told twice."""
    seen: set[int] = set()
    events = run(name).events
    for sentence in story(name):
        assert not seen & set(sentence.events)
        seen |= set(sentence.events)
        assert min(events[i].time for i in sentence.events) == sentence.time
        assert set(sentence.parts) <= set(demo(name).by_id)


@pytest.mark.parametrize("name", DEMOS)
def test_the_time_said_is_the_time_of_the_event(name: str) -> None:
    """A sentence's "At 0.706 s" stands for an event within the rounding of three figures."""
    for sentence in story(name):
        found = re.match(r"At ([\d.]+ m?s)\b", sentence.text)
        if found:
            assert parse(found[1]).value == pytest.approx(sentence.time, rel=5e-3, abs=1e-6)


@pytest.mark.parametrize("name", DEMOS)
def test_levels_said_are_levels_of_the_run(name: str) -> None:
    """Each recorded level is the net's voltage in the run close to the moment, and is written so."""
    for sentence in story(name):
        for net, level in sentence.levels.items():
            volts = run(name).voltage(net)
            near = volts[abs(run(name).times - sentence.time) <= 0.05 * run(name).trial.lasts]
            assert near.min() - 1e-6 <= level <= near.max() + 1e-6
            said = [
                parse(v.replace("−", "-") + " V").value for v in re.findall(r"(−?[\d.]+) V\b", sentence.text)
            ]
            assert any(abs(v - level) <= 0.051 for v in said), (sentence.text, level)


@pytest.mark.parametrize("name", ["lighthouse", "runway-lights"])
def test_astable_turns_at_one_and_two_thirds(name: str) -> None:
    """The latch is reset at 2/3 and set at 1/3 of the supply, within one percent of it (TI SLFS022F)."""
    result = run(name)
    for sentence in story(name):
        supply = float(np.interp(sentence.time, result.times, result.voltage("PLUS")))
        if "two thirds of the supply (" in sentence.text:
            assert sentence.levels["CAP"] == pytest.approx(2 / 3 * supply, rel=0.01)
            assert "resets the latch" in sentence.text
            assert "falls" in sentence.text
        if "one third of the supply (" in sentence.text:
            assert sentence.levels["CAP"] == pytest.approx(1 / 3 * supply, rel=0.01)
            assert "sets the latch" in sentence.text
            assert "rises" in sentence.text


def test_first_charge_is_longer_by_ln3_over_ln2() -> None:
    """From 0 V a plain astable charges ln 3 / ln 2 = 1.585 times as long as from one third."""
    made = astable("100k", "100k", "1 µF")
    result = simulate(made, Trial("start", 1.5))
    text = " ".join(s.text for s in tell(result, made, recognise(made)))
    found = re.search(r"first time took ([\d.]+ m?s), longer than the ([\d.]+ m?s)", text)
    assert found
    ratio = parse(found[1]).value / parse(found[2]).value
    assert ratio == pytest.approx(math.log(3) / math.log(2), rel=0.015)


def test_rhythm_told_is_the_rhythm_measured() -> None:
    """The summary's times are the measured on and off time of the light."""
    last = story("lighthouse")[-1].text
    found = re.search(r"DS1 is lit for ([\d.]+ s) and dark for ([\d.]+ s), (\d+) more times", last)
    assert found
    assert parse(found[1]).value == pytest.approx(
        measure(run("lighthouse"), "on_time", "DS1").value, rel=0.01
    )
    assert parse(found[2]).value == pytest.approx(
        measure(run("lighthouse"), "off_time", "DS1").value, rel=0.01
    )
    total = measure(run("lighthouse"), "count", "DS1").value
    told = sum("DS1 lights up" in s.text for s in story("lighthouse"))
    assert int(found[3]) + told == total


ORDER = {
    "cupboard-light": "you press S1; DS1 lights up; fill through R1; let go of S1; two thirds; goes out",
    "dusk-light": "switched on; darker; R2 is down to; DS1 lights up; R5; lighter; back up to; DS1 goes out",
    "level-crossing": "passes this fall on; slowly brings the base; it is the turn of; so it goes on",
    "lighthouse": "still empty; through R1 and D1; two thirds; through R2 and D2; one third; so it goes",
    "mailbox-flag": "output off; No data sheet promises; press S1; lights up; remembers; press S2; goes out",
    "runway-lights": "begin; rising edge; from output; back to output 0; a full round takes",
}


@pytest.mark.parametrize("name", DEMOS)
def test_cause_before_effect(name: str) -> None:
    """What the reader must learn stands in the story, in the order in which it happens."""
    text, at = words(name), 0
    for piece in ORDER[name].split("; "):
        found = text.find(piece, at)
        assert found >= 0, f"'{piece}' not after position {at} in:\n{text}"
        at = found + len(piece)


def test_light_levels_of_the_comparator() -> None:
    """The light said at each turn is the light of the trial's ramp at that time."""
    for sentence in story("dusk-light"):
        found = re.search(r"light on R2 is (?:down|back up) to ([\d.]+) lx", sentence.text)
        if found:
            ramps = [a for a in demo_trial("dusk-light").actions if a.time <= sentence.time]
            start, move = ramps[-2].value, ramps[-1]
            share = min((sentence.time - move.time) / move.ramp, 1.0)
            assert float(found[1]) == pytest.approx(start + share * (move.value - start), rel=0.05)


def test_counter_steps_follow_the_outputs() -> None:
    """Each told step leads from an output to the next, and from the last to 0 (Nexperia HEF4017B)."""
    steps = re.findall(r"from output (\d) (?:back )?to output (\d)", words("runway-lights"))
    assert len(steps) >= 3
    assert all(int(b) == (int(a) + 1) % 10 for a, b in steps)


def test_press_during_the_pulse_changes_nothing() -> None:
    """A one-shot that runs takes no notice of a second press (TI SLFS022F, monostable operation)."""
    made = circuit(
        """
        U1 timer-555 0V TRIG OUT PLUS - CAP CAP PLUS
        R1 resistor 100k PLUS CAP
        C1 electrolytic 10µF CAP 0V
        R2 resistor 10k PLUS TRIG
        S1 push-button TRIG 0V
        R3 resistor 470 OUT A
        DS1 led-red A 0V
        """
    )
    presses = [(0.5, 1.0), (0.6, 0.0), (0.9, 1.0), (1.0, 0.0)]
    trial = Trial("twice", 3.0, tuple(Action(t, "S1", "pressed", v) for t, v in presses))
    told = tell(simulate(made, trial), made, recognise(made))
    second = next(s for s in told if s.time == 0.9)
    assert "A pulse is already running" in second.text
    assert sum("DS1 lights up" in s.text for s in told) == 1


def test_one_shot_held_down_stays_on() -> None:
    """Held below one third, the trigger wins over the threshold: the output stays high past its time."""
    made = circuit(
        """
        U1 timer-555 0V TRIG OUT PLUS - CAP CAP PLUS
        R1 resistor 10k PLUS CAP
        C1 electrolytic 10µF CAP 0V
        R2 resistor 10k PLUS TRIG
        S1 push-button TRIG 0V
        R3 resistor 470 OUT A
        DS1 led-red A 0V
        """
    )
    trial = Trial("held", 2.0, (Action(0.5, "S1", "pressed", 1.0), Action(1.5, "S1", "pressed", 0.0)))
    told = tell(simulate(made, trial), made, recognise(made))
    off = next(s for s in told if "DS1 goes out" in s.text)
    assert off.time == pytest.approx(1.5, abs=0.01)


def test_circuit_without_known_shapes_is_told_plainly() -> None:
    """A button, a resistor and a LED: press, light up, let go, go out; no shape is needed."""
    made = circuit("S1 push-button PLUS A\nR1 resistor 470 A B\nDS1 led-red B 0V")
    trial = Trial("press", 1.0, (Action(0.2, "S1", "pressed", 1.0), Action(0.6, "S1", "pressed", 0.0)))
    told = [s.text for s in tell(simulate(made, trial), made)]
    assert told == [
        "At 0 s the supply is switched on.",
        "At 0.2 s you press S1. DS1 lights up.",
        "At 0.6 s you let go of S1. DS1 goes out.",
    ]


def test_same_run_same_story() -> None:
    """Told twice, the story is the same to the letter."""
    again = tell(run("lighthouse"), demo("lighthouse"), recognise(demo("lighthouse")))
    assert again == story("lighthouse")


def test_waiting_one_shot() -> None:
    """Untouched, a one-shot waits: one sentence, and nothing lights up."""
    made = one_shot("100k", "10 µF")
    told = tell(simulate(made, Trial("wait", 1.0)), made, recognise(made))
    assert len(told) >= 1
    assert "lights up" not in " ".join(s.text for s in told)


@pytest.mark.parametrize("straight", [True, False])
def test_the_steadier_input_is_the_reference_and_a_turn_is_told(straight: bool) -> None:
    """A comparator's reference is the input that stays (definition), at either input.

    A ramp of the trial is told as one: the rheostat grows evenly from 10 kΩ to 90 kΩ within 16 s from 2 s on,
    above 22 kΩ, while the other input stands at half the supply of 5 V: they meet where both are 22 kΩ, at
    2 s + 16 s * 12/80 = 4.4 s (Ohm's law).
    """
    inputs = "REF SOIL" if straight else "SOIL REF"
    made = circuit(
        f"""
        R1 potentiometer 100k PLUS PLUS SOIL position=0.9
        R2 resistor 22k SOIL 0V
        R3 resistor 10k PLUS REF
        R4 resistor 10k REF 0V
        U1 comparator-lm393 OUT {inputs} 0V 0V 0V - PLUS
        R5 resistor 10k PLUS OUT
        """
    )
    result = simulate(made, Trial("drying", 20.0, (Action(2.0, "R1", "position", 0.1, 16.0),)))
    told = [s.text for s in tell(result, made, recognise(made))]
    now, then = ("leaves its output alone", "pulls its output down")
    if straight:
        start = "The voltage at SOIL (3.4 V) is above the reference at REF (2.5 V), so U1"
    else:
        start, now, then = (
            "The voltage at SOIL is above the reference at REF, so U1",
            then,
            "lets its output go",
        )
    assert told[0] == f"At 0 s the supply is switched on. {start} {now}."
    assert told[1] == "At 2 s you begin to turn R1: within 16 s it goes from 90 % to 10 %."
    crossed = "At 4.4 s the voltage at SOIL has fallen below the reference at REF (2.5 V)."
    assert told[2:] == [f"{crossed} U1 {then}."]
