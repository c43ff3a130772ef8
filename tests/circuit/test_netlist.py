"""The netlist: well formed, and run by the reference simulator on circuits with known answers."""

from __future__ import annotations

import math
import re
import subprocess
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from buildalong.circuit import Circuit, netlist_text

from ._demo import DEMOS, Move, circuit, demo, part, press, supply


def _run(tmp_path: Path, text: str, *signals: str) -> list[list[float]]:
    """Run a netlist in the reference simulator (Debian package ngspice); rows of time and signals."""
    out = tmp_path / "signals.txt"
    control = f".control\nrun\nwrdata {out} {' '.join(signals)}\nquit\n.endc\n.end\n"
    deck = tmp_path / "deck.cir"
    deck.write_text(text.removesuffix(".end\n") + control)
    done = subprocess.run(
        ["ngspice", "-b", str(deck)], capture_output=True, text=True, timeout=120, check=False
    )
    printed = done.stdout + done.stderr
    assert "aborted" not in printed
    assert "Error" not in printed, printed
    rows = [[float(x) for x in line.split()] for line in out.read_text().splitlines()]
    return [[row[0], *row[1::2]] for row in rows]


def _crossings(rows: list[list[float]], column: int, level: float) -> list[tuple[float, bool]]:
    """Times at which a signal crosses a level, and whether it rises."""
    found = []
    for a, b in pairwise(rows):
        x, y = a[column] - level, b[column] - level
        if (x < 0) != (y < 0):
            found.append((a[0] + (b[0] - a[0]) * x / (x - y), y > x))
    return found


ANY_PART = (
    "R1 resistor 1k PLUS A", "R2 ldr-5mm A 0V", "R3 potentiometer 10k PLUS W 0V",
    "C1 capacitor-film 10n W 0V", "C2 electrolytic 10µF W 0V", "D1 diode-1n4148 W A",
    "R6 resistor 1k PLUS L", "DS1 led-red L B", "R7 resistor 10k A BASE", "Q1 npn-bc547 B BASE 0V",
    "R8 resistor 10k LOW 0V", "Q2 pnp-bc557 M LOW PLUS", "R9 resistor 100 M N", "B1 motor-3v N 0V",
    "S1 push-button A 0V", "S2 slide-switch A W B", "LS1 buzzer-5v W 0V",
    "U1 timer-555 0V A X PLUS - A - PLUS", "U2 timer-555-cmos 0V A Y PLUS - A - PLUS",
    "U3 comparator-lm393 B A W 0V 0V 0V - PLUS",
    "U4 counter-4017 - - Z - - - - 0V - - - - 0V X 0V PLUS", "R4 resistor 10k X Y", "R5 resistor 10k Z 0V",
)  # fmt: skip
MOVES = (
    *press("S1", 0.002, 0.002),
    Move(0.001, "S2", "thrown", 1.0),
    Move(0.003, "R3", "position", 0.9, 0.002),
    Move(0.003, "R2", "light", 5.0, 0.002),
)


def test_every_line_is_an_element_a_card_or_a_comment() -> None:
    """Spice3 syntax: title first, .end last, element letters R C D Q V B X, each name once, plain ASCII."""
    text = netlist_text(circuit("9 V block", *ANY_PART), "all ½ kinds\nof parts", lasts=0.01, actions=MOVES)
    lines = text.splitlines()
    assert lines[0] == "* all kinds of parts"
    assert lines[-1] == ".end"
    assert text.isascii()
    top = [
        line
        for line in re.sub(r"(?ms)^\.subckt.*?^\.ends", "", text).splitlines()
        if line and line[0] not in "*."
    ]
    names = [line.split()[0].lower() for line in top]
    assert len(set(names)) == len(names)
    assert {name[0] for name in names} == set("rcdqvbx")
    assert text.count("\n.subckt") == text.count("\n.ends") == 4
    assert text == netlist_text(
        circuit("9 V block", *ANY_PART), "all ½ kinds\nof parts", lasts=0.01, actions=MOVES
    )


@pytest.mark.debian("ngspice")
def test_every_kind_of_part_runs(tmp_path: Path) -> None:
    """One circuit with every kind of part and every setting in motion is simulated to the end."""
    text = netlist_text(circuit("9 V block", *ANY_PART), lasts=0.01, actions=MOVES)
    rows = _run(tmp_path, text, "v(plus)")
    assert rows[-1][0] == pytest.approx(0.01)
    assert 8.0 < rows[-1][1] <= 9.0


def test_names_of_nets_are_kept_apart() -> None:
    """Simulators do not tell OUT from Out, and take GND for node 0: such nets get other names."""
    made = Circuit(
        (supply("9 V block"), part("R1 resistor 1k PLUS Out"), part("R2 resistor 1k Out OUT"),
         part("R3 resistor 1k OUT GND"), part("R4 resistor 1k GND 0V"), part("R1a resistor 1k PLUS 0V"),
         part("R1A resistor 1k PLUS 0V"))
    )  # fmt: skip
    text = netlist_text(made)
    assert "R_R2 out out_2 1000" in text
    assert "R_R4 gnd_2 0 1000" in text
    assert "* node out_2: net OUT" in text
    assert "R_R1A_2 plus 0 1000" in text


def test_what_cannot_be_written_is_told() -> None:
    """No supply, no value, no model: an error that names the part."""
    with pytest.raises(LookupError, match="no supply"):
        netlist_text(Circuit((part("R1 resistor 1k A B"),)))
    made = circuit("9 V block", "R1 resistor 1k PLUS 0V")
    with pytest.raises(ValueError, match="R1 has no value"):
        netlist_text(made.with_part(replace(made.by_id["R1"], value=None)))
    bare = made.by_id["R1"].type.model_copy(update={"model": {}})
    with pytest.raises(ValueError, match="no electrical model"):
        netlist_text(made.with_part(replace(made.by_id["R1"], type=bare)))


@pytest.mark.debian("ngspice")
def test_charging_a_capacitor(tmp_path: Path) -> None:
    """Tooley, Electronic Circuits, ex. 3.10: 1 µF through 3.3 MΩ from 9 V reaches 2.35 V after 1 s."""
    text = netlist_text(
        circuit("9 V block", "R1 resistor 3.3M PLUS A", "C1 capacitor-film 1µF A 0V"), lasts=1.0
    )
    rows = _run(tmp_path, text, "v(a)")
    assert rows[-1][1] == pytest.approx(2.3528, rel=2e-3)


@pytest.mark.debian("ngspice")
def test_a_divider_under_load(tmp_path: Path) -> None:
    """Tooley ex. 3.4, a loaded divider, with 3.9 k in place of 4 k: V · (R2 ∥ RL)/(R1 + R2 ∥ RL)."""
    loaded = circuit("USB 5 V", "R1 resistor 3.9k PLUS A", "R2 resistor 1k A 0V", "R3 resistor 10k A 0V")
    rows = _run(tmp_path, netlist_text(loaded, lasts=0.001), "v(a)")
    assert rows[-1][1] == pytest.approx(5 * (10 / 11) / (3.9 + 10 / 11), rel=1e-3)


@pytest.mark.debian("ngspice")
def test_led_resistor(tmp_path: Path) -> None:
    """Malvino & Bates, ex. 5-13: 9 V, 470 Ω, 2 V LED: 14.89 mA."""
    text = netlist_text(circuit("9 V block", "R1 resistor 470 PLUS A", "DS1 led-red A 0V"), lasts=0.001)
    rows = _run(tmp_path, text, "v(plus)", "v(a)")
    assert (rows[-1][1] - rows[-1][2]) / 470 == pytest.approx(14.89e-3, rel=0.02)


@pytest.mark.debian("ngspice")
def test_a_saturated_transistor(tmp_path: Path) -> None:
    """2N3904: VCE(sat) at most 0.2 V at 10 mA with 1 mA into the base (onsemi 2N3904/D)."""
    parts = ("R1 resistor 470 PLUS C", "R2 resistor 4.3k PLUS B", "Q1 npn-2n3904 C B 0V")
    rows = _run(tmp_path, netlist_text(circuit("USB 5 V", *parts), lasts=0.001), "v(c)")
    assert 0.02 < rows[-1][1] < 0.2


def _value(of: Circuit, identity: str) -> float:
    value = of.by_id[identity].value
    assert value is not None
    return value


def _transient(name: str, lasts: float, *actions: Move) -> tuple[Circuit, str]:
    made = demo(name)
    return made, netlist_text(made, name, lasts=lasts, actions=actions)


@pytest.mark.debian("ngspice")
@pytest.mark.parametrize("name", DEMOS)
def test_every_demo_starts(tmp_path: Path, name: str) -> None:
    """Each demo circuit runs in the reference simulator from the moment the supply is switched on."""
    _, text = _transient(name, 0.02)
    rows = _run(tmp_path, text, "v(plus)")
    assert rows[-1][0] == pytest.approx(0.02)


@pytest.mark.debian("ngspice")
def test_one_shot_of_the_cupboard_light(tmp_path: Path) -> None:
    """TI SLFS022: t = RC ln 3 ("1.1 RC"); bias currents make it a little longer."""
    made, text = _transient("cupboard-light", 15.0, *press("S1", 2.0, 0.15))
    edges = _crossings(_run(tmp_path, text, "v(out)"), 1, 4.0)
    ideal = _value(made, "R1") * _value(made, "C1") * math.log(3)
    assert [rising for _, rising in edges] == [True, False]
    assert edges[0][0] == pytest.approx(2.0, abs=1e-3)
    assert edges[1][0] - edges[0][0] == pytest.approx(ideal, rel=0.02)


@pytest.mark.debian("ngspice")
def test_latch_of_the_mailbox_flag(tmp_path: Path) -> None:
    """TI TLC555 function table: trigger low sets the output, reset low clears it, nothing else moves it."""
    presses = (*press("S2", 0.5, 0.2), *press("S1", 2.0, 0.15), *press("S2", 6.0, 0.2))
    _, text = _transient("mailbox-flag", 8.0, *presses)
    edges = _crossings(_run(tmp_path, text, "v(out)"), 1, 2.0)
    assert [rising for _, rising in edges] == [True, False]
    assert [time for time, _ in edges] == pytest.approx([2.0, 6.0], abs=1e-3)


@pytest.mark.debian("ngspice")
def test_either_power_up_state(tmp_path: Path) -> None:
    """No data sheet promises the state in which a 555 wakes: both are simulated."""
    made = demo("mailbox-flag")
    for state, high in (("low", False), ("high", True)):
        text = netlist_text(made, lasts=0.01, power_up={"U1": state})
        assert (_run(tmp_path, text, "v(out)")[-1][1] > 3.0) is high


@pytest.mark.debian("ngspice")
def test_astable_and_counter_of_the_runway_lights(tmp_path: Path) -> None:
    """TI SLFS022: T = ln 2 (RA + 2 RB) C; TI CD4017B: one output after the other, each for one period."""
    made, text = _transient("runway-lights", 0.5)
    rows = _run(tmp_path, text, "v(clk)", "v(n1)", "v(n2)", "v(n3)")
    rises = [time for time, rising in _crossings(rows, 1, 4.0) if rising]
    period = math.log(2) * (_value(made, "R1") + 2 * _value(made, "R2")) * _value(made, "C1")
    # the first rise is the waking itself, and the first high time is longer: the capacitor starts at 0 V
    assert rises[2] - rises[1] == pytest.approx(period, rel=0.02)
    for column, edge in ((3, 1), (4, 2)):
        on, off = (time for time, _ in _crossings(rows, column, 3.0)[:2])
        assert (on, off) == pytest.approx((rises[edge], rises[edge + 1]), abs=1e-3)


@pytest.mark.debian("ngspice")
def test_diode_steered_astable_of_the_lighthouse(tmp_path: Path) -> None:
    """Charging through R1 and a diode, discharging through a diode and R2: RC less the diode's drop.

    At some 40 µA and 15 µA a 1N4148 drops about 0.45 V and 0.40 V (0.48 V at 0.1 mA by its published model).
    """
    made, text = _transient("lighthouse", 7.0)
    times = [time for time, _ in _crossings(_run(tmp_path, text, "v(out)"), 1, 2.5)]
    volts, farad = 6.0, _value(made, "C1")
    up = _value(made, "R1") * farad * math.log((volts - 0.45 - 2.0) / (volts - 0.45 - 4.0))
    down = _value(made, "R2") * farad * math.log((4.0 - 0.4) / (2.0 - 0.4))
    assert times[3] - times[2] == pytest.approx(up, rel=0.04)
    assert times[4] - times[3] == pytest.approx(down, rel=0.04)


@pytest.mark.debian("ngspice")
def test_two_transistor_astable_of_the_level_crossing(tmp_path: Path) -> None:
    """Each half lasts RC ln((V − VBE + swing)/(V − VBE)).

    The swing is the supply less an LED's 1.7 V and the saturation voltage.  The textbook's ln 2
    (Bell, Solid State Pulse Circuits, ch. 7) holds where nothing but a resistor stands in the
    collector; an LED takes its voltage off the swing.
    """
    made, text = _transient("level-crossing", 5.0)
    rises = [time for time, rising in _crossings(_run(tmp_path, text, "v(col1)"), 1, 2.0) if rising]
    volts, base, swing = 5.0, 0.65, 5.0 - 1.7 - 0.1
    tau = _value(made, "R3") * _value(made, "C2") + _value(made, "R2") * _value(made, "C1")
    period = tau * math.log((volts - base + swing) / (volts - base))
    assert rises[-1] - rises[-2] == pytest.approx(period, rel=0.05)


@pytest.mark.debian("ngspice")
def test_comparator_of_the_dusk_light(tmp_path: Path) -> None:
    """The lamp goes on where the divider's equation says: REF = (V/10k + V_OUT/100k)/(2/10k + 1/100k).

    The open output stands one LED (1.6 V) below plus; the sensor has 14 kΩ at 10 lx and gamma 0.7.
    """
    dim = Move(2.0, "R2", "light", 1.0, 8.0)
    _, text = _transient(
        "dusk-light", 20.0, Move(0.0, "R2", "light", 300.0), dim, Move(12, "R2", "light", 300, 6)
    )
    edges = _crossings(_run(tmp_path, text, "v(out)"), 1, 3.0)
    on = next(time for time, rising in edges if not rising)
    reference = (6.0 / 10e3 + (6.0 - 1.6) / 100e3) / (2 / 10e3 + 1 / 100e3)
    ohm = 10e3 * reference / (6.0 - reference)
    light = 10 * (14e3 / ohm) ** (1 / 0.7)
    assert 300 - 299 * (on - 2.0) / 8.0 == pytest.approx(light, rel=0.05)
    assert [rising for _, rising in edges][-2:] == [False, True]
