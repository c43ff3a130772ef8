"""What machines read of an article: schema.org's HowTo and the Open Graph protocol (both from memory)."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from buildalong.lesson import Compiled
from buildalong.publish import article_html, draw

Demo = Callable[[str], Compiled]
ALLOWED = {
    "@context", "@type", "name", "description", "inLanguage", "image", "supply", "tool", "step", "totalTime",
    "author", "license",
}  # fmt: skip
"""Properties of schema.org's HowTo and of what it inherits from CreativeWork and Thing."""


def how_to(page: str) -> dict[str, Any]:
    found = re.findall(r'<script type="application/ld\+json">(.*?)</script>', page, flags=re.DOTALL)
    assert len(found) == 1
    document: dict[str, Any] = json.loads(found[0])
    return document


def preview(page: str) -> dict[str, str]:
    return dict(re.findall(r'<meta property="(og:[a-z:]+)" content="([^"]*)">', page))


def test_the_way_to_build_it(article: Callable[[str], str], compiled_demo: Demo) -> None:
    """Tools, supplies and steps with pictures are those of the lesson; the time is an ISO 8601 duration."""
    page, compiled = article("lighthouse"), compiled_demo("lighthouse")
    document = how_to(page)
    assert (document["@context"], document["@type"]) == ("https://schema.org", "HowTo")
    assert set(document) <= ALLOWED
    assert [step["position"] for step in document["step"]] == list(range(1, len(compiled.steps) + 1))
    assert [step["name"] for step in document["step"]] == [step.title for step in compiled.steps]
    pictures = draw(compiled).named()
    for address in [document["image"], *(step["image"] for step in document["step"])]:
        assert address.removeprefix("pictures/").removesuffix(".png") in pictures
    assert sum(s["requiredQuantity"] for s in document["supply"]) == len(compiled.circuit.parts)
    assert re.fullmatch(r"PT[1-9]\d*M", document["totalTime"])
    assert "cost" not in page.partition("<body>")[0]


def test_the_preview(article: Callable[[str], str]) -> None:
    """The four properties that the Open Graph protocol demands, but for an address that is not known."""
    page = article("lighthouse")
    found = preview(page)
    assert {"og:title", "og:type", "og:image"} <= set(found)
    assert "og:url" not in found
    assert found["og:description"] in page.partition('<meta name="description"')[2][:300]


def test_addresses_stand_where_they_are_known(compiled_demo: Demo) -> None:
    """With a link, addresses are whole, and each language is named (HTML standard, link type alternate)."""
    compiled = compiled_demo("mailbox-flag")
    lesson = replace(
        compiled.lesson, link="https://example.org/flag/", links={"de": "https://example.org/de/flag/"}
    )
    page = article_html(replace(compiled, lesson=lesson), draw(compiled))
    assert preview(page)["og:image"] == "https://example.org/flag/pictures/thumbnail.png"
    assert '<link rel="canonical" href="https://example.org/flag/">' in page
    found = re.findall(r'<link rel="alternate" hreflang="([^"]+)" href="([^"]+)">', page)
    assert found == [("de", "https://example.org/de/flag/"), ("en", "https://example.org/flag/")]


@pytest.mark.parametrize("title", ["</script><script>alert(1)</script>", "<!--<script>", "a & b"])
def test_no_words_end_the_data(compiled_demo: Demo, title: str) -> None:
    """Whatever the author writes stays inside the data (HTML standard, restrictions of script elements)."""
    compiled = compiled_demo("mailbox-flag")
    page = article_html(replace(compiled, lesson=replace(compiled.lesson, title=title)), draw(compiled))
    inside = page.partition('<script type="application/ld+json">')[2].partition("</script>")[0]
    assert not set("<>&") & set(inside)
    assert how_to(page)["name"] == title
