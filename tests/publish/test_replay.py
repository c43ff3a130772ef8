"""Any moment of a run, in a real browser: what the page shows is what was simulated.

The levels at which a 555 switches, one third and two thirds of the supply: TI NE555 data sheet SLFS022, 8.3.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from playwright.sync_api import Page

from buildalong.lesson import Compiled

pytestmark = pytest.mark.debian("chromium")


def volts(text: str) -> float:
    assert text.endswith("\u00a0V"), text
    return float(text.removesuffix("\u00a0V").replace("−", "-"))


def test_the_slider_shows_what_was_simulated(
    opened: Callable[..., Page], compiled_demo: Callable[[str], Compiled]
) -> None:
    """By keys alone the time moves; levels, lights, schematic and IC are those of the run at that time."""
    page, compiled = opened("lighthouse"), compiled_demo("lighthouse")
    run = next(iter(compiled.runs.values()))
    slider = page.locator(".replay input")
    assert slider.is_visible()
    slider.focus()
    states = set()
    for key, times in (("Home", 1), ("ArrowRight", 25), ("ArrowRight", 60), ("PageUp", 3), ("End", 1)):
        for _ in range(times):
            page.keyboard.press(key)
        time = float(page.locator(".replay output").inner_text().removesuffix("\u00a0s"))
        lit = page.locator("[data-item=DS1]").inner_text() == "DS1 lit"
        assert lit == page.locator(".replay .at-work[data-part=DS1]").is_visible()
        assert page.locator(".replay [data-inside=U1] > div:visible").count() == 1
        states.add(lit)
        for net in ("CAP", "OUT"):
            near = np.linspace(time - 0.02, time + 0.02, 81)  # a jump may lie between two ticks
            true = np.interp(near, run.times, run.voltage(net))
            shown = volts(page.locator(f"[data-level={net}]").inner_text())
            assert true.min() - 0.03 <= shown <= true.max() + 0.03
            drawn = page.locator(f".replay text[data-net={net}]").first
            if drawn.count():
                assert volts(drawn.evaluate("e => e.textContent")) == pytest.approx(shown, abs=0.051)
        told = slider.get_attribute("aria-valuetext")
        assert told is not None
        assert told.endswith("DS1 lit" if lit else "DS1 dark")
    assert states == {True, False}


def test_the_moments_are_those_of_the_story(opened: Callable[..., Page]) -> None:
    """'Later' goes to the next told moment: there C1 has two thirds of the supply, then one third."""
    page = opened("lighthouse")
    later, sentence = page.locator("[data-do=later]"), page.locator(".replay .sentence")
    supply = volts(page.locator("[data-level=PLUS]").inner_text())
    for place, share in ((1, 2 / 3), (2, 1 / 3), (3, 2 / 3)):
        later.click()
        line = page.locator("ol.story li").nth(place)
        assert "now" in (line.get_attribute("class") or "")
        assert sentence.inner_text() == line.evaluate("e => e.lastChild.textContent")
        level = volts(page.locator("[data-level=CAP]").inner_text())
        assert level == pytest.approx(share * supply, abs=0.02 * supply)


def test_the_waveforms_choose_the_time(opened: Callable[..., Page]) -> None:
    """A drag over the waveforms moves the time, and the hand stands where the pointer is."""
    page = opened("lighthouse")
    wave = page.locator(".scrub .waves svg").last
    wave.scroll_into_view_if_needed()
    box = wave.bounding_box()
    assert box is not None
    below = wave.get_by_text("time in").first.bounding_box()
    legend = 0.97 if below is None else (below["y"] - box["y"]) / box["height"]
    shown = []
    page.mouse.move(box["x"] + 0.3 * box["width"], box["y"] + 60)
    page.mouse.down()
    for share in (0.4, 0.5, 0.6):
        x = box["x"] + share * box["width"]
        page.mouse.move(x, box["y"] + 60)
        hand = page.locator(".scrub .hand").bounding_box()
        assert hand is not None
        assert hand["x"] + hand["width"] / 2 == pytest.approx(x, abs=3)
        assert 0.4 * box["height"] < hand["height"] < box["height"] * legend
        shown.append(page.locator(".replay output").inner_text())
    page.mouse.up()
    assert len(set(shown)) == 3


def test_the_hand_leaves_the_numbers_of_the_moments_alone(opened: Callable[..., Page]) -> None:
    """At the beginning it stands at moment 1, below its number and not over it."""
    page = opened("lighthouse")
    number = page.locator(".scrub .waves svg").last.locator("circle").first.bounding_box()
    hand = page.locator(".scrub .hand").bounding_box()
    assert number is not None
    assert hand is not None
    assert abs(hand["x"] + hand["width"] / 2 - number["x"] - number["width"] / 2) < 3
    assert hand["y"] > number["y"] + number["height"]


def test_without_scripts_the_pictures_stand(opened: Callable[..., Page]) -> None:
    """Without JavaScript, and on paper, the waveforms are there and the replay is not."""
    page = opened("lighthouse", script=False)
    assert page.locator(".scrub .waves svg").first.is_visible()
    assert not page.locator(".replay").is_visible()
    page = opened("lighthouse")
    page.emulate_media(media="print")
    assert page.locator(".scrub .waves svg").first.is_visible()
    assert not page.locator(".replay").is_visible()
