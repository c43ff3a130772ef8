"""Slides: one idea each, with notes; keyboard, print and scripts switched off, in a real browser."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser

from buildalong.film import Slide, captions_vtt, slides, slides_html, storyboard, timeline
from buildalong.lesson import Compiled

FULL = """() => [...document.querySelectorAll('.slide')]
  .filter(s => s.getBoundingClientRect().height > innerHeight + 2).map(s => s.id)"""
CUT = """() => [...document.querySelectorAll('.words > *, .words li, .picture, footer span')]
  .filter(e => { const r = e.getBoundingClientRect();
    return e.matches('.math') && e.scrollWidth > e.clientWidth + 1
      || r.width > 0 && (r.left < -1 || r.right > document.documentElement.clientWidth + 1); })
  .map(e => e.className + e.textContent.slice(0, 40))"""


@pytest.fixture(scope="module")
def made(mailbox: Compiled) -> tuple[Slide, ...]:
    return slides(mailbox)


@pytest.fixture(scope="module")
def page_file(mailbox: Compiled, made: tuple[Slide, ...], tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("slides") / "slides.html"
    path.write_text(slides_html(mailbox, made), encoding="utf-8")
    return path


def test_every_step_has_its_slide(mailbox: Compiled, made: tuple[Slide, ...]) -> None:
    """Each step once in order (a long list on several), each with picture and notes; few words on each."""
    numbers = [slide.number for slide in made if slide.number]
    assert list(dict.fromkeys(numbers)) == [step.number for step in mailbox.steps]
    assert all(slide.svg for slide in made if slide.number)
    first = [next(s for s in made if s.number == number) for number in set(numbers)]
    assert all(slide.notes for slide in first)
    assert all(len(slide.points) <= 5 for slide in made)


def test_slides_show_circuit_story_promise_and_slips(mailbox: Compiled, made: tuple[Slide, ...]) -> None:
    """Schematic, what happens when, what was measured (4 s), and right beside wrong."""
    assert sum(slide.kind == "diagram" for slide in made) >= 3
    work = next(slide for slide in made if slide.kind == "work")
    assert work.rows == (("The light stays on from the post until it is fetched", "4 s"),)
    assert sum(slide.kind == "wrong" for slide in made) == 3


def test_page_is_alone_and_ids_are_unique(page_file: Path) -> None:
    """No address is loaded, ids are unique, the page has under 1.5 MB."""
    text = page_file.read_text(encoding="utf-8")
    assert not re.search(r'(?:src|href)="(?!#)(?!data:)', text)
    ids = re.findall(r'\sid="([^"]+)"', text)
    assert len(ids) == len(set(ids))
    assert len(text.encode()) < 1_500_000


def test_same_bytes_again(mailbox: Compiled, page_file: Path) -> None:
    """Made again it is the same page."""
    assert slides_html(mailbox, slides(mailbox)) == page_file.read_text(encoding="utf-8")


def test_hostile_words_are_text(mailbox: Compiled, made: tuple[Slide, ...]) -> None:
    """Markup in a lesson's words is shown, not obeyed."""
    bad = replace(made[0], title="<script>x()</script>", notes=("</details><b>",))
    page = slides_html(mailbox, (bad,))
    assert "<script>x()" not in page
    assert "&lt;script&gt;x()" in page


@pytest.mark.debian("chromium")
@pytest.mark.parametrize(("width", "height"), [(1440, 900), (1280, 720), (390, 844)])
def test_in_a_browser(browser: Browser, page_file: Path, width: int, height: int) -> None:
    """On a screen each slide fits its height; nothing is cut; axe finds nothing serious; it is silent."""
    page = browser.new_page(viewport={"width": width, "height": height})
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.goto(page_file.as_uri())
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.evaluate(CUT) == []
    if width > height:
        assert page.evaluate(FULL) == []
    found = Axe().run(page).response["violations"]
    bad = [(v["id"], v["nodes"][0]["html"][:200]) for v in found if v["impact"] in ("serious", "critical")]
    assert bad == []
    assert said == []
    page.close()


@pytest.mark.debian("chromium")
def test_keys_turn_the_slides(browser: Browser, page_file: Path) -> None:
    """Right, left, End and Home move; N opens all notes and closes them again."""
    page = browser.new_page(viewport={"width": 1280, "height": 800}, reduced_motion="reduce")
    page.goto(page_file.as_uri())
    count = page.locator(".slide").count()

    def at() -> str:
        return str(page.evaluate("location.hash"))

    for key, place in (("ArrowRight", 2), ("PageDown", 3), ("ArrowLeft", 2), ("End", count), ("Home", 1)):
        page.keyboard.press(key)
        assert at() == f"#slide-{place}"
        top = page.evaluate(f"document.getElementById('slide-{place}').getBoundingClientRect().top")
        assert abs(top) < 2
        page.wait_for_timeout(80)
    page.keyboard.press("n")
    assert page.locator(".notes:not([open])").count() == 0
    page.keyboard.press("n")
    assert page.locator(".notes[open]").count() == 0
    page.close()


@pytest.mark.debian("chromium")
def test_without_scripts(browser: Browser, page_file: Path) -> None:
    """Every slide is there to be scrolled to, and each opens its own notes."""
    context = browser.new_context(java_script_enabled=False, viewport={"width": 1280, "height": 800})
    page = context.new_page()
    page.goto(page_file.as_uri())
    assert page.locator(".slide:visible").count() == page.locator(".slide").count()
    page.locator(".notes summary").first.click()
    assert page.locator(".notes[open] p").first.is_visible()
    context.close()


@pytest.mark.debian("chromium")
def test_a_browser_reads_the_captions(browser: Browser, mailbox: Compiled, tmp_path: Path) -> None:
    """The browser's own WebVTT parser finds every caption, with its text and to the millisecond."""
    times = timeline(storyboard(mailbox))
    page = browser.new_page()
    page.set_content("<video><track default kind=captions></video>")
    found = page.evaluate(
        """async text => {
          const track = document.querySelector('track');
          track.track.mode = 'hidden';
          const done = new Promise((yes, no) => { track.onload = yes; track.onerror = no; });
          track.src = URL.createObjectURL(new Blob([text], { type: 'text/vtt' }));
          await done;
          return [...track.track.cues].map(c => [Math.round(c.startTime * 1000), Math.round(c.endTime * 1000),
            c.getCueAsHTML().textContent]); }""",
        captions_vtt(times),
    )
    assert found == [[cue.start, cue.end, "\n".join(cue.lines)] for cue in times.cues]
    page.close()
