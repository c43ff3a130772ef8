"""The fault finder: from what is seen to the likeliest causes, in the article and on a page of its own."""

from __future__ import annotations

import html
import re
from collections.abc import Callable

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from buildalong.guide import Guide
from buildalong.lesson import Compiled
from demos import DEMOS
from publish.conftest import LARGEST
from publish.test_browser import CUT, OVERLAP

FEW = tuple(name for name in DEMOS if name != LARGEST)
Text = Callable[[str], str]
Known = Callable[[str], Guide]


def _plain(page: str) -> str:
    return html.unescape(page).replace("\u00a0", " ")


@pytest.mark.parametrize("name", FEW)
def test_every_cause_is_told(faults: Text, guide: Known, name: str) -> None:
    """No symptom and no slip of the laboratory is missing from the page of its own."""
    page = _plain(faults(name))
    for symptom in guide(name).symptoms:
        assert symptom.title in page
        for cause in symptom.causes:
            assert all(way.what.removesuffix(".") in page for way in cause.ways)


@pytest.mark.parametrize("name", FEW)
def test_the_article_tells_the_likeliest(article: Text, guide: Known, name: str) -> None:
    """The article has the likeliest symptom with its likeliest cause, check and cure."""
    page = _plain(article(name))
    symptom = guide(name).symptoms[0]
    assert f'id="{symptom.id}"' in page
    for text in (symptom.title, symptom.causes[0].what, symptom.causes[0].look, symptom.causes[0].cure):
        assert text in page


@pytest.mark.parametrize("name", ["lighthouse", "mailbox-flag"])
def test_the_article_tells_how_to_measure(article: Text, name: str) -> None:
    """Who reads only the article learns which sockets of the meter are meant; no value parts from its V."""
    section = html.unescape(article(name)).split('id="if-it-does-not-work"')[1].split("<section")[0]
    assert "Measure:" in section
    assert "never into the one for amperes" in section
    assert "With this fault:" in section
    assert not re.search(r"\d V[. ]", section.split("With this fault:", 1)[1].split("<")[0])


@pytest.mark.parametrize("name", FEW)
def test_the_page_needs_nothing_else(faults: Text, article: Text, name: str) -> None:
    """No script, nothing from elsewhere; ids once; links lead to places here or in the article."""
    page = faults(name)
    assert "<script" not in page
    assert not re.search(r'(?:src|href)="https?:', page)
    ids = re.findall(r'\sid="([^"]+)"', page)
    assert len(ids) == len(set(ids))
    targets = re.findall(r'href="#([^"]+)"', page) + re.findall(r"url\(#([^)]+)\)", page)
    assert set(targets) <= set(ids)
    there = set(re.findall(r'\sid="([^"]+)"', article(name)))
    assert set(re.findall(r'href="index\.html#([^"]+)"', page)) <= there
    assert set(re.findall(r'href="faults\.html#([^"]+)"', article(name))) <= set(ids)
    assert len(page.encode()) < 1_500_000


@pytest.mark.parametrize("name", FEW)
def test_dangers_stand_at_their_steps(article: Text, guide: Known, name: str) -> None:
    """Each danger is told at the step where the slip happens, and the worst before switching on."""
    page = _plain(article(name))
    steps = re.split(r'<li class="step" id="step-(\d+)"', page)
    by_number = dict(zip(map(int, steps[1::2]), steps[2::2], strict=True))
    for caution in guide(name).cautions:
        assert caution.text in by_number[caution.step]
    (last,) = (text for text in by_number.values() if "look twice at these" in text)
    for check in guide(name).checks:
        assert check.right[1:] in last


def test_nothing_is_simulated_where_it_is_not_wanted(
    compiled_demo: Callable[[str], Compiled], monkeypatch: pytest.MonkeyPatch, tmp_path: object
) -> None:
    """Without the fault finder no laboratory is run, and its page is not written."""
    from buildalong.publish import _products, publish

    monkeypatch.setattr(_products, "to_png", lambda picture, *size: b"")
    monkeypatch.setattr(_products, "guide_for", lambda *some: pytest.fail("simulated"))
    pack = publish(compiled_demo("mailbox-flag"), f"{tmp_path}/pack", faults=False)
    assert "faults.html" not in pack.files


@pytest.mark.debian("chromium")
@pytest.mark.parametrize("width", [1280, 390])
@pytest.mark.parametrize("name", FEW)
def test_nothing_overlaps_and_nothing_is_cut(opened: Callable[..., Page], name: str, width: int) -> None:
    """On a desk and on a phone no text of the page leaves it or lies over another, also when unfolded."""
    page = opened(name, width, finder=True)
    page.evaluate("document.querySelectorAll('details').forEach(d => { d.open = true })")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.evaluate(CUT) == []
    assert page.evaluate(OVERLAP) == []


@pytest.mark.debian("chromium")
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_no_serious_issue(opened: Callable[..., Page], scheme: str) -> None:
    """By day and by night the axe-core rules (WCAG 2.2 among them) find nothing serious or critical."""
    page = opened("lighthouse", finder=True, color_scheme=scheme)
    ground = page.evaluate("getComputedStyle(document.body).backgroundColor")
    darkest, lightest = (0, 80) if scheme == "dark" else (200, 255)
    assert all(darkest <= int(part) <= lightest for part in re.findall(r"\d+", ground))
    found = Axe().run(page).response["violations"]
    bad = [(v["id"], v["nodes"][0]["html"][:200]) for v in found if v["impact"] in ("serious", "critical")]
    assert bad == []


@pytest.mark.debian("chromium")
def test_works_without_scripts(opened: Callable[..., Page]) -> None:
    """Without JavaScript a symptom of the article opens and shows its causes."""
    page = opened("lighthouse", script=False)
    fault = page.locator(".fault").first
    assert fault.locator("ol").is_hidden()
    fault.locator("summary").click()
    assert fault.locator("ol").is_visible()
