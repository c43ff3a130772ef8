"""Moving pictures in a real browser: still by default, without scripts, quiet, never flashing too often."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import pytest
from playwright.sync_api import Page

pytestmark = pytest.mark.debian("chromium")
Opened = Callable[..., Page]

SAMPLE = """([selector, step, count]) => {
  const all = document.getAnimations();
  const found = [...document.querySelectorAll(selector)];
  all.forEach(a => a.pause());
  const out = [];
  for (let i = 0; i < count; i++) {
    all.forEach(a => { a.currentTime = i * step; });
    out.push(found.map(e => { const s = getComputedStyle(e);
      return s.transform === 'none' ? +s.opacity : -new DOMMatrix(s.transform).f; }));
  }
  return out; }"""


def test_nothing_moves_until_asked(opened: Opened) -> None:
    """No animation runs at first; Play starts it, Pause holds it, Still ends it (WCAG 2.2, 2.2.2)."""
    page = opened("lighthouse")
    running = "document.getAnimations().filter(a => a.playState === 'running').length"
    assert page.evaluate("document.getAnimations().length") == 0
    page.locator("label[for=work-1-play]").click()
    assert page.evaluate(running) > 0
    page.locator("label[for=work-1-pause]").click()
    page.wait_for_function(f"{running} === 0")
    assert page.evaluate("document.getAnimations().length") > 0
    page.locator("label[for=work-1-still]").click()
    page.wait_for_function("document.getAnimations().length === 0")


def test_keyboard_plays(opened: Opened) -> None:
    """The choice is a group of radio buttons with names: arrows move it, and focus is seen."""
    page = opened("lighthouse")
    page.locator("#work-1-still").focus()
    page.keyboard.press("ArrowRight")
    assert page.locator("#work-1-play").is_checked()
    assert page.evaluate("document.getAnimations().length") > 0


def test_plays_without_scripts(opened: Opened) -> None:
    """Without JavaScript the still picture stands there, and Play moves it all the same."""
    page = opened("lighthouse", script=False)
    plate = page.locator(".motion .plate").first
    plate.scroll_into_view_if_needed()
    before = plate.screenshot()
    page.locator("label[for=work-1-play]").click()
    page.wait_for_timeout(1500)
    assert plate.screenshot() != before


def test_less_motion_is_respected(opened: Opened) -> None:
    """Where the device asks for less motion nothing moves, and a sentence says why."""
    page = opened("lighthouse")
    page.emulate_media(reduced_motion="reduce")
    assert page.locator(".motion label:visible").count() == 0
    assert page.locator(".motion .calm:visible").count() == page.locator(".motion").count()
    page.evaluate("document.querySelectorAll('.play').forEach(e => { e.checked = true; })")
    assert page.evaluate("document.getAnimations().length") == 0


@pytest.mark.parametrize("name", ["runway-lights", "level-crossing", "mailbox-flag"])
def test_never_more_than_three_flashes(opened: Opened, name: str) -> None:
    """Sampled over two rounds, nothing turns bright more than three times in any second (WCAG 2.2, 2.3.1)."""
    page = opened(name)
    page.locator("label[for=work-1-play]").click()
    whole = page.evaluate("document.getAnimations()[0].effect.getTiming().duration")
    step = 40
    values = page.evaluate(SAMPLE, [".motion [class^=w1-]:not(.w1-now)", step, int(2 * whole / step)])
    assert len(values[0]) >= 2
    rises: list[float] = []
    for element in zip(*values, strict=True):
        low, high = min(element), max(element)
        own = [
            i * step / 1000 for i, (a, b) in enumerate(pairwise(element))
            if high > low and b - a > 0.5 * (high - low)
        ]  # fmt: skip
        assert most_in_a_second(own) <= 3
        rises += own
    together: list[float] = []
    for time in sorted(rises):
        if not together or time - together[-1] >= 0.1:
            together.append(time)
    assert together
    assert most_in_a_second(together) <= 3


def most_in_a_second(times: list[float]) -> int:
    return max((sum(1 for other in times if time <= other < time + 1) for time in times), default=0)


def test_build_grows_step_by_step(opened: Opened) -> None:
    """At the start nothing stands on the board, in the middle the first half of it, at the end all of it."""
    page = opened("mailbox-flag")
    page.locator("label[for=build-play]").click()
    stages = page.evaluate(
        "[...document.querySelectorAll('.stage')].map(e => +e.style.getPropertyValue('--n'))"
    )
    count = page.locator(".motion .titles li").count()
    values = page.evaluate(SAMPLE, [".stage", 1600, count + 1])
    assert set(values[0]) == {0}
    middle = count // 2
    for stage, opacity in zip(stages, values[middle], strict=True):
        assert opacity == (1 if stage < middle else 0)
    assert set(values[count]) == {1}


def test_paper_leaves_motion_out(opened: Opened) -> None:
    """In print, where nothing moves, waveforms, looks inside and steps tell the same."""
    page = opened("mailbox-flag")
    page.emulate_media(media="print")
    assert page.locator(".motion:visible").count() == 0
    assert page.locator(".waves svg:visible").count() >= 1
    assert page.locator(".looks li:visible").count() >= 4
