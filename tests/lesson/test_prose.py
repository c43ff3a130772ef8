"""Words: Markdown with figures put in, claims checked at their place, and nothing dangerous let through."""

from __future__ import annotations

import pytest

from buildalong.finding import Finding, Place, Severity
from buildalong.lesson import Figure, Image, Section
from buildalong.lesson._expression import ExpressionError, read_expression
from buildalong.lesson._prose import weave
from buildalong.quantity import Quantity

FIGURES = {"on_time(DS1)": Figure(Quantity(0.4561, "s"), "", "measure")}
DOT = Image("dot.png", "png", b"\x89PNG")


def ask(text: str, place: Place) -> tuple[str, str] | Finding:
    if "on_time(DS1)" in text:
        return "460 ms", "on_time(DS1)"
    return Finding(Severity.ERROR, "unknown-figure", f"no {text.strip()}", "did you mean on_time?")


def woven(text: str, **images: Image) -> tuple[tuple[Section, ...], list[Finding]]:
    return weave(text, "lesson.md", FIGURES, ask, {i.name: i for i in images.values()}, lambda part: None)


def html(text: str) -> str:
    sections, _ = woven(text)
    return "".join(section.html for section in sections)


def test_figures_are_put_in() -> None:
    """Braces are replaced by the number, marked so that the article can explain it."""
    assert html("It shines for {{ on_time(DS1) }}.") == (
        '<p>It shines for <span class="figure" data-figure="on_time(DS1)">460\u00a0ms</span>.</p>\n'
    )


def test_quoted_words_are_not_checked() -> None:
    """Words in quotes between braces are printed as they are, and are no claim."""
    sections, found = woven('Try {{ "47 µF & more" }}.')
    assert sections[0].html == "<p>Try 47\u00a0µF &amp; more.</p>\n"
    assert found == []


def test_an_unsupported_claim_stands_at_its_place() -> None:
    """A wrong number is found at line and column, and the nearest figures of its unit are named."""
    _, found = woven("Fine words.\n\nIt shines for 0.9 s, I think.\n")
    assert [(f.code, str(f.place), f.message) for f in found] == [
        ("claim-unsupported", "lesson.md:3:15", "nothing in the lesson supports '0.9 s'")
    ]
    assert "on_time(DS1) = 456 ms" in found[0].hint
    assert found[0].severity == Severity.ERROR


def test_a_unit_that_the_lesson_has_not_is_told() -> None:
    """Where no figure has the unit, the way to write free words is shown."""
    _, found = woven("At 3 lx it starts.")
    assert found[0].hint == 'no figure of this lesson has that unit; words not to be checked: {{ "3 lx" }}'


def test_an_unknown_figure_stands_at_its_place() -> None:
    """What is asked between braces and is not there is an error at the braces."""
    sections, found = woven("Words\nand {{ of_time(DS1) }}.\n")
    assert [(f.code, str(f.place), f.hint) for f in found] == [
        ("unknown-figure", "lesson.md:2:5", "did you mean on_time?")
    ]
    assert "[?]" in sections[0].html


@pytest.mark.parametrize(
    "text", ["{{ on_time(DS1 }}", "{{ on_time }}", "{{ }}", "{{ a(b,,c) }}", "{{ __import__('os') }}"]
)
def test_what_is_no_figure_is_told(text: str) -> None:
    """Half-written figures are errors; nothing between braces is ever executed."""
    _, found = woven(text)
    assert [f.code for f in found] in (["figure-unreadable"], ["unknown-figure"])


def test_code_shows_braces_as_they_are() -> None:
    """A lesson may explain its own notation in code."""
    sections, found = woven("Write `{{ nothing() }}`.\n\n    {{ nothing() }}\n")
    assert found == []
    assert sections[0].html.count("{{ nothing() }}") == 2


def test_sections_follow_the_headings() -> None:
    """Each ## begins a section, with the id in {#...} or one made of its words; equal ones are told apart."""
    sections, _ = woven("Lead.\n\n## What you *see* {#see}\n\nA\n\n### Sub\n\n## Try Next!\n\n## Try next\n")
    assert [(s.id, s.title) for s in sections] == [
        ("", ""),
        ("see", "What you see"),
        ("try-next", "Try Next!"),
        ("try-next-2", "Try next"),
    ]
    assert "<h3>Sub</h3>" in sections[1].html


def test_a_title_in_the_words_is_noted() -> None:
    """The title stands in lesson.toml; a # heading is left out, with a note."""
    sections, found = woven("# A lamp\n\nWords.\n")
    assert [f.code for f in found] == ["title-twice"]
    assert sections[0].html == "<p>Words.</p>\n"


def test_blocks_keep_their_line() -> None:
    """Each block knows its line in lesson.md."""
    sections, _ = woven("One\n\nTwo\n\n- a\n- b\n")
    assert [block.line for block in sections[0].blocks] == [1, 3, 5]


HOSTILE = {
    "script": "<script>alert(1)</script>",
    "event": '<p onclick="alert(1)">x</p>',
    "javascript link": "[x](javascript:alert(1))",
    "data link": "[x](data:text/html,<script>alert(1)</script>)",
    "style": '<p style="position:fixed">x</p><style>*{}</style>',
    "frame": '<iframe src="https://example.org"></iframe><object data="x"></object><embed src="x">',
    "form": '<form action="https://example.org"><input name="a"></form>',
    "svg": '<svg onload="alert(1)"><script>alert(1)</script></svg>',
    "image from outside": "![x](https://example.org/x.png)",
    "image tag": '<img src=x onerror="alert(1)">',
    "broken tag": '<img src="x" <script>alert(1)</script>',
    "meta": '<meta http-equiv="refresh" content="0;url=https://example.org">',
    "script in a figure's words": '{{ "<script>alert(1)</script>" }}',
    "figure in an attribute": '<abbr title="{{ "x onclick=alert(1) y" }}">x</abbr>',
    "mark of our own": "\ue0000\ue001 \ue0009\ue001",
}


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE.keys())
def test_dangerous_html_is_taken_out(text: str) -> None:
    """No script, handler, frame, form, style or picture from elsewhere reaches the article."""
    from html.parser import HTMLParser

    seen: list[tuple[str, dict[str, str | None]]] = []

    class Reader(HTMLParser):
        def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
            seen.append((tag, dict(attrs)))

    Reader().feed(html(text))
    for tag, attributes in seen:
        assert tag in {"p", "a", "abbr", "span", "div"}, tag
        assert set(attributes) <= {"href", "rel", "title"}
        assert not str(attributes.get("href", "")).startswith(("javascript", "data"))


LEFT_OUT = {
    "a script": ("Words.\n\n<script>alert(1)</script>", 3, 1, "<script>"),
    "a handler in a line": ('One\ntwo <b onclick="x()">b</b>', 2, 8, "'onclick' of <b>"),
    "a frame": ('x <iframe src="a"></iframe> <iframe src="b"></iframe>', 1, 3, "<iframe>"),
}


@pytest.mark.parametrize(("text", "line", "column", "what"), LEFT_OUT.values(), ids=LEFT_OUT.keys())
def test_what_is_left_out_is_told_at_its_place(text: str, line: int, column: int, what: str) -> None:
    """HTML that does not reach the article is one warning with line and column; harmless HTML is none."""
    _, found = woven(text + "\n\n<sub>x</sub>")
    assert [(f.code, f.severity) for f in found] == [("html-left-out", Severity.WARNING)]
    assert found[0].place == Place("lesson.md", line, column)
    assert what in found[0].message


@pytest.mark.parametrize("text", ["from 230 V mains", "about 240 V", "up to 110 volts"])
def test_no_words_lead_to_the_mains(text: str) -> None:
    """A voltage beyond extra-low voltage (IEC 61140: 50 V) is dangerous, not a figure to be put right."""
    _, found = woven(text)
    assert [f.code for f in found] == ["mains-voltage"]
    assert "about" not in found[0].hint
    assert not woven(f'It may not: {{{{ "{text}" }}}}.')[1]


def test_pictures_are_put_into_the_page() -> None:
    """A picture of the folder becomes part of the page; one that was refused becomes its words."""
    sections, _ = woven("![a dot](dot.png) ![gone](gone.png)", dot=DOT)
    assert sections[0].html == '<p><img src="data:image/png;base64,iVBORw==" alt="a dot"> gone</p>\n'


def test_pictures_need_words() -> None:
    """A picture without a text alternative is a warning (WCAG 2.2, 1.1.1)."""
    _, found = woven("![](dot.png)", dot=DOT)
    assert [(f.code, f.severity) for f in found] == [("picture-without-words", Severity.WARNING)]


EXPRESSIONS = {
    "on_time(DS1)": ("on_time", ("DS1",), "", 0, False, ""),
    "on_time( DS1 , 2 s, 8 s )": ("on_time", ("DS1", "2 s", "8 s"), "", 0, False, ""),
    'ideal on_time(DS1) in "a trial" in ms to 3 figures': ("on_time", ("DS1",), "a trial", 3, True, "ms"),
    "max(voltage(CAP)) in V": ("max_voltage", ("CAP",), "", 0, False, "V"),
    "supply()": ("supply", (), "", 0, False, ""),
}


@pytest.mark.parametrize("text", EXPRESSIONS)
def test_expressions_are_read(text: str) -> None:
    """The grammar of a figure, form by form."""
    found = read_expression(text)
    got = (found.name, found.arguments, found.trial, found.figures, found.ideal, found.unit)
    assert got == EXPRESSIONS[text]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "a figure is missing"),
        ("on_time(DS1", "the brackets of"),
        ("on_time", "is no figure"),
        ("a(b,,c)", "an argument between the commas is missing"),
        ("a(b) and c", "is not understood"),
        ("a" * 300, "at most 200 characters"),
    ],
)
def test_broken_expressions_are_told(text: str, message: str) -> None:
    """What is no figure is said in plain words."""
    with pytest.raises(ExpressionError, match=message):
        read_expression(text)


@pytest.mark.parametrize(
    ("heading", "meant"),
    [
        ("## Was du baust {#what-you-wil-build}", "what-you-will-build"),
        ("## How it work", "how-it-works"),
        ("## Try nxt {#try-nxt}", "try-next"),
    ],
)
def test_a_misspelled_section_is_told(heading: str, meant: str) -> None:
    """Its words would stand apart from what they belong to; docs/lesson-reference.md names the ids."""
    _, (finding,) = woven(f"Before.\n\n{heading}\n\nWords.\n")
    assert (finding.code, finding.place) == ("section-misspelled", Place("lesson.md", 3, 1))
    assert f"{{#{meant}}}" in finding.hint


def test_sections_of_the_authors_own_are_no_slips() -> None:
    """Headings that only begin alike, and a section that is written twice, are taken as they are."""
    assert woven("## What you need\n\nA.\n\n## How it works\n\nB.\n\n## How it works\n\nC.\n")[1] == []
