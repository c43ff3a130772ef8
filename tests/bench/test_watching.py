"""Another program writes into the lesson's folder: the page notices, and nothing that is unsaved is lost."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import expect

from ._lamp import FACTS, WORDS, write_lamp
from ._page import Opened
from .conftest import Beside

pytestmark = pytest.mark.debian("chromium")


@pytest.fixture(scope="module")
def bench(started: Callable[..., Beside]) -> Beside:
    return started("mailbox-flag", write_lamp)


def test_what_another_program_writes_is_taken_in(opened: Opened, bench: Beside) -> None:
    """Text, findings and circuit follow the file in every tab; nothing is unsaved; it can be taken back."""
    page, other = opened(), opened(390)
    facts = bench.folder / "lesson.toml"
    facts.write_text(FACTS.replace('"led-red"', '"led-rde"'), encoding="utf-8")
    for tab in (page, other):
        expect(tab.locator("textarea")).to_have_value(re.compile("led-rde"))
        expect(tab.locator("#findings .error").first).to_contain_text("led-rde")
        expect(tab.locator("#save")).to_be_disabled()
    facts.write_text(FACTS, encoding="utf-8")
    expect(page.locator("#findings .error")).to_have_count(0)
    expect(page.locator("#state")).to_contain_text("lesson.toml taken in from disk")
    page.get_by_role("button", name="Take back").click()
    expect(page.locator("textarea")).to_have_value(re.compile("led-rde"))
    page.get_by_role("button", name="Do again").click()
    expect(page.locator("textarea")).to_have_value(FACTS)


def test_unsaved_text_is_put_together_with_it_when_asked(opened: Opened, bench: Beside) -> None:
    """The page offers what the other program wrote, and keeps what was typed."""
    page = opened()
    words = bench.folder / "lesson.md"
    page.get_by_role("tab", name="lesson.md").click()
    page.locator("textarea").fill(WORDS.replace("Press", "Push"))
    expect(page.locator("#save")).to_be_enabled()
    words.write_text(f"{WORDS}\nAnd more.\n", encoding="utf-8")
    expect(page.locator("#disk")).to_contain_text("lesson.md: changed on disk by another program")
    expect(page.locator("textarea")).to_have_value(WORDS.replace("Press", "Push"))
    page.get_by_role("button", name="Take in").click()
    expect(page.locator("textarea")).to_have_value(re.compile("Push.*And more", re.DOTALL))
    page.get_by_role("button", name="Save").click()
    expect(page.locator("#save")).to_be_disabled()
    assert words.read_text(encoding="utf-8") == f"{WORDS.replace('Press', 'Push')}\nAnd more.\n"


def test_a_file_that_comes_and_one_that_goes(opened: Opened, bench: Beside) -> None:
    """A translation that somebody adds gets its place on the page; a file that goes is written by Save."""
    page = opened()
    there = bench.folder / "lesson.de.md"
    there.write_text("Drück!\n", encoding="utf-8")
    page.get_by_role("tab", name="lesson.de.md").click()
    expect(page.locator("textarea")).to_have_value("Drück!\n")
    there.unlink()
    expect(page.locator("#disk")).to_contain_text("lesson.de.md: changed on disk")
    page.get_by_role("button", name="Take in").click()
    page.get_by_role("button", name="Save").click()
    expect(page.locator("#state")).to_contain_text("aved: lesson.de.md")
    assert there.read_text(encoding="utf-8") == "Drück!\n"


def test_what_is_found_stays_in_sight_while_it_is_checked_again(opened: Opened, bench: Beside) -> None:
    """A broken promise is found only after the trials: until then the page shows it as found earlier."""
    page = opened()
    area = page.locator("textarea")
    area.fill(FACTS.replace('is     = "1 s"', 'is     = "2 s"'))
    broken = page.locator("#findings .error", has_text="on_time(DS1)")
    expect(broken).to_have_count(1)
    seen = page.evaluate("""async () => {
      const list = document.querySelector("#findings"), seen = [];
      const watch = new MutationObserver(() => seen.push([...list.children].map(item => item.className)));
      watch.observe(list, { childList: true });
      const area = document.querySelector("textarea");
      area.value += "# more"; area.dispatchEvent(new Event("input"));
      const board = document.querySelector("figure[data-picture=board]");
      while (board.getAttribute("aria-busy") === "true") await new Promise(done => setTimeout(done, 50));
      return seen; }""")
    assert "error" in seen[-1]
    assert not {"earlier", "remark"} & set(seen[-1])
    assert all("error" in kinds or "earlier" in kinds for kinds in seen)
    assert any("remark" in kinds for kinds in seen)
    page.get_by_role("button", name="Take back").click()
    page.get_by_role("button", name="Take back").click()
    expect(broken).to_have_count(0)
