"""Previews follow the lesson while somebody looks at them."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Frame, Page, expect

from buildalong.bench._following import following

from ._lamp import WORDS, write_lamp
from ._page import Opened
from .conftest import Beside

pytestmark = pytest.mark.debian("chromium")


@pytest.fixture(scope="module")
def bench(started: Callable[..., Beside]) -> Beside:
    return started("mailbox-flag", write_lamp)


def inside(page: Page) -> Frame:
    return next(frame for frame in page.frames if "/sheet/" in frame.url)


@pytest.mark.parametrize(("name", "head"), [("Article", "h2"), ("Slides", ".slide h2")])
def test_a_preview_is_made_anew_and_keeps_its_place(
    opened: Opened, bench: Beside, name: str, head: str
) -> None:
    """Another program changes words and title: the page follows; the reader stays at the same heading."""
    page = opened()
    page.get_by_role("button", name=name, exact=True).click()
    shown = page.frame_locator("#sheet iframe")
    expect(shown.locator(head).nth(2)).to_be_attached(timeout=60_000)
    page.wait_for_timeout(300)
    where = f"() => document.querySelectorAll('{head}')[2].getBoundingClientRect().top"
    frame = inside(page)
    frame.evaluate(f"() => scrollTo(0, scrollY + ({where})() - 20)")
    page.wait_for_timeout(300)
    before = frame.evaluate(where)
    assert frame.evaluate("scrollY") > 300
    facts = bench.folder / "lesson.toml"
    text = facts.read_text(encoding="utf-8")
    facts.write_text(text.replace("A lamp with a button", "A lantern with a button"), encoding="utf-8")
    words = bench.folder / "lesson.md"
    words.write_text(f"{WORDS}\n{'It is a good lamp. ' * 60}\n", encoding="utf-8")
    expect(shown.locator("h1").first).to_contain_text("A lantern with a button", timeout=60_000)
    page.wait_for_timeout(500)
    frame = inside(page)
    assert frame.evaluate("scrollY") > 300
    assert frame.evaluate(where) == pytest.approx(before, abs=2)
    assert frame.evaluate("window.origin") == "null"
    page.locator("#sheet").get_by_role("button", name="Close").click()
    write_lamp(bench.folder)
    expect(page.locator("#title")).to_have_text("A lamp with a button")


def test_the_script_that_keeps_the_place_is_allowed_by_its_digest() -> None:
    """What the page's policy allowed stays, and one script more (Content Security Policy 3, section 2.3)."""
    policy = "default-src 'none'; script-src 'sha256-abc'; base-uri 'none'"
    page = f'<meta http-equiv="Content-Security-Policy" content="{policy}"><body>x</body>'
    made = following(page.encode()).decode()
    assert "script-src 'sha256-abc' 'sha256-" in made
    assert made.count("<script>") == 1
    plain = following(page.replace("script-src 'sha256-abc'; ", "").encode()).decode()
    assert "base-uri 'none'; script-src 'sha256-" in plain
