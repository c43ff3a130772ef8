"""The article on paper: A4, few pages, nothing under nine points, no heading alone at the foot of a page."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Callable
from pathlib import Path

import pikepdf
import pytest
from playwright.sync_api import Page

pytestmark = pytest.mark.debian("chromium", "pdftotext")

MOST = {"lighthouse": 16, "mailbox-flag": 14}
"""Pages that a demo may take: two and more steps stand on one, our own choice."""
A4 = (595.3, 841.9)
"""ISO 216: 210 by 297 mm, in points of 1/72 inch."""
SMALL = """() => {
  const out = [];
  const seen = e => e.getClientRects().length && getComputedStyle(e).visibility !== 'hidden';
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const e = walk.currentNode.parentElement;
    if (!walk.currentNode.data.trim() || !seen(e)) continue;
    if (e.closest('style, script, title, desc, sub, math, .skip')) continue;
    const svg = e.closest('svg');
    if (svg && e.tagName === 'tspan') continue;
    let size = parseFloat(getComputedStyle(e).fontSize);
    if (svg) size *= e.getScreenCTM().a ? Math.hypot(e.getScreenCTM().a, e.getScreenCTM().b) : 1;
    if (size < 0.995 * 9 * 96 / 72) out.push(size.toFixed(1) + ': ' + walk.currentNode.data.slice(0, 40));
  }
  return out; }"""


@pytest.fixture
def printed(opened: Callable[..., Page], tmp_path: Path) -> Callable[[str], Path]:
    """Print the article of a demo lesson."""

    def to_pdf(name: str) -> Path:
        file = tmp_path / f"{name}.pdf"
        opened(name).pdf(path=file, prefer_css_page_size=True)
        return file

    return to_pdf


@pytest.mark.parametrize("name", MOST)
def test_takes_few_pages_of_a4(printed: Callable[[str], Path], name: str) -> None:
    """Every page is A4, and they are no more than such a lesson is worth."""
    with pikepdf.open(printed(name)) as pdf:
        for page in pdf.pages:
            size = sorted(float(v) for v in page.mediabox[2:])
            assert size == pytest.approx(sorted(A4), abs=1.5)
        assert len(pdf.pages) <= MOST[name]


@pytest.mark.parametrize("name", MOST)
def test_nothing_printed_is_under_nine_points(opened: Callable[..., Page], name: str) -> None:
    """Measured in the browser with the width of the sheet: each letter of words and pictures has 9 pt.

    Indices and what stands in formulas are smaller, as in any book. Nothing is wider than the sheet: the
    browser would print the whole page smaller.
    """
    page = opened(name, 711, 1000)  # 188 mm
    page.emulate_media(media="print")
    assert page.evaluate("document.documentElement.scrollWidth") <= 711
    assert page.evaluate(SMALL) == []


@pytest.mark.parametrize("name", MOST)
def test_no_heading_stands_alone_at_the_foot(printed: Callable[[str], Path], name: str) -> None:
    """The last words of a page above its number are no heading: they are as small as the text."""
    words = subprocess.run(
        ["/usr/bin/pdftotext", "-bbox", str(printed(name)), "-"], capture_output=True, text=True, check=True
    ).stdout
    for number, page in enumerate(words.split("<page ")[1:], start=1):
        boxes = [
            (float(low), float(low) - float(high), text)
            for high, low, text in re.findall(r'yMin="([\d.]+)" xMax="[\d.]+" yMax="([\d.]+)">([^<]*)<', page)
        ]
        body = [box for box in boxes if box[0] < A4[1] - 28]  # the number stands in the margin of 10 mm
        last = max(body)
        assert last[1] < 15, (number, last)
