"""Every kind of picture on paper and on the screen: size of texts, contrast, sharpness."""

from __future__ import annotations

import io
import re
from collections.abc import Callable, Iterator
from xml.etree import ElementTree

import numpy as np
import pytest
from PIL import Image

from buildalong.drawing import (
    HIGH_CONTRAST,
    PLAIN,
    Mark,
    Picture,
    Tone,
    board_picture,
    closeup,
    histogram,
    part_picture,
    shown_slips,
    sweep_curves,
    sweep_waves,
    tilted_picture,
    to_png,
    tolerance_band,
    usual_ideals,
    usual_traces,
    waveforms,
)
from buildalong.drawing import _palette as palette
from buildalong.drawing.inside import inside_picture, inside_strip, looks
from buildalong.drawing.motion import build_motion, work_motion
from buildalong.lesson import Compiled, asked_of, targets_of
from buildalong.spread import name_of, spread
from buildalong.study import find_parameter, runs_of, spaced, sweep
from once import once

from ._demo import DEMOS, blink, circuit_of, drawn, every_part, layout_of
from ._measure import Sheet

PAGE = (180.0, 267.0)
"""What an A4 page between margins of 15 mm leaves for pictures [mm]."""
HALF = 88.0
"""A card: two beside each other on a page with margins of 10 mm."""
Demo = Callable[[str], Compiled]
Named = Iterator[tuple[str, Picture]]


def _boards(name: str, tone: Tone) -> Named:
    """The board pictures of a demo: finished, with nets, tilted, a step, a close-up of each kind of slip."""
    circuit, layout = circuit_of(name), layout_of(name)
    yield "board", drawn(name, crop="auto", tone=tone)
    yield "left hand", drawn(name, crop="auto", view="half-turned", tone=tone)
    yield "nets", drawn(name, crop="auto", net_labels=True, tone=tone)
    yield "tilted", drawn(name, tilted_picture, tone=tone)
    seen = set()
    for part in circuit.parts:
        if part.id not in layout.holes:
            continue
        if part.type.id not in seen:
            yield (
                f"step {part.id}",
                board_picture(circuit, layout, new_parts=(part.id,), crop="new", tone=tone),
            )
        for slip in shown_slips(part, layout):
            picture = closeup(circuit, layout, part.id, slip, tone=tone)
            if picture is not None and (part.type.id, slip.kind) not in seen:
                yield f"close-up {part.id} {slip.kind}", picture
                seen.add((part.type.id, slip.kind))
        seen.add(part.type.id)


def _trials(compiled: Compiled, tone: Tone) -> Named:
    """The pictures of what happens: waveforms in full, insides, moving ones, studies."""
    run = next(iter(compiled.runs.values()))
    span = (0.0, 0.3 * float(run.times[-1]))
    traces = usual_traces(run)
    measured = {name: figure.quantity for name, figure in compiled.figures.items()}
    marks = [Mark(span[1] * (i + 1) / 15, str(i + 1), "Something happens.") for i in range(14)]
    yield "waves", waveforms(
        run, marks=marks, span=span, band=tolerance_band(run, traces, span),
        ideals=usual_ideals(run, compiled.sheet, measured, span), tone=tone,
    )  # fmt: skip
    yield "blinks", waveforms(blink(), title="Five blinks", marks=[Mark(0.4, "1", "Dark.")], tone=tone)
    found = looks(run, "U1", next(iter(compiled.stories.values())))
    yield "inside", inside_picture(found[0].state, tone=tone)
    yield "strip", inside_strip(found, [str(i + 8) for i in range(len(found))], tone=tone)
    yield "work", work_motion(run, span, "w", marks, tone=tone).picture
    assert compiled.layout is not None
    build = build_motion(compiled.circuit, compiled.layout, compiled.steps, "b", tone=tone)
    assert build is not None
    yield "build", build.picture


def _studies(compiled: Compiled) -> Named:
    """Histogram, curves and waveforms of a study."""
    lesson = compiled.lesson
    outcome = spread(lesson.circuit, lesson.trials, targets_of(lesson)[:1], samples=20).outcomes[0]
    yield "histogram", histogram(outcome, "A title", name_of(outcome.target.measure), ["R1 50 %"] * 20)
    which = find_parameter(lesson.circuit, "R2")
    values = spaced(1e5, 1e6, 3, ratio=True)
    asked = [asked_of("on_time(DS1)")]
    yield (
        "sweep",
        sweep_curves(sweep(lesson.circuit, lesson.trials[0], which, values, asked), title="A title"),
    )
    runs = runs_of(lesson.circuit, lesson.trials[0], which, values)
    yield "sweep waves", sweep_waves(runs, [f"R2 = {v:g}" for v in values], ["CAP", "DS1"], title="A title")


def boards(name: str, tone: Tone = PLAIN) -> tuple[tuple[str, Picture], ...]:
    """Those of a demo, drawn once for all workers; as the two that follow."""
    return once(f"boards-{name}-{tone.name}", lambda: tuple(_boards(name, tone)))


def trials(compiled: Compiled, tone: Tone = PLAIN) -> tuple[tuple[str, Picture], ...]:
    return once(f"trials-{compiled.lesson.title}-{tone.name}", lambda: tuple(_trials(compiled, tone)))


def studies(compiled: Compiled) -> tuple[tuple[str, Picture], ...]:
    return once(f"studies-{compiled.lesson.title}", lambda: tuple(_studies(compiled)))


@pytest.fixture(scope="module")
def lighthouse(compiled_demo: Demo) -> Compiled:
    return compiled_demo("lighthouse")


@pytest.fixture(scope="module", params=["plain", "high-contrast"])
def tone(request: pytest.FixtureRequest) -> Tone:
    return PLAIN if request.param == "plain" else HIGH_CONTRAST


def assert_nine_points(name: str, picture: Picture, page: tuple[float, float] = PAGE) -> None:
    """Where its smallest text has 9 pt, the picture still fits the page."""
    wide = picture.print_width(9.0)
    assert wide <= page[0], (name, wide)
    assert wide * picture.height / picture.width <= page[1], name


@pytest.mark.parametrize("demo", DEMOS)
def test_boards_print_with_nine_points(demo: str) -> None:
    """No text of a board, a step, a close-up or a tilted board is under 9 pt on an A4 page."""
    for name, picture in boards(demo):
        assert_nine_points(f"{demo}, {name}", picture)


def test_other_pictures_print_with_nine_points(lighthouse: Compiled) -> None:
    """No text of waveforms, insides, moving pictures and studies is under 9 pt on an A4 page."""
    for name, picture in (*trials(lighthouse), *studies(lighthouse)):
        assert_nine_points(name, picture)


def test_cards_print_with_nine_points() -> None:
    """No text of a part's picture is under 9 pt on a card, two of which stand in a row on A4."""
    for part in every_part():
        assert_nine_points(part.type.id, part_picture(part), (HALF, PAGE[1]))


def without_texts(svg: str) -> str:
    """The drawing without its letters."""
    return re.sub(r"<text\b.*?</text>", "", svg, flags=re.DOTALL)


def pixels(svg: str, width: float, height: float) -> np.ndarray:
    """The drawing in pixels, one to a unit."""
    data = to_png(Picture(svg, "", width, height), round(width), round(height))
    return np.asarray(Image.open(io.BytesIO(data)).convert("RGB"), float)


def luminance(colours: np.ndarray) -> np.ndarray:
    """Relative luminance of sRGB pixels (WCAG 2.2, definition of relative luminance)."""
    c = colours / 255
    line = np.where(c <= 0.04045, c / 12.92, ((c + 0.055) / 1.055) ** 2.4)
    return line @ np.array([0.2126, 0.7152, 0.0722])


def assert_contrast(name: str, picture: Picture, tone: Tone) -> None:
    """Each text stands out from most of what lies under it, measured in pixels drawn without letters.

    4.5:1 (WCAG 2.2, 1.4.3); with high contrast 7:1 (1.4.6) for what stands on the page or the board, while
    what is printed on a part keeps the part's own colours.
    """
    sheet = Sheet(picture.svg)
    left, top, _, _ = sheet.frame
    under = luminance(pixels(without_texts(picture.svg), picture.width, picture.height))
    for text in sheet.texts:
        x0, y0, x1, y1 = (round(v) for v in (text.box[0] - left, text.box[1] - top,
                                                 text.box[2] - left, text.box[3] - top))  # fmt: skip
        ground = under[max(y0, 0) : y1, max(x0, 0) : x1]
        if not ground.size:
            continue
        ink = palette.luminance(text.fill)
        ratio = (np.maximum(ground, ink) + 0.05) / (np.minimum(ground, ink) + 0.05)
        light = float(np.median(ground)) > 0.9
        least = 7.0 if tone is HIGH_CONTRAST and light else 4.5
        assert np.percentile(ratio, 30) >= least, (name, text, float(np.percentile(ratio, 30)))


@pytest.mark.parametrize("demo", ["lighthouse", "level-crossing"])
def test_texts_of_boards_stand_out(demo: str, tone: Tone) -> None:
    """Every text of a board, a step, a close-up and a tilted board can be read."""
    for name, picture in boards(demo, tone):
        assert_contrast(f"{demo}, {name}", picture, tone)


def test_texts_of_other_pictures_stand_out(lighthouse: Compiled, tone: Tone) -> None:
    """Every text of waveforms, insides and moving pictures can be read."""
    for name, picture in trials(lighthouse, tone):
        assert_contrast(name, picture, tone)


def test_texts_of_cards_stand_out(tone: Tone) -> None:
    """Every text of a part's picture can be read."""
    for part in every_part():
        assert_contrast(part.type.id, part_picture(part, tone=tone), tone)


def test_nothing_is_a_bitmap(lighthouse: Compiled) -> None:
    """Every picture is drawn in lines and letters, so it is as sharp as the printer: no image inside."""
    found = [*boards("lighthouse"), *trials(lighthouse), *studies(lighthouse)]
    for name, picture in found:
        tags = {element.tag.rpartition("}")[2] for element in ElementTree.fromstring(picture.svg).iter()}
        assert not tags & {"image", "foreignObject", "filter"}, name


def test_a_png_for_a_page_is_sharp() -> None:
    """A4 at 300 dots to the inch is 2480 by 3508 pixels (ISO 216); edges stay edges at that size."""
    picture = board_picture(circuit_of("lighthouse"), layout_of("lighthouse"), crop="auto")
    image = Image.open(io.BytesIO(to_png(picture, 2480))).convert("L")
    assert image.width == 2480
    # The casing of the board's edge goes from paper to ink within two pixels.
    row = np.asarray(image, float)[image.height // 2]
    steps = np.abs(row[2:] - row[:-2])
    assert steps.max() > 90
