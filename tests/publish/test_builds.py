"""Many builds of a lesson in its article: what the page says of each is what was simulated of it.

The flash lasts ln 2 · R1 · C1 by the formula (TI NE555 data sheet SLFS022, 8.3.2), so a capacitor that is
larger by a share makes it longer by the same share.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Page

from buildalong.lesson import Compiled
from buildalong.publish import builds_of
from buildalong.quantity import parse
from buildalong.store import Store

SLIDER = ".choose input"


@pytest.mark.debian("chromium")
def test_keys_go_through_the_builds_in_their_order(
    opened: Callable[..., Page], compiled_demo: Callable[[str], Compiled]
) -> None:
    """From the shortest flash to the longest: value, verdict and mark in the histogram of each build."""
    page, found = opened("lighthouse"), builds_of(compiled_demo("lighthouse"))
    assert found is not None
    order = np.argsort(found.outcomes[0].values)
    page.locator(SLIDER).focus()
    verdicts = set()
    for key, place in (("Home", 0), ("ArrowRight", 1), ("End", 199), ("ArrowLeft", 198), ("PageDown", 178)):
        page.keyboard.press(key)
        assert page.locator(".choose output").inner_text() == f"Build {place + 1} of 200"
        told = page.locator(SLIDER).get_attribute("aria-valuetext") or ""
        for figure, outcome in zip(page.locator(".promised").all(), found.outcomes, strict=True):
            value = float(outcome.values[order[place]])
            shown = figure.locator(".value").inner_text()
            assert parse(shown).value == pytest.approx(value, rel=5e-3)
            low, high = outcome.target.limits
            verdict = figure.locator(".ok:visible, .not:visible").inner_text()
            assert verdict == ("✓ kept" if low <= value <= high else "✗ not kept")
            assert f"{shown} {verdict}" in told
            verdicts.add(verdict)
            hand = figure.locator(".hand").bounding_box()
            ends = [figure.get_by_text(f"{end} allowed", exact=False).first for end in ("least", "most")]
            assert hand is not None
            assert all(end.count() for end in ends)
            lines = figure.locator("line[stroke-dasharray]").evaluate_all(
                "all => all.map(e => e.getBoundingClientRect().x)"
            )
            share = (hand["x"] + hand["width"] / 2 - lines[0]) / (lines[1] - lines[0])
            assert share == pytest.approx((value - low) / (high - low), abs=0.02)
    assert verdicts == {"✓ kept", "✗ not kept"}


@pytest.mark.debian("chromium")
def test_the_page_names_the_parts_that_made_it_so(opened: Callable[..., Page]) -> None:
    """What the capacitor adds or takes is its own deviation in the same share, as the formula says."""
    page = opened("lighthouse")
    data = json.loads(page.locator(".choose script").evaluate("e => e.textContent"))
    promise = data["promises"][0]
    part = next(place for place, part in enumerate(data["parts"]) if part["name"] == "C1")
    moved = dict(promise["moved"])[part]
    sizes = np.array(data["parts"][part]["values"]) / 10 ** data["parts"][part]["digits"]
    drawn = 0.456 * 10 ** promise["digits"] * (1e3 if promise["unit"] == "ms" else 1.0)
    told = np.array(moved) != 0
    assert told.sum() > 150
    assert np.array(moved)[told] / drawn == pytest.approx(sizes[told] / 10 - 1, abs=0.015)
    page.locator(SLIDER).focus()
    page.keyboard.press("End")
    first = page.locator(".promised").first.locator("li").first.inner_text()
    assert first.startswith("C1 (1")
    assert first.endswith("more")
    assert "in place of 10\u00a0µF" in first.replace(" µF", "\u00a0µF")


@pytest.mark.debian("chromium")
def test_the_histogram_chooses_a_build(opened: Callable[..., Page]) -> None:
    """A tap in a histogram chooses the build nearest to it, on a telephone too, where its mark is in view."""
    page = opened("lighthouse", 390, has_touch=True)
    figure = page.locator(".promised").nth(1)
    figure.scroll_into_view_if_needed()
    box = figure.locator(".plate").bounding_box()
    assert box is not None
    for share in (0.3, 0.6):
        x = box["x"] + share * box["width"]
        page.touchscreen.tap(x, box["y"] + box["height"] / 2)
        hand = figure.locator(".hand").bounding_box()
        assert hand is not None
        assert box["x"] <= hand["x"] <= box["x"] + box["width"]


@pytest.mark.debian("chromium")
@pytest.mark.parametrize("paper", [False, True])
def test_histograms_and_words_stand_without_scripts(opened: Callable[..., Page], paper: bool) -> None:
    """Without JavaScript and on paper: each histogram with its words, and no slider."""
    page = opened("lighthouse", script=paper)
    if paper:
        page.emulate_media(media="print")
    assert page.locator(".promised svg:visible").count() == 2
    captions = page.locator(".promised figcaption:visible").all_inner_texts()
    assert all("of 200 builds" in caption and "C1" in caption for caption in captions)
    assert page.locator(".choose:visible, .chosen:visible").count() == 0


def test_what_was_simulated_is_kept(
    compiled_demo: Callable[[str], Compiled], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """From the store come the same numbers without simulating; a lesson without promises has no builds."""
    compiled, store = compiled_demo("lighthouse"), Store(tmp_path)
    first = builds_of(compiled, store)

    def refused(*given: object, **named: object) -> None:
        raise AssertionError("simulated again")

    monkeypatch.setattr("buildalong.spread._spread.measured", refused)
    again = builds_of(compiled, store)
    assert first is not None
    assert again is not None
    for one, other in zip(first.outcomes, again.outcomes, strict=True):
        assert one.values.tobytes() == other.values.tobytes()
        assert (one.kept, one.shares, one.least, one.most) == (
            other.kept,
            other.shares,
            other.least,
            other.most,
        )
