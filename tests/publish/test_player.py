"""The step player in a real browser, by keyboard, by finger and by ear.

Keys and live regions: WAI-ARIA Authoring Practices 1.2 (toolbar keys; status messages, WCAG 2.2, 4.1.3).
"""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page

pytestmark = pytest.mark.debian("chromium")


def now(page: Page) -> str | None:
    return page.locator(".step.now").get_attribute("id")


def test_keyboard_walks_through_the_steps(opened: Callable[..., Page]) -> None:
    """Tab reaches the player; arrows, Home, End and buttons move through every step, and the ends hold."""
    page = opened("lighthouse")
    count = page.locator(".step").count()
    page.locator(".motion input").last.focus()
    for _ in range(4):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.dataset.do") == "next":
            break
    assert page.evaluate("document.activeElement.dataset.do") == "next"
    for _ in range(count + 2):
        page.keyboard.press("ArrowRight")
    assert now(page) == f"step-{count}"
    assert page.locator(".player [data-do=next]").is_disabled()
    page.locator(".player [data-do=back]").focus()
    page.keyboard.press("Enter")
    assert now(page) == f"step-{count - 1}"
    page.keyboard.press("Home")
    assert now(page) == "step-1"
    page.locator(".player [data-do=next]").focus()
    page.keyboard.press("End")
    assert now(page) == f"step-{count}"
    assert page.locator(".step:visible").count() == 1


def test_the_keys_go_on_where_a_button_has_come_to_its_end(opened: Callable[..., Page]) -> None:
    """The button pressed for the last time does not swallow the next key (WCAG 2.2, 2.1.1)."""
    page = opened("lighthouse")
    count = page.locator(".step").count()
    page.locator(".player [data-do=next]").focus()
    for _ in range(count - 1):
        page.keyboard.press("Enter")
    assert now(page) == f"step-{count}"
    page.keyboard.press("ArrowLeft")
    assert now(page) == f"step-{count - 1}"


def test_each_step_is_announced(opened: Callable[..., Page]) -> None:
    """A screen reader is told which step of how many, and its title."""
    page = opened("lighthouse")
    page.locator(".player [data-do=next]").click()
    where = page.locator(".where")
    assert where.get_attribute("aria-live") == "polite"
    title = page.locator("#step-2 h3").evaluate("e => e.lastChild.textContent")
    count = page.locator(".step").count()
    assert where.evaluate("e => e.textContent") == f"Step 2 of {count}: {title}"


def test_a_mark_leads_to_its_step(opened: Callable[..., Page]) -> None:
    """Each step has a mark to tap, one of them in the order of Tab; arrows move along the marks."""
    page = opened("lighthouse")
    marks = page.locator(".progress a")
    assert marks.count() == page.locator(".step").count()
    marks.nth(4).click()
    assert now(page) == "step-5"
    assert page.locator(".progress a[aria-current=step]").inner_text() == "5"
    assert page.locator(".progress a[tabindex='0']").count() == 1
    page.keyboard.press("ArrowLeft")
    assert page.evaluate("document.activeElement.textContent") == "4"


def test_a_swipe_turns_the_page(opened: Callable[..., Page]) -> None:
    """A finger that moves left brings the next step, right the last; up and down it scrolls as ever."""
    page = opened("lighthouse", 390, has_touch=True)
    finger = page.context.new_cdp_session(page)
    page.evaluate("document.documentElement.style.scrollBehavior = 'auto'")
    page.locator(".player").evaluate("e => e.scrollIntoView()")

    def move(*places: tuple[int, int]) -> None:
        for kind, (x, y) in zip(("touchStart", *["touchMove"] * (len(places) - 1)), places, strict=True):
            finger.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [{"x": x, "y": y}]})
        finger.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})

    move((300, 500), (250, 503), (180, 505))
    assert now(page) == "step-2"
    move((100, 500), (150, 497), (220, 495))
    assert now(page) == "step-1"
    before = page.evaluate("scrollY")
    move((200, 600), (204, 560), (210, 500), (216, 300))
    page.wait_for_function(f"scrollY > {before} + 100")
    assert now(page) == "step-1"


def test_the_place_is_kept(opened: Callable[..., Page]) -> None:
    """A link to a step leads to it, and a page that is loaded again is where it was."""
    page = opened("mailbox-flag")
    page.goto(page.url.split("#")[0] + "#step-3")
    page.reload()
    assert now(page) == "step-3"
    page.locator(".player [data-do=next]").click()
    page.reload()
    assert now(page) == "step-4"


def test_the_reader_chooses_dark_or_light(opened: Callable[..., Page]) -> None:
    """The page follows the device until its own button is pressed, and is light on paper."""
    page = opened("mailbox-flag", color_scheme="dark")
    ground = "getComputedStyle(document.body).backgroundColor"
    button = page.locator(".theme")
    dark = page.evaluate(ground)
    assert button.get_attribute("aria-pressed") == "true"
    button.click()
    assert button.get_attribute("aria-pressed") == "false"
    assert page.evaluate(ground) != dark
    button.click()
    assert page.evaluate(ground) == dark
    page.emulate_media(media="print")
    assert page.evaluate(ground) == "rgb(255, 255, 255)"
