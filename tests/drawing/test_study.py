"""Pictures of sweeps: axes in SI units, broken curves, and every run told apart."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest

from buildalong.drawing import _palette as palette
from buildalong.drawing import histogram, sweep_curves, sweep_waves
from buildalong.drawing._axes import Axis
from buildalong.drawing._histogram import _edges
from buildalong.quantity import Quantity
from buildalong.spread import Corner, Outcome, Target
from buildalong.study import Asked, Column, Sweep, find_parameter

from ._demo import blink, circuit_of
from ._measure import Sheet, assert_tidy


def swept(values: tuple[float, ...], measured: tuple[float, ...], asked: Asked) -> Sweep:
    """A sweep of the lighthouse's R2 written down by hand."""
    circuit = circuit_of("lighthouse")
    column = Column(asked, measured, tuple("nothing" if math.isnan(v) else "" for v in measured))
    return Sweep(circuit, blink().trial, find_parameter(circuit, "R2"), values, (column,))


@pytest.mark.parametrize(
    ("low", "high", "unit", "ratio", "shown", "first"),
    [
        (1e3, 47e3, "Ω", False, "kΩ", "10"),
        (0.0, 0.02, "A", False, "mA", "0"),
        (1e-7, 1e-5, "F", True, "µF", "0.1"),
        (0.1, 0.9, "%", False, "%", "20"),
        (0.0, 9.0, "V", False, "V", "0"),
        (-5e-6, 5e-6, "s", False, "µs", "−4"),
        (0.8, 1.4, "Hz", False, "Hz", "0.8"),  # as the trade writes it, never mHz
    ],
)
def test_axes_carry_si_prefixes(
    low: float, high: float, unit: str, ratio: bool, shown: str, first: str
) -> None:
    """Numbers stand between 0.1 and 1000 with a prefix of the SI (SI brochure, 9th ed., table 7)."""
    axis = Axis(low, high, unit, 0.0, 100.0, ratio)
    assert axis.shown[0] == shown
    assert axis.ticks(6)[0][1] == first
    assert axis.at(low) == 0.0
    assert axis.at(high) == pytest.approx(100.0)
    assert all(0.0 <= axis.at(value) <= 100.001 for value, _ in axis.ticks(6))


def test_a_logarithmic_axis_halves_at_the_geometric_mean() -> None:
    """On a logarithmic axis the middle is the geometric mean (definition)."""
    assert Axis(1.0, 100.0, "Ω", 0.0, 100.0, True).at(10.0) == pytest.approx(50.0)


def test_a_curve_is_broken_where_nothing_was_measured() -> None:
    """Two pieces, a note on what is missing, and the same in the words."""
    found = swept((1e5, 2e5, 3e5, 4e5, 5e5), (0.1, 0.2, math.nan, 0.4, 0.5), Asked("off_time", "DS1"))
    picture = sweep_curves(found, title="Dark times")
    assert len(re.findall(r"M \d[^\"]*L ", picture.svg)) == 2
    note = " ".join(text.text for text in Sheet(picture.svg).texts if text.fill == palette.ACCENT)
    assert "nothing at 1 of 5 values" in note
    assert "Nothing can be measured at 1 of them" in picture.alt
    assert "off-time of DS1 in s" in picture.svg
    assert "R2 in k<tspan" in picture.svg
    assert "as it is: 270 k<tspan" in picture.svg


def test_nothing_measured_at_all_is_still_a_picture() -> None:
    """Where nothing could be measured, the axes stand alone and the words say so."""
    picture = sweep_curves(swept((1e5, 2e5), (math.nan, math.nan), Asked("duty", "DS1")))
    assert "cannot be measured" in picture.alt
    assert "nan" not in picture.svg


def test_runs_are_told_apart_by_dash_as_well_as_by_colour() -> None:
    """WCAG 2.2, 1.4.1: colour is not the only means; each run has a dash of its own and stands in the key."""
    runs = [blink(3), blink(4), blink(5)]
    picture = sweep_waves(runs, ["R2 = 1 kΩ", "R2 = 2 kΩ", "R2 = 3 kΩ"], ["CAP", "DS1"])
    dashes = set(re.findall(r'stroke-dasharray="([^"]*)"', picture.svg))
    assert len(dashes) >= 2
    assert all(f"R2 = {n} k<tspan" in picture.svg for n in (1, 2, 3))
    assert "R2 = 1 kΩ: DS1 is on 3 times" in picture.alt
    assert "CAP moves between 2 V and 4 V" in picture.alt


def test_rows_of_bars_bear_the_value_they_belong_to() -> None:
    """Each label stands once, level with its row; no key is looked up (common practice)."""
    labels = ["R2 = 1 Hz", "R2 = 2 Hz", "R2 = 3 Hz"]
    sheet = Sheet(sweep_waves([blink(3), blink(4), blink(5)], labels, ["DS1"]).svg)
    found = [t for t in sheet.texts if t.text in labels]
    assert [t.text for t in found] == labels
    rows = [t.box[1] for t in found]
    assert rows == sorted(rows)
    assert len(set(rows)) == 3
    assert_tidy(sweep_waves([blink(3), blink(4), blink(5)], labels, ["DS1"]))


@pytest.mark.parametrize("wide", [960.0, 640.0])
def test_a_histogram_says_what_stands_on_both_axes(wide: float) -> None:
    """Both axes have a title with their unit; numbers over the panel have the unit of the axis below."""
    target = Target("on_time", "DS1", "a trial", Quantity(1.0, "s"), 0.2)
    ends = Corner(0.7, {}), Corner(1.3, {})
    values = np.linspace(0.7, 1.3, 50)
    outcome = Outcome(target, 1.01, values, 0.7, (0.5, 0.8), 0.71, 1.29, {}, {}, *ends)
    picture = histogram(outcome, "A lesson: on-time of DS1", "on-time of DS1", wide=wide)
    texts = {t.text for t in Sheet(picture.svg).texts}
    assert {"share of builds in %", "on-time of DS1 in s"} <= texts
    assert {"least allowed: 0.8 s", "as drawn: 1.01 s", "most allowed: 1.2 s"} <= texts
    assert "between 0.71 s and 1.29 s" in picture.alt
    # How many builds keep the promise, beside what its bars look like.
    assert {"allowed: 70\N{NO-BREAK SPACE}%", "not allowed: 30\N{NO-BREAK SPACE}%"} <= {
        text.replace(" %", "\N{NO-BREAK SPACE}%") for text in texts
    }
    assert_tidy(picture)


def test_a_histogram_tells_shares_of_builds_in_whole_per_cent() -> None:
    """300 builds tell no tenths of a per cent; the picture and the words in its place tell the same."""
    target = Target("on_time", "DS1", "a trial", Quantity(1.0, "s"), 0.2)
    values = np.concatenate([np.full(14, 0.79), np.linspace(0.8, 1.2, 286)])
    outcome = Outcome(target, 1.0, values, 286 / 300, (0.9, 0.97), 0.8, 1.0, {}, {}, *[Corner(0.79, {})] * 2)
    picture = histogram(outcome, "A lesson", "on-time of DS1")
    assert {"allowed: 95 %", "not allowed: 5 %"} <= {t.text for t in Sheet(picture.svg).texts}
    assert "95 %" in picture.alt
    assert "95." not in picture.alt


def test_what_parts_add_breaks_between_two_shares() -> None:
    """A line ends after a comma, so that the parts stand on one line with what is said of them."""
    target = Target("on_time", "DS1", "a trial", Quantity(1.0, "s"), 0.2)
    outcome = Outcome(
        target, 1.0, np.linspace(0.8, 1.2, 50), 1.0, (0.9, 1.0), 0.8, 1.2, {}, {}, *[Corner(0.8, {})] * 2
    )
    added = ["C1 and C2 about 44 % each", "DS1, DS2, R2 and R3 3 % each", "R1, R4 and R5 about 2 % each"]
    lines = {t.text for t in Sheet(histogram(outcome, "A lesson", "on-time of DS1", added).svg).texts}
    assert f"Share of each part in the spread: {added[0]}, {added[1]}," not in lines
    assert {f"Share of each part in the spread: {added[0]},", f"{added[1]}, {added[2]}"} <= lines


def test_a_title_has_no_single_word_in_its_last_line() -> None:
    """Lines of a heading are about equally long (common practice); limits have four figures."""
    target = Target("on_time", "DS1", "a trial", Quantity(11.0, "s"), 2.75)
    ends = Corner(0.7, {}), Corner(1.3, {})
    outcome = Outcome(target, 11.1, np.linspace(9.0, 13.0, 50), 1.0, (0.9, 1.0), 9.1, 12.9, {}, {}, *ends)
    title = "A cupboard light that goes out by itself after a while: on-time of DS1 in 300 simulated builds"
    texts = [t.text for t in Sheet(histogram(outcome, title, "on-time of DS1").svg).texts]
    lines = [text for text in texts if text in title]
    assert len(lines) == 2
    assert " ".join(lines) == title
    assert min(map(len, lines)) > 0.6 * max(map(len, lines))
    assert {"least allowed: 8.25 s", "most allowed: 13.75 s"} <= set(texts)


def test_builds_that_are_all_alike_vary_by_nothing() -> None:
    """A histogram of one bar tells nothing; what is worth one differs."""
    target = Target("on_time", "DS1", "a trial", Quantity(4.0, "s"), 0.1)
    ends = Corner(4.0, {}), Corner(4.0, {})
    alike = Outcome(target, 4.0, np.full(50, 4.0), 1.0, (0.9, 1.0), 4.0, 4.0, {}, {}, *ends)
    assert not alike.varies
    assert replace(alike, low=3.9, high=4.1).varies


def test_bars_alone_are_not_called_waveforms() -> None:
    """The title of what has no other says which curves or lights are drawn."""
    for trace in ("DS1", "CAP"):
        first = ElementTree.fromstring(sweep_waves([blink()], ["x"], [trace]).svg)[0]
        assert first.text == f"{trace} at several values"


def test_what_cannot_be_drawn_is_refused() -> None:
    """Too many runs or measures, a trace that is not there, an empty time."""
    with pytest.raises(ValueError, match="1 to 6 runs"):
        sweep_waves([blink()] * 7, ["x"] * 7, ["CAP"])
    with pytest.raises(KeyError):
        sweep_waves([blink()], ["x"], ["NOPE"])
    with pytest.raises(ValueError, match="empty"):
        sweep_waves([blink()], ["x"], ["CAP"], span=(2.0, 2.0))
    with pytest.raises(ValueError, match="1 to 6 measures"):
        sweep_curves(swept((1.0,), (1.0,), Asked("duty", "DS1")))


@pytest.mark.parametrize("count", [80, 200, 1000])
def test_a_histogram_has_as_many_bars_as_its_values_bear(count: int) -> None:
    """Twice the cube root of the number of values, to the width that both limits allow.

    Rice's rule: D. M. Lane, Online Statistics Education, Histograms (from memory).
    """
    edges = _edges(np.linspace(10.0, 20.0, count), 8.0, 22.0)
    step = edges[1] - edges[0]
    assert 10.0 / step == pytest.approx(2.0 * count ** (1 / 3), abs=0.8)
    for limit in (8.0, 22.0):
        steps = (limit - edges[0]) / step
        assert steps == pytest.approx(round(steps), abs=1e-6)
