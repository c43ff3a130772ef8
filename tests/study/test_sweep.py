"""Sweeps against closed forms, and what they refuse."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from buildalong.circuit import Circuit
from buildalong.engine import Variation
from buildalong.finding import Unreadable
from buildalong.parts import catalogue
from buildalong.study import MOST_VALUES, Asked, find_parameter, parameters, runs_of, spaced, sweep

from ._circuits import astable, charging, light, part


def test_charging_time_is_ln_2_r_c() -> None:
    """A capacitor reaches half the supply after ln 2 · R · C (any textbook: Schultz, Grob's, 22-10)."""
    values = spaced(1e3, 50e3, 5, ratio=True)
    said: list[float] = []
    circuit, trial = charging()
    found = sweep(
        circuit, trial, "R1", values, [Asked("delay", "CAP")], progress=lambda share, text: said.append(share)
    )
    assert found.columns[0].asked.unit == "s"
    for ohms, seconds in zip(found.values, found.columns[0].values, strict=True):
        assert seconds == pytest.approx(math.log(2) * (ohms + 1.9) * 1e-6, rel=2e-3)
    assert said == sorted(said)
    assert said[-1] == 1.0


def test_what_never_happens_is_told() -> None:
    """Where the trial is too short for a value, its number is missing with the reason; the others stand."""
    circuit, trial = charging()
    column = sweep(circuit, trial, "C1", (1e-6, 100e-6), [Asked("delay", "CAP")]).columns[0]
    assert column.missing == 1
    assert column.why[0] == ""
    assert "does not change" in column.why[1]


def test_waveforms_at_a_few_values() -> None:
    """The runs behind a picture carry their waveforms, one for each value: 9 V less a fresh cell's share."""
    circuit, trial = light()
    one, two = runs_of(circuit, trial, "R1", (470.0, 4700.0))
    assert one.current("R1", "1")[-1] > 5 * two.current("R1", "1")[-1]


def test_spacing() -> None:
    """Equal steps and equal ratios end exactly where they should (IEC 60063: E3 is 1, 2.15, 4.64, 10)."""
    assert spaced(1.0, 2.0, 3) == (1.0, 1.5, 2.0)
    assert spaced(1.0, 10.0, 4, ratio=True) == pytest.approx((1.0, 2.154, 4.642, 10.0), rel=1e-3)


@pytest.mark.parametrize(
    ("low", "high", "count", "ratio", "code"),
    [
        (1.0, 2.0, MOST_VALUES + 1, False, "count-out-of-range"),
        (1.0, 2.0, 10**12, False, "count-out-of-range"),
        (1.0, 2.0, 1, False, "count-out-of-range"),
        (1.0, 1.0, 5, False, "range-empty"),
        (1.0, math.inf, 5, False, "range-empty"),
        (0.0, 1.0, 5, True, "range-empty"),
    ],
)
def test_ranges_that_are_none(low: float, high: float, count: int, ratio: bool, code: str) -> None:
    """An empty range and a huge count are findings."""
    with pytest.raises(Unreadable) as caught:
        spaced(low, high, count, ratio=ratio)
    assert caught.value.findings[0].code == code


@pytest.mark.parametrize(
    ("name", "values", "asked", "code", "words"),
    [
        ("R9", (1e3,), Asked("delay", "CAP"), "unknown-part", "did you mean R1"),
        ("R1.gain", (1e3,), Asked("delay", "CAP"), "unknown-parameter", "R1.value"),
        ("S1", (1e3,), Asked("delay", "CAP"), "unknown-parameter", "S1.closed"),
        ("R1", (1e3,), Asked("dely", "CAP"), "unknown-measure", "did you mean delay"),
        ("R1", (1e3,), Asked("delay", "CUP"), "unknown-measure", "CAP"),
        ("R1", (1e3,), Asked("delay", "R1"), "measure-unfit", "write a measure"),
        ("R1", (-5.0,), Asked("delay", "CAP"), "value-out-of-range", "at least 1 mΩ"),
        ("R1", (math.nan,), Asked("delay", "CAP"), "value-out-of-range", "at least 1 mΩ"),
        ("R1", (), Asked("delay", "CAP"), "count-out-of-range", ""),
        ("BT1.count", (99.0,), Asked("delay", "CAP"), "value-out-of-range", "between"),
    ],
)
def test_bad_studies_are_findings(
    name: str, values: tuple[float, ...], asked: Asked, code: str, words: str
) -> None:
    """A name, measure or value that is not there is one finding that says how to mend it."""
    circuit, trial = charging()
    with pytest.raises(Unreadable) as caught:
        sweep(circuit, trial, name, values, [asked])
    finding = caught.value.findings[0]
    assert finding.code == code
    assert words in finding.hint


def test_every_parameter_moves_something() -> None:
    """What is offered is read by the engine: moving it changes the circuit's elements (no outside source)."""
    from buildalong.engine._netlist import netlist

    for kind, found in catalogue().items():
        value = {"Ω": 4700.0, "F": 1e-6}[found.value.unit] if found.value else None
        nets = " ".join(f"N{i}" for i in range(len(found.terminals)))
        made = part("X1", kind, nets, value)
        supply = () if found.family == "supply" else (part("BT1", "supply-9v", f"N{len(made.nets) - 1} N0"),)
        circuit = Circuit((made, *supply))

        def elements(variation: Variation, circuit: Circuit = circuit) -> str:
            net = netlist(circuit, variation)
            return repr(replace(net, circuit=None, nominal=0.0))  # type: ignore[arg-type]

        usual = elements(Variation())
        for each in parameters(circuit):
            if each.part == "X1":
                moved = each.value * 1.1 if each.value else 0.1
                moved = each.least if each.value == each.most else min(moved, each.most)
                moved = 1.0 if each.name in ("pressed", "thrown") else moved
                assert elements(Variation(((("X1", each.name), moved),))) != usual, f"{kind}.{each.name}"


def test_names_of_numbers() -> None:
    """A part alone means its value, a supply its cells' voltage, a sensor the light on it."""
    circuit, _ = astable()
    assert str(find_parameter(circuit, "R1")) == "R1"
    assert find_parameter(circuit, "BT1").name == "emf"
    assert str(find_parameter(circuit, "U1.trigger")) == "U1.trigger"
    sensor = Circuit((part("BT1", "supply-9v", "PLUS 0V"), part("R2", "ldr-5mm", "PLUS 0V")))
    assert find_parameter(sensor, "R2").unit == "lx"
