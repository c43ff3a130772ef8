"""Printed examples, worked through the recognised formula of a circuit that is built part by part.

The books are Ma: Malvino & Bates, Electronic Principles; To: Tooley, Electronic Circuits; Gr:
Schultz, Grob's Basic Electronics; Gi: Giancoli, Physics 7e; Fl: Floyd, Electronic Devices; Bo:
Boylestad & Nashelsky; Be: Bell, Solid State Pulse Circuits; Ga: Gayakwad, Op-Amps; Fr: Franco,
Design with Op Amps; Me: Mehta; Sh: Sanjay Sharma; Sa: Salivahanan; TI: data sheet SLFS022F.

``printed`` is the book's answer, met to the rounding of its constants (1.44, 1.1, 0.7 and the figures
written); ``exact`` is the closed form with ln 2 or ln 3 worked out beside the source, met to its last digit.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import pytest

from buildalong.circuit import Circuit
from buildalong.design import invert

from ._circuits import astable, circuit, entry, led, one_shot, pair, rc, switch


@dataclass(frozen=True)
class Example:
    """One printed example: the circuit, the sheet's figure, the printed and the exact answer."""

    source: str
    made: Circuit
    figure: str
    printed: float
    exact: float
    rounding: float = 0.003


def output_astable(r: str, c: str) -> Circuit:
    return circuit(
        f"U1 timer-555 0V CAP OUT PLUS - CAP - PLUS\nR1 resistor {r} OUT CAP\nC1 capacitor-film {c} CAP 0V"
    )


def chain(*values: str, volts: float) -> Circuit:
    nets = ["PLUS", *(f"N{i}" for i in range(1, len(values))), "0V"]
    lines = [f"R{i + 1} resistor {v} {nets[i]} {nets[i + 1]}" for i, v in enumerate(values)]
    return circuit("\n".join(lines), volts)


def side_by_side(*values: str) -> Circuit:
    return circuit("\n".join(f"R{i + 1} resistor {v} PLUS 0V" for i, v in enumerate(values)))


MIXED = circuit("R1 resistor 4R7 PLUS A\nR2 resistor 47 A 0V\nR3 resistor 12 A B\nR4 resistor 27 B 0V")
DIVIDER = circuit("R1 resistor 4k PLUS T\nR2 resistor 1k T 0V", 5)
LOADED = circuit("R1 resistor 4k PLUS T\nR2 resistor 1k T 0V\nR3 resistor 10k T 0V", 5)

EXAMPLES = [
    Example("Ma 5-13 p168", led("470", 9, 2), "current", 14.89e-3, 14.894e-3),
    Example("Ma 5-12 p168", led("2k2", 50, 2), "current", 21.82e-3, 21.818e-3),
    Example("To 2.12 p26 series", chain("22", "47", "33", volts=9), "total_resistance", 102, 102.0),
    Example("To 2.12 p26 parallel", side_by_side("22", "47", "33"), "total_resistance", 10.31, 10.3056),
    Example("To 2.13 p27", MIXED, "total_resistance", 26.0, 26.013),
    Example("To 2.2 p23", chain("39", volts=9), "total_current", 0.2308, 0.23077),
    Example("To 2.2 p23 most", chain("35R1", volts=9), "total_current", 0.2564, 0.25641),
    Example("To 2.2 p23 least", chain("42R9", volts=9), "total_current", 0.2098, 0.20979),
    Example("Gr 4-3 p119 current", chain("10", "20", "30", volts=12), "total_current", 0.2, 0.2),
    Example("Gr 4-3 p119 upper tap", chain("10", "20", "30", volts=12), "voltage(N1)", 10, 10.0),
    Example("Gr 4-3 p119 lower tap", chain("10", "20", "30", volts=12), "voltage(N2)", 6, 6.0),
    Example("Gr 7-1 p199", chain("50k", "50k", "50k", volts=180), "voltage(N2)", 60, 60.0),
    Example("To 3.4 p52", DIVIDER, "voltage(T)", 1.0, 1.0),
    Example("Gr 22-4 p676", rc("1M", "0.01 µF", 9), "time_constant", 10e-3, 0.01),
    Example("Gr 22-5 p677", rc("1M", "0.01 µF", 300), "charging_voltage", 189, 189.64, 0.005),
    Example("Gr 22-8 p681", rc("2M", "0.01 µF", 9), "time_constant", 20e-3, 0.02),
    Example("Gr 22-10 p682 tau", rc("10k", "0.05 µF", 36), "time_constant", 0.5e-3, 0.0005),
    Example("To 3.11 p61", rc("47k", "10 µF", 20), "half_time", 0.33, 0.32578, 0.02),
    Example("Fl 16-6 p542", astable("2k2", "4k7", "0.022 µF"), "frequency", 5.64e3, 5653.2),
    Example("Fl 16-6 p542 duty", astable("2k2", "4k7", "0.022 µF"), "duty", 0.595, 0.59483),
    Example("Bo 13.1 high", astable("7k5", "7k5", "0.1 µF"), "on_time", 1.05e-3, 1.0397e-3, 0.012),
    Example("Bo 13.1 low", astable("7k5", "7k5", "0.1 µF"), "off_time", 0.525e-3, 0.51986e-3, 0.012),
    Example("Bo 13.1 frequency", astable("7k5", "7k5", "0.1 µF"), "frequency", 634.9, 641.2, 0.012),
    Example("Ga 9-7 high", astable("2k2", "3k9", "0.1 µF"), "on_time", 0.42e-3, 0.42282e-3, 0.01),
    Example("Ga 9-7 low", astable("2k2", "3k9", "0.1 µF"), "off_time", 0.27e-3, 0.27033e-3, 0.01),
    Example("Ga 9-7 frequency", astable("2k2", "3k9", "0.1 µF"), "frequency", 1.4e3, 1442.7, 0.04),
    Example("Be E3 p244", astable("3k3", "2k7", "0.082 µF"), "frequency", 2.02e3, 2022.3),
    Example("Be E3 p244 duty", astable("3k3", "2k7", "0.082 µF"), "duty", 0.69, 0.68966),
    Example("Me 23.3 p639", astable("3k", "2k7", "0.033 µF"), "frequency", 5.19e3, 5204.5),
    Example("Ma 23-8 p922", astable("75k", "30k", "47 nF"), "frequency", 226.95, 227.38),
    Example("Ma 23-8 p922 duty", astable("75k", "30k", "47 nF"), "duty", 0.7778, 0.77778),
    Example("Sh 5.1 p186", astable("2k", "100k", "0.01 µF"), "frequency", 714.4, 714.2),
    Example("Sh 5.1 p186 duty", astable("2k", "100k", "0.01 µF"), "duty", 0.505, 0.50495),
    Example("Sh 5.7 p189 high", astable("288.6k", "144.3k", "10 µF"), "on_time", 3, 3.0006),
    Example("Sh 5.7 p189 low", astable("288.6k", "144.3k", "10 µF"), "off_time", 1, 1.0002),
    Example("Sh 5.12 p193", astable("2.88k", "5.76k", "0.1 µF"), "frequency", 1e3, 1001.9),
    Example("Sh 5.12 p193 duty", astable("2.88k", "5.76k", "0.1 µF"), "duty", 0.6, 0.6),
    Example("Sh 5.13 p195", astable("4k", "4k", "0.01 µF"), "frequency", 12e3, 12022.5),
    Example("Sh 5.13 p195 duty", astable("4k", "4k", "0.01 µF"), "duty", 0.6667, 0.66667),
    Example("Sh 5.15 p196", astable("3.6k", "1.8k", "0.1 µF"), "frequency", 2e3, 2003.7),
    Example("Sh 5.5 p188", astable("36k", "72k", "0.01 µF"), "frequency", 800, 801.5),
    Example("Fr 10.3 p467", astable("14.4k", "7.2k", "1 nF"), "frequency", 50e3, 50094.0),
    Example("To 12.3 p223", astable("48k", "48k", "1 µF"), "frequency", 10, 10.019),
    Example("To 12.4 p223", output_astable("144k", "100 nF"), "frequency", 50, 50.094),
    Example("TI fig 13 high", astable("5k", "3k", "0.15 µF"), "on_time", 831.8e-6, 831.8e-6),
    Example("TI fig 13 low", astable("5k", "3k", "0.15 µF"), "off_time", 311.9e-6, 311.9e-6),
    Example("TI fig 13 frequency", astable("5k", "3k", "0.15 µF"), "frequency", 872.7, 874.4),
    Example("TI fig 10", one_shot("9k1", "0.01 µF"), "on_time", 100.1e-6, 99.97e-6),
    Example("Ma 23-6 p918", one_shot("33k", "0.47 µF", 12), "on_time", 17.061e-3, 17.04e-3),
    Example("Ma 23-7 p919", one_shot("10M", "470 µF"), "on_time", 5170, 5163.5),
    Example("Bo 13.2", one_shot("7k5", "0.1 µF"), "on_time", 0.825e-3, 0.82396e-3),
    Example("Me 23.2 p638", one_shot("1k2", "0.1 µF"), "on_time", 132e-6, 131.83e-6),
    Example("Fl Digital Fundamentals fig 8-49", one_shot("2k", "1 µF"), "on_time", 2.2e-3, 2.1972e-3),
    Example("Ma 7-1 p228", switch("10k", "3k", 30), "collector_current", 10e-3, 10e-3),
    Example("Ma 7-2 p228", switch("10k", "3k", 9), "collector_current", 3e-3, 3e-3),
    Example("Ma 7-3 p228", switch("10k", "1k", 15), "collector_current", 15e-3, 15e-3),
    Example("Ma 7-4 p228", switch("10k", "3k", 15), "collector_current", 5e-3, 5e-3),
    Example("Ma 7-7 p235", switch("100k", "5k", 20), "collector_current", 4e-3, 4e-3),
    Example("Sa 16.10 p520", pair("20k", "1 nF", "20k", "1 nF"), "frequency", 36.08e3, 36067.0),
    Example("Sa 16.11 p521", pair("2k", "0.01 µF", "10k", "0.05 µF"), "period", 360.36e-6, 360.44e-6),
    Example("Sa 16.11 p521 frequency", pair("2k", "0.01 µF", "10k", "0.05 µF"), "frequency", 2.78e3, 2774.4),
]  # fmt: skip


@pytest.mark.parametrize("example", EXAMPLES, ids=[e.source for e in EXAMPLES])
def test_formula_gives_the_printed_answer(example: Example) -> None:
    """The recognised formula meets the book to its rounding, and the closed form to its last digit."""
    got = entry(example.made, example.figure).result.value
    assert example.printed == pytest.approx(got, rel=example.rounding)
    digits = len(f"{example.exact:.15g}".split("e")[0].replace(".", "").replace("-", "").strip("0")) or 1
    assert example.exact == pytest.approx(got, rel=max(6 * 10.0**-digits, 1e-9) if digits > 2 else 1e-6)


DESIGNS = [
    ("To 5.2 p95 LED resistor", led("1k", 21, 2.2), "current", "R1", 15e-3, 1253.3, 1e-4),
    ("Sh 5.8 p190 LED on a 13.4 V output", led("1k", 13.4, 1.4), "current", "R1", 20e-3, 600, 1e-6),
    ("To 12.1 p220 one-shot 10 ms", one_shot("1k", "100 nF"), "on_time", "R1", 10e-3, 90.91e3, 2e-3),
    ("To 12.2 p220 one-shot 60 s", one_shot("1k", "100 µF"), "on_time", "R1", 60, 545.45e3, 2e-3),
    ("Sh 5.9 p191 one-shot 5 ms", one_shot("1k", "0.1 µF"), "on_time", "R1", 5e-3, 45.45e3, 2e-3),
    ("To 12.4 p223 square 50 Hz", output_astable("1k", "100 nF"), "frequency", "R1", 50, 144e3, 2e-3),
    ("Gr 22-10 p682 36 V to 24 V", rc("10k", "0.05 µF", 36), "charging_voltage", "t", 24, 0.549e-3, 1e-3),
    ("Gi Ex 19-14 to 10 %", rc("4k2", "1 µF", 10), "charging_voltage", "t", 9, 9.7e-3, 4e-3),
    ("Be ch 7 E4 capacitor", pair("150.5k", "1 nF", "150.5k", "1 nF"), "on_time", "C", 5e-4, 4793e-12, 1e-4),
]  # fmt: skip


@pytest.mark.parametrize(
    ("made", "figure", "unknown", "target", "printed", "rounding"),
    [d[1:] for d in DESIGNS],
    ids=[d[0] for d in DESIGNS],
)
def test_formula_turned_round_gives_the_printed_part(
    made: Circuit, figure: str, unknown: str, target: float, printed: float, rounding: float
) -> None:
    """Solving the formula for one part meets the book's design, and the formula then gives the target."""
    formula = entry(made, figure).formula
    names = {s.name for s in formula.expr.symbols()}
    unknown = unknown if unknown in names else next(n for n in names if n[0] == unknown[0])
    found = invert(formula, unknown, target)
    assert printed == pytest.approx(found, rel=rounding)
    assert formula.value({unknown: found}) == pytest.approx(target, rel=1e-12)


@pytest.mark.parametrize(
    ("source", "volts", "r", "c", "seconds", "printed"),
    [
        ("Gr 22-7 p680", 200.0, "1M", "0.01 µF", 0.01, 73.58),
        ("Gr 22-9 p682", 40.0, "3M", "1 µF", 6.0, 5.413),
        ("To 3.10 p59, 50 ms", 350.0, "1k", "100 µF", 0.05, 212.3),
        ("To 3.10 p59, 100 ms", 350.0, "1k", "100 µF", 0.1, 128.8),
    ],
)
def test_what_is_left_across_the_resistor(
    source: str, volts: float, r: str, c: str, seconds: float, printed: float
) -> None:
    """The current of a charging capacitor dies away as the books print it (as volts across R)."""
    made = rc(r, c, volts)
    formula = entry(made, "charging_current").formula
    assert printed == pytest.approx(formula.value({"t": seconds}) * (made.by_id["R1"].value or 0), rel=4e-4)


def test_charging_for_one_second() -> None:
    """1 µF through 3.3 MΩ from 9 V stands at 2.35 V after 1 s: To 3.9 p59 (exact 2.3528 V)."""
    formula = entry(rc("3M3", "1 µF", 9), "charging_voltage").formula
    assert formula.value({"t": 1.0}) == pytest.approx(2.3528, abs=5e-5)


def test_base_resistor_for_saturation() -> None:
    """10 V, 1 kΩ, gain 200, 5 V drive: 50 µA at least, 86 kΩ at most: Fl 4-9 p132."""
    made = switch("10k", "1k", 10)
    least = entry(made, "collector_current").result.value / 200
    assert least == pytest.approx(50e-6)
    drive = entry(made, "base_current").formula.with_values({"V_in": 5.0})
    assert invert(drive, "R1", least) == pytest.approx(86e3, rel=1e-9)


def test_equal_resistors_do_not_make_half_and_half() -> None:
    """72 kΩ twice and 10 nF give 666.7 Hz at 66.7 %, not the 1 kHz at 50 % of a printed slip (Sh 5.3)."""
    made = astable("72k", "72k", "0.01 µF")
    assert entry(made, "duty").result.value == pytest.approx(2 / 3)
    exact = 1 / (math.log(2) * 3 * 72e3 * 1e-8)
    assert entry(made, "frequency").result.value == pytest.approx(exact)
    assert exact == pytest.approx(667.9, abs=0.1)


def test_loaded_divider_falls() -> None:
    """4 kΩ over 1 kΩ loaded with 10 kΩ on 5 V gives 0.926 V: To 3.4 p52 with its slip put right."""
    assert entry(LOADED, "voltage(T)").result.value == pytest.approx(0.9259, abs=5e-5)


@pytest.mark.parametrize(("volts", "factor"), [(5.0, 0.941), (9.0, 0.811)])
def test_steering_diode_stretches_its_half(volts: float, factor: float) -> None:
    """With 0.6 V lost in the diode one half lasts ln((2V/3 − 0.6)/(V/3 − 0.6)) R C: 0.941 RC at 5 V."""
    made = circuit(
        """
        U1 timer-555 0V CAP OUT PLUS - CAP DIS PLUS
        R1 resistor 10k PLUS DIS
        R2 resistor 10k DIS CAP
        D1 diode-1n4148 DIS CAP
        C1 capacitor-film 1µF CAP 0V
        """,
        volts,
    )
    assert entry(made, "on_time").result.value == pytest.approx(math.log(2) * 0.01)
    first = entry(made, "on_time").corrections[0].formula.with_values({"V_D1": 0.6})
    assert first.value() / 0.01 == pytest.approx(factor, abs=6e-4)
