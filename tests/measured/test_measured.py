"""Measurements: made-up recordings whose rhythm is known, and faults whose cause is known."""

from __future__ import annotations

import math

import numpy as np
import pytest
from tests.design._circuits import demo

from buildalong.engine import Trial
from buildalong.finding import Unreadable
from buildalong.measured import compare, read_recording, rhythm_of
from buildalong.quantity import Quantity
from buildalong.spread import Target, spread


def square(on: float, off: float, noise: float = 0.0, count: int = 4000, span: float = 10.0) -> str:
    """A recording of a square wave between 0.1 V and 4.9 V that begins in the middle of an off time."""
    rng = np.random.Generator(np.random.PCG64(5))
    times = np.linspace(0.0, span, count)
    high = ((times + off / 2) % (on + off)) >= off
    volts = np.where(high, 4.9, 0.1) + noise * rng.standard_normal(count)
    return "t,out\n" + "\n".join(f"{t:.6f},{v:.4f}" for t, v in zip(times, volts, strict=True))


@pytest.mark.parametrize("noise", [0.0, 0.15])
def test_rhythm_of_a_square_wave(noise: float) -> None:
    """0.5 s on, 2.3 s off: to the grain of the recording, noise or not."""
    found = rhythm_of(read_recording(square(0.5, 2.3, noise), "scope.csv"), "out")
    assert found["on_time"] == pytest.approx(0.5, abs=5e-3)
    assert found["off_time"] == pytest.approx(2.3, abs=5e-3)
    assert found["period"] == pytest.approx(2.8, abs=5e-3)
    assert found["duty"] == pytest.approx(0.5 / 2.8, abs=2e-3)


def test_reads_what_instruments_write() -> None:
    """Header lines, semicolons with decimal commas, empty last cells."""
    text = 'Model;X1\nSample rate;1000\n"Time (s)";"CH1 (V)"\n0,000;0,1;\n0,001;4,9;\n0,002;0,1;\n'
    made = read_recording(text, "scope.csv")
    assert list(made.channels) == ["CH1 (V)"]
    assert made.times.tolist() == [0.0, 0.001, 0.002]
    assert made.channels["CH1 (V)"].tolist() == [0.1, 4.9, 0.1]


@pytest.mark.parametrize(
    ("text", "line", "column", "words"),
    [
        ("", 1, 1, "no row of numbers"),
        ("hello\nworld\n", 1, 1, "no row of numbers"),
        ("t,v\n0,1\n1,x\n", 3, 3, "not 2 numbers"),
        ("t,v\n0,1\n1\n", 3, 3, "not 2 numbers"),
        ("t,v\n1,1\n0,1\n", 3, 1, "backwards"),
        ("0,inf\n", 1, 1, "no row of numbers"),
    ],
)
def test_what_is_no_recording_is_refused(text: str, line: int, column: int, words: str) -> None:
    """One finding with its place."""
    with pytest.raises(Unreadable) as caught:
        read_recording(text, "scope.csv")
    (finding,) = caught.value.findings
    assert finding.place is not None
    assert (finding.place.line, finding.place.column) == (line, column)
    assert words in finding.message


def test_a_flat_line_has_no_rhythm() -> None:
    """Nothing is made up where nothing happens."""
    assert rhythm_of(read_recording("t,v\n0,1\n1,1\n2,1\n", "x.csv"), "v") == {}


def test_a_can_of_twice_the_value_is_found() -> None:
    """A flash that lasts twice as long is explained by twice C1 (t = ln 2 · R · C), beyond its 20 %."""
    made, trial = demo("lighthouse"), Trial("run", 12.0)
    wanted = Target("on_time", "DS1", "run", Quantity(0.5, "s"), 0.1)
    outcome = spread(made, [trial], [wanted], samples=60).outcomes[0]
    found = compare(made, [trial], outcome, 2.0 * outcome.nominal)
    assert not found.inside
    by_part = {each.part: each for each in found.explanations}
    assert by_part["C1"].value == pytest.approx(2 * 10e-6, rel=0.03)
    assert not by_part["C1"].within
    assert "R3" not in by_part
    assert found.below == 1.0


def test_an_ordinary_measurement_is_inside() -> None:
    """A tenth more is within the can's 20 %, and says C = 11 µF."""
    made, trial = demo("lighthouse"), Trial("run", 12.0)
    wanted = Target("on_time", "DS1", "run", Quantity(0.5, "s"), 0.1)
    outcome = spread(made, [trial], [wanted], samples=60).outcomes[0]
    found = compare(made, [trial], outcome, 1.1 * outcome.nominal)
    assert found.inside
    assert found.low < found.value < found.high
    best = found.explanations[0]
    assert (best.part, best.within) == ("C1", True)
    assert best.value == pytest.approx(11e-6, rel=0.02)


def test_a_measurement_is_a_number() -> None:
    """Not-a-number is refused."""
    made, trial = demo("lighthouse"), Trial("run", 12.0)
    wanted = Target("on_time", "DS1", "run", Quantity(0.5, "s"), 0.1)
    outcome = spread(made, [trial], [wanted], samples=10).outcomes[0]
    with pytest.raises(ValueError, match="finite"):
        compare(made, [trial], outcome, math.nan)


@pytest.mark.parametrize("mark", [";", "\t"])
def test_one_channel_with_decimal_commas(mark: str) -> None:
    """With one channel there are more decimal commas than semicolons or tabs."""
    made = read_recording(f"Time{mark}CH1\n0,000{mark}4,600\n0,001{mark}0,100\n", "scope.csv")
    assert made.times.tolist() == [0.0, 0.001]
    assert made.channels["CH1"].tolist() == [4.6, 0.1]


def test_a_line_of_units_gives_no_names() -> None:
    """Names above, units below, then numbers: channels are called by their names."""
    made = read_recording("Source,CH1,CH2\nSecond,Volt,Volt\n0,1,2\n1,2,3\n", "scope.csv")
    assert list(made.channels) == ["CH1", "CH2"]
    assert list(read_recording("s,V\n0,1\n1,2\n", "scope.csv").channels) == ["V"]
