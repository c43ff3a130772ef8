"""The same widths in the browser as in our tables, so that a label fits there as it fits in a PNG."""

from __future__ import annotations

import base64
import html

import pytest
from playwright.sync_api import Browser, Page

from buildalong.drawing import _text, vendored_fonts
from buildalong.drawing._svg import Svg

pytestmark = pytest.mark.debian("chromium")

TEXTS = (
    "Wigwam", "AVATAR To.", "threshold 4.1 V", "100 kΩ ± 5 %", "V_{CC} = 5 V", "10^{3} → 100 µF", "β ≥ 100",
    "2/3 of supply", "−0.7 V", "Жук", "DS10", "How long DS1 stays lit: 388 ms by the formula",
)  # fmt: skip
STYLES = ("regular", "bold", "italic")
SIZES = (12.0, 19.5, 40.0)


@pytest.fixture
def page(browser: Browser) -> Page:
    """A page with the vendored fonts, loaded as the article loads them."""
    faces = "".join(
        f'@font-face{{font-family:"{f.family}";font-weight:{f.weight};font-style:{f.style};'
        f'src:url(data:font/ttf;base64,{base64.b64encode(f.data).decode()}) format("truetype")}}'
        for f in vendored_fonts()
    )
    page = browser.new_page()
    page.set_content(f"<!doctype html><style>{faces}</style><div id=all></div>")
    return page


def measured(page: Page, kerning: str) -> list[tuple[str, str, float, float]]:
    """(text, style, size, width) of every label as the browser sets our own SVG."""
    out = []
    for style in STYLES:
        for size in SIZES:
            svg = Svg(900, 40 * len(TEXTS), title="t", alt="t")
            for index, text in enumerate(TEXTS):
                svg.text(5, 40 * index + 30, text, size, style=style)  # type: ignore[arg-type]
            page.evaluate(
                "([svg, kerning]) => { const all = document.getElementById('all'); all.innerHTML = svg;"
                " all.style.fontKerning = kerning; }",
                [svg.picture().svg, kerning],
            )
            page.evaluate("document.fonts.ready")
            widths = page.evaluate(
                "[...document.querySelectorAll('#all text')].map(e => e.getComputedTextLength())"
            )
            out += [(text, style, size, w) for text, w in zip(TEXTS, widths, strict=True)]
    return out


def test_fonts_are_the_vendored_ones(page: Page) -> None:
    """The browser loads each vendored face; none is replaced by a font of the system."""
    for font in vendored_fonts():
        face = f"{font.style} {font.weight} 20px '{font.family}'"
        sample = "Ω" if font.family == "DejaVu Sans" else "A"
        assert (
            page.evaluate("async ([f, s]) => (await document.fonts.load(f, s)).length", [face, sample]) == 1
        )


def test_widths_without_kerning_are_ours(page: Page) -> None:
    """Without kerning each label is as wide in Chromium as by our advances, to half a per cent."""
    for text, style, size, width in measured(page, "none"):
        ours = _text.width(text, size, style)  # type: ignore[arg-type]
        assert width == pytest.approx(ours, rel=0.005, abs=0.15), (html.escape(text), style, size)


def test_kerning_hardly_makes_labels_wider(page: Page) -> None:
    """As a page sets them, with kerning, labels need no more room than we keep for them, to 0.3 %."""
    for text, style, size, width in measured(page, "auto"):
        ours = _text.width(text, size, style)  # type: ignore[arg-type]
        assert 0.93 * ours <= width <= 1.003 * ours + 0.15, (text, style, size)
