"""Putting an author's words into the frame of an article."""

from __future__ import annotations

from buildalong.lesson import Section
from buildalong.lesson._lesson import Block
from buildalong.publish._frame import Frame

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
        '<ol><li>next:Next &amp; on</li></ol><main><h2>Look</h2><div class="prose">AB</div>\n'
        '<h2>Next &amp; on</h2><div class="prose">C</div>\n</main>'
    )


def test_a_section_only_with_words() -> None:
    """What nothing is promised in stands only where the author has words for it."""
    page = FRAME.filled([words("what-you-should-see", "Light.", "See")])
    assert page == (
        '<ol><li>See</li></ol><main><h2>Look</h2><h2>See</h2><div class="prose">Light.</div>\n</main>'
    )


def test_words_for_a_section_that_is_not_there_are_not_lost() -> None:
    """Words on the formula of a circuit without a known one stand in a section of their own."""
    page = FRAME.filled([words("the-formula", "E", "The formula")])
    assert '<h2>The formula</h2><div class="prose">E</div>' in page


def test_nothing_is_put_into_what_an_author_wrote() -> None:
    """Marks in the author's words and titles stay what they are."""
    marks = "<!--words see--><!--more sections--><!--id--><!--title--><!--words-->"
    page = FRAME.filled([words("", marks), words("x", marks, marks)])
    assert page.count(marks) == 2
    assert page.count("&lt;!--words see--&gt;") == 2
