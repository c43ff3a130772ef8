"""Every kind of picture as PNG for a screen and a page without blur, and its lines seen in both tones."""

from __future__ import annotations

import io
import re
from collections.abc import Callable, Iterator
from functools import cache

import numpy as np
import pytest
from PIL import Image

from buildalong.drawing import (
    HIGH_CONTRAST,
    PLAIN,
    Picture,
    Tone,
    part_icon,
    part_picture,
    to_png,
)
from buildalong.drawing import _palette as palette
from buildalong.drawing.schematic import SchematicLayout, draw_layout, moment_picture, picture, symbol_picture
from buildalong.engine import Trial, moment, simulate
from buildalong.lesson import Compiled

from ._demo import circuit_of, part
from .test_print import boards, studies, trials

Demo = Callable[[str], Compiled]
TONES = {"plain": PLAIN, "high-contrast": HIGH_CONTRAST}


@cache
def plan(standard: str) -> SchematicLayout:
    return draw_layout(circuit_of("mailbox-flag"), standard=standard)


def drawn(tone: Tone = PLAIN) -> Iterator[tuple[str, Picture]]:
    """Schematics, numbers on them, symbols."""
    circuit = circuit_of("mailbox-flag")
    yield "schematic", picture(circuit, plan("iec"), tone=tone)
    yield "schematic, IEEE 315", picture(circuit, plan("ieee"), "ieee", tone=tone)
    point = moment(simulate(circuit, Trial("a second", 1.0)), 0.5)
    yield "moment", moment_picture(circuit, plan("iec"), point.voltages, point.currents, tone=tone)
    for kind in ("timer-555", "led-red", "npn-bc547"):
        symbol = symbol_picture(part(kind), tone=tone)
        assert symbol is not None
        yield f"symbol of {kind}", symbol


@pytest.fixture(scope="module")
def every_kind(compiled_demo: Demo) -> dict[str, Picture]:
    """One picture of every kind that the program draws."""
    compiled = compiled_demo("lighthouse")
    found = dict((*boards("lighthouse"), *trials(compiled), *studies(compiled), *drawn()))
    found |= {f"part {kind}": part_picture(part(kind)) for kind in ("timer-555", "led-red", "supply-9v")}
    return found | {"resistor": part_picture(part("resistor", 330.0)), "icon": part_icon(part("led-red"))}


def sharpness(image: Image.Image) -> float:
    """How much of the strongest edges is passed within two pixels, 1 for all of it.

    An edge is the change over six pixels along each ninth row; the strongest are the upper thousandth.
    """
    row = np.asarray(image.convert("L"), np.float32)[::9]
    whole = np.abs(row[:, 6:] - row[:, :-6])
    near = np.max([np.abs(row[:, 2 + i : row.shape[1] - 4 + i] - row[:, i : row.shape[1] - 6 + i])
                   for i in range(5)], axis=0)  # fmt: skip
    strong = whole >= np.quantile(whole, 0.999)
    return float(np.median(near[strong] / whole[strong]))


def image_of(drawing: Picture, width: int, height: int | None = None) -> Image.Image:
    return Image.open(io.BytesIO(to_png(drawing, width, height)))


def test_the_measure_tells_blur() -> None:
    """A picture drawn at a third of the size and blown up is found out: the measure can fail."""
    card = part_picture(part("timer-555"))
    small = image_of(card, 640)
    assert sharpness(small.resize((1920, small.height * 3), Image.Resampling.BICUBIC)) < 0.8


def test_a_screen_and_a_page_are_filled_without_blur(every_kind: dict[str, Picture]) -> None:
    """At 1920 by 1080, and at 2480 pixels, A4 at 300 dots to the inch (ISO 216), edges pass in two pixels."""
    for name, drawing in every_kind.items():
        for image in (image_of(drawing, 1920, 1080), image_of(drawing, 2480)):
            assert image.size[0] in (1920, 2480)
            assert sharpness(image) >= 0.85, (name, image.size, sharpness(image))


FAINT = (palette.GRID, palette.LINE_SOFT, palette.PAPER, palette.BOARD, palette.CHIP, palette.TAG, "none", "")
"""Grounds, and hair lines that need not be seen to understand the picture."""


def faint(line: str, tone: Tone) -> bool:
    """Whether a line is one of those, or the pale edge of a band whose curve tells the same."""
    page = tone.colour(palette.PAPER)
    curves = [palette.seen_on(tone.colour(net.hex), page, tone.curve) for net in palette.NETS]
    bands = [palette.mix(curve, palette.PAPER, share) for curve in curves for share in (0.45, 0.82)]
    return line in {tone.colour(colour) if colour.startswith("#") else colour for colour in (*FAINT, *bands)}


@pytest.mark.parametrize("name", TONES)
def test_lines_of_diagrams_are_seen(compiled_demo: Demo, name: str) -> None:
    """Each line of schematics, insides, waveforms and moving pictures has 3:1 on the page (WCAG 2.2, 1.4.11).

    Boards and parts are drawn in cased colours, which ``test_seen`` measures.
    """
    tone, compiled = TONES[name], compiled_demo("lighthouse")
    diagrams = [(what, drawing) for what, drawing in trials(compiled, tone) if what != "build"]
    for what, drawing in (*diagrams, *drawn(tone)):
        for line in set(re.findall(r'\bstroke="([^"]*)"', drawing.svg)):
            if not faint(line, tone):
                assert palette.contrast(line, tone.colour(palette.PAPER)) >= 3, (what, line)


def test_lines_of_studies_are_seen(compiled_demo: Demo) -> None:
    """Each line of histograms and sweeps has 3:1 on the page (WCAG 2.2, 1.4.11)."""
    for what, drawing in studies(compiled_demo("lighthouse")):
        for line in set(re.findall(r'\bstroke="([^"]*)"', drawing.svg)):
            if not faint(line, PLAIN):
                assert palette.contrast(line, palette.PAPER) >= 3, (what, line)
