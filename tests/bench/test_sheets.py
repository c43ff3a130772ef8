"""The side sheets and a walk by keys alone, in a real browser.

What a sheet must find is planted: a resistor's lead pulled out of its hole; the sheet's own sentences are the
lesson's.  WCAG 2.2 (2.1.1 keyboard, 2.4.3 focus order, 2.1.2 no trap) is what the walk goes by.
"""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from ._lamp import write_lamp
from ._page import Opened, lamp, part
from .conftest import Beside

pytestmark = pytest.mark.debian("chromium")
WHERE_FOCUS = """() => {
  const at = document.activeElement, home = at.closest("header, section");
  if (at === document.body) return "end";
  return home ? home.id || home.tagName : at.className; }"""
"""The part of the page that has the focus."""


@pytest.fixture(scope="module")
def bench(started: Callable[..., Beside]) -> Beside:
    return started("mailbox-flag", write_lamp)


def serious(page: Page) -> list[tuple[str, str]]:
    """What axe-core finds serious or worse."""
    found = Axe().run(page).response["violations"]
    return [(v["id"], v["nodes"][0]["html"][:200]) for v in found if v["impact"] in ("serious", "critical")]


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("Other values", "that keep the promises"),
        ("Mistakes", "single mistakes"),
        ("Many builds", "simulated"),
    ],
)
def test_a_sheet_tells_how_far_it_is_is_stopped_and_asked_again(opened: Opened, name: str, told: str) -> None:
    """Progress while it works; Stop ends it; Again brings the answer; Escape closes; focus goes back."""
    page = opened()
    page.get_by_role("button", name=name).click()
    expect(page.locator("#sheet progress")).to_be_visible()
    page.get_by_role("button", name="Stop").click()
    expect(page.locator("#sheet-state")).to_have_text("Stopped.")
    expect(page.locator("#sheet progress")).to_be_hidden()
    expect(page.locator("#sheet-body")).to_be_empty()
    page.locator("#sheet-again").click()
    expect(page.locator("#sheet-body")).to_contain_text(told)
    for row in page.locator("#sheet-body tr", has_text="get warm").all():
        expect(row.locator("td").last).to_contain_text("pull one lead of it at once")
    assert serious(page) == []
    page.keyboard.press("Escape")
    expect(page.locator("#sheet")).to_be_hidden()
    expect(page.get_by_role("button", name=name)).to_be_focused()


def test_promises_are_told_in_the_authors_words(opened: Opened) -> None:
    """The head of the values' table is the sentence of the lesson, with the measure below it."""
    page = opened()
    page.get_by_role("button", name="Other values").click()
    head = page.locator("#sheet-body th", has_text="it shines for as long as you press")
    expect(head.locator("code")).to_have_text("on_time(DS1)")


def test_a_planted_fault_is_found_by_its_symptom_with_the_board_in_sight(opened: Opened) -> None:
    """R1's lead pulled out: the lamp stays dark; beside the sheet the button is pressed to see it."""
    page = opened()
    page.get_by_label("move a lead").check()
    page.locator("#lead-form select").select_option("R1|0")
    page.get_by_role("button", name="Pull it out").click()
    expect(page.locator("#wrong .symptom")).to_be_visible()
    page.get_by_label("press and look").check()
    page.get_by_role("button", name="Fault finder").click()
    finder = page.frame_locator("#sheet iframe")
    expect(finder.locator("h1")).to_have_text("Find the fault")
    button = part(page, "S1")
    button.hover()
    page.mouse.down()
    expect(button).to_have_attribute("aria-pressed", "true")
    expect(lamp(page)).to_have_attribute("opacity", "0")
    page.mouse.up()
    finder.get_by_role("link", name="The light never comes on").click()
    expect(finder.get_by_text(re.compile(r"R1.*(missing|no contact)")).first).to_be_visible()
    page.locator("#sheet").get_by_role("button", name="Close").click()
    page.get_by_role("button", name="Put it back").click()
    expect(page.locator("#wrong")).to_be_hidden()


def test_what_holds_a_sheet_up_is_told_in_it(opened: Opened) -> None:
    """With an error in the text there is no article; the sheet names the error."""
    page = opened()
    area = page.locator("textarea")
    before = area.input_value()
    area.fill(before.replace('"led-red"', '"led-rde"'))
    expect(page.locator("#findings .error").first).to_contain_text("led-rde")
    page.get_by_role("button", name="Article").click()
    expect(page.locator("#sheet-body")).to_contain_text("no part 'led-rde' lesson.toml, line 9")
    page.keyboard.press("Escape")
    area.press("Control+z")
    expect(area).to_have_value(before)
    expect(page.locator("#findings .error")).to_have_count(0)


@pytest.mark.parametrize(("width", "scheme"), [(1440, "dark"), (390, "light"), (390, "dark")])
def test_axe_is_content_with_every_hand(opened: Opened, width: int, scheme: str) -> None:
    """Forms, notes and warnings of each hand; nothing makes the page wider than the screen."""
    page = opened(width, color_scheme=scheme)
    for what in ("move a lead", "hold the meter", "change the lesson"):
        page.get_by_label(what).check()
        if what == "move a lead":
            page.locator("#lead-form select").select_option("R1|0")
            page.get_by_role("button", name="Pull it out").click()
            expect(page.locator("#wrong")).to_be_visible()
        assert serious(page) == []
        assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.get_by_role("button", name="Put it back").click()
    expect(page.locator("#wrong")).to_be_hidden()


def test_the_page_is_walked_through_by_keys_alone(opened: Opened) -> None:
    """Tab comes to every part of the page in its order and out of the text; nothing holds the focus fast."""
    page = opened()
    met: list[str] = []
    for _ in range(60):
        page.keyboard.press("Tab")
        met.append(page.evaluate(WHERE_FOCUS))
        if met[-1] == "end":
            break
    assert met[-1] == "end", "the focus never came round"
    sections = list(dict.fromkeys(met))
    assert sections == ["skip", "HEADER", "source", "circuit", "board", "behaviour", "end"]
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.closest('#board') !== null"), "the skip link leads elsewhere"


def test_the_parts_with_other_values_are_chosen_on_the_sheet(opened: Opened) -> None:
    """Only R1 has a value in this lesson: without it nothing can be looked for, with it the rows come."""
    page = opened()
    page.get_by_role("button", name="Other values").click()
    box, look = page.get_by_label("R1", exact=True), page.get_by_role("button", name="Look for these")
    expect(box).to_be_checked()
    box.uncheck()
    expect(look).to_be_disabled()
    box.check()
    look.click()
    expect(page.get_by_role("button", name=re.compile("^Use .* for R1$")).first).to_be_visible()
