"""Moving pictures: still until asked, true to the run, slow enough for every eye."""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildalong.drawing import Mark, waveforms
from buildalong.drawing.motion import Motion, build_motion, work_motion
from buildalong.drawing.motion._motion import FLASHES, factor_for, flashes
from buildalong.drawing.motion._work import said_factor
from buildalong.lesson import Compiled
from demos import DEMOS

from ._demo import blink, circuit_of, demo_run, layout_of
from ._measure import Sheet, assert_tidy

RUN = blink()
FRAMES = re.compile(r"@keyframes ([\w-]+)\{((?:[^{}]*\{[^{}]*\})*)\}")
FRAME = re.compile(r"([\d.]+)%\{([\w-]+):([^}]*)\}")


def frames(css: str) -> dict[str, list[tuple[float, str]]]:
    """Name -> (share of the whole, value), as a browser would read the style sheet."""
    return {
        name: [(float(share) / 100, value) for share, _, value in FRAME.findall(body)]
        for name, body in FRAMES.findall(css)
    }


def most_in_a_second(times: list[float], whole: float) -> int:
    """Most of the times of an endless loop within any second, counted one by one."""
    played = [t + turn * whole for turn in range(int(1 / whole) + 3) for t in times]
    return max((sum(1 for other in played if t <= other < t + 1) for t in played), default=0)


def test_flashes_are_counted() -> None:
    """Four in a second are four; a loop's end meets its beginning; what comes together is one."""
    assert flashes([0.0, 0.25, 0.5, 0.75], 10.0) == 4
    assert flashes([0.1, 9.6], 10.0) == 2
    assert flashes([1.0, 1.01, 1.02], 10.0) == 1
    assert flashes([], 10.0) == 0
    assert flashes([0.0], 0.5) == 2


@given(st.lists(st.floats(0, 3.0), max_size=30), st.floats(3.0, 60.0))
def test_nothing_plays_too_fast(times: list[float], span: float) -> None:
    """However often something lights up, it plays at most three flashes a second (WCAG 2.2, 2.3.1)."""
    factor = factor_for(times, span)
    played = [t * factor for t in times]
    # Together counts as one, as an eye sees it; each apart by 0.1 s or more counts.
    apart: list[float] = []
    for t in sorted(played):
        if not apart or t - apart[-1] >= 0.1:
            apart.append(t)
    assert most_in_a_second(apart, span * factor) <= FLASHES


def test_fast_circuits_play_slowly_and_say_so() -> None:
    """What blinks faster plays slower, and the picture states how many times."""
    slow = work_motion(RUN, (0.0, 5.0), "w")
    twice = work_motion(RUN, (1.4, 1.8), "w")
    for motion in (slow, twice):
        said = [t.text for t in Sheet(motion.picture.svg).texts]
        assert said_factor(motion.factor) in said
    assert twice.factor >= 10 > slow.factor
    assert said_factor(20) == "Slow motion: 20 times slower than real."
    assert said_factor(1) == "Real time."
    assert said_factor(0.5) == "Time lapse: 2 times faster than real."


def test_levels_and_lights_move_as_in_the_run() -> None:
    """Decoded from the style sheet, the tank's level is the run's voltage and the lamp its light."""
    motion = work_motion(RUN, (0.0, 5.0), "w")
    found = frames(motion.css)
    moves = {name: values for name, values in found.items() if "translateY" in values[0][1]}
    sheet = Sheet(motion.picture.svg)
    volts = {t.text: (t.box[1] + t.box[3]) / 2 for t in sheet.texts if re.fullmatch(r"\d V", t.text)}
    per_volt = (volts["0 V"] - volts["4 V"]) / 4
    cap = next(iter(moves.values()))
    shares = np.array([share for share, _ in cap])
    depths = np.array([float(re.findall(r"[-\d.]+", value)[0]) for _, value in cap])
    floor = max(depths) if max(depths) > 0 else 0.0
    times = np.linspace(0.05, 4.95, 200)
    shown = np.interp(times / 5.0, shares, depths)
    real = np.interp(times, RUN.times, RUN.voltage("CAP"))
    assert np.abs((floor - shown) / per_volt - (real - real.min())).max() < 0.08
    lamp = next(v for v in found.values() if v[0][1] in "01" and len(v) > 5)
    on = [share * 5.0 for share, value in lamp if value == "1"]
    assert on == pytest.approx([0, 1, 2, 3, 4], abs=0.01)
    assert motion.seconds == pytest.approx(5.0 * motion.factor)


def test_a_watched_level_belongs_to_its_time(compiled_demo: Callable[[str], Compiled]) -> None:
    """The dusk light pulls its reference down while it shines: line and number follow the run's REF."""
    run = next(iter(compiled_demo("dusk-light").runs.values()))
    motion = work_motion(run, (0.0, 20.0), "w")
    lines = []
    for time in (3.0, 10.0, 18.0):
        sheet = Sheet(motion.at(time).svg)
        (said,) = [t for t in sheet.texts if t.text.startswith("REF")]
        volts = float(np.interp(time, run.times, run.voltage("REF")))
        assert said.text == f"REF {volts:.1f} V"
        ticks = {t.text: (t.box[1] + t.box[3]) / 2 for t in sheet.texts if re.fullmatch(r"\d V", t.text)}
        per_volt = (ticks["0 V"] - ticks["4 V"]) / 4
        middle = (said.box[1] + said.box[3]) / 2
        assert (ticks["0 V"] - middle) / per_volt == pytest.approx(volts, abs=0.05)
        lines.append(middle)
        assert_tidy(motion.at(time))
    assert lines[0] == pytest.approx(lines[2], abs=0.3) != lines[1]


def test_light_on_a_sensor_is_seen() -> None:
    """The dusk light's trial (lesson.toml): 300 lx, from 2 s to 6 s down to 1 lx, from 14 s up again."""
    motion = work_motion(demo_run("dusk-light"), (0.0, 20.0), "w")
    falls, rises = "300 lx → 1 lx", "1 lx → 300 lx"
    for time, value in ((1, "300 lx"), (4, falls), (10, "1 lx"), (16, rises), (19, "300 lx")):
        picture = motion.at(float(time))
        assert_tidy(picture)
        assert [t.text for t in Sheet(picture.svg).texts if t.text.endswith(" lx")] == [value]
    assert "The light on R2 is 150 lx." in motion.at(4.0).alt  # half-way from 300 to 1
    large = Sheet(work_motion(demo_run("dusk-light"), (0.0, 20.0), "w", text=1.36).at(4.0).svg)
    tall = {t.text: t.box[3] - t.box[1] for t in large.texts}
    assert tall[falls] == pytest.approx(tall["0 V"])  # as large as the other words, also in a film
    assert "R2" not in motion.on
    depths = {share: float(re.findall(r"[-\d.]+", value)[0]) for share, value in frames(motion.css)["w-i0"]}
    side = depths[0.3] / (1 - 1 / 300)
    wanted = {0.0: 0.0, 0.1: 0.0, 0.3: side * 299 / 300, 0.7: side * 299 / 300, 0.9: 0.0, 1.0: 0.0}
    assert depths == pytest.approx(wanted, abs=0.02)
    other = work_motion(demo_run("cupboard-light"), (0.0, 20.0), "w").picture
    assert not re.search(r"\blx\b|→", other.svg)


def test_pointer_moves_along_the_axis() -> None:
    """The pointer is at the left end of the axis at the start and at its right end at the end."""
    motion = work_motion(RUN, (0.0, 5.0), "w", [Mark(0.4, "1"), Mark(1.0, "2")])
    (first, a), (last, b) = frames(motion.css)["w-now"]
    sheet = Sheet(motion.picture.svg)
    seconds = {t.text: (t.box[0] + t.box[2]) / 2 for t in sheet.texts if re.fullmatch(r"[05]", t.text)}
    assert (first, last) == (0, 1)
    assert float(re.findall(r"[\d.]+", a)[0]) == pytest.approx(seconds["0"], abs=1)
    assert float(re.findall(r"[\d.]+", b)[0]) == pytest.approx(seconds["5"], abs=1)


def near(box: tuple[float, ...], x: float, y: float) -> bool:
    """Whether a rectangle lies around a point, within a hair."""
    return abs((box[0] + box[2]) / 2 - x) + abs((box[1] + box[3]) / 2 - y) < 3


def test_every_moment_has_its_number_on_the_axis() -> None:
    """Numbers that lie together stand one above the other, none is left out: the waveforms have the same."""
    told = [Mark(time, str(number)) for number, time in enumerate((0.0, 0.02, 0.04, 1.0, 1.05), start=1)]
    for picture in (work_motion(RUN, (0.0, 5.0), "w", told).picture, waveforms(RUN, marks=told)):
        sheet = Sheet(picture.svg)
        shown = {t.text for t in sheet.texts for c in sheet.circles if near(t.box, c.x, c.y)}
        assert shown >= {mark.number for mark in told}
        assert_tidy(picture)


def motions(compiled: Compiled) -> list[Motion]:
    run = next(iter(compiled.runs.values()))
    work = work_motion(run, (0.0, min(float(run.times[-1]), 8.0)), "w")
    assert compiled.layout is not None
    build = build_motion(compiled.lesson.circuit, compiled.layout, compiled.steps, "b")
    assert build is not None
    return [work, build]


@pytest.mark.parametrize("name", DEMOS)
def test_style_sheets_are_small_quiet_and_in_order(
    compiled_demo: Callable[[str], Compiled], name: str
) -> None:
    """All of it stands under prefers-reduced-motion, under 20 kB; key frames rise from 0 to 100 %."""
    for motion in motions(compiled_demo(name)):
        assert motion.css.startswith("@media (prefers-reduced-motion:no-preference){")
        assert motion.css.count("{") == motion.css.count("}")
        assert motion.css.count("@media") == 1
        assert len(motion.css) < 20_000
        assert not re.search(r"url\(|@import|<", motion.css)
        for values in frames(motion.css).values():
            shares = [share for share, _ in values]
            assert all(a < b for a, b in pairwise(shares))
            assert not shares or 0 <= shares[0] <= shares[-1] <= 1
        # Nothing moves unless the page's play or pause is chosen.
        for rule in re.findall(r"^([^@\n}][^{\n]*)\{animation", motion.css, flags=re.M):
            assert rule.startswith(":is(.play,.pause):checked~.plate")


@pytest.mark.parametrize("name", DEMOS)
def test_texts_stay_inside_and_apart(compiled_demo: Callable[[str], Compiled], name: str) -> None:
    """Nothing of the circuit at work is written outside the picture or over other writing."""
    run = next(iter(compiled_demo(name).runs.values()))
    picture = work_motion(run, (0.0, float(run.times[-1])), "w", [Mark(0.1, "1"), Mark(0.12, "2")]).picture
    assert_tidy(picture)


@pytest.mark.parametrize("name", DEMOS)
def test_every_part_and_wire_comes_in_its_step(compiled_demo: Callable[[str], Compiled], name: str) -> None:
    """Each part and each wire of the board stands in a stage, in the order of the steps."""
    compiled = compiled_demo(name)
    layout = compiled.layout
    assert layout is not None
    motion = build_motion(compiled.lesson.circuit, layout, compiled.steps, "b")
    assert motion is not None
    stages = [int(n) for n in re.findall(r'class="stage" style="--n:(\d+)"', motion.picture.svg)]
    coming = {index for index, step in enumerate(compiled.steps) if step.parts or step.wires}
    assert set(stages) == coming
    placed = sum(len(step.parts) + len(step.wires) for step in compiled.steps)
    assert len(stages) >= placed
    assert motion.seconds == pytest.approx(1.6 * len(compiled.steps))


def test_no_steps_no_build() -> None:
    """Without steps there is nothing to watch."""
    assert build_motion(circuit_of("lighthouse"), layout_of("lighthouse"), (), "b") is None


def test_words_say_what_the_still_picture_shows() -> None:
    """Which light shines, and how high each level is, at the first moment with light."""
    alt = work_motion(RUN, (0.0, 5.0), "w").picture.alt
    assert "DS1 is lit." in alt
    assert "S1 is not pressed." in alt
    assert re.search(r"CAP is at 2(\.\d+)? V\.", alt)


def test_same_bytes_again() -> None:
    """The same run gives the same picture and style sheet."""
    assert work_motion(RUN, (0.0, 5.0), "w") == work_motion(RUN, (0.0, 5.0), "w")


def test_a_motion_can_be_held_at_any_time() -> None:
    """At each time lights are as the run has them, and the pointer stands where the time axis has it."""
    motion = work_motion(RUN, (0.0, 1.0), "k")
    light = f'class="k-i{list(motion.on).index("DS1")}" opacity='
    start, end = motion.on["DS1"][0]
    lit, dark = motion.at((start + end) / 2), motion.at(end + 1e-3)
    assert f'{light}"1"' in lit.svg
    assert f'{light}"0"' in dark.svg
    assert "DS1 is lit." in lit.alt
    assert "DS1 is not lit." in dark.alt
    assert f">{dark.alt}</desc>" in dark.svg
    places = []
    for time in (0.0, 0.5, 1.0):
        found = re.search(r'class="k-now" transform="translate\(([\d.]+) 0\)"', motion.at(time).svg)
        assert found
        places.append(float(found[1]))
    assert places[0] < places[1] < places[2]
    assert places[1] == pytest.approx((places[0] + places[2]) / 2, abs=0.02)
