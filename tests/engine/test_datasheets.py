"""Device models against tables of data sheets, inside their least and largest values."""

import numpy as np
import pytest
from _demo import part, supply

from buildalong.circuit import Circuit
from buildalong.engine import Action, Trial, Variation, operating_point, simulate
from buildalong.quantity import parse


def forward(kind, amps, volts, thermal=25.85e-3):
    """Operating point of a diode at a current set by a large resistor, at the table's thermal voltage."""
    parts = (
        supply("9 V block"),
        part("R1", "resistor", ("PLUS", "A"), 1e4),
        part("D1", kind, ("A", "0V")),
    )
    n = parse(parts[2].type.model["ideality"]["typ"]).value * thermal / (8.617333262e-5 * 298.15)
    changes = ((("BT1", "emf"), 1e4 * amps + volts), (("BT1", "resistance"), 1e-3), (("D1", "ideality"), n))
    return operating_point(Circuit(parts), Variation(changes), after=1e-3)


@pytest.mark.parametrize(
    ("kind", "table"),
    [
        ("diode-1n4148", {1e-4: 0.480, 1e-3: 0.584, 1e-2: 0.694, 1e-1: 0.849}),
        ("diode-1n4001", {1e-3: 0.573, 1e-2: 0.691, 1.0: 0.961}),
        ("diode-1n4007", {1e-3: 0.555, 1e-2: 0.663, 1.0: 0.912}),
    ],
)
def test_forward_voltages(kind, table):
    """Published parameter sets give the forward voltages computed from them by the Shockley equation."""
    for amps, volts in table.items():
        point = forward(kind, amps, volts)
        assert point.currents["D1", "A"] == pytest.approx(amps, rel=1e-3)
        assert point.voltages["A"] == pytest.approx(volts, abs=6e-4)


@pytest.mark.parametrize(
    ("kind", "least", "most"),
    [
        ("led-red", 1.7, 2.5),
        ("led-yellow", 1.7, 2.6),
        ("led-green", 1.7, 2.6),
        ("led-blue", 2.8, 4.0),
        ("led-white", 2.8, 4.0),
        ("led-green-bright", 2.8, 4.0),
    ],
)
def test_led_forward_voltage(kind, least, most):
    """LEDs at 20 mA lie in the maker's range (GB-413 series: 1.7 to 2.6 V; Cree CLD-CT208: 4.0 V most)."""
    parts = (supply("9 V block"), part("R1", "resistor", ("PLUS", "A"), 1e4), part("D1", kind, ("A", "0V")))
    changes = ((("BT1", "emf"), 203.0), (("BT1", "resistance"), 1e-3))
    point = operating_point(Circuit(parts), Variation(changes), after=1e-3)
    assert point.currents["D1", "A"] == pytest.approx(20e-3, rel=0.01)
    assert least <= point.voltages["A"] <= most


def timer(volts, kind="timer-555", trig="0V", loads=()):
    """A timer whose output is held by its trigger; ``loads`` are further parts."""
    parts = (
        supply("9 V block"),
        part("U1", kind, ("0V", trig, "OUT", "PLUS", "CTRL", "PLUS", "DIS", "PLUS")),
        *loads,
    )
    changes = ((("BT1", "emf"), volts), (("BT1", "resistance"), 1e-3))
    return operating_point(Circuit(parts), Variation(changes), after=1e-3)


@pytest.mark.parametrize(
    ("volts", "ohms", "amps", "least", "most", "source"),
    [
        (15, 130, 0.1, 12.75, 14.0, "TI SLFS022F: 12.75 V least, 13.3 V typical at 100 mA"),
        (5, 33, 0.1, 2.75, 4.0, "TI SLFS022F: 2.75 V least, 3.3 V typical at 100 mA"),
    ],
)
def test_timer_output_high(volts, ohms, amps, least, most, source):
    """The loaded high output lies inside the table."""
    point = timer(volts, loads=(part("RL", "resistor", ("OUT", "0V"), ohms),))
    assert point.currents["RL", "1"] == pytest.approx(amps, rel=0.05), source
    assert least <= point.voltages["OUT"] <= most, source


@pytest.mark.parametrize(
    ("kind", "volts", "amps", "most", "source"),
    [
        ("timer-555", 15, 10e-3, 0.25, "TI SLFS022F"),
        ("timer-555", 15, 50e-3, 0.75, "TI SLFS022F"),
        ("timer-555", 15, 100e-3, 2.5, "TI SLFS022F"),
        ("timer-555", 5, 5e-3, 0.35, "TI SLFS022F"),
        ("timer-555", 5, 8e-3, 0.4, "TI SLFS022F"),
        ("timer-555-cmos", 5, 3.2e-3, 0.3, "TI SLFS043C"),
        ("timer-555-cmos", 5, 8e-3, 0.4, "TI SLFS043C"),
        ("timer-555-cmos", 15, 10e-3, 0.3, "TI SLFS043C"),
        ("timer-555-cmos", 15, 50e-3, 1.0, "TI SLFS043C"),
        ("timer-555-cmos", 15, 100e-3, 3.2, "TI SLFS043C"),
    ],
)
def test_timer_output_low(kind, volts, amps, most, source):
    """The low output sinks the table's current under the table's limit."""
    point = timer(
        volts, kind, trig="PLUS", loads=(part("RL", "resistor", ("PLUS", "OUT"), (volts - 0.1) / amps),)
    )
    out = point.voltages["OUT"]
    assert 0.0 < out <= most, source
    assert point.currents["RL", "1"] == pytest.approx(amps, rel=0.2), source


@pytest.mark.parametrize(
    ("volts", "amps", "least"), [(5, 1e-3, 4.1), (15, 1e-3, 14.2), (15, 5e-3, 13.5), (15, 10e-3, 12.5)]
)
def test_cmos_timer_output_high(volts, amps, least):
    """TI SLFS043C: high output of the CMOS timer under load."""
    point = timer(
        volts, "timer-555-cmos", loads=(part("RL", "resistor", ("OUT", "0V"), (volts - 0.3) / amps),)
    )
    assert least <= point.voltages["OUT"] < volts


@pytest.mark.parametrize(
    ("kind", "volts", "amps", "most"),
    [
        ("timer-555", 4.5, 4.5e-3, 0.2),
        ("timer-555", 15, 15e-3, 0.48),
        ("timer-555-cmos", 5, 10e-3, 0.5),
        ("timer-555-cmos", 15, 100e-3, 1.7),
    ],
)
def test_discharge_saturation(kind, volts, amps, most):
    """Discharge transistor on: ST 2182 rev 6 and TI SNAS548D (bipolar), TI SLFS043C (CMOS)."""
    point = timer(volts, kind, trig="PLUS", loads=(part("RL", "resistor", ("PLUS", "DIS"), volts / amps),))
    assert 0.01 < point.voltages["DIS"] <= most


@pytest.mark.parametrize(("volts", "least", "most"), [(5, 2.6, 4.0), (15, 9.0, 11.0)])
def test_control_level(volts, least, most):
    """TI SLFS022F: the open control pin lies at two thirds of the supply."""
    point = timer(volts)
    assert least <= point.voltages["CTRL"] <= most
    assert point.voltages["CTRL"] == pytest.approx(2 * volts / 3, rel=0.01)


def stiff(circuit, trial, volts):
    """A run of a circuit whose 9 V block is replaced by so many volts without source resistance."""
    changes = ((("BT1", "emf"), volts), (("BT1", "resistance"), 1e-3))
    return simulate(circuit, trial, Variation(changes))


@pytest.mark.parametrize("load", ["none", "to ground", "to plus"])
@pytest.mark.parametrize(
    ("volts", "ohms", "trigger", "threshold"),
    [
        (5, (33, 600), (1.1, 1.67, 2.2), (2.4, 3.3, 4.2)),
        (15, (130, 130), (4.5, 5.0, 5.6), (8.8, 10.0, 11.2)),
    ],
)
def test_timer_levels_under_load(volts, ohms, trigger, threshold, load):
    """TI SLFS022F: trigger and threshold levels (least, typical, most), output loaded either way.

    Loads take the table's largest currents: 100 mA out; in, 8 mA at 5 V and 100 mA at 15 V.
    """
    loads = {
        "none": (),
        "to ground": (part("RL", "resistor", ("OUT", "0V"), ohms[0]),),
        "to plus": (part("RL", "resistor", ("PLUS", "OUT"), ohms[1]),),
    }
    circuit = Circuit(
        (
            supply("9 V block"),
            part("U1", "timer-555", ("0V", "CAP", "OUT", "PLUS", "CTRL", "CAP", "DIS", "PLUS")),
            part("R1", "resistor", ("PLUS", "DIS"), "10k"),
            part("R2", "resistor", ("DIS", "CAP"), "47k"),
            part("C1", "capacitor-film", ("CAP", "0V"), "1u"),
            part("C2", "capacitor-film", ("CTRL", "0V"), "10n"),
            *loads[load],
        )
    )
    run = stiff(circuit, Trial("levels", 0.3), volts)
    cap = run.voltage("CAP")[run.times > 0.1]
    for level, (least, typical, most) in ((cap.min(), trigger), (cap.max(), threshold)):
        assert least <= level <= most
        assert level == pytest.approx(typical, rel=0.02)


@pytest.mark.parametrize(
    ("kind", "least", "typical", "most"),
    [
        pytest.param("timer-555", 0.3, 0.7, 1.0, id="TI SLFS022F"),
        pytest.param("timer-555-cmos", 0.4, 1.1, 1.5, id="TI SLFS043C/F"),
    ],
)
def test_timer_reset_level(kind, least, typical, most):
    """Reset acts at its data sheet's typical level, within its limits; the output is high until then."""
    circuit = Circuit(
        (
            supply("9 V block"),
            part("U1", kind, ("0V", "0V", "OUT", "RESET", "CTRL", "0V", "-", "PLUS")),
            part("RV1", "potentiometer", ("0V", "RESET", "PLUS"), "1k"),
        )
    )
    trial = Trial(
        "reset", 1.2, (Action(0.0, "RV1", "position", 1.0), Action(0.1, "RV1", "position", 0.0, 1.0))
    )
    run = stiff(circuit, trial, 5.0)
    fell = next(e.time for e in run.events if e.kind == "state" and e.after == "low" and e.time > 0.1)
    level = float(np.interp(fell, run.times, run.voltage("RESET")))
    assert least <= level <= most
    assert level == pytest.approx(typical, abs=0.01)


@pytest.mark.parametrize(
    ("volts", "trig", "typical", "most"),
    [(5, "PLUS", 3e-3, 6e-3), (15, "PLUS", 10e-3, 15e-3), (5, "0V", 2e-3, 5e-3), (15, "0V", 9e-3, 13e-3)],
)
def test_timer_supply_current(volts, trig, typical, most):
    """TI SLFS022F: supply current without load, output low and high, within 10 % of typical."""
    point = timer(volts, trig=trig)
    given = -point.currents["BT1", "+"]
    assert given <= most
    assert given == pytest.approx(typical, rel=0.1)


@pytest.mark.parametrize(
    ("kind", "collector", "base", "most"),
    [
        ("npn-2n3904", 10e-3, 1e-3, 0.2),
        ("npn-2n3904", 50e-3, 5e-3, 0.3),
        ("npn-bc547", 10e-3, 0.5e-3, 0.25),
        ("npn-pn2222a", 150e-3, 15e-3, 0.3),
        ("npn-bc337", 0.5, 50e-3, 0.7),
    ],
)
def test_saturation(kind, collector, base, most):
    """Saturated collector voltage: onsemi 2N3904/D and BC337/D; BC547, PN2222A from memory."""
    parts = (
        supply("9 V block"),
        part("RC", "resistor", ("PLUS", "C"), 20.0 / collector),
        part("RB", "resistor", ("PLUS", "B"), 19.2 / base),
        part("Q1", kind, ("C", "B", "0V")),
    )
    changes = ((("BT1", "emf"), 20.0), (("BT1", "resistance"), 1e-3))
    point = operating_point(Circuit(parts), Variation(changes), after=1e-3)
    assert point.currents["Q1", "C"] == pytest.approx(collector, rel=0.05)
    assert 0.02 < point.voltages["C"] <= most


def test_transistor_textbook():
    """Ma 7-5 p232: 15 V, RC 3 k, RB 1 M: VCE 10.71 V with 0.7 V and a gain of 100."""
    parts = (
        supply("9 V block"),
        part("RC", "resistor", ("PLUS", "C"), 3e3),
        part("RB", "resistor", ("PLUS", "B"), 1e6),
        part("Q1", "npn-bc547", ("C", "B", "0V")),
    )
    changes = (
        (("BT1", "emf"), 15.0),
        (("BT1", "resistance"), 1e-3),
        (("Q1", "BF"), 100.0),
        (("Q1", "ISE"), 0.0),
        (("Q1", "VAF"), 1e9),
        (("Q1", "IKF"), 1e3),
    )
    point = operating_point(Circuit(parts), Variation(changes), after=1e-3)
    assert point.voltages["C"] == pytest.approx(10.71, abs=0.15)


def test_reversed_transistor_is_weak_and_breaks_down():
    """A 2N2222 with C and E swapped has a gain near 9 (bench report); ours is under 15."""
    parts = (
        supply("9 V block"),
        part("RC", "resistor", ("PLUS", "C"), 1e3),
        part("RB", "resistor", ("PLUS", "B"), 1e6),
        part("Q1", "npn-pn2222a", ("0V", "B", "C")),
    )
    changes = ((("BT1", "emf"), 5.0), (("BT1", "resistance"), 1e-3))
    point = operating_point(Circuit(parts), Variation(changes), after=1e-3)
    gain = point.currents["Q1", "E"] / point.currents["Q1", "B"]
    assert 3 < gain < 15


def test_open_collector_sinks():
    """ST LM393 rev 15: saturation 400 mV at most at 4 mA."""
    parts = (
        supply("9 V block"),
        part("U1", "comparator-lm393", ("OUT", "PLUS", "0V", "0V", "0V", "0V", "-", "PLUS")),
        part("RL", "resistor", ("PLUS", "OUT"), 8.87 / 4e-3),
    )
    point = operating_point(Circuit(parts), after=1e-3)
    assert 0.05 < point.voltages["OUT"] <= 0.4
