"""The bench in a real browser, used as a person would: mouse, touch and keyboard."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Callable

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from ._lamp import FACTS, write_lamp
from ._page import BRIGHT, Opened, drag, lamp, middle, part
from .conftest import Beside

pytestmark = pytest.mark.debian("chromium")
SCRIPT = "<script>document.title='owned'</script><img src=x onerror=\"document.title='owned'\">"


@pytest.fixture(scope="module")
def bench(started: Callable[..., Beside]) -> Beside:
    return started("mailbox-flag", write_lamp)


def test_a_press_lights_the_lamp_for_as_long_as_it_lasts(opened: Opened) -> None:
    """By mouse, keyboard and touch; the address shows no secret."""
    page = opened(has_touch=True)
    assert "key" not in page.url
    at = middle(part(page, "S1"))
    page.mouse.move(*at)
    page.mouse.down()
    expect(lamp(page)).to_have_attribute("opacity", BRIGHT)
    expect(part(page, "S1")).to_have_attribute("aria-pressed", "true")
    page.mouse.up()
    expect(lamp(page)).to_have_attribute("opacity", "0")
    part(page, "S1").focus()
    page.keyboard.down("Space")
    expect(lamp(page)).to_have_attribute("opacity", BRIGHT)
    page.keyboard.up("Space")
    expect(lamp(page)).to_have_attribute("opacity", "0")
    page.touchscreen.tap(*at)
    expect(page.locator("#log li", has_text="DS1 goes out")).not_to_have_count(0)


def test_part_and_net_light_up_in_both_pictures(opened: Opened) -> None:
    """Pointing at R1, or walking to it with Tab and arrows, marks it twice; a net likewise."""
    page = opened()
    part(page, "R1").hover()
    expect(page.locator(".part.hot[data-part=R1]")).to_have_count(2)
    part(page, "S1", "schematic").focus()
    page.keyboard.press("ArrowRight")
    expect(page.locator(".part.hot")).to_have_count(2)
    page.locator("figure[data-picture=board] .net[data-net=PLUS]").first.dispatch_event("pointerover", {})
    expect(page.locator("figure[data-picture=schematic] .net.hot[data-net=PLUS]")).not_to_have_count(0)
    expect(page.locator("figure[data-picture=board] .strip.hot[data-net=PLUS]")).not_to_have_count(0)


def test_a_lead_pulled_out_tells_what_comes_of_it_and_goes_back(opened: Opened, bench: Beside) -> None:
    """The read-back difference and the symptom at once; the file is not touched."""
    page = opened()
    page.get_by_label("move a lead").check()
    page.locator("#lead-form select").select_option("R1|0")
    page.get_by_role("button", name="Pull it out").click()
    wrong = page.locator("#wrong")
    expect(wrong).to_contain_text("R1: out of hole b7")
    expect(wrong.locator(".symptom")).to_contain_text("DS1")
    expect(wrong.locator(".difference")).to_contain_text("R1's lead is in no hole")
    page.locator("#lead-form input").fill("b30")
    page.get_by_role("button", name="Put it there").click()
    expect(page.locator("#about")).to_contain_text("cannot be done")
    page.locator("#lead-form select").select_option("wire 1|1")
    page.locator("#lead-form input").fill("a12")
    page.get_by_role("button", name="Put it there").click()
    expect(page.locator("#about")).to_contain_text("holds wire 1 and wire 2")
    page.locator("#lead-form input").fill("b12")
    page.get_by_role("button", name="Put it there").click()
    expect(wrong.locator(".danger")).to_contain_text("shorted supply")
    page.get_by_role("button", name="Put it back").click()
    expect(wrong).to_be_hidden()
    assert (bench.folder / "lesson.toml").read_text(encoding="utf-8") == FACTS


def test_the_meter_shows_the_supply(opened: Opened) -> None:
    """Three AA cells are 4.5 V; at half of it the meter shows half."""
    page = opened()
    page.get_by_label("hold the meter").check()
    page.get_by_label("Red lead").fill("L+8")
    page.get_by_label("black lead").fill("L-8")
    page.get_by_role("button", name="Hold it there").click()
    expect(page.locator("#meter")).to_have_text("4.50 V")
    knob = page.locator("[data-knob='BT1|volts']")
    knob.evaluate("e => { e.value = e.max / 2; e.dispatchEvent(new Event('input')); }")
    expect(page.locator("#meter")).to_have_text(re.compile(r"2\.[34]\d V"))
    page.get_by_role("button", name="Take it off").click()
    knob.evaluate("e => { e.value = 938; e.dispatchEvent(new Event('input')); }")


def test_typing_tells_findings_and_every_tab_agrees(opened: Opened, bench: Beside) -> None:
    """A misspelt part is found as it is typed, underlined, told in both tabs, taken back, and saved."""
    page, other = opened(), opened(390)
    area = page.locator("textarea")
    area.fill(FACTS.replace('"led-red"', '"led-rde"'))
    expect(page.locator("#findings .error").first).to_contain_text("led-rde")
    expect(page.locator(".marks mark.error").first).to_have_text('"led-rde"')
    expect(other.locator("#findings .error").first).to_contain_text("led-rde")
    assert "led-rde" in other.locator("textarea").input_value()
    page.get_by_role("button", name="Take back").click()
    expect(page.locator("#findings .error")).to_have_count(0)
    assert area.input_value() == FACTS
    area.fill(FACTS.replace('"220"', '"470"'))
    expect(page.locator("body")).to_have_attribute("data-findings", re.compile("final"))
    expect(other.locator("#save")).to_be_enabled()
    assert '"220"' in (bench.folder / "lesson.toml").read_text(encoding="utf-8")
    page.get_by_role("button", name="Save").click()
    expect(other.locator("#save")).to_be_disabled()
    assert (bench.folder / "lesson.toml").read_text(encoding="utf-8") == FACTS.replace('"220"', '"470"')


def test_a_file_changed_by_somebody_else_is_not_written_over(opened: Opened, bench: Beside) -> None:
    """Both changes are kept where they do not meet."""
    page = opened()
    words = bench.folder / "lesson.md"
    page.get_by_role("tab", name="lesson.md").click()
    page.locator("textarea").fill(words.read_text(encoding="utf-8").replace("Press", "Push"))
    expect(page.locator("#save")).to_be_enabled()
    words.write_text(words.read_text(encoding="utf-8") + "\nAnd more.\n", encoding="utf-8")
    page.get_by_role("button", name="Save").click()
    expect(page.locator("#disk")).to_contain_text("changed on disk")
    page.get_by_role("button", name="Take in").click()
    expect(page.locator("textarea")).to_have_value(re.compile("Push.*And more", re.DOTALL))
    page.get_by_role("button", name="Save").click()
    expect(page.locator("#save")).to_be_disabled()
    text = words.read_text(encoding="utf-8")
    assert text.startswith("Push")
    assert text.endswith("And more.\n")


def test_a_part_is_moved_in_the_text(opened: Opened) -> None:
    """By keyboard and by mouse; comments stay; what cannot stand there is explained; undo brings it back."""
    page = opened()
    before = page.locator("textarea").input_value()
    page.get_by_label("change the lesson").check()
    page.locator("#lesson-form [name=thing]").select_option("R1")
    page.locator("#lesson-form [name=hole]").fill("a7")
    page.get_by_role("button", name="Put it there").click()
    expect(page.locator("textarea")).to_have_value(re.compile(r'R1 += \["a7", "a11"\]'))
    after = page.locator("textarea").input_value()
    assert "# A comment that must stay." in after
    assert "# the button" in after
    page.locator("#lesson-form [name=hole]").fill("c11")
    page.get_by_role("button", name="Put it there").click()
    expect(page.locator("#about")).to_contain_text("cannot be done")
    page.get_by_role("button", name="Take back").click()
    expect(page.locator("textarea")).to_have_value(before)
    drag(page, "b7", "a7")
    expect(page.locator("textarea")).to_have_value(re.compile(r'R1 += \["a7", "a11"\]'))
    page.get_by_role("button", name="Take back").click()
    expect(page.locator("textarea")).to_have_value(before)


def test_a_part_is_moved_by_arrow_keys(opened: Opened) -> None:
    """From hole to hole with the arrows; Enter takes and lets go; Escape puts back; the text follows."""
    page = opened()
    before = page.locator("textarea").input_value()
    page.get_by_label("change the lesson").check()
    board = page.locator("figure[data-picture=board]")
    board.focus()
    about = page.locator("#about")
    for _ in range(60):  # from wherever the ring is, up and left, then to R1's first lead
        board.press("ArrowUp")
    for _ in range(20):
        board.press("ArrowLeft")
    while "hole a7" not in (about.text_content() or ""):
        said = about.text_content() or ""
        board.press("ArrowDown" if re.search(r"hole a\d+", said) else "ArrowRight")
    board.press("ArrowRight")
    expect(about).to_have_text("hole b7, where R1 is")
    board.press("Enter")
    expect(about).to_contain_text("R1 in the hand")
    board.press("ArrowLeft")
    board.press("Escape")
    expect(about).to_have_text("hole a7")
    expect(page.locator("textarea")).to_have_value(before)
    board.press("ArrowRight")
    board.press("Enter")
    board.press("ArrowLeft")
    board.press("Enter")
    expect(page.locator("textarea")).to_have_value(re.compile(r'R1 += \["a7", "a11"\]'))
    page.get_by_role("button", name="Take back").click()
    expect(page.locator("textarea")).to_have_value(before)


def test_script_in_words_and_names_does_nothing(opened: Opened, bench: Beside) -> None:
    """HTML in title, trial, promise and prose is shown as letters or cleaned; no script runs."""
    page = opened()
    toml, words = (page.get_by_role("tab", name=name) for name in ("lesson.toml", "lesson.md"))
    toml.click()
    before = page.locator("textarea").input_value()
    bad = SCRIPT.replace('"', "'")
    page.locator("textarea").fill(
        before.replace("A lamp with a button", bad).replace("DS1 = { part", f'"{bad}" = {{ part')
    )
    expect(page.locator("#findings li").first).to_contain_text("script")
    page.locator("textarea").fill(before.replace("A lamp with a button", bad).replace("it shines", bad))
    expect(page.locator("#title")).to_contain_text("<script>")
    words.click()
    page.locator("textarea").fill(SCRIPT + "\n\nPlain words.\n")
    expect(page.locator("#words .prose")).to_contain_text("Plain words")
    page.wait_for_timeout(200)
    assert "owned" not in page.title().replace(bad, "")
    assert page.locator("#words script, #words img").count() == 0
    toml.click()
    page.locator("textarea").fill(before)
    expect(page.locator("#title")).to_have_text("A lamp with a button")


def test_many_builds_are_asked_for_and_stopped(opened: Opened) -> None:
    """A side sheet tells how far it is, can be stopped, and comes with sentences."""
    page = opened()
    page.get_by_role("button", name="Many builds").click()
    page.get_by_role("button", name="Stop").click()
    expect(page.locator("#sheet-state")).to_have_text("Stopped.")
    page.locator("#sheet-again").click()
    expect(page.locator("#sheet-body td").first).to_contain_text("on_time(DS1)")


def test_other_values_are_taken_with_one_press_and_the_board_comes_back(opened: Opened) -> None:
    """The row's values stand in the text; it is told; "Take back" brings text and board as they were."""
    page = opened()
    before = page.locator("textarea").input_value()
    page.get_by_role("button", name="Other values").click()
    expect(page.locator("#sheet-body td").first).to_be_visible()
    use = page.get_by_role("button", name=re.compile("^Use .* for R1$")).first
    value = (use.get_attribute("aria-label") or "").removeprefix("Use ").removesuffix(" for R1")
    use.click()
    expect(page.locator("textarea")).to_have_value(re.compile(f'value = "{value}"'))
    expect(page.locator("#state")).to_contain_text("R1")
    page.get_by_role("button", name="Take back").click()
    expect(page.locator("textarea")).to_have_value(before)


def test_the_pack_is_taken_away_as_one_file(opened: Opened) -> None:
    """A zip (PKWARE APPNOTE) with every file under one folder; opening index.html needs nothing else."""
    page = opened()
    page.get_by_role("button", name="The pack").click()
    link = page.get_by_role("link", name="Download the pack")
    expect(link).to_be_visible()
    with page.expect_download() as taken:
        link.click()
    assert taken.value.suggested_filename == "pack.zip"
    with zipfile.ZipFile(taken.value.path()) as pack:
        assert pack.testzip() is None
        names = pack.namelist()
    assert "pack/index.html" in names
    assert all(name.startswith("pack/") and ".." not in name for name in names)


def test_slides_are_shown_in_an_origin_of_its_own(opened: Opened) -> None:
    """The preview cannot reach the bench: its origin is opaque (HTML Standard, sandboxing)."""
    page = opened()
    page.get_by_role("button", name="Slides").click()
    expect(page.frame_locator("#sheet iframe").locator("h1").first).to_be_attached()
    inside = next(frame for frame in page.frames if "/sheet/slides.html" in frame.url)
    assert inside.evaluate("window.origin") == "null"
    told = inside.evaluate("() => { try { return parent.document.title; } catch (e) { return e.name; } }")
    assert told == "SecurityError"
    assert page.evaluate("document.querySelector('#sheet iframe').contentDocument") is None


@pytest.mark.parametrize(
    ("width", "scheme"), [(1440, "light"), (1024, "dark"), (390, "light"), (390, "dark")]
)
def test_nothing_is_cut_and_axe_is_content(opened: Opened, width: int, scheme: str) -> None:
    """No sideways scrolling; the axe-core rules (WCAG 2.2 among them) find nothing serious."""
    page = opened(width, color_scheme=scheme)
    expect(page.locator("#promises .ok")).to_have_count(1)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    found = Axe().run(page).response["violations"]
    bad = [(v["id"], v["nodes"][0]["html"][:200]) for v in found if v["impact"] in ("serious", "critical")]
    assert bad == []
