"""Limits of timing values, each against the data sheet that states it."""

from __future__ import annotations

import pytest

from buildalong.design import value_limits

from ._circuits import astable, circuit, demo


def codes(*values: str, volts: float = 5.0) -> list[str]:
    return [finding.code for finding in value_limits(astable(*values, volts=volts))]


def test_least_resistor_of_the_makers_tests() -> None:
    """TI SLFS022F tests timing with 1 kΩ at least."""
    assert codes("910", "10k", "100 nF") == ["timing-resistance-small"]
    assert codes("1k", "10k", "100 nF") == []


def test_largest_resistor_grows_with_the_supply() -> None:
    """TI SLFS022F: RA + RB up to 3.4 MΩ at 5 V, 10 MΩ at 15 V."""
    assert codes("1M", "2.7M", "100 nF") == ["timing-resistance-large"]
    assert codes("1M", "2.2M", "100 nF") == []
    assert codes("1M", "2.7M", "100 nF", volts=15.0) == []
    assert codes("1M", "9.1M", "100 nF", volts=15.0) == ["timing-resistance-large"]


@pytest.mark.parametrize(("ohms", "stalls"), [("100k", False), ("150k", True)])
def test_leakage_against_the_charging_current(ohms: str, stalls: bool) -> None:
    """Lelon RGA allows 0.01·C·V: 25 µA for 100 µF of 25 V; 9 V / 3 leaves 30 µA through 100 kΩ."""
    made = circuit(
        f"""
        U1 timer-555 0V TRIG OUT PLUS - CAP CAP PLUS
        R1 resistor {ohms} PLUS CAP
        C1 electrolytic 100µF CAP 0V
        R2 resistor 10k PLUS TRIG
        S1 push-button TRIG 0V
        """,
        9.0,
    )
    assert [f.code for f in value_limits(made)] == (["leakage-stalls"] if stalls else [])


@pytest.mark.parametrize("name", ["cupboard-light", "lighthouse", "runway-lights"])
def test_the_demos_are_within_the_limits(name: str) -> None:
    """No demo asks a maker for more than he promises."""
    assert value_limits(demo(name)) == []
