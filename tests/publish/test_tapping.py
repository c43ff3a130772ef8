"""Formulas that take values, and the fault finder that asks, in a real browser and by keys alone."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page

from buildalong.guide import Guide
from buildalong.guide._words import FOUND
from buildalong.quantity import parse

pytestmark = pytest.mark.debian("chromium")
ROWS = ".formula >> nth=0 >> mtr:visible"


def test_a_symbol_takes_its_value_and_gives_it_back(opened: Callable[..., Page]) -> None:
    """The line says the values; worked out they give ln 2 · R · C (TI NE555 data sheet SLFS022, 8.3.2)."""
    page = opened("lighthouse")
    first = page.locator(".formula").first
    buttons, status = first.locator("[data-put]"), first.locator("[role=status]")
    assert first.locator("mtr:visible").count() == 1
    buttons.first.focus()
    page.keyboard.press("Enter")
    assert buttons.first.get_attribute("aria-pressed") == "true"
    assert status.evaluate("e => e.textContent") == "t_on = ln 2 · 56\u00a0kΩ · C1".replace("\u00a0", " ")
    assert first.locator(".value:visible").count() == 1
    first.locator("[data-all]").press("Space")
    assert first.locator("mtr:visible").count() == first.locator("mtr").count() > 1
    values = [parse(text).value for text in buttons.evaluate_all("all => all.map(b => b.dataset.value)")]
    result = first.locator(".ideal-real dd").first.inner_text()
    assert parse(result).value == pytest.approx(math.log(2) * values[0] * values[1], rel=5e-3)
    first.locator("mrow[data-symbol=R1]").click()
    assert buttons.first.get_attribute("aria-pressed") == "false"
    assert first.locator("mtr:visible").count() == 1
    first.locator("[data-all]").click()
    first.locator("[data-all]").click()
    assert first.locator(".value:visible").count() == 0


@pytest.mark.parametrize("paper", [False, True])
def test_the_working_stands_without_scripts_and_on_paper(opened: Callable[..., Page], paper: bool) -> None:
    """There the whole working is shown, and no value stands beside its symbol."""
    page = opened("lighthouse", script=paper)
    if paper:
        page.locator("[data-all]").first.click()
        page.emulate_media(media="print")
    first = page.locator(".formula").first
    assert first.locator("mtr:visible").count() == first.locator("mtr").count()
    assert first.locator(".value:visible").count() == 0
    assert first.locator(".symbol:visible").count() == first.locator(".symbol").count()
    assert page.locator(".put-in:visible, .finder:visible").count() == 0


def test_the_finder_asks_until_a_cause_is_left(
    opened: Callable[..., Page], guide: Callable[[str], Guide | None]
) -> None:
    """Every way through the questions ends at a cause; the likeliest symptom is walked by keys alone."""
    page = opened("lighthouse")
    flows = json.loads(page.locator(".finder script").evaluate("e => e.textContent"))
    for flow in flows:
        for number, (_, answers) in enumerate(flow["rows"], start=1):
            assert answers
            assert all(cause or goes > number for _, goes, cause in answers)
        assert flow["rows"] or flow["causes"]
    question, answers = page.locator(".finder .question"), page.locator(".finder .answers button")
    asked = [question.inner_text()]
    assert answers.count() == len(flows)
    answers.first.focus()
    page.keyboard.press("Enter")
    while answers.count():
        assert question.evaluate("e => e === document.activeElement")
        asked.append(question.inner_text())
        page.keyboard.press("Tab")
        page.keyboard.press("Enter")
    assert len(asked) == len(set(asked)) > 2
    causes = {cause for _, answers in flows[0]["rows"] for _, _, cause in answers if cause}
    assert question.inner_text() in causes
    known = guide("lighthouse")
    assert known is not None
    named = {outcome.mistake.what.removesuffix(".") for outcome in known.lab.outcomes}
    assert re.split(r"[.,;:]| or ", question.inner_text())[0] in {
        re.split(r"[.,;:]", what)[0] for what in {*named, FOUND}
    }
    page.locator(".finder [data-do=back]").click()
    assert question.inner_text() == asked[-1]
    page.locator(".finder [data-do=again]").click()
    assert question.inner_text() == asked[0]
    assert page.locator(".finder [data-do=back]").is_disabled()
