"""Words of the trade in an article, in a real browser: explained on the spot, by keys and by touch."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.debian("chromium")


def test_keys_alone_open_and_close_an_explanation(opened: Callable[..., Page]) -> None:
    """Enter shows what the list of words says, Escape takes it away, the focus stays where it was."""
    page = opened("lighthouse")
    link, card = page.locator("a.term").first, page.locator(".explained")
    expect(card).to_be_hidden()
    link.focus()
    page.keyboard.press("Enter")
    expect(card).to_be_visible()
    entry = page.locator(link.get_attribute("href") or "")
    term, text = entry.locator("dfn").inner_text(), entry.locator("dd").inner_text()
    assert card.inner_text() == f"{term}: {text}"
    assert card.get_attribute("role") == "status"
    assert link.get_attribute("aria-expanded") == "true"
    page.keyboard.press("Escape")
    expect(card).to_be_hidden()
    assert link.get_attribute("aria-expanded") == "false"
    assert link.evaluate("e => e === document.activeElement")


@pytest.mark.parametrize("width", [1280, 390])
def test_an_explanation_stands_at_its_word(opened: Callable[..., Page], width: int) -> None:
    """A tap opens it beside the word and within the page; a second tap, or one elsewhere, closes it."""
    page = opened("lighthouse", width, has_touch=True)
    card = page.locator(".explained")
    for link in page.locator("a.term").all():
        link.scroll_into_view_if_needed()
        link.tap()
        expect(card).to_be_visible()
        at, word = card.bounding_box(), link.bounding_box()
        assert at is not None
        assert word is not None
        assert at["x"] >= 0
        assert at["x"] + at["width"] <= width
        assert abs(at["y"] - word["y"]) < word["height"] + at["height"] + 10
        link.tap()
        expect(card).to_be_hidden()
        link.tap()
        page.touchscreen.tap(2, 2)
        expect(card).to_be_hidden()


def test_without_scripts_a_term_leads_to_the_list(opened: Callable[..., Page]) -> None:
    """The link is a plain link to its entry, which is then in view."""
    page = opened("lighthouse", script=False)
    link = page.locator("a.term").first
    link.click()
    entry = page.locator(link.get_attribute("href") or "")
    expect(entry).to_be_in_viewport()
