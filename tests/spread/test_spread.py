"""Spread: against closed forms, an independent sampling, and textbook statistics."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import scipy.stats
from tests.design._circuits import circuit, demo

from buildalong.circuit import Circuit
from buildalong.engine import Action, Trial
from buildalong.quantity import Quantity
from buildalong.spread import (
    Factor,
    Surroundings,
    Target,
    even,
    factors,
    pushes,
    quantile_interval,
    said_share,
    shares,
    spread,
    variance_shares,
    wilson,
)  # fmt: skip
from buildalong.store import Store


def stiff(text: str, tolerance: float = 0.05) -> Circuit:
    """A circuit on a source of 9 V with next to no resistance, its resistors of one tolerance."""
    parts = (
        replace(p, settings=(("emf", 9.0), ("resistance", 1e-3)))
        if p.id == "BT1"
        else replace(p, tolerance=tolerance)
        for p in circuit(text).parts
    )
    return Circuit(tuple(parts))


DIVIDER = stiff("R1 resistor 10k PLUS OUT\nR2 resistor 10k OUT 0V")
TRIAL = Trial("run", 0.01)
MIDDLE = Target("mean", "OUT", "run", Quantity(4.5, "V"), 0.1)


def test_the_samples_are_a_latin_hypercube() -> None:
    """Every column has one number in each of its equal slices (McKay, Beckman and Conover 1979)."""
    u = even(40, 3, 7)
    for column in u.T:
        assert sorted(int(x * 40) for x in column) == list(range(40))


def test_triangular_quantiles_match_the_reference_library() -> None:
    """The distribution of a figure with limits is scipy's triangular one."""
    factor = Factor("Q1", "BF", 100.0, 500.0, 200.0)
    u = np.linspace(0.0, 1.0, 101)
    expected = scipy.stats.triang.ppf(u, 0.25, loc=100.0, scale=400.0)
    assert factor.at(u) == pytest.approx(expected)


@pytest.mark.parametrize(("kept", "count"), [(0, 30), (7, 40), (95, 100), (2000, 2000)])
def test_confidence_interval_of_a_share_matches_the_reference_library(kept: int, count: int) -> None:
    """Wilson's interval as scipy's binomtest gives it."""
    expected = scipy.stats.binomtest(kept, count).proportion_ci(0.95, method="wilson")
    assert wilson(kept, count) == pytest.approx((expected.low, expected.high), abs=1e-12)


def test_quantile_interval_covers_the_true_quantile() -> None:
    """In 400 samples of a uniform variable it holds the true 90 % quantile about 95 times in 100."""
    rng = np.random.Generator(np.random.PCG64(3))
    held = 0
    for _ in range(400):
        low, high = quantile_interval(np.sort(rng.random(500)), 0.9)
        held += low <= 0.9 <= high
    assert 0.92 <= held / 400 <= 0.99


def test_variance_shares_of_a_sum_are_those_of_the_textbook() -> None:
    """For y = a + 2b, both uniform, first-order shares are 1/5 and 4/5: variances add."""
    u = even(4000, 3, 5)
    parts, _ = variance_shares(u, u[:, 0] + 2.0 * u[:, 1], ["A", "B", "C"])
    assert parts["A"] == pytest.approx(0.2, abs=0.02)
    assert parts["B"] == pytest.approx(0.8, abs=0.02)
    assert parts["C"] == pytest.approx(0.0, abs=0.01)


def test_divider_worst_case_is_that_of_the_textbook() -> None:
    """To 2.2's way: each part at its limit; 9 V · 10.5k/(10.5k + 9.5k) = 4.725 V and 4.275 V."""
    outcome = spread(DIVIDER, [TRIAL], [MIDDLE], samples=50).outcomes[0]
    assert (outcome.least.value, outcome.most.value) == pytest.approx((4.275, 4.725), abs=2e-3)
    assert outcome.nominal == pytest.approx(4.5, abs=2e-3)


def test_tooleys_tolerance_example() -> None:
    """To 2.2 p23: 39 Ω ± 10 % on 9 V carries 209.8 mA to 256.4 mA."""
    made = stiff("R1 resistor 39 PLUS 0V", 0.10)
    wanted = Target("current", "R1", "run", Quantity(0.2308, "A"), 0.01)
    outcome = spread(made, [TRIAL], [wanted], samples=40).outcomes[0]
    assert (outcome.least.value, outcome.most.value) == pytest.approx((0.2098, 0.2564), rel=1e-3)


def test_quantiles_agree_with_an_independent_closed_form() -> None:
    """A one-shot's R · C · ln(V / (V / 3 - d)), sampled 100,000 times, lies in the intervals.

    d is the offset of the timer's upper comparator.  The CMOS timer is near enough to the ideal for its
    nominal ratio to stand for all builds.
    """
    made = circuit(
        """
        U1 timer-555-cmos 0V TRIG OUT PLUS - CAP CAP PLUS
        R1 resistor 100k PLUS CAP
        C1 capacitor-film 100nF CAP 0V
        R2 resistor 10k PLUS TRIG
        S1 push-button TRIG 0V
        """
    )
    press = (Action(1e-3, "S1", "pressed", 1.0), Action(2e-3, "S1", "pressed", 0.0))
    trial = Trial("press", 0.03, press)
    ideal = math.log(3) * 1e5 * 1e-7
    wanted = Target("pulse_width", "OUT", "press", Quantity(ideal, "s"), 0.05 * ideal)
    found = spread(made, [trial], [wanted], samples=2_000)
    outcome = found.outcomes[0]
    within = {f.part: f for f in found.factors if f.name == "value"}
    rng = np.random.Generator(np.random.PCG64(99))
    r, c = (rng.uniform(within[n].low, within[n].high, 100_000) for n in ("R1", "C1"))
    offset = next(f for f in found.factors if f.name == "threshold").high / 9.0
    off = rng.triangular(-offset, 0.0, offset, 100_000)
    times = -np.log(1.0 / 3.0 - off) * r * c * (outcome.nominal / ideal)
    for level, (_, least, most) in outcome.quantiles.items():
        assert least * 0.9995 <= np.quantile(times, level) <= most * 1.0005
    share = np.mean(np.abs(times - ideal) <= 0.05 * ideal)
    assert outcome.sure[0] <= share <= outcome.sure[1]
    assert sum(outcome.shares[name] for name in ("C1", "R1", "U1")) == pytest.approx(1.0, abs=0.05)


def test_equal_seeds_give_equal_bytes_and_others_do_not() -> None:
    """The seed alone decides."""
    one, same, other = (
        spread(DIVIDER, [TRIAL], [MIDDLE], samples=60, seed=seed).outcomes[0].values.tobytes()
        for seed in (1, 1, 2)
    )
    assert one == same
    assert one != other


def test_a_tired_battery_and_the_cold_are_factors() -> None:
    """Supply and temperature join in where they are asked for, and the drift of a carbon film (Yageo CFR)."""
    made = demo("lighthouse")
    plain = factors(made)
    around = factors(made, Surroundings((0.0, 40.0), (0.0, 1.0)))
    assert {f.name for f in around} - {f.name for f in plain} == {"emf", "temperature"}
    at = {f.part: f for f in plain if f.name == "value"}
    drifted = {f.part: f for f in around if f.name == "value"}
    # 0 °C is 25 K away: 350 ppm/K down, 500 ppm/K up for values under 100 kΩ
    assert drifted["R1"].low == pytest.approx(at["R1"].low * (1 - 350e-6 * 25))
    assert drifted["R1"].high == pytest.approx(at["R1"].high * (1 + 500e-6 * 25))


def test_what_never_happens_is_counted() -> None:
    """A lamp that never lights in any build keeps its promise in none."""
    made = circuit("R1 resistor 10k PLUS A\nR2 resistor 2k2 A 0V\nDS1 led-red A 0V", 9.0)
    wanted = Target("first_on", "DS1", "run", Quantity(0.0, "s"), 1.0)
    outcome = spread(made, [TRIAL], [wanted], samples=100).outcomes[0]
    assert outcome.failed == 100
    assert outcome.kept == 0.0
    assert outcome.sure[1] < 0.05


def test_refuses_what_makes_no_sense() -> None:
    """No target, or a senseless count, is an error in words."""
    with pytest.raises(ValueError, match="at least one target"):
        spread(DIVIDER, [TRIAL], [])
    with pytest.raises(ValueError, match="samples"):
        spread(DIVIDER, [TRIAL], [MIDDLE], samples=3)


def test_shares_of_few_builds_add_up_and_leave_out_what_does_nothing() -> None:
    """Three hundred builds of R · C, 5 % and 20 %, and ten idle factors: R takes 1/17, C 16/17.

    Textbook: the variance of a uniform tolerance goes with its square, 5² : 20² = 1 : 16.
    """
    for seed in range(20):
        u = even(300, 12, seed)
        product = (1.0 + 0.05 * (2.0 * u[:, 0] - 1.0)) * (1.0 + 0.20 * (2.0 * u[:, 1] - 1.0))
        parts, errors = variance_shares(u, product, ["R", "C", *(f"idle {i}" for i in range(10))])
        assert parts["R"] == pytest.approx(1 / 17, abs=0.01)
        assert parts["C"] == pytest.approx(16 / 17, abs=0.01)
        assert 0.0 < errors["C"] < 0.01
        assert sum(parts.values()) <= 1.0 + 1e-12
        assert max(share for name, share in parts.items() if name.startswith("idle")) < 0.005


def test_shares_are_written_with_a_space_before_the_sign() -> None:
    """SI Brochure, 9th edition, 5.4.7 (from memory): a space stands between the number and %.

    The halves of a divider with equal tolerances share its spread equally; less than the least is left out.
    """
    outcome = spread(DIVIDER, [TRIAL], [MIDDLE], samples=400).outcomes[0]
    assert shares(outcome, 0.02) == ("R1 and R2 50 % each",)
    assert shares(outcome, 0.9) == ()


def test_parts_that_weigh_the_same_are_said_to() -> None:
    """Twins in a sum, with a product as noise: equal shares by symmetry, whatever the builds drawn.

    y = a + b + ab/2, both from -1 to 1: variances 1/3, 1/3 and 1/36, so 12/25 each (textbook).
    """
    for seed in range(20):
        x = 2.0 * even(300, 6, seed) - 1.0
        y = x[:, 0] + x[:, 1] + 0.5 * x[:, 0] * x[:, 1]
        parts, errors = variance_shares((x + 1.0) / 2.0, y, ["A", "B", "C", "D", "E", "F"])
        assert parts["A"] == pytest.approx(0.48, abs=0.03)
        assert parts["B"] == pytest.approx(0.48, abs=0.03)
        assert 0.005 < errors["A"] < 0.04


def test_a_share_is_told_as_exactly_as_it_is_known() -> None:
    """What chance may have made apart is told together, by the mean; what is not sure to 1 % is "about".

    Two independent errors add as squares (Gauss).
    """
    outcome = spread(DIVIDER, [TRIAL], [MIDDLE], samples=40).outcomes[0]
    noisy = replace(
        outcome,
        shares={"R1": 0.52, "R2": 0.40, "R3": 0.06},
        share_errors={"R1": 0.09, "R2": 0.09, "R3": 0.004},
    )
    assert shares(noisy, 0.02) == ("R1 and R2 about 46 % each", "R3 6 %")
    sure = replace(noisy, share_errors={"R1": 0.004, "R2": 0.004, "R3": 0.004})
    assert shares(sure, 0.02) == ("R1 52 %", "R2 40 %", "R3 6 %")


def test_pushes_are_those_of_the_divider() -> None:
    """By Ohm's law V = 9 R2/(R1 + R2): near the middle 1 % more in R2 adds 22.5 mV, in R1 takes as much."""
    found = spread(DIVIDER, [TRIAL], [MIDDLE], samples=200)
    by_part = pushes(found, found.outcomes[0])
    assert set(by_part) == {"R1", "R2"}
    for factor, place in zip(found.factors, found.places.T, strict=True):
        if factor.name == "value":
            away = factor.at(place) / 10e3 - 1
            expected = 2.25 * away * (1 if factor.part == "R2" else -1)
            assert by_part[factor.part] == pytest.approx(expected, abs=0.004)
    whole = found.outcomes[0].nominal + sum(by_part.values())
    assert whole == pytest.approx(found.outcomes[0].values, abs=0.004)


def test_a_kept_spread_is_not_simulated_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What never happens is kept as such; other samples are another question."""
    store = Store(tmp_path)
    never = Target("on_time", "OUT", "run", Quantity(1.0, "s"), 0.1)
    first = spread(DIVIDER, [TRIAL], [MIDDLE, never], samples=20, store=store)
    assert first.outcomes[1].failed == 20

    def refused(*given: object, **named: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr("buildalong.spread._spread.measured", refused)
    again = spread(DIVIDER, [TRIAL], [MIDDLE, never], samples=20, store=store)
    for one, other in zip(first.outcomes, again.outcomes, strict=True):
        assert one.values.tobytes() == other.values.tobytes()
    with pytest.raises(ZeroDivisionError):
        spread(DIVIDER, [TRIAL], [MIDDLE, never], samples=21, store=store)


@pytest.mark.parametrize(
    ("kept", "count", "said"),
    [(283, 300, "94 %"), (17, 300, "6 %"), (8, 300, "3 %"), (185, 200, "92 %"), (15, 200, "8 %"),
     (0, 300, "0 %"), (300, 300, "100 %"), (3, 200, "2 %"),
     (1, 300, "less than 1 %"), (299, 300, "more than 99 %")],
)  # fmt: skip
def test_a_share_of_builds_is_told_in_whole_per_cent(kept: int, count: int, said: str) -> None:
    """300 builds tell a share to 5 % or so (binomial, 95 % sure), so no tenths of them (common practice).

    What is told of none or of all is really so; and what is kept and what is not make 100 % together.
    """
    assert said_share(kept / count) == said
    other = said_share(1.0 - kept / count)
    told = [int("".join(filter(str.isdigit, text))) for text in (said, other)]
    assert sum(told) == 100
