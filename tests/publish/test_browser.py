"""The articles in a real browser: nothing overlaps or is cut, keyboard and screen reader find their way."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from demos import DEMOS

pytestmark = pytest.mark.debian("chromium")
CUT = """() => [...document.querySelectorAll('h1,h2,h3,p,li,td,th,dd,dt,button,figcaption,svg')]
  .filter(e => e.offsetParent !== null || e.tagName === 'svg')
  .filter(e => { const r = e.getBoundingClientRect();
    return r.width > 0 && (r.left < -1 || r.right > document.documentElement.clientWidth + 1)
      && !e.closest('.scroll, .plate, .formula') && !e.closest('thead'); })
  .map(e => e.tagName + ': ' + e.textContent.slice(0, 60))"""

OVERLAP = """() => {
  const kinds = 'main h2, main h3, main p, main li, main figure, main table, main .player-bar';
  const boxes = [...document.querySelectorAll(kinds)]
    .filter(e => e.getClientRects().length && !e.querySelector('p, li, h3, figure'))
    .map(e => [e, e.getBoundingClientRect()]);
  const shared = (a, b, low, high) => Math.min(a[high], b[high]) - Math.max(a[low], b[low]);
  const out = [];
  for (let i = 0; i < boxes.length; i++) for (let j = i + 1; j < boxes.length; j++) {
    const [a, r] = boxes[i], [b, s] = boxes[j];
    if (a.contains(b) || b.contains(a)) continue;
    if (shared(r, s, 'left', 'right') > 2 && shared(r, s, 'top', 'bottom') > 2)
      out.push(a.textContent.slice(0, 40) + ' | ' + b.textContent.slice(0, 40));
  }
  return out.slice(0, 5); }"""


@pytest.mark.parametrize("width", [1280, 390])
@pytest.mark.parametrize("name", DEMOS)
def test_nothing_overlaps_and_nothing_is_cut(opened: Callable[..., Page], name: str, width: int) -> None:
    """On a desk and on a phone no text leaves the page or lies over another, and the console is silent.

    Folds are opened first: what is folded away has no place of its own.
    """
    page = opened(name, width)
    page.evaluate("document.querySelectorAll('details').forEach(fold => { fold.open = true })")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.evaluate(CUT) == []
    assert page.evaluate(OVERLAP) == []
    assert page.said == []  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("name", "scheme"),
    [*((name, "light") for name in DEMOS), ("lighthouse", "dark"), ("mailbox-flag", "dark")],
)
def test_axe_finds_no_serious_issue(opened: Callable[..., Page], name: str, scheme: str) -> None:
    """The axe-core rules (WCAG 2.2 among them) find nothing serious or critical, by day and by night."""
    page = opened(name, 1280, color_scheme=scheme)
    page.evaluate("document.documentElement.style.scrollBehavior = 'auto'")
    found = Axe().run(page).response["violations"]
    bad = [(v["id"], v["nodes"][0]["html"][:200]) for v in found if v["impact"] in ("serious", "critical")]
    assert bad == []


def test_what_is_new_can_be_hidden(opened: Callable[..., Page]) -> None:
    """The board before the step is the same picture without what is new."""
    page = opened("lighthouse")
    page.locator("[data-do=next]").click()
    assert page.locator(".step.now .fresh").first.is_visible()
    page.locator("[data-do=before]").click()
    assert page.locator("[data-do=before]").get_attribute("aria-pressed") == "true"
    assert not page.locator(".step.now .fresh").first.is_visible()


def test_all_steps_can_be_shown_at_once(opened: Callable[..., Page]) -> None:
    """One button shows every step below the other, and brings the player back."""
    page = opened("mailbox-flag")
    page.locator("[data-do=all]").click()
    assert page.locator(".step:visible").count() == page.locator(".step").count()
    page.locator("[data-do=all]").click()
    assert page.locator(".step:visible").count() == 1


def test_works_without_scripts(opened: Callable[..., Page]) -> None:
    """Without JavaScript every step stands there, and the player's buttons do not."""
    page = opened("mailbox-flag", script=False)
    assert page.locator(".step:visible").count() == page.locator(".step").count()
    assert page.locator(".player-bar:visible").count() == 0


@pytest.mark.parametrize("name", DEMOS)
def test_prints_every_step_within_the_page(opened: Callable[..., Page], name: str, tmp_path: Path) -> None:
    """On paper all steps stand, none is wider than the sheet, and no picture is taller than a page."""
    page = opened(name, 720, 1000)
    page.emulate_media(media="print")
    assert page.locator(".step:visible").count() == page.locator(".step").count()
    assert page.evaluate("document.documentElement.scrollWidth") <= 720
    tallest = page.evaluate(
        "Math.max(...[...document.querySelectorAll('svg')].map(e => e.getBoundingClientRect().height))"
    )
    assert tallest < 1000
