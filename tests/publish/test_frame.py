"""Putting an author's words into the frame of an article."""

from __future__ import annotations

import pytest

from buildalong.lesson import Section
from buildalong.lesson._lesson import Block
from buildalong.publish._frame import Frame
from buildalong.publish._terms import Linker, patterns_of
from buildalong.publish.handout._glossary import Term
from buildalong.publish.handout._glossary_words import TERMS as TRADE
from buildalong.words import say, speaking

FRAME = Frame(
    html="<ol><!--only with words see--><li>See</li><!--only with words see--><!--more entries-->\n</ol>"
    "<main><h2>Look</h2><!--words look-->\n"
    "<!--only with words see--><h2>See</h2><!--words see-->\n<!--only with words see-->"
    "<!--more sections-->\n</main>",
    entry="<li><!--id-->:<!--title--></li>",
    section="<h2><!--title--></h2><!--words-->",
)  # fmt: skip


def words(identity: str, html: str, title: str = "") -> Section:
    return Section(identity, title, (Block(html, 1),))


def test_words_go_where_they_belong() -> None:
    """Words before the first heading join those of the first section; others have sections of their own."""
    page = FRAME.filled([words("", "A"), words("what-you-will-build", "B"), words("next", "C", "Next & on")])
    assert page == (
        '<ol><li>next:Next &amp; on</li></ol><main><h2>Look</h2><div class="prose" dir="auto">AB</div>\n'
        '<h2>Next &amp; on</h2><div class="prose" dir="auto">C</div>\n</main>'
    )


def test_a_section_only_with_words() -> None:
    """What nothing is promised in stands only where the author has words for it."""
    page = FRAME.filled([words("what-you-should-see", "Light.", "See")])
    assert page == (
        "<ol><li>See</li></ol><main><h2>Look</h2><h2>See</h2>"
        '<div class="prose" dir="auto">Light.</div>\n</main>'
    )


def test_words_for_a_section_that_is_not_there_are_not_lost() -> None:
    """Words on the formula of a circuit without a known one stand in a section of their own."""
    page = FRAME.filled([words("the-formula", "E", "The formula")])
    assert '<h2>The formula</h2><div class="prose" dir="auto">E</div>' in page


def test_nothing_is_put_into_what_an_author_wrote() -> None:
    """Marks in the author's words and titles stay what they are."""
    marks = "<!--words see--><!--more sections--><!--id--><!--title--><!--words-->"
    page = FRAME.filled([words("", marks), words("x", marks, marks)])
    assert page.count(marks) == 2
    assert page.count("&lt;!--words see--&gt;") == 2


# -- words of the trade -----------------------------------------------------------------------------------


TERMS = (
    Term("Circuit", "", "circuit"), Term("Current", "", "current"), Term("Reference", "", "reference"),
    Term("Short circuit", "", "short-circuit"), Term("Voltage", "", "voltage"),
)  # fmt: skip


def linked(*pieces: str, language: str = "en", terms: tuple[Term, ...] = TERMS) -> str:
    with speaking(language):
        linker = Linker(patterns_of(terms))
    return "".join(map(linker.linked, pieces))


def link(key: str, text: str) -> str:
    return f'<a class="term" href="#_term-{key}">{text}</a>'


def test_a_term_is_linked_where_it_first_stands() -> None:
    """Once over all pieces, its plural too, the longer of two terms, and never a part of a word."""
    page = linked("<p>A <em>short\ncircuit</em> lets undercurrents flow.</p>", "<p>Voltages, circuit</p>")
    assert page == (
        f"<p>A <em>{link('short-circuit', f'short{chr(10)}circuit')}</em> lets undercurrents flow.</p>"
        f"<p>{link('voltage', 'Voltages')}, {link('circuit', 'circuit')}</p>"
    )


@pytest.mark.parametrize(
    "html",
    ["<h3>Current</h3>", '<a href="x">current</a>', "<pre><code>current</code></pre>", "a reference-voltage",
     '<img alt="current > circuit" src="current.png">', "<math><mi>current</mi></math>", "current-limiting"],
)  # fmt: skip
def test_what_is_no_running_text_stays(html: str) -> None:
    """Headings, links, code, formulas, attributes, compounds, and terms that mostly mean something else."""
    assert linked(html) == html
    assert linked(html, "current") == html + link("current", "current")


@pytest.mark.parametrize(
    ("language", "term", "text"),
    [("de", "Spannung", "Spannungen"), ("es", "Carril", "carriles"), ("fr", "Court-circuit", "courts"),
     ("fr", "Plaque d'essai", "plaque d'essai")],
)  # fmt: skip
def test_terms_end_as_their_language_does(language: str, term: str, text: str) -> None:
    """Plurals after Duden (Spannungen), RAE (carriles); a word that only begins so stays."""
    page = linked(text, language=language, terms=(Term(term, "", "k"),))
    assert page == (text if text == "courts" else link("k", text))


@pytest.mark.parametrize(
    ("language", "resistor"), [("de", "Widerstand"), ("es", "resistencia"), ("fr", "résistance")]
)
def test_a_resistor_is_not_taken_for_resistance(language: str, resistor: str) -> None:
    """Where one word names part and quantity it is not linked (dictionary of each language)."""
    with speaking(language):
        term = Term(say(TRADE["resistance"][0]), "", "resistance")
    assert term.term.lower() == resistor.lower()
    assert linked(resistor, language=language, terms=(term,)) == resistor
