"""What must be seen on a board: the outline of each part and wire has 3:1, measured in pixels."""

from __future__ import annotations

import re
from collections.abc import Callable
from xml.etree import ElementTree

import numpy as np
import pytest

from buildalong.drawing import HIGH_CONTRAST, PLAIN, Picture, Tone, board_picture
from buildalong.drawing import _palette as palette

from ._demo import circuit_of, layout_of
from .test_print import luminance, pixels

SVG = "http://www.w3.org/2000/svg"
TONES = {"plain": PLAIN, "high-contrast": HIGH_CONTRAST}
LEAST = 0.9
"""Share of an outline that must stand out: a row's number on its plate may cut a wire."""


def built(demo: str, tone: Tone) -> tuple[Picture, dict[int, str | int]]:
    """The board of the moving build with everything on it, and what comes in each of its stages."""
    circuit, layout = circuit_of(demo), layout_of(demo)
    order: list[str | int] = [*(part.id for part in circuit.parts), *range(len(layout.wires))]
    stages = {what: number for number, what in enumerate(order)}
    picture = board_picture(
        circuit, layout, muted=False, highlight_holes=False, crop="auto", stages=stages, tone=tone
    )
    return picture, dict(enumerate(order))


def alone(svg: str, stage: int | None, tone: Tone) -> str:
    """The board with what comes in one stage and nothing else, or bare; without texts and their plates."""
    plates = {tone.colour(colour) for colour in (palette.TAG, palette.PAPER)}
    ElementTree.register_namespace("", SVG)
    root = ElementTree.fromstring(svg)
    for parent in list(root.iter()):
        for child in list(parent):
            plate = child.get("rx") and child.get("fill") in plates
            other = child.get("class") == "stage" and child.get("style") != f"--n:{stage}"
            if plate or other or child.tag == f"{{{SVG}}}text":
                parent.remove(child)
    return ElementTree.tostring(root, encoding="unicode")


def widened(values: np.ndarray, take: Callable[..., np.ndarray], reach: int) -> np.ndarray:
    """The greatest or least of each pixel's neighbours within ``reach``."""
    for axis in (0, 1):
        values = take([np.roll(values, by, axis) for by in range(-reach, reach + 1)], axis=0)
    return values


def seen(picture: Picture, stage: int, tone: Tone) -> float:
    """Share of a thing's outline that has 3:1 against the bare board, within three pixels of its edge."""
    ground = pixels(alone(picture.svg, None, tone), picture.width, picture.height)
    drawn = pixels(alone(picture.svg, stage, tone), picture.width, picture.height)
    covered = np.abs(drawn - ground).max(axis=2) > 2
    assert covered.any(), stage
    edge = covered & ~widened(covered, np.min, 1)
    one, other = luminance(drawn), luminance(ground)
    ratio = (np.maximum(one, other) + 0.05) / (np.minimum(one, other) + 0.05)
    return float(np.mean(widened(np.where(covered, ratio, 1.0), np.max, 3)[edge] >= 3))


@pytest.mark.parametrize("tone", TONES)
@pytest.mark.parametrize("demo", ["cupboard-light", "level-crossing", "mailbox-flag"])
def test_parts_and_wires_are_seen(demo: str, tone: str) -> None:
    """The outline of each part and wire stands out from the board with 3:1 (WCAG 2.2, 1.4.11)."""
    picture, things = built(demo, TONES[tone])
    for stage, what in things.items():
        share = seen(picture, stage, TONES[tone])
        assert share >= LEAST, (what, share)


def test_the_measure_tells_a_pale_outline() -> None:
    """With every colour but the board's made pale, parts are found out: the measure can fail."""
    picture, _ = built("mailbox-flag", PLAIN)
    pale = re.sub(rf'="#(?!{palette.BOARD[1:]})[0-9A-Fa-f]{{6}}"', '="#DCCFB0"', picture.svg)
    assert seen(Picture(pale, "", picture.width, picture.height), 0, PLAIN) < LEAST
