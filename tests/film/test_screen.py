"""Frames, overlays and thumbnail: nothing outside, nothing too small, clear where it should be."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from buildalong.drawing import Picture, missing_characters, net_colours, to_png
from buildalong.drawing.screen import (
    EXHIBIT,
    SHAPES,
    TALL,
    WIDE,
    Shape,
    chip,
    fitted,
    listing,
    lower_third,
    panel,
    part_tag,
    parts_table,
    thumbnail,
)
from buildalong.film import film
from buildalong.lesson import Compiled
from buildalong.words import speaking
from drawing._measure import Sheet


def opacity(picture: Picture, width: int) -> np.ndarray:
    png = to_png(picture, width, background="none")
    return np.asarray(Image.open(io.BytesIO(png)).convert("RGBA"))[..., 3]


WORDS = st.text(st.sampled_from("abc defg hij. kΩ 123 Wwm"), max_size=400)


@given(WORDS, WORDS, WORDS, st.lists(WORDS, max_size=8), st.sampled_from([WIDE, TALL]))
def test_words_never_leave_their_place(
    title: str, text: str, callout: str, points: list[str], shape: Shape
) -> None:
    """However much an author writes: no text beyond the frame, over the exhibit, or where captions stand."""
    made = panel(shape, title, kicker=text[:60], number=7, text=text, callout=callout, points=points)
    left, top = shape.exhibit.x, shape.exhibit.y
    for found in Sheet(made.svg).texts:
        x0, y0, x1, y1 = found.box
        assert x0 >= 0
        assert x1 <= shape.width
        assert y1 <= shape.height - 110
        over = x0 < left + EXHIBIT[0] and x1 > left and y0 < top + EXHIBIT[1] and y1 > top
        assert not over, found


@pytest.mark.parametrize("shape", SHAPES.values(), ids=lambda shape: shape.name)
def test_usual_words_are_large(shape: Shape) -> None:
    """A step's words have at least 28 pixels in a frame of 1080: a fortieth of it (common practice)."""
    made = panel(
        shape, "Wire from c8 to c10", kicker="A lighthouse for the harbour model", number=12,
        text="Take C1 (10 µF electrolytic capacitor). The plus lead goes into a11; the minus lead into a10.",
        callout="Look twice: the stripe belongs at hole a10. The other way round the capacitor may burst.",
    )  # fmt: skip
    assert made.smallest_text >= 28


def test_cards_are_clear_but_for_themselves() -> None:
    """A card covers less than a fifth of the frame; outside it the picture is wholly clear."""
    for shape in SHAPES.values():
        for card in (
            lower_third(shape, "R1: 56 kΩ resistor", number=3),
            lower_third(shape, "x", callout="Look"),
        ):
            seen = opacity(card, shape.width)
            assert seen.shape == (shape.height, shape.width)
            assert 0.02 < (seen > 0).mean() < 0.2
            assert seen.max() >= 250
            assert not seen[: shape.height // 2].any()


def test_tags_name_value_and_bands(mailbox: Compiled) -> None:
    """A resistor's tag says its value and its bands in words (IEC 60062: 47 kΩ is yellow violet orange)."""
    tag = part_tag(mailbox.circuit.by_id["R1"])
    said = {text.text for text in Sheet(tag.svg).texts}
    assert {"R1", "47 kΩ", "yellow, violet, orange, gold"} <= said
    corner = opacity(tag, round(tag.width))
    assert corner[0, 0] == 0
    for part in mailbox.circuit.parts:
        assert missing_characters(part_tag(part)) == ()


def test_tags_speak_the_language(mailbox: Compiled) -> None:
    """The tag of a part in French: its noun, its colours, its print (colours after IEC 60757)."""
    told = {"DS1": "LED rouge", "R1": "jaune, violet, orange, doré", "U1": "inscription\u00a0: TLC555"}
    with speaking("fr"):
        for part, words in told.items():
            assert words in part_tag(mailbox.circuit.by_id[part]).svg


def test_net_labels_have_the_colours_of_the_pictures(mailbox: Compiled) -> None:
    """The chip of a net is edged in the colour that the finished board gives it."""
    for net, colour in net_colours(mailbox.circuit, mailbox.layout).items():
        assert f'stroke="{colour.hex}"' in chip(net, colour).svg


def test_pictures_of_one_plane_lie_over_each_other(mailbox: Compiled) -> None:
    """Two pictures given the same frame are placed by the same scale and origin."""
    inner = Picture('<svg viewBox="10 20 100 50" width="100" height="50"></svg>', "", 100.0, 50.0)
    part = Picture('<svg viewBox="60 20 50 50" width="50" height="50"></svg>', "", 50.0, 50.0)
    frame = inner.box
    scale = (EXHIBIT[0] - 24) / 100
    assert f'x="{12:.3f}"' in fitted(inner, frame).svg
    assert f'x="{12 + 50 * scale:.3f}"' in fitted(part, frame).svg


def test_thumbnail_is_read_as_a_stamp(mailbox: Compiled) -> None:
    """1280 by 720; the title's letters are at least a fifteenth of its height (our judgement)."""
    made = film(mailbox, ("thumbnail",))
    image = Image.open(io.BytesIO(made.files["thumbnail.png"]))
    assert image.size == (1280, 720)
    board = Picture('<svg viewBox="0 0 10 10" width="10" height="10"></svg>', "", 10.0, 10.0)
    svg = thumbnail("A lighthouse for the harbour model", ("10 parts",), board).svg
    assert max(float(size) for size in re.findall(r'font-size="([\d.]+)"', svg)) >= 48


def test_overlays_of_a_lesson(mailbox: Compiled) -> None:
    """A card for each scene, a warning where there is one, a tag for each part, a label for each net."""
    small = replace(mailbox, steps=mailbox.steps[:2])
    names = set(film(small, ("overlays",), ("wide",)).files)
    assert {"overlays/step-01-wide.png", "overlays/step-01-warning-wide.png"} <= names
    assert "overlays/step-02-warning-wide.png" not in names
    assert {f"overlays/part-{part.id}.png" for part in mailbox.circuit.parts} <= names
    assert {f"overlays/net-{net}.png" for net in mailbox.circuit.nets} <= names
    assert not any("tall" in name for name in names)


def test_exhibits_keep_their_texts_inside(compiled_demo: Callable[[str], Compiled]) -> None:
    """Parts table and list: no text over an edge."""
    parts = compiled_demo("mailbox-flag").circuit.parts
    plain = [part for part in parts if part.type.family == "resistor"]
    table = parts_table([(part, part.id, "a long name " * 9) for part in plain], "and 3 more")
    for made in (table, listing(["one two three " * 12] * 6, warn=True)):
        for text in Sheet(made.svg).texts:
            assert text.box[0] >= 0
            assert text.box[2] <= EXHIBIT[0]
            assert text.box[3] <= EXHIBIT[1]
