"""Waveforms: true to the run, readable, bounded in size, and said in words."""

import re
import time
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildalong.circuit import Circuit, Part
from buildalong.design import percent
from buildalong.drawing import (
    Ideal,
    Mark,
    Threshold,
    tolerance_band,
    usual_ideals,
    usual_traces,
    waveforms,
)
from buildalong.drawing import _palette as palette
from buildalong.drawing._badges import badge_places
from buildalong.drawing._band import _bridged
from buildalong.drawing._course import course_of
from buildalong.drawing._series import (
    VOLT_TICKS,
    crossings,
    high_intervals,
    intervals,
    limits,
    thinned,
    ticks,
    time_unit,
)  # fmt: skip
from buildalong.drawing._watch import usual_thresholds
from buildalong.drawing._waves import TICK, _apart
from buildalong.drawing._words import _rises
from buildalong.engine import Action, Trial, simulate
from buildalong.lesson import Compiled
from buildalong.parts import catalogue

from ._demo import blink, circuit_of, demo_run
from ._measure import Sheet, assert_tidy

RUN = blink()
IDEALS = (Ideal("how long DS1 stays lit", 1.0, 0.35, 0.4), Ideal("the same", 1.0, 0.4, 0.4))


@given(st.floats(-1e3, 1e3), st.floats(1e-6, 1e4), st.integers(3, 10))
def test_ticks_are_round_and_inside(low: float, span: float, most: int) -> None:
    """Ticks are multiples of 1, 2 or 5 times a power of ten, evenly spaced, inside, few."""
    marks = ticks(low, low + span, most)
    assert len(marks) <= most + 1
    assert all(low - 1e-6 * span <= m <= low + span * (1 + 1e-6) for m in marks)
    if len(marks) > 1:
        step = marks[1] - marks[0]
        first = float(f"{step:.6e}".split("e")[0])
        assert min(abs(first - m) for m in (1, 2, 5, 10)) < 1e-3


@pytest.mark.parametrize(("span", "unit"), [(30, "s"), (2, "s"), (1.5, "ms"), (0.002, "ms"), (0.0015, "µs")])
def test_time_axis_unit(span: float, unit: str) -> None:
    """The axis takes the SI prefix that gives numbers of at least two."""
    assert time_unit(span)[0] == unit


@settings(deadline=None, max_examples=60)
@given(st.integers(2, 30_000), st.integers(0, 2**32 - 1))
def test_thinning_keeps_the_curve(count: int, seed: int) -> None:
    """A thinned curve keeps ends and extremes, is bounded, and each point is the run's own."""
    rng = np.random.default_rng(seed)
    times = np.sort(rng.uniform(0, 10, count))
    values = np.cumsum(rng.normal(0, 0.1, count))
    t, v = thinned(times, values, float(times[0]), float(times[-1]))
    assert t.size <= 2404
    assert (t[0], t[-1]) == (times[0], times[-1])
    spread = float(np.ptp(values)) + 1e-12
    assert v.max() == pytest.approx(values.max(), abs=2e-3 * spread)
    assert v.min() == pytest.approx(values.min(), abs=2e-3 * spread)


def test_thinning_a_smooth_curve_is_exact_to_a_pixel() -> None:
    """A sine of 100 000 samples redrawn from its thinned points is within 0.5 % of its height."""
    times = np.linspace(0, 1, 100_001)
    values = np.sin(2 * np.pi * 3 * times)
    t, v = thinned(times, values, 0.0, 1.0)
    assert np.abs(np.interp(times, t, v) - values).max() < 0.01
    assert t.size < 2404


def test_a_jump_stays_a_jump() -> None:
    """Two equal times are drawn as a vertical line, not a slope."""
    times = np.array([0.0, 1.0, 1.0, 2.0])
    t, v = thinned(times, np.array([0.0, 0.0, 5.0, 5.0]), 0.0, 2.0)
    assert list(t) == [0, 1, 1, 2]
    assert list(v) == [0, 0, 5, 5]


def test_crossings_and_intervals() -> None:
    """A rise is found by interpolation; a light's times are those of its events."""
    assert crossings(np.array([0.0, 1.0, 2.0]), np.array([0.0, 4.0, 0.0]), 1.0) == (0.25,)
    assert intervals(RUN, "DS1")[:2] == ((0.0, 0.4), (1.0, 1.4))
    assert intervals(RUN, "S1") == ((1.5, 1.7),)


def test_thresholds_of_a_timer() -> None:
    """A 555 on 6 V watches one third and two thirds of its supply: 2 V and 4 V (TI SLFS022)."""
    levels = {t.name: float(np.median(t.level)) for t in usual_thresholds(RUN)}
    assert levels == pytest.approx({"trigger": 2.0, "threshold": 4.0}, abs=0.01)
    texts = {t.text for t in Sheet(waveforms(RUN).svg).texts}
    assert {"trigger 2 V", "threshold 4 V"} <= texts


def test_usual_traces() -> None:
    """Left alone, it shows the pressed button, the watched net, the output, the light; not the supply."""
    assert usual_traces(RUN) == ("S1", "CAP", "OUT", "DS1")


def test_light_on_a_sensor_has_a_row() -> None:
    """The dusk light's trial (lesson.toml): 300 lx, 1 lx from 6 s to 14 s, 300 lx again from 18 s on."""
    run = demo_run("dusk-light")
    assert usual_traces(run) == ("R2", "NIGHT", "OUT", "DS1")
    picture = waveforms(run)
    assert_tidy(picture)
    sheet = Sheet(picture.svg)
    row = next(t for t in sheet.texts if t.text == "R2").box
    numbers = sorted((t for t in sheet.texts if t.text.endswith(" lx")), key=lambda t: t.box[0])
    assert [t.text for t in numbers] == ["300 lx", "1 lx", "300 lx"]
    seconds = {t.text: (t.box[0] + t.box[2]) / 2 for t in sheet.texts if re.fullmatch(r"\d+", t.text)}
    second = (seconds["20"] - seconds["0"]) / 20
    for text, (start, end) in zip(numbers, [(0, 2), (6, 14), (18, 20)], strict=True):
        assert seconds["0"] + start * second <= text.box[0] < text.box[2] <= seconds["0"] + end * second
        assert abs(text.box[3] - row[3]) < 40
    assert "light on it" in {t.text for t in sheet.texts}
    said = "The light on R2: 300 lx from 0 s to 2 s; 1 lx from 6 s to 14 s; 300 lx from 18 s to 20 s."
    assert said in picture.alt


def test_no_row_where_nothing_is_set() -> None:
    """Where a trial only presses buttons, or does nothing, no row and no words tell of a setting."""
    for run in (RUN, demo_run("cupboard-light"), demo_run("runway-lights")):
        assert all(course_of(run, part.id) is None for part in run.circuit.parts)
        assert not {"light on it", "turned to"} & {t.text for t in Sheet(waveforms(run).svg).texts}


@pytest.mark.parametrize("seed", range(6))
def test_a_course_is_what_the_engine_does(seed: int) -> None:
    """Read from the run by the divider of R1 and R2 (Ohm's law) and the cell's law, the light is the course.

    R = R10 (E / 10 lx)^-γ with the catalogue's 14 kΩ and 0.7; ramps that others cut short are among them.
    """
    rng = np.random.default_rng(seed)
    times = np.sort(rng.uniform(0.0, 9.0, 5)).round(2)
    actions = [
        Action(
            float(t), "R2", "light", float(rng.choice([2.0, 50.0, 400.0])), float(rng.choice([0.0, 0.5, 4.0]))
        )
        for t in times
    ]
    made = circuit_of("dusk-light")
    run = simulate(made, Trial("weather", 10.0, tuple(actions)))
    course = course_of(run, "R2")
    assert course is not None
    away = np.abs(run.times[:, None] - times).min(axis=1) > 0.02
    ones = np.flatnonzero(away & (run.times > 0.05))
    plus, night = run.voltage("PLUS")[ones], run.voltage("NIGHT")[ones]
    ohms = night / (plus - night) * 10e3
    lux = 10 * (14e3 / ohms) ** (1 / 0.7)
    drawn = [course.at(float(time)) for time in run.times[ones]]
    assert drawn == pytest.approx(lux, rel=0.02)
    assert_tidy(waveforms(run))


def test_a_wiper_has_a_row() -> None:
    """A potentiometer stands where its part says, until the trial turns it to 10 % from 2 s to 18 s."""
    pot = Part("R1", catalogue()["potentiometer"], ("PLUS", "SOIL", "0V"), 1e4, settings=(("position", 0.9),))
    made = demo_run("dusk-light").circuit
    made = replace(made, parts=(*(p for p in made.parts if p.id != "R1"), pot))
    run = replace(
        demo_run("dusk-light"),
        circuit=made,
        trial=Trial("t", 20.0, (Action(2.0, "R1", "position", 0.1, 16.0),)),
    )
    course = course_of(run, "R1")
    assert course is not None
    assert course.stays(0.0, 20.0) == ((0.0, 2.0, 0.9), (18.0, 20.0, 0.1))
    assert course.told(0.0, 20.0) == ((0.0, "90 %"), (2.0, "90 % → 10 %"), (18.0, "10 %"))
    texts = {t.text for t in Sheet(waveforms(run, ("R1",)).svg).texts}
    assert {"90 %", "10 %", "turned to"} <= texts


@pytest.mark.parametrize("span", [None, (0.0, 1.0), (1.2, 1.25)])
@pytest.mark.parametrize("title", ["", "Five blinks"])
def test_texts_stay_inside_and_apart(span: tuple[float, float] | None, title: str) -> None:
    """Nothing is written outside the picture or over other writing."""
    marks = [
        Mark(0.4, "1", "The threshold is reached and the light goes out."),
        Mark(0.45, "2"),
        Mark(1.0, "3"),
    ]
    picture = waveforms(RUN, title=title, span=span, marks=marks, ideals=IDEALS)
    assert_tidy(picture)


def test_curve_is_where_the_axis_says() -> None:
    """Read back from the drawing, CAP peaks at 4 V and its first peak lies at 0.4 s."""
    sheet = Sheet(waveforms(RUN, ("CAP",), thresholds=()).svg)
    volts = {t.text: (t.box[1] + t.box[3]) / 2 for t in sheet.texts if re.fullmatch(r"\d V", t.text)}
    seconds = {t.text: (t.box[0] + t.box[2]) / 2 for t in sheet.texts if re.fullmatch(r"\d", t.text)}
    curve = next(d for d, _ in sheet.paths if d.count("L") > 5)
    points = [tuple(map(float, pair.split())) for pair in curve.removeprefix("M ").split(" L ")]
    per_volt = (volts["0 V"] - volts["4 V"]) / 4
    per_second = seconds["1"] - seconds["0"]
    peak = min(points, key=lambda p: (round(p[1], 1), p[0]))
    assert (volts["0 V"] - peak[1]) / per_volt == pytest.approx(4, abs=0.05)
    assert (peak[0] - seconds["0"]) / per_second == pytest.approx(0.4, abs=0.01)


def test_bars_are_where_the_axis_says() -> None:
    """Five bars of the light, each 0.4 s wide on the axis."""
    sheet = Sheet(waveforms(RUN, ("DS1",)).svg)
    seconds = {t.text: (t.box[0] + t.box[2]) / 2 for t in sheet.texts if re.fullmatch(r"\d", t.text)}
    per_second = seconds["1"] - seconds["0"]
    red = [e for e in sheet.root.iter() if e.attrib.get("fill") == "#D5412F"]
    assert len(red) == 5
    for bar in red:
        assert float(bar.attrib["width"]) / per_second == pytest.approx(0.4, abs=0.005)


def test_marks_stand_at_their_times() -> None:
    """A numbered mark is drawn at its time, with its number in a ring; one outside the span is not."""
    sheet = Sheet(waveforms(RUN, ("OUT",), marks=[Mark(2.0, "7"), Mark(9.0, "8")]).svg)
    seconds = {t.text: (t.box[0] + t.box[2]) / 2 for t in sheet.texts if re.fullmatch(r"[0-5]", t.text)}
    ring = next(c for c in sheet.circles if c.stroke == palette.INK)
    assert ring.x == pytest.approx(seconds["2"], abs=0.5)
    assert "8" not in {t.text for t in sheet.texts}


def test_words_say_what_rises_when() -> None:
    """The text alternative tells ranges, rises and times."""
    alt = waveforms(RUN).alt
    assert "Waveforms from 0 s to 5 s." in alt
    assert "CAP moves between 2 V and 4 V" in alt
    assert re.search(r"OUT moves between 0 V and 5 V, rising at 0\.9\d+ s", alt)
    assert "S1 is pressed from 1.5 s to 1.7 s." in alt
    assert "DS1 is lit from 0 s to 0.4 s, 5 times in all." in alt


def test_large_runs_stay_small() -> None:
    """A run of a million samples makes a picture of under 150 kB, and ends."""
    run = blink(cycles=500, samples=2000)
    began = time.process_time()
    picture = waveforms(run)
    assert time.process_time() - began < 60
    assert len(picture.svg) < 150_000


def test_a_level_of_ones_own() -> None:
    """A threshold given by the caller is drawn and named; an unknown trace or an empty span is refused."""
    texts = {t.text for t in Sheet(waveforms(RUN, thresholds=[Threshold("OUT", 2.5, "half")]).svg).texts}
    assert "half 2.5 V" in texts
    with pytest.raises(KeyError):
        waveforms(RUN, ("NOWHERE",))
    with pytest.raises(ValueError, match="span"):
        waveforms(RUN, span=(1.0, 1.0))


def test_same_bytes_again() -> None:
    """The same run gives the same bytes."""
    assert waveforms(RUN).svg == waveforms(replace(RUN)).svg


def test_a_level_that_moves_is_drawn_moving() -> None:
    """A level with two values (hysteresis) is a dashed line with a step and bears no single number."""
    level = np.where(RUN.times < 2.5, 3.0, 2.0)
    sheet = Sheet(waveforms(RUN, ("OUT",), thresholds=[Threshold("OUT", level, "REF")]).svg)
    dashed = [e for e in sheet.root.iter() if e.attrib.get("stroke-dasharray") == "9 6"]
    assert [e.tag.split("}")[1] for e in dashed] == ["path"]
    heights = {pair.split()[1] for pair in dashed[0].attrib["d"].removeprefix("M ").split(" L ")}
    assert len(heights) >= 2
    assert "REF" in {t.text for t in sheet.texts}


def test_a_formula_stands_beside_the_real_parts() -> None:
    """Solid for real parts, dashed for the formula, to scale from one start; 0.4/0.35 is 14 % more."""
    picture = waveforms(RUN, ("DS1",), ideals=IDEALS)
    sheet = Sheet(picture.svg)
    seconds = {t.text: (t.box[0] + t.box[2]) / 2 for t in sheet.texts if re.fullmatch(r"\d", t.text)}
    per_second = seconds["1"] - seconds["0"]
    found = [e.attrib for e in sheet.root.iter() if e.attrib.get("height") == "11"]
    bars = [bar for bar in found if float(bar["x"]) > 200]
    assert [float(b["width"]) / per_second for b in bars] == pytest.approx([0.4, 0.35, 0.4, 0.4], abs=0.005)
    assert [b.get("stroke-dasharray", "") for b in bars] == ["", "6 4", "", "6 4"]
    assert all((float(b["x"]) - seconds["0"]) / per_second == pytest.approx(1, abs=0.005) for b in bars)
    said = "How long DS1 stays lit: 0.35 s by the formula, 0.4 s with real parts: 14 % longer."
    assert said in {t.text for t in sheet.texts}
    assert said in picture.alt
    assert "less than 0.5 % apart" in picture.alt
    lowest = max(float(b["y"]) for b in bars)
    assert any("by the formula" in t.text and t.box[1] > lowest for t in sheet.texts)


def test_what_does_not_fit_the_span_is_left_out() -> None:
    """A duration that ends beyond the time shown has no bar and no key."""
    assert "formula" not in waveforms(RUN, ("DS1",), ideals=IDEALS, span=(0.0, 1.2)).alt


def test_thresholds_say_their_share_of_the_supply() -> None:
    """A 555 watches one third and two thirds of its supply (TI SLFS022); 2 V and 4 V of 6 V here."""
    texts = [t.text for t in Sheet(waveforms(RUN).svg).texts]
    assert texts[texts.index("threshold 4 V") + 1] == "2/3 of supply"
    assert texts[texts.index("trigger 2 V") + 1] == "1/3 of supply"


def lamp(tolerance: float | None) -> Circuit:
    """An RC timer: 1 MΩ and 1 µF from 6 V, with a light to make it a lesson."""
    return Circuit(
        (
            Part("R1", catalogue()["resistor"], ("PLUS", "CAP"), 1e6, tolerance),
            Part("C1", catalogue()["capacitor-film"], ("CAP", "0V"), 1e-6, tolerance),
            Part("BT1", catalogue()["supply-aa"], ("PLUS", "0V"), settings=(("count", 4.0),)),
        )
    )


def test_band_of_an_rc_is_that_of_the_formula() -> None:
    """Boards of an RC with ± 10 % stay between 1 - exp(-t/RC) of both extreme products (any textbook)."""
    run = simulate(lamp(0.1), Trial("fill", 3.0))
    band = tolerance_band(run, ("CAP",), (0.0, 3.0), count=40)
    assert band is not None
    final = float(run.voltage("PLUS")[-1])
    slow, fast = (final * (1 - np.exp(-band.times / tau)) for tau in (1.21, 0.81))
    assert np.all(band.low["CAP"] >= slow - 0.02)
    assert np.all(band.high["CAP"] <= fast + 0.02)
    # With 40 boards drawn evenly the band fills most of that room.
    middle = band.times.size // 3
    assert band.high["CAP"][middle] - band.low["CAP"][middle] > 0.5 * (fast - slow)[middle]


def test_band_is_the_same_again_and_another_with_another_seed() -> None:
    """The same seed gives the same band."""
    run = simulate(lamp(0.1), Trial("fill", 3.0))
    one, two, other = (tolerance_band(run, ("CAP",), (0.0, 3.0), seed=seed) for seed in (1, 1, 2))
    assert one is not None
    assert two is not None
    assert other is not None
    assert np.array_equal(one.low["CAP"], two.low["CAP"])
    assert not np.array_equal(one.low["CAP"], other.low["CAP"])


def test_exact_parts_have_no_band() -> None:
    """Where parts do not differ there is nothing to draw."""
    run = simulate(lamp(1e-6), Trial("fill", 3.0))
    assert tolerance_band(run, ("CAP",), (0.0, 3.0)) is None


def test_band_is_drawn_behind_the_curve_and_explained() -> None:
    """The band holds the curve everywhere; its key names the count."""
    run = simulate(lamp(0.1), Trial("fill", 3.0))
    picture = waveforms(run, ("CAP",), band=tolerance_band(run, ("CAP",), (0.0, 3.0)))
    closed = [d for d, _ in Sheet(picture.svg).paths if d.endswith("Z")]
    assert len(closed) == 1
    assert "24 boards" in picture.alt
    assert "24 boards" in " ".join(t.text for t in Sheet(picture.svg).texts)


def test_a_rhythm_is_compared_from_a_common_start() -> None:
    """Boards with other parts drift apart, so they are laid over one another at the start of one cycle.

    The slowest takes so much longer than ours: an aluminium electrolytic of class M may have 20 % more
    capacity (IEC 60384-4), a resistor 5 %, and the levels stray a little (TI SLFS022).
    """
    run = demo_run("lighthouse")
    band = tolerance_band(run, usual_traces(run), (0.0, 8.0))
    assert band is not None
    assert band.cycle
    shines = intervals(run, "DS1")
    assert band.times[0] == pytest.approx(shines[1][0])
    # All have just lit up at its start: none has left the third of the supply by more than a little.
    assert band.high["CAP"][1] - band.low["CAP"][1] < 0.2
    # Ours has lit up again while the slowest board is still dark, so the band of its output is wide.
    late = np.searchsorted(band.times, shines[2][0] + 0.05)
    assert band.low["OUT"][late] < 1.0 < 3.0 < band.high["OUT"][late]
    # It lasts until the slowest one's next flash is over too.
    wide = band.times[band.high["OUT"] - band.low["OUT"] > 3.0]
    longest = (wide[-1] - shines[1][0]) / (shines[2][1] - shines[1][0])
    assert 1.1 < longest < 1.2 * 1.05 * 1.1


@pytest.mark.parametrize(
    ("demo", "outputs"),
    [("lighthouse", ["OUT"]), ("level-crossing", ["COL1", "COL2"]), ("runway-lights", ["CLK"])],
)
def test_the_band_of_a_rhythm_ends_in_no_edge(demo: str, outputs: list[str]) -> None:
    """Ours is one of the boards, so its curve lies in the band; and where it ends, no output's edge is open.

    An open edge is told by an output that is low on one board and high on another.
    """
    run = demo_run(demo)
    band = tolerance_band(run, usual_traces(run), (0.0, 8.0))
    assert band is not None
    for net in band.low:
        ours = np.interp(band.times, run.times, run.voltage(net))
        assert np.all(band.low[net] - 0.001 < ours)
        assert np.all(ours < band.high[net] + 0.001)
    for net in outputs:
        assert band.high[net][-1] - band.low[net][-1] < 0.2 * np.ptp(run.voltage(net))


def test_boards_that_drift_too_far_apart_are_shown_as_long_as_they_are_in_step() -> None:
    """Half a cycle lies between two edges of the runway's clock; its boards drift further apart than that.

    It shows the first edge whole, and ends while all are low, before the fastest begins its next cycle.
    """
    run = demo_run("runway-lights")
    band = tolerance_band(run, usual_traces(run), (0.0, 8.0))
    assert band is not None
    (rise, fall), (again, _) = high_intervals(run, "CLK")[1:3]
    wide = band.times[band.high["CLK"] - band.low["CLK"] > 3.0]
    assert rise < wide[0] < fall < wide[-1] < band.times[-1] < again
    assert band.high["CLK"][-1] < 1.0


@pytest.mark.parametrize(
    "moments",
    [(100.0, 300.0), (100.0, 110.0), (92.0, 92.5, 93.0, 400.0), (790.0, 801.0)],
)
def test_numbers_stand_side_by_side_at_their_moments(moments: tuple[float, ...]) -> None:
    """Circles of 30 units do not touch, keep their order, stay over the axis, move as little as they must.

    The sum of squares of their ways is least where a group has its mean at the mean of its moments
    (isotonic regression), but for the ends of the axis.
    """
    places = badge_places(moments, 92.0, 802.0)
    assert all(b - a >= 32.9 for a, b in pairwise(places))
    assert 92.0 <= places[0] <= places[-1] <= 802.0
    if all(b - a >= 33.0 for a, b in pairwise(moments)):
        assert places == pytest.approx(moments)
    else:
        assert max(abs(a - b) for a, b in zip(moments, places, strict=True)) < 33.0 * len(moments)


def test_the_mean_of_numbers_that_give_way_stays() -> None:
    """Two numbers ten units apart give way alike (least squares)."""
    one, other = badge_places((300.0, 310.0), 92.0, 802.0)
    assert (one + other) / 2 == pytest.approx(305.0)
    assert other - one == pytest.approx(33.0)


def test_a_notch_between_two_boards_is_bridged_and_an_edge_is_not() -> None:
    """Closing fills what is narrower than its window and moves no edge (mathematical morphology)."""
    edge = np.array([0.0, 0.0, 5.0, 5.0, 1.0, 5.0, 5.0, 0.0, 0.0, 0.0, 0.0])
    filled = np.array([0.0, 0.0, 5.0, 5.0, 5.0, 5.0, 5.0, 0.0, 0.0, 0.0, 0.0])
    assert _bridged(edge, 3) == pytest.approx(filled)
    assert _bridged(edge, 1) == pytest.approx(edge)


def test_labels_of_two_levels_stand_apart_as_two_groups() -> None:
    """Lines of one label are nearer to one another than to the next label (law of proximity)."""
    labels = [
        (100.0, ("threshold 6 V", "2/3 of supply"), 100.0),
        (120.0, ("trigger 3 V", "1/3 of supply"), 120.0),
    ]
    first, second = _apart(labels)
    assert second - (first + (TICK + 1)) > (TICK + 1) + 5
    # Both give way alike, so both leaders rise and fall alike.
    assert (100.0 - first) + (120.0 - second) == pytest.approx(TICK + 1)


def test_durations_of_the_sheet_find_their_place(compiled_demo: Callable[[str], Compiled]) -> None:
    """Formula and measure of the lighthouse's light start at its second flash, as long as the sheet says."""
    compiled = compiled_demo("lighthouse")
    run = next(iter(compiled.runs.values()))
    measured = {name: figure.quantity for name, figure in compiled.figures.items()}
    found = usual_ideals(run, compiled.sheet, measured, (0.0, 8.0))
    lit, dark, period = found
    assert lit.start == pytest.approx(intervals(run, "DS1")[1][0])
    assert dark.start == pytest.approx(intervals(run, "DS1")[1][1])
    assert lit.real + dark.real == pytest.approx(period.real, rel=0.01)
    assert lit.ideal == pytest.approx(0.693 * 56e3 * 10e-6, rel=0.01)  # TI SLFS022: 0.693 R C


def test_a_start_from_nothing_hides_no_rhythm() -> None:
    """TI, xx555 (SLFS022), astable operation: the capacitor swings between 1/3 and 2/3 of the supply."""
    times = np.linspace(0.0, 12.0, 12_001)
    swing = (1.1 + 0.9 * np.abs(times % 2 - 1)) / 3  # a comparator of a little delay turns a little late
    values = np.where(times < 2, np.minimum(times / 3, 2 / 3), swing)
    rises = _rises(times, values)
    assert len(rises) == 6
    assert rises == pytest.approx([1.5, 3.5, 5.5, 7.5, 9.5, 11.5], abs=0.1)


@pytest.mark.parametrize("most", [0.6, 1.9, 3.3, 4.7, 5.0, 5.1, 7.6, 8.0, 8.1, 9.0, 11.9])
def test_a_tick_stands_at_or_above_the_greatest_value(most: float) -> None:
    """The scale of volts can be read up to the top of the curve (common practice of charts)."""
    run = blink()
    scaled = replace(run, voltages=run.voltages * most / 5.0)
    low, high = limits(scaled, ("OUT",), 0.0, 5.0)
    shown = ticks(low, high, VOLT_TICKS)
    assert shown[-1] >= most - 1e-6
    assert 2 <= len(shown) <= VOLT_TICKS + 1


def test_no_light_shines_before_the_first_that_the_story_tells(
    compiled_demo: Callable[[str], Compiled],
) -> None:
    """The counter wakes at output 0 and is moved on within a microsecond: only DS2 is lit at the start."""
    compiled = compiled_demo("runway-lights")
    (name, run), *_ = compiled.runs.items()
    assert any(e.part == "DS1" and e.rising and e.time < 1e-6 for e in run.events)
    assert "DS2 lights up" in compiled.stories[name][0].text
    early = [p for p in ("DS1", "DS2", "DS3") if any(start < 0.05 for start, _ in intervals(run, p))]
    assert early == ["DS2"]
    assert "DS1 is lit from 0 s" not in waveforms(run).alt


@pytest.mark.parametrize("name", ["cupboard-light", "level-crossing", "lighthouse", "runway-lights"])
@pytest.mark.parametrize("share", [1.0, 0.1])
def test_a_picture_has_one_unit_of_time_and_of_voltage(
    compiled_demo: Callable[[str], Compiled], name: str, share: float
) -> None:
    """Bars, sentences and words have the unit of the axis, and volts are volts; three figures at most."""
    compiled = compiled_demo(name)
    run = next(iter(compiled.runs.values()))
    measured = {name: figure.quantity for name, figure in compiled.figures.items()}
    span = (0.0, share * float(run.times[-1]))
    picture = waveforms(run, span=span, ideals=usual_ideals(run, compiled.sheet, measured, span))
    said = picture.alt + " ".join(t.text for t in Sheet(picture.svg).texts)
    axis = re.search(r"time in (\w+)", said)
    assert axis is not None
    assert set(re.findall(r"\d ([mµn]?s)\b", said)) <= {axis[1]}
    assert set(re.findall(r"\d ([mµk]?V)\b", said)) == {"V"}
    assert all(len(n.replace(".", "").strip("0")) <= 3 for n in re.findall(r"([\d.]+) m?s", said))


def test_a_bar_reads_as_the_sentence_beside_it(compiled_demo: Callable[[str], Compiled]) -> None:
    """How long DS1 of the level crossing is lit has the same figures in its bar and below it."""
    compiled = compiled_demo("level-crossing")
    run = next(iter(compiled.runs.values()))
    measured = {name: figure.quantity for name, figure in compiled.figures.items()}
    ideals = usual_ideals(run, compiled.sheet, measured, (0.0, 2.3))
    texts = [t.text for t in Sheet(waveforms(run, span=(0.0, 2.3), ideals=ideals).svg).texts]
    (lit,) = [i for i in ideals if i.title.endswith("DS1 stays lit")]
    said = f"{lit.real:.3g} s"
    assert any(f"{said} with real parts" in text for text in texts)
    assert said in texts


def test_a_share_has_no_more_figures_than_what_it_compares() -> None:
    """11.0 s and 11.1 s are compared to a tenth of a per cent at most."""
    pairs = {0.0091: "0.9 %", 0.126: "13 %", 0.0996: "10 %", 0.0123: "1.2 %", 0.0004: "0.04 %"}
    assert {ratio: percent(ratio) for ratio in pairs} == pairs
