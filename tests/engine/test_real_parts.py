"""Parts where they are hurt or forgotten: strays, clamps, breakdown, the wrong way round."""

import math
from dataclasses import replace

import numpy as np
import pytest
from _demo import demo, part, supply

from buildalong.circuit import Circuit
from buildalong.engine import (
    Action,
    Options,
    Trial,
    Variation,
    check_ratings,
    damages,
    measure,
    operating_point,
    simulate,
)

STIFF = (("BT1", "resistance"), 1e-3)


def test_a_strip_couples_into_its_neighbour():
    """A step divides by the capacitances and decays with R (C1 + C2) (capacitive divider, any textbook).

    Neighbouring strips have about 2 pF (DigiKey TechForum): a step divides by C1 / (C1 + C2), then
    decays with R (C1 + C2) (capacitive divider, any textbook of circuits).
    """
    circuit = Circuit(
        (
            supply("9 V block"),
            part("S1", "push-button", ("PLUS", "SIG")),
            part("R1", "resistor", ("SIG", "0V"), 1e3),
            part("R2", "resistor", ("HIGH", "0V"), 10e6),
            part("C1", "capacitor-ceramic", ("HIGH", "0V"), 47e-12),
        )
    )
    trial = Trial("step", 3e-3, (Action(1e-3, "S1", "pressed", 1),))
    alone = simulate(circuit, trial, Variation((STIFF,)))
    assert float(np.abs(alone.voltage("HIGH")).max()) < 1e-3
    options = Options(strays=(("SIG", "HIGH", 2e-12), ("SIG", "not there", 1e-9)))
    run = simulate(circuit, trial, Variation((STIFF,)), options)

    def at(t):
        return float(np.interp(t, run.times, run.voltage("HIGH")))

    peak, tau = 9.0 * 2 / 49, 10e6 * 49e-12
    assert at(1e-3 + 1e-6) == pytest.approx(peak, rel=0.03)
    assert at(1e-3 + tau) == pytest.approx(peak / math.e, rel=0.03)


def coupled(kind):
    """A timer's trigger behind a capacitor: pressed it is pushed below ground, released above plus."""
    return Circuit(
        (
            supply("9 V block"),
            part("U1", kind, ("0V", "TRIG", "OUT", "PLUS", "-", "0V", "-", "PLUS")),
            part("R1", "resistor", ("PLUS", "KEY"), 10e3),
            part("R2", "resistor", ("PLUS", "TRIG"), 100e3),
            part("R3", "resistor", ("TRIG", "0V"), 100e3),
            part("C1", "capacitor-film", ("KEY", "TRIG"), 100e-9),
            part("R4", "resistor", ("KEY", "DOWN"), 1e3),
            part("S1", "push-button", ("DOWN", "0V")),
        )
    )


@pytest.mark.parametrize(("kind", "above"), [("timer-555", 13.0), ("timer-555-cmos", 9.9)])
def test_an_input_is_clamped(kind, above):
    """An input stops one junction below ground; a CMOS one also one above plus.

    Pushed 4.5 V below ground, an input stops one junction (0.7 V, Malvino) below it; a CMOS one also
    above plus (input protection, TI SLFS043), a bipolar one does not.
    """
    press = (Action(0.1, "S1", "pressed", 1), Action(0.3, "S1", "pressed", 0))
    run = simulate(coupled(kind), Trial("push", 0.5, press), Variation((STIFF,)))
    assert -1.1 < measure(run, "min", "TRIG").value < -0.5
    highest = measure(run, "max", "TRIG").value
    assert highest <= above
    assert highest > 9.3 if kind == "timer-555-cmos" else highest > 11


def test_an_electrolytic_turned_round_conducts():
    """Turned round an electrolytic holds 1 V to 1.5 V only, and the current goes on.

    The other foil's oxide holds 1 V to 1.5 V (TDK/EPCOS, general information): behind 1 k the voltage
    stops near there and the current goes on; the right way round the capacitor fills and next to
    nothing flows.
    """
    for pins, low, high, least, most in (
        (("0V", "CAP"), 1.2, 2.5, 5e-3, 8e-3),
        (("CAP", "0V"), 8.9, 9.0, 0.0, 1e-5),
    ):
        circuit = Circuit(
            (
                supply("9 V block"),
                part("R1", "resistor", ("PLUS", "CAP"), 1e3),
                part("C1", "electrolytic", pins, 100e-6),
            )
        )
        point = operating_point(circuit, after=10.0)
        assert low < point.voltages["CAP"] < high
        assert least <= point.currents["R1", "1"] <= most


def test_collector_and_emitter_break_down():
    """A shut transistor holds its breakdown voltage and no more.

    BC547, Fairchild 547ABC rev B: VCEO 45 V; a shut transistor behind 10 k holds no more (a typical one
    a little more: taken as 45 V to 47 V).
    """
    circuit = Circuit(
        (
            supply("9 V block"),
            part("R1", "resistor", ("PLUS", "C"), 10e3),
            part("Q1", "npn-bc547", ("C", "0V", "0V")),
        )
    )
    for volts, low, high in ((60.0, 45.0, 47.0), (30.0, 29.9, 30.0)):
        point = operating_point(circuit, Variation(((("BT1", "emf"), volts), STIFF)), after=1e-3)
        assert low <= point.voltages["C"] <= high


def test_a_transistor_turned_round_breaks_down():
    """A 2N2222 with C and E swapped breaks down near 7.5 V (bench report of a university lab engineer)."""
    circuit = Circuit(
        (
            supply("9 V block"),
            part("R1", "resistor", ("PLUS", "E"), 10e3),
            part("Q1", "npn-pn2222a", ("0V", "0V", "E")),
        )
    )
    point = operating_point(circuit, Variation(((("BT1", "emf"), 15.0), STIFF)), after=1e-3)
    assert point.voltages["E"] == pytest.approx(7.5, abs=0.5)


def latch(*pressed):
    """The states of a set/clear latch (threshold clears, trigger sets) after actions (time, button, on)."""
    circuit = Circuit(
        (
            supply("9 V block"),
            part("U1", "timer-555", ("0V", "SET", "OUT", "PLUS", "-", "CLEAR", "-", "PLUS")),
            part("R1", "resistor", ("PLUS", "SET"), 10e3),
            part("R2", "resistor", ("CLEAR", "0V"), 10e3),
            part("S1", "push-button", ("SET", "0V")),
            part("S2", "push-button", ("PLUS", "CLEAR")),
        )
    )
    actions = tuple(Action(t, name, "pressed", on) for t, name, on in pressed)
    run = simulate(circuit, Trial("latch", 2.0, actions, (("U1", "low"),)))
    return [(round(e.time, 6), e.after) for e in run.events if e.kind == "state" and e.time > 0.1]


@pytest.mark.parametrize("order", [("S1", "S2"), ("S2", "S1")])
def test_simultaneous_events_end_as_the_function_table_says(order):
    """TI SLFS022F, function table: trigger low wins over threshold high, in whichever order both are told."""
    first, second = order
    down = ((1.0, first, 1), (1.0, second, 1))
    assert latch(*down)[-1] == (1.0, "high")
    # let go at one moment they race; our rule: in the order told, so what is let go last decides
    last = latch(*down, (1.5, first, 0), (1.5, second, 0))[-1][1]
    assert last == ("high" if second == "S1" else "low")


def test_a_pulse_of_no_length_counts():
    """Pressed and released at the same time, a button has been pressed.

    The circuit answers each action before the next one at the same time (our rule; a real 555 wants
    some tens of ns, ST 2182 fig. 1): pressed and released at 1 s sets the latch.
    """
    assert latch((1.0, "S1", 1), (1.0, "S1", 0)) == [(1.0, "high")]
    assert latch((1.0, "S1", 1), (1.0, "S1", 0), (1.5, "S2", 1), (1.5, "S2", 0)) == [
        (1.0, "high"),
        (1.5, "low"),
    ]


def test_reset_and_clock_at_once():
    """CD4017B: reset high gives output 0 whatever the clock does (function table of TI and Nexperia)."""
    circuit, _ = demo("runway-lights")
    counter = next(p for p in circuit.parts if p.type.family == "counter")
    nets = tuple(
        {"CLK": "STEP", "RST": "STEP", "INH": "0V"}.get(t.name, n)
        for t, n in zip(counter.type.terminals, counter.nets, strict=True)
    )
    circuit = Circuit(
        (
            *circuit.with_part(replace(counter, nets=nets)).parts,
            part("R9", "resistor", ("STEP", "0V"), 10e3),
            part("S9", "push-button", ("PLUS", "STEP")),
        )
    )
    presses = tuple(Action(t, "S9", "pressed", on) for t, on in ((0.2, 1), (0.3, 0), (0.4, 1), (0.5, 0)))
    run = simulate(circuit, Trial("both", 0.6, presses, ((counter.id, "3"),)))
    states = [e.after for e in run.events if e.kind == "state" and e.part == counter.id]
    assert states[-1] == "0"


def test_a_buzzer_is_silent_below_its_start_and_takes_its_rated_current():
    """An active 5 V buzzer: 25 mA at 5 V, heard from some 2.5 V on (makers' sheets, from memory)."""
    for volts, ampere, heard in ((5.0, 25e-3, True), (2.0, 2e-3, False)):
        circuit = Circuit((supply("USB 5 V"), part("LS1", "buzzer-5v", ("PLUS", "0V"))))
        change = Variation(((("BT1", "emf"), volts), STIFF))
        run = simulate(circuit, Trial("beep", 0.1), change)
        assert float(run.current("LS1", "+")[-1]) == pytest.approx(ampere, rel=0.05)
        assert any(e.kind == "light" and e.after == "lit" for e in run.events) == heard


def graded(circuit, trial, *changes):
    """Part, code and grade of everything that a run damages."""
    run = simulate(circuit, trial, Variation((STIFF, *changes)))
    return {(d.part, d.code, d.grade) for d in damages(run)}


def loaded(ohms, seconds, kind="resistor"):
    """A part across 9 V for some time of two seconds."""
    pins = ("PLUS", "TOP") if kind == "resistor" else ("TOP", "END")
    value = ohms if kind == "resistor" else None
    rest = () if kind == "resistor" else (part("R2", "resistor", ("PLUS", "TOP"), ohms),)
    end = pins[1]
    circuit = Circuit((supply("9 V block"), part("X1", kind, pins, value), *rest,
                       part("S1", "push-button", (end, "0V"))))  # fmt: skip
    return circuit, Trial(
        "load", 2.0, (Action(0.1, "S1", "pressed", 1), Action(0.1 + seconds, "S1", "pressed", 0))
    )


@pytest.mark.parametrize(
    ("ohms", "seconds", "grade"),
    [
        pytest.param(68, 10e-3, None, id="1.2 W for 10 ms: 12 mW over the second"),
        pytest.param(360, 1.5, None, id="225 mW: inside 250 mW"),
        pytest.param(220, 1.5, "hot", id="370 mW: too hot"),
        pytest.param(68, 1.5, "dies", id="1.2 W: burns"),
    ],
)
def test_a_surge_is_no_steady_overload(ohms, seconds, grade):
    """Five times its power for 10 ms leave a resistor cool; for long they burn it.

    A 1/4 W resistor (Yageo CFR-25: 250 mW at 70 °C, 2.5 times the rated voltage, so 6 times the power,
    for 5 s at most): 10 ms of five times its power leave it cool, the same for long burns it.
    """
    found = {g for name, code, g in graded(*loaded(ohms, seconds)) if (name, code) == ("X1", "overheats")}
    assert found == ({grade} if grade else set())


@pytest.mark.parametrize(
    ("ohms", "seconds", "found"),
    [
        (390, 1.0, set()),
        (200, 1.0, {("overcurrent", "ages")}),
        (120, 1.0, {("overcurrent", "hot")}),
        (47, 1.0, {("overcurrent", "dies")}),
        (100, 1e-3, set()),
        (47, 1e-3, {("surge", "ages")}),
    ],
)
def test_three_grades_of_a_light(ohms, seconds, found):
    """A light ages, gets hot or dies by how far and how long its current is beyond the limit.

    A red LED, 30 mA at most (Kingbright class): 18 mA is well, 34 mA ages it, 57 mA heats it, 140 mA
    kills it, and for 1 ms 68 mA do nothing (7 mA over 10 ms), 140 mA pass the pulse rating: that only
    ages it.
    """
    assert {(c, g) for name, c, g in graded(*loaded(ohms, seconds, "led-red")) if name == "X1"} == found


def test_grades_of_an_electrolytic():
    """Reverse and surge voltage of an electrolytic, each in two grades.

    Turned round 1.2 V undoes its oxide slowly, 9 V kill it (TDK/EPCOS: 1.5 V for short times only); 26
    V on a 25 V can is inside the surge voltage of 1.15 times (IEC 60384-4, from memory), 35 V is not.
    """
    for pins, volts, code, grade in (
        (("0V", "PLUS"), 1.2, "reverse-voltage", "ages"),
        (("0V", "PLUS"), 9.0, "reverse-voltage", "dies"),
        (("PLUS", "0V"), 26.0, "overvoltage", "ages"),
        (("PLUS", "0V"), 35.0, "overvoltage", "dies"),
        (("PLUS", "0V"), 24.0, None, None),
    ):
        circuit = Circuit((supply("9 V block"), part("C1", "electrolytic", pins, 100e-6)))
        found = graded(circuit, Trial("on", 2.0), (("BT1", "emf"), volts))
        found = {(c, g) for name, c, g in found if name == "C1" and c != "overcurrent"}
        assert found == ({(code, grade)} if code else set())


def sinking(ohms):
    """An LM393 that pulls on a resistor to 9 V for good."""
    pins = ("OUT", "PLUS", "0V", "0V", "0V", "0V", "-", "PLUS")
    circuit = Circuit((supply("9 V block"), part("U1", "comparator-lm393", pins),
                       part("R1", "resistor", ("PLUS", "OUT"), ohms)))  # fmt: skip
    return simulate(circuit, Trial("pull", 0.1), Variation((STIFF,)))


def test_a_comparator_is_asked_for_more_than_is_promised():
    """More than is promised is a note; more than a typical one takes, an error.

    ST LM393 rev 15: 6 mA are promised at 1.5 V, a typical one takes 16 mA: 4 mA is well, 11 mA is said
    as a note, and with 47 ohm the output no longer pulls low, which is an error.
    """
    levels = []
    for ohms in (2200, 780, 47):
        run = sinking(ohms)
        levels.append([(f.code, f.severity.name) for f in check_ratings(run) if f.code.startswith("output")])
    assert levels == [[], [("output-beyond-promise", "NOTE")], [("output-overloaded", "ERROR")]]
    assert float(run.voltage("OUT")[-1]) > 3


def test_an_input_beyond_the_supply_is_told():
    """A bipolar timer's inputs may not go above its supply (Diodes DS35112): behind a capacitor they do."""
    press = (Action(0.1, "S1", "pressed", 1), Action(0.3, "S1", "pressed", 0))
    run = simulate(coupled("timer-555"), Trial("push", 0.5, press), Variation((STIFF,)))
    said = [f.message for f in check_ratings(run) if f.code == "input-beyond-supply"]
    assert any("trigger above plus" in text for text in said)


@pytest.mark.parametrize(("diode", "told"), [(None, True), (("COL", "PLUS"), False)], ids=["without", "with"])
def test_a_motor_without_diode_kicks(diode, told):
    """A winding that is cut off keeps its energy unless a diode lets the current go on.

    A winding keeps L·i²/2 and drives the voltage up when cut off; a diode across it, ring to plus, lets
    the current go on (flywheel diode, any textbook; Malvino, relay driver).
    """
    circuit = Circuit(
        (
            supply("2 x AA"),
            part("S1", "push-button", ("PLUS", "TOP")),
            part("R1", "resistor", ("TOP", "BASE"), 100),
            part("R2", "resistor", ("BASE", "0V"), 10e3),
            part("Q1", "npn-pn2222a", ("COL", "BASE", "0V")),
            part("M1", "motor-3v", ("PLUS", "COL")),
            *((part("D1", "diode-1n4001", diode),) if diode else ()),
        )
    )
    press = (Action(0.1, "S1", "pressed", 1), Action(1.1, "S1", "pressed", 0))
    run = simulate(circuit, Trial("motor", 2.0, press))
    assert any(f.code == "coil-kick" for f in check_ratings(run)) == told


def test_an_electrolytic_leaks_and_resists():
    """Leakage is at most 0.01 C V (Lelon RGA), resistance tan δ / (2 π f C) (IEC 60384-1, from memory).

    470 µF on 9 V: at most 42 µA once it is full.  100 µF with tan δ 0.16 at 120 Hz has 2.12 ohm, so that
    behind 10 ohm it begins with 9 V / 12.12 ohm.
    """
    for farad, ohms in ((470e-6, 1e3), (100e-6, 10.0)):
        circuit = Circuit(
            (
                supply("9 V block"),
                part("R1", "resistor", ("PLUS", "CAP"), ohms),
                part("C1", "electrolytic", ("CAP", "0V"), farad),
            )
        )
        run = simulate(circuit, Trial("fill", 20.0), Variation((STIFF,)))
        if farad > 200e-6:
            assert 1e-7 < float(run.current("C1", "+")[-1]) <= 0.01 * farad * 9.0
        else:
            first = measure(run, "peak_current", "C1").value
            assert first == pytest.approx(9.0 / (10.0 + 0.16 / (2 * math.pi * 120 * 100e-6)), rel=0.01)


def test_a_supply_sags_and_contacts_resist():
    """A 9 V block of 1.7 ohm (Duracell MN1604) gives 8.85 V on 100 ohm; four worn contacts add 2 ohm."""
    circuit = Circuit((supply("9 V block"), part("R1", "resistor", ("PLUS", "0V"), 100.0)))
    assert operating_point(circuit, after=1e-3).voltages["PLUS"] == pytest.approx(9 * 100 / 101.7, abs=2e-3)
    worn = operating_point(circuit, Variation((STIFF,)), after=1e-3, options=Options(contact_resistance=0.5))
    assert worn.currents["R1", "1"] == pytest.approx(9 / 102, rel=1e-3)
