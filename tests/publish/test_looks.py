"""How shapes look, said once: presentation attributes are properties of CSS (SVG 2, 6.6)."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Browser

from buildalong.publish._looks import looks_once

LINE = '<line x1="0" y1="1" stroke="#B3261E" stroke-width="2.2" stroke-linecap="round"/>'
WORDS = '<text x="1" font-size="19.5" text-anchor="middle" font-weight="bold" fill="#23262B">R1 &gt; 2</text>'
PICTURE = f'<svg font-family="DejaVu Sans, sans-serif"><title>t</title><g fill="none">{LINE}</g>{WORDS}</svg>'
OWN = '<circle class="fresh" r="3" fill="#23262B" stroke="#B3261E" stroke-width="2.2"/>'
PROPERTIES = (
    "fill", "stroke", "stroke-width", "stroke-linecap", "stroke-linejoin", "font-family", "font-size",
    "font-weight", "font-style", "text-anchor",
)  # fmt: skip


def page(pictures: str) -> str:
    return f"<!doctype html><html><head><style>p{{fill:red}}</style></head><body>{pictures}</body></html>"


def put_back(text: str) -> str:
    """The page with the attributes in place of each class of ours, and without its rules."""
    rules = dict(re.findall(r"\.(_\d+)\{([^}]*)\}", text))
    attributes = {
        name: "".join(
            f' {key}="{value.removesuffix("px")}"' for key, value in (p.split(":") for p in rule.split(";"))
        )
        for name, rule in rules.items()
    }
    text = re.sub(r"\._\d+\{[^}]*\}", "", text)
    return re.sub(r' class="(_\d+)"', lambda found: attributes[found[1]], text)


def sorted_attributes(text: str) -> str:
    """The order of attributes means nothing."""
    one = re.compile(r' [\w-]+="[^"]*"')
    return re.sub(
        rf"(<\w+)((?:{one.pattern})+)", lambda tag: tag[1] + "".join(sorted(one.findall(tag[2]))), text
    )


def test_nothing_is_lost() -> None:
    """What was said twenty times is said once, shorter, and can be put back; a class of its own stays."""
    before = page((PICTURE + f"<svg>{OWN}</svg>") * 20)
    after = looks_once(before)
    assert len(after) < 0.8 * len(before)
    assert after.count("stroke-linecap") == 1
    assert after.count(OWN) == 20
    assert after.index("._0{") < after.index("p{fill:red}")
    assert sorted_attributes(put_back(after)) == sorted_attributes(before)


def test_what_is_not_worth_it_stays() -> None:
    """A single picture, and a page without a style, stay as they are."""
    assert looks_once(page(PICTURE)) == page(PICTURE)
    assert looks_once(PICTURE * 20) == PICTURE * 20


@pytest.mark.debian("chromium")
def test_a_browser_sees_the_same(browser: Browser) -> None:
    """Every property of every shape is computed to the same value as from the attributes."""
    asked = f"""() => [...document.querySelectorAll('svg, svg *')].map(
      e => {list(PROPERTIES)}.map(name => getComputedStyle(e).getPropertyValue(name)))"""
    seen = []
    for text in (page(PICTURE * 20), looks_once(page(PICTURE * 20))):
        tab = browser.new_page()
        tab.set_content(text)
        seen.append(tab.evaluate(asked))
        tab.close()
    assert seen[0] == seen[1]
    assert len(seen[0]) == 100
