"""Text is measured by the fonts' own tables, fits where it should, and every character can be drawn."""

import io

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from buildalong.drawing import _text, missing_characters, to_png
from buildalong.drawing._svg import Svg
from buildalong.drawing._text import font_files
from buildalong.quantity._si import PREFIXES, UNITS

from ._measure import FONTS, advance

PLAIN = st.text("ABCxyz019 .,µΩ→−", max_size=25)
NEEDED = "Ωµ→←↑↓−·×±°²³√½≤≥≈∞αβγδθλπστφωΔΣΦ‘’“”–—…éüßñçøÅłžЖя"


@pytest.mark.parametrize("style", ["regular", "bold", "italic"])
def test_widths_are_the_fonts_own(style: str) -> None:
    """The table of advances equals the hmtx table of the font files (OpenType 1.9, hmtx)."""
    for character in "AgWi1.Ωµ→ ":
        wanted = advance(character, style == "bold", style == "italic")
        assert _text.width(character, 1000, style) == pytest.approx(wanted * 1000, abs=1)  # type: ignore[arg-type]


@pytest.mark.parametrize("text", ["Wigwam 4.7 kΩ", "V_{CC} = 5 V", "10^{3} → 100 µF"])
@pytest.mark.parametrize("style", ["regular", "bold"])
def test_drawn_text_fills_its_measured_box(text: str, style: str) -> None:
    """The renderer's ink lies inside the measured box and nearly fills its width."""
    box = _text.box(20, 60, text, 40, "start", style)  # type: ignore[arg-type]
    svg = Svg(500, 100, title="t", alt="t")
    svg.text(20, 60, text, 40, style=style, fill="#000000")  # type: ignore[arg-type]
    image = Image.open(io.BytesIO(to_png(svg.picture(), 500, background="#FFFFFF"))).convert("L")
    ink = image.point(lambda value: 255 if value < 128 else 0).getbbox()
    assert ink is not None
    assert ink[0] >= box[0] - 1
    assert ink[2] <= box[2] + 1.5
    assert ink[2] - ink[0] >= 0.93 * (box[2] - box[0])
    assert ink[1] >= box[1] - 4
    assert ink[3] <= box[3] + 4


@given(PLAIN, st.floats(5, 300), st.sampled_from(["regular", "bold"]))
def test_fitted_text_fits(text: str, room: float, style: str) -> None:
    """A fitted label is never wider than its room, nor set larger than asked."""
    shown, size = _text.fit(text, 20, room, style, least=14)  # type: ignore[arg-type]
    assert size <= 20
    if shown != "…":
        assert _text.width(shown, size, style) <= room * 1.001  # type: ignore[arg-type]


@given(st.lists(st.text("abcdef", min_size=1, max_size=8), max_size=12))
def test_wrapping_keeps_every_word(words: list[str]) -> None:
    """Lines put together give the text back."""
    assert " ".join(_text.wrap(" ".join(words), 20, 120)) == " ".join(words)


def test_a_number_stays_with_its_unit() -> None:
    """No line begins with a unit (SI Brochure, 9th edition, 5.4.3: one space joins a number to its unit)."""
    words = "R2 and R3 2 % each, C1 and C2 47 kΩ apart, 100 000 ms in all"
    for room in range(60, 700, 7):
        lines = _text.wrap(words, 20, room)
        assert " ".join(lines) == words
        assert not any(line.startswith(("%", "kΩ", "ms", "000")) for line in lines)


def test_every_unit_and_symbol_can_be_drawn() -> None:
    """The vendored fonts have each unit, prefix and sign that the pictures use, in regular and bold."""
    shown = NEEDED + "".join(PREFIXES) + "".join(UNITS.values())
    assert _text.uncovered(shown, "regular") == ()
    assert _text.uncovered(shown, "bold") == ()


def test_fallback_font_holds_nothing_of_the_first() -> None:
    """Otherwise the renderer sets a whole label in the fallback font as soon as one sign needs it."""
    for style in ("Regular", "Bold"):
        first = set(TTFont(FONTS / f"AtkinsonHyperlegible-{style}.ttf").getBestCmap())
        second = set(TTFont(FONTS / f"DejaVuSans-{style}.ttf").getBestCmap())
        assert not first & second


def test_fonts_are_small_and_licensed() -> None:
    """Each file is under 60 kB, and each family's licence stands beside it."""
    assert len(font_files()) == 5
    for file in font_files():
        assert file.stat().st_size < 60_000
        assert list(FONTS.glob(f"LICENSE-{file.name.split('-')[0]}*"))


def test_missing_characters_are_reported() -> None:
    """A character that no font has is named; the renderer would draw a box for it."""
    svg = Svg(100, 50, title="t", alt="t")
    svg.text(5, 20, "a 漢 & <Ω>", 12)
    assert missing_characters(svg.picture()) == ("漢",)
