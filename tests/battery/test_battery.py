"""Battery life: against the makers' charts and hand calculation."""

from __future__ import annotations

import math

import pytest
from tests.design._circuits import circuit, demo, demo_trial

from buildalong.battery import charge_at, given_at, least_supply, lives, lowest, switch_off, used
from buildalong.circuit import Circuit, Part
from buildalong.engine import Trial
from buildalong.parts import catalogue
from buildalong.quantity import Quantity
from buildalong.spread import Target


def on_cells(text: str, kind: str, count: int) -> Circuit:
    """A circuit on some cells."""
    supply = Part("BT1", catalogue()[kind], ("PLUS", "0V"), settings=(("count", float(count)),))
    return Circuit((supply, *circuit(text).parts[1:]))


def test_a_point_of_the_chart_is_met() -> None:
    """Duracell AA at 100 mA: 2700 mAh (chart readings collected by kurokatta.org) last 27 h."""
    kind = catalogue()["supply-aa"]
    assert charge_at(kind.capacity, 0.1) == pytest.approx(2.7)
    made = on_cells("R1 resistor 60 PLUS 0V", "supply-aa", 4)
    assert lives(made, 0.1, [])[0].hours == pytest.approx(27.0)


def test_between_two_points_charge_falls_as_a_power() -> None:
    """Half way between 100 mA and 500 mA on logarithmic paper: the geometric mean of both charges."""
    chart = catalogue()["supply-aa"].capacity
    expected = math.sqrt(2.7 * 1.65)
    assert charge_at(chart, math.sqrt(0.1 * 0.5)) == pytest.approx(expected)


def test_ends_of_the_chart() -> None:
    """A lighter load than any gets the lightest's charge; a heavier one no promise."""
    chart = catalogue()["supply-aa"].capacity
    assert charge_at(chart, 1e-4) == pytest.approx(3.0)
    assert charge_at(chart, 2.0) is None
    with pytest.raises(ValueError, match="no chart"):
        charge_at((), 0.1)


def test_mean_current_of_a_resistor() -> None:
    """Four AA cells of 0.2 Ω and 60 Ω: 6 V / 60.8 Ω."""
    made = on_cells("R1 resistor 60 PLUS 0V", "supply-aa", 4)
    (use,) = used(made, [Trial("run", 1.0)])
    assert use.current == pytest.approx(6.0 / 60.8, rel=2e-3)


def test_other_supplies_of_about_the_voltage_are_told() -> None:
    """For 6 V: four AA, four AAA, two coin cells; not the 9 V block."""
    made = demo("lighthouse")
    names = {life.type.id: life.cells for life in lives(made, 0.01, list(catalogue().values()))}
    assert names == {"supply-aa": 4, "supply-aaa": 4, "supply-cr2032": 2}


def test_a_coin_cell_is_not_promised_a_heavy_load() -> None:
    """The CR2032's chart ends at 0.2 mA; 10 mA is beyond it."""
    made = demo("lighthouse")
    coin = next(x for x in lives(made, 0.01, list(catalogue().values())) if x.type.id == "supply-cr2032")
    assert coin.hours is None
    assert "heavier" in coin.why


def test_the_voltage_at_which_a_divider_leaves_its_limits() -> None:
    """Half the supply is to be 3 V within 0.5 V: it holds down to a supply of 5 V."""
    made = on_cells("R1 resistor 10k PLUS OUT\nR2 resistor 10k OUT 0V", "supply-aa", 4)
    wanted = Target("mean", "OUT", "run", Quantity(3.0, "V"), 0.5)
    (found,) = lowest(made, [Trial("run", 0.01)], [wanted])
    assert found.volts == pytest.approx(5.0, abs=5e-3)
    assert not found.to_the_end
    assert switch_off(made, [found]) == found.volts


def test_what_outlives_the_supply_and_what_never_holds() -> None:
    """A wide promise lasts to the end voltage of 0.8 V a cell; an impossible one has no voltage."""
    made = on_cells("R1 resistor 10k PLUS OUT\nR2 resistor 10k OUT 0V", "supply-aa", 4)
    wide = Target("mean", "OUT", "run", Quantity(3.0, "V"), 2.9)
    never = Target("mean", "OUT", "run", Quantity(7.0, "V"), 0.1)
    first, second = lowest(made, [Trial("run", 0.01)], [wide, never])
    assert first.to_the_end
    assert first.volts == pytest.approx(4 * 0.8)
    assert second.volts is None
    assert switch_off(made, [first, second]) == pytest.approx(3.2)


def test_an_ic_ends_before_its_cells_do() -> None:
    """A bipolar 555 is promised from 4.5 V (Diodes DS35112), four AA cells end at 3.2 V."""
    made, trial = demo("lighthouse"), demo_trial("lighthouse")
    wanted = Target("on_time", "DS1", trial.name, Quantity(0.5, "s"), 0.1)
    found = lowest(made, [trial], [wanted])
    assert least_supply(made) == (4.5, "U1")
    assert switch_off(made, found) == 4.5


def test_a_promise_ends_before_the_cells_do() -> None:
    """At the ends of the curve nothing and all is given; in between it falls, and hours go with it.

    The points themselves are from memory (alkaline makers' curves at a light load).
    """
    kind = catalogue()["supply-aa"]
    assert given_at(kind, 1.6) == 0.0
    assert given_at(kind, 0.8) == 1.0
    shares = [given_at(kind, 0.8 + 0.05 * i) or 0.0 for i in range(17)]
    assert shares == sorted(shares, reverse=True)
    made = on_cells("R1 resistor 60 PLUS 0V", "supply-aa", 4)
    life = lives(made, 0.1, [])[0]
    # Duracell AA at 100 mA: 27 h to the end
    assert life.until(3.2) == pytest.approx(27.0)
    assert life.until(4.8) == pytest.approx(27.0 * 0.58)
    assert life.until(None) is None
    block = catalogue()["supply-9v"]
    assert given_at(block, 7.2) == given_at(kind, 1.2)
    assert given_at(catalogue()["supply-usb"], 4.5) is None


def test_only_the_circuits_own_supply_is_told_as_its_own() -> None:
    """A lesson on USB has no cells to empty: the cells that are told beside it are others."""
    others = list(catalogue().values())
    assert not any(life.own for life in lives(demo("level-crossing"), 0.01, others))
    assert [life.type.id for life in lives(demo("lighthouse"), 0.01, others) if life.own] == ["supply-aa"]
