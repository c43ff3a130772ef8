"""Previews follow the lesson while somebody looks at them."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress

import pytest
from playwright.sync_api import Error, Frame, Page, expect

from buildalong.bench._following import following
from buildalong.publish._typeset import page_count

from ._lamp import WORDS, write_lamp
from ._page import Opened
from .conftest import Beside

pytestmark = pytest.mark.debian("chromium")


@pytest.fixture(scope="module")
def bench(started: Callable[..., Beside]) -> Beside:
    return started("mailbox-flag", write_lamp)


def inside(page: Page) -> Frame:
    return next(frame for frame in page.frames if "/sheet/" in frame.url)


def resting(page: Page, where: str) -> float:
    """Where something in the preview is, once it has been there for half a second."""
    seen: list[float] = []
    while len(seen) < 6 or len(set(seen[-6:])) > 1:
        page.wait_for_timeout(100)
        with suppress(Error):  # the preview was just made anew
            seen.append(inside(page).evaluate(where))
    return seen[-1]


@pytest.mark.parametrize(("name", "head"), [("Article", "h2"), ("Slides", ".slide h2"), ("Handout", "img")])
def test_a_preview_is_made_anew_and_keeps_its_place(
    opened: Opened, bench: Beside, name: str, head: str
) -> None:
    """Another program changes words and title: the page follows; the reader stays at the same heading."""
    page = opened()
    page.get_by_role("button", name=name, exact=True).click()
    shown = page.frame_locator("#sheet iframe")
    expect(shown.locator(head).nth(2)).to_be_attached()
    where = f"() => document.querySelectorAll('{head}')[2].getBoundingClientRect().top"
    resting(page, where)
    inside(page).evaluate(f"() => scrollTo(0, scrollY + ({where})() - 20)")
    before = resting(page, where)
    assert inside(page).evaluate("scrollY") > 300
    facts = bench.folder / "lesson.toml"
    text = facts.read_text(encoding="utf-8")
    facts.write_text(text.replace("A lamp with a button", "A lantern with a button"), encoding="utf-8")
    words = bench.folder / "lesson.md"
    words.write_text(f"{WORDS}\n{'It is a good lamp. ' * 60}\n", encoding="utf-8")
    expect(shown.locator("h1").first).to_contain_text("A lantern with a button")
    assert resting(page, where) == pytest.approx(before, abs=2)
    assert inside(page).evaluate("scrollY") > 300
    assert inside(page).evaluate("window.origin") == "null"
    page.locator("#sheet").get_by_role("button", name="Close").click()
    write_lamp(bench.folder)
    expect(page.locator("#title")).to_have_text("A lamp with a button")


def test_the_handouts_pages_are_shown_as_they_are_printed(opened: Opened) -> None:
    """As many pages as the PDF has (ISO 32000-1, 7.7.3: its page tree), each drawn; the PDF is beside."""
    page = opened(390)
    page.get_by_role("button", name="Handout", exact=True).click()
    pages = page.frame_locator("#sheet iframe").locator("img")
    expect(pages.first).to_be_visible()
    linked = page.locator("#sheet-body").get_by_role("link", name="PDF").get_attribute("href")
    assert linked is not None
    body = page.context.request.get(f"http://127.0.0.1:{page.url.split(':')[2].strip('/')}{linked}").body()
    assert page_count(body) > 2
    expect(pages).to_have_count(page_count(body))  # they arrive one after another
    shapes = pages.evaluate_all(
        "async all => { for (const one of all) await one.decode();"
        " return all.map(one => [one.naturalWidth / one.naturalHeight, one.clientWidth]); }"
    )
    for ratio, wide in shapes:
        assert ratio == pytest.approx(210 / 297, abs=0.01)
        assert 250 < wide <= 390


def test_the_script_that_keeps_the_place_is_allowed_by_its_digest() -> None:
    """What the page's policy allowed stays, and one script more (Content Security Policy 3, section 2.3)."""
    policy = "default-src 'none'; script-src 'sha256-abc'; base-uri 'none'"
    page = f'<meta http-equiv="Content-Security-Policy" content="{policy}"><body>x</body>'
    made = following(page.encode()).decode()
    assert "script-src 'sha256-abc' 'sha256-" in made
    assert made.count("<script>") == 1
    plain = following(page.replace("script-src 'sha256-abc'; ", "").encode()).decode()
    assert "base-uri 'none'; script-src 'sha256-" in plain
