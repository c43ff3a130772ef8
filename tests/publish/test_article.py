"""The article: one file that needs no other, whose numbers are those of the lesson."""

from __future__ import annotations

import csv
import html
import io
import re
from collections.abc import Callable

import pytest

from buildalong.lesson import Compiled
from buildalong.publish import parts_csv
from buildalong.publish.handout._glossary import glossary_of
from demos import DEMOS

Article = Callable[[str], str]
Demo = Callable[[str], Compiled]
DATA = (' type="application/ld+json"', ' type="application/json" class="data"')
"""Script elements of these types are data and never run (HTML standard, 4.12.1)."""


@pytest.mark.parametrize("name", DEMOS)
def test_needs_no_network(article: Article, name: str) -> None:
    """Nothing is loaded from elsewhere: every src and url() is data or a place in the page."""
    page = article(name)
    sources = re.findall(r'\bsrc="([^"]*)"', page) + re.findall(r"url\(([^)]*)\)", page)
    assert [s for s in sources if not s.startswith(("data:", "#"))] == []
    assert "<link" not in page
    assert "@import" not in page


@pytest.mark.parametrize("name", DEMOS)
def test_stays_small(article: Article, name: str) -> None:
    """The page with its pictures and fonts is under 1.5 million bytes, that of the largest demo too."""
    assert len(article(name).encode()) < 1_500_000


@pytest.mark.parametrize("name", DEMOS)
def test_ids_are_unique_and_links_lead_somewhere(article: Article, name: str) -> None:
    """Each id stands once, and every link inside the page has a target (HTML standard, id attribute)."""
    page = article(name)
    ids = re.findall(r'\sid="([^"]+)"', page)
    assert len(ids) == len(set(ids))
    targets = re.findall(r'href="#([^"]+)"', page) + re.findall(r"url\(#([^)]+)\)", page)
    assert set(targets) <= set(ids)


@pytest.mark.parametrize("name", DEMOS)
def test_every_picture_has_words(article: Article, name: str) -> None:
    """Each drawing is announced as an image with a text alternative (WCAG 2.2, 1.1.1)."""
    drawings = re.findall(r"<svg\b[^>]*>(?:(?!</svg>).)*", article(name), flags=re.S)
    assert drawings
    for drawing in drawings:
        assert 'role="img"' in drawing[:600]
        assert re.search(r"<desc[^>]*>[^<]{10,}</desc>", drawing)


@pytest.mark.parametrize("name", DEMOS)
def test_tells_every_step_and_promise(article: Article, compiled_demo: Demo, name: str) -> None:
    """No step, promise or part of the compiled lesson is missing from the article."""
    page, compiled = article(name).replace("\u00a0", " "), compiled_demo(name)
    for step in compiled.steps:
        assert html.escape(step.text, quote=False) in page.replace("&#34;", '"').replace("&#39;", "'")
    assert len(re.findall(r'class="step[ "]', page)) == len(compiled.steps)
    assert page.count('<span class="ok">') == len(compiled.promises)
    for part in compiled.circuit.parts:
        assert re.search(rf"\b{part.id}\b", page)


def test_the_words_to_know_are_those_of_the_booklet(article: Article, compiled_demo: Demo) -> None:
    """Article and booklet explain the same terms in the same words: one source for both."""
    found = re.findall(r"<dfn>(.*?)</dfn></dt><dd>(.*?)</dd>", article("lighthouse").replace("\u00a0", " "))
    terms = glossary_of(compiled_demo("lighthouse"))
    assert [(html.unescape(term), html.unescape(text)) for term, text in found] == [
        term[:2] for term in terms
    ]


def test_author_words_cannot_run(article: Article) -> None:
    """Only our own script runs: its digest is the only source that the policy allows (CSP level 3)."""
    page = article("lighthouse")
    assert page.count("<script>") == 1
    assert set(re.findall(r"<script([^>]*)>", page)) <= {"", *DATA}
    assert re.search(r"script-src 'sha256-[A-Za-z0-9+/=]{44}'", page)
    assert "default-src 'none'" in page


def test_same_lesson_gives_the_same_bytes(article: Article, compiled_demo: Demo) -> None:
    """Simulating mistakes and builds, drawing and writing again gives the same article."""
    from buildalong.publish import article_html, builds_of, draw, guide_for

    compiled = compiled_demo("mailbox-flag")
    guide = guide_for(compiled)
    again = article_html(compiled, draw(compiled, guide=guide), guide, builds_of(compiled))
    assert again == article("mailbox-flag")


@pytest.mark.parametrize("name", DEMOS)
def test_parts_list_counts_every_part(compiled_demo: Demo, name: str) -> None:
    """The CSV (RFC 4180) names each part once and adds up to all of them."""
    compiled = compiled_demo(name)
    rows = list(csv.DictReader(io.StringIO(parts_csv(compiled.circuit))))
    named = [reference for row in rows for reference in row["references"].split(", ")]
    assert sorted(named) == sorted(part.id for part in compiled.circuit.parts)
    assert sum(int(row["quantity"]) for row in rows) == len(compiled.circuit.parts)


def test_parts_list_reads_out_markings(compiled_demo: Demo) -> None:
    """56 kΩ at 5 % is green, blue, orange, gold (IEC 60062); 10 nF is 103."""
    rows = {
        row["references"]: row
        for row in csv.DictReader(io.StringIO(parts_csv(compiled_demo("lighthouse").circuit)))
    }
    assert rows["R1"]["marking"] == "green, blue, orange, gold"
    assert rows["C2"]["marking"] == "103"


def test_the_parts_list_tells_once_which_lead_is_which(article: Article) -> None:
    """What is read on a part says it; what the part does needs not say it again."""
    page = article("lighthouse")
    listed = html.unescape(page[page.index('<ul class="parts">') :].split("</ul>")[0])
    for once in ("longer lead", "marks the cathode", "stripe with minus"):
        words = re.sub(r"<svg.*?</svg>", "", listed, flags=re.S)
        for item in words.split("<li>"):
            assert len(re.findall(once, item)) <= 1, once
    assert "The longer lead is the anode" in listed


def test_the_numbers_of_looks_inside_are_explained(article: Article) -> None:
    """They are those of the story's sentences, so that some are left out: the words before them say so."""
    page = article("runway-lights")
    looks = page[page.index("<h3>Inside U2") :].split("</ol>")[0]
    assert "The numbers are those of the sentences above" in looks
    numbers = [int(n) for n in re.findall(r'<span class="mark">(\d+)</span>', looks)]
    told = re.findall(r'<span class="mark">(\d+)</span>', page[: page.index("<h3>Inside")])
    assert numbers == sorted(numbers)
    assert set(map(str, numbers)) <= set(told)
