"""The booklets: what stands in them, how they are tagged, what hostile words do to them."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from fontTools.ttLib import TTFont
from PIL import Image
from pydantic import TypeAdapter

from buildalong.drawing import vendored_fonts
from buildalong.drawing._svg import Svg
from buildalong.guide import Guide
from buildalong.lesson import Block, Compiled, Section
from buildalong.publish._pictures import Pictures
from buildalong.publish._typeset import _compiled, _files, page_count, printable, typeset, unprintable
from buildalong.publish.handout import (
    Material,
    Setting,
    booklet_pdf,
    booklet_setting,
    editions_on,
    handouts,
    material_of,
)
from buildalong.publish.handout._glossary import NEEDS, glossary_of
from buildalong.publish.handout._glossary_words import TERMS
from buildalong.publish.handout._tree import DEEPEST, tree_of
from buildalong.words import speaking
from once import once
from publish._pdf import elements, faces, flat, tagged, text_of

DEMOS = ("lighthouse", "mailbox-flag")
Make = Callable[[str], Material]


@pytest.fixture(scope="module")
def material(
    compiled_demo: Callable[[str], Compiled],
    guide: Callable[[str], Guide | None],
    drawn: Callable[[str], Pictures],
) -> Make:
    """Give what the handouts of a demo are made from."""
    return cache(lambda name: material_of(compiled_demo(name), drawn(name), guide(name)))


@pytest.fixture(scope="module")
def booklet(material: Make) -> Callable[..., bytes]:
    """Give a booklet of a demo by name, paper and edition."""

    def made(name: str, paper: str, teacher: bool) -> bytes:
        data, findings = booklet_pdf(material(name), paper, teacher=teacher)
        assert findings == ()
        return data

    def of(name: str, paper: str = "a4", teacher: bool = False) -> bytes:
        return once(f"booklet-{name}-{paper}-{teacher}", lambda: made(name, paper, teacher))

    return of


@pytest.fixture(scope="module")
def prosaic(compiled_demo: Callable[[str], Compiled]) -> Callable[..., tuple[bytes, tuple[str, ...]]]:
    """Set the booklet of a demo with these words in place of its pictures' story; gives it and findings."""

    def made(html: str, title: str = "A flag") -> tuple[bytes, tuple[str, ...]]:
        compiled = compiled_demo("mailbox-flag")
        lesson = replace(compiled.lesson, title=title)
        changed = replace(compiled, lesson=lesson, prose=(Section("more", title, (Block(html, 1),)),))
        data, findings = booklet_pdf(Material(changed, Pictures()), "a4")
        return data, tuple(f"{finding.code}: {finding.message}" for finding in findings)

    return made


# -- what stands in them ----------------------------------------------------------------------------------


@pytest.mark.debian("pdftotext")
@pytest.mark.parametrize("name", DEMOS)
def test_the_learner_finds_everything(booklet: Callable[..., bytes], material: Make, name: str) -> None:
    """Parts, formulas with numbers, steps, checks, slips, symptoms, glossary: nothing is missing."""
    known = material(name)
    text = flat(text_of(booklet(name)))
    compiled = known.compiled
    assert compiled.lesson.title in text
    for part in compiled.circuit.parts:
        assert part.id in text
    for step in compiled.steps:
        assert flat(step.title) in text
        assert flat(step.text) in text
    for entry in compiled.sheet:
        assert flat(entry.title[1:]) in text
    assert known.guide is not None
    for check in known.guide.checks:
        assert flat(check.why) in text
    for symptom in known.guide.symptoms[:3]:
        assert symptom.title in text
    for word in glossary_of(compiled):
        assert f"{word.term}. {word.text}" in text
    assert known.sheet is not None
    assert known.sheet.questions[0].text.split(".")[0] in text


@pytest.mark.debian("pdftotext")
@pytest.mark.parametrize("name", DEMOS)
def test_only_the_teacher_finds_answers(booklet: Callable[..., bytes], material: Make, name: str) -> None:
    """Working, slips, fault-finding plan, times and parts stand in the teacher's edition alone."""
    known = material(name)
    learner, teacher = (flat(text_of(booklet(name, "a4", edition))) for edition in (False, True))
    assert known.sheet is not None
    assert known.puzzles
    for words in (
        known.sheet.questions[-1].working[-1], known.puzzles[0].answer, "Fault-finding plan".lower(),
        "30 learners", "How long it takes", "Build the lesson once yourself",
    ):  # fmt: skip
        assert flat(words) in teacher
        assert flat(words) not in learner


@pytest.mark.debian("pdftotext")
@pytest.mark.parametrize("name", DEMOS)
def test_steps_stand_two_to_four_on_a_page(booklet: Callable[..., bytes], material: Make, name: str) -> None:
    """On A4 a page of steps holds two to four of them, but for long ones as the check before switching on."""
    titles = {step.number: flat(step.title) for step in material(name).compiled.steps}
    pages = [flat(page) for page in text_of(booklet(name)).split("\f")]
    begin = next(index for index, page in enumerate(pages) if "Build it 1 " in page)
    counts = []
    for page in pages[begin:]:
        here = [
            n for n, title in titles.items() if re.search(rf"(?:^|\s){n} {re.escape(title)}(?:\s|$)", page)
        ]
        counts += [len(here)] if here else []
    assert sum(counts) == len(titles)
    assert max(counts) <= 4
    assert sum(count < 2 for count in counts) <= 3


def test_a_glossary_explains_only_what_is_there(compiled_demo: Callable[[str], Compiled]) -> None:
    """A board of 170 tie-points has no rails; every term is explained once, in the order of the alphabet."""
    small, large = (
        [word.term for word in glossary_of(compiled_demo(name))] for name in ("mailbox-flag", "lighthouse")
    )
    assert "Rail" not in small
    assert "Rail" in large
    assert large == sorted(set(large))
    assert set(NEEDS) < set(TERMS)
    with speaking("es"):  # an accent does not count (RAE, from memory)
        spanish = [word.term for word in glossary_of(compiled_demo("mailbox-flag"))]
    assert spanish[0] == "Ánodo"
    assert spanish.index("Cátodo") < spanish.index("Circuito")


# -- tags -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("paper", "teacher"), [("a4", False), ("a4", True), ("letter", False), ("a5", True)])
def test_a_screen_reader_can_read_it(booklet: Callable[..., bytes], paper: str, teacher: bool) -> None:
    """ISO 14289-1: every figure and formula has words, heads of tables are heads, no level is skipped."""
    pdf = tagged(booklet("mailbox-flag", paper, teacher))
    found = list(elements(pdf))
    kinds = [kind for kind, _ in found]
    for kind, element in found:
        if kind in ("Figure", "Formula"):
            assert len(str(element.get("/Alt", ""))) > 3
        if kind == "TH":
            attributes = element.get("/A")
            assert "Scope" in str((attributes.objgen and attributes) or attributes)
    levels = [int(kind[1]) for kind in kinds if re.fullmatch(r"H[1-6]", kind)]
    assert levels[0] == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))
    assert {"Title", "TOC", "Table", "TH", "L", "Figure", "Formula"} <= set(kinds)
    assert all(page.get("/Tabs") == "/S" and "/StructParents" in page for page in pdf.pages)
    assert str(pdf.Root.Lang) == "en"


@pytest.mark.parametrize(
    ("paper", "size"), [("a4", (210, 297)), ("letter", (215.9, 279.4)), ("a5", (148, 210))]
)
def test_paper_has_its_size(booklet: Callable[..., bytes], paper: str, size: tuple[float, float]) -> None:
    """ISO 216 A4 and A5, ANSI Letter, in millimetres."""
    pdf = pikepdf.open(io.BytesIO(booklet("mailbox-flag", paper)))
    for page in pdf.pages:
        wide, tall = (float(page.mediabox[i]) * 25.4 / 72 for i in (2, 3))
        assert (wide, tall) == pytest.approx(size, abs=0.05)


def test_the_same_lesson_gives_the_same_bytes(booklet: Callable[..., bytes], material: Make) -> None:
    """No date and no chance is in a PDF."""
    again, _ = booklet_pdf(material("mailbox-flag"), "a4", teacher=True)
    assert booklet("mailbox-flag", "a4", True) == again
    assert not re.search(rb"/(?:Creation|Mod)Date", again)
    assert b"xmp:CreateDate" not in again


@pytest.mark.parametrize(("paper", "teacher"), [("a4", False), ("a5", True)])
def test_pages_are_counted_as_others_count_them(
    booklet: Callable[..., bytes], paper: str, teacher: bool
) -> None:
    """Our count is that of qpdf; what is no PDF is refused."""
    data = booklet("mailbox-flag", paper, teacher)
    assert page_count(data) == len(tagged(data).pages)
    with pytest.raises(RuntimeError):
        page_count(b"%PDF-1.7")


# -- words of strangers -------------------------------------------------------------------------------------

HOSTILE = (
    '#panic("no")', "#import \"house.typ\": *", "$ sum_(x=1) $", "*bold* _it_ `raw`", "= Heading",
    "@ref <label>",     "// gone", "/* gone */", "\\u{41} \\", "] } ) #[", "<script>alert(1)</script>",
    "https://example.org", "~--- ... --",
)  # fmt: skip


@pytest.mark.debian("pdftotext")
@pytest.mark.parametrize("words", HOSTILE)
def test_words_never_run(prosaic: Callable[..., tuple[bytes, tuple[str, ...]]], words: str) -> None:
    """What would be markup of the typesetter is printed letter for letter, as title and in a paragraph."""
    shown = words.replace("&", "&amp;").replace("<", "&lt;")
    data, findings = prosaic(f"<p>So: {shown} :end</p>", title=words)
    assert findings == ()
    text = flat(text_of(data))
    assert f"So: {words} :end" in text
    assert text.count(words) >= 3
    assert "<<" not in words
    assert str(tagged(data).docinfo.get("/Title")) == words


@pytest.mark.parametrize(
    "html",
    [
        "<blockquote>" * 400 + "deep" + "</blockquote>" * 400,
        "<ul><li>" * 300 + "deep",
        "<p>" + "W" * 5000 + "</p>",
        "<table>" + "<tr><td>a</td><td>b</td></tr>" * 800 + "</table>",
        "<table><tr>" + "<td>a</td>" * 60 + "</tr></table>",
        "<table></table><ul></ul><ol start='99999999999'><li></li></ol><p></p><a href='x'></a><img>",
        "<p>\x00\x01\x1b[31m\u202e\u200d\ufe0f\ufeff</p>",
        "</p></p></div>" * 50,
    ],
    ids=[
        "deep-quotes",
        "deep-lists",
        "long-word",
        "long-table",
        "wide-table",
        "empty",
        "controls",
        "unopened",
    ],
)
def test_no_shape_of_prose_breaks_it(
    prosaic: Callable[..., tuple[bytes, tuple[str, ...]]], html: str
) -> None:
    """Whatever the author's HTML is like, a tagged PDF comes out."""
    data, findings = prosaic(html)
    tagged(data)
    assert findings == ()


def test_depth_is_bounded() -> None:
    """Nothing is lost of what stands too deep; it stands less deep."""
    nodes: object = tree_of("<div>" * 50 + "x" + "</div>" * 50)
    depth = 0
    while isinstance(nodes, list) and isinstance(nodes[0], dict):
        nodes, depth = nodes[0]["body"], depth + 1
    assert nodes == ["x"]
    assert depth == DEEPEST


@pytest.mark.debian("pdftotext")
@pytest.mark.parametrize("words", ["Ένας φάρος για το λιμάνι", "Маяк для гавани", "Žluťoučký kůň Łódź ß ñ"])
def test_letters_that_the_fonts_have_are_printed(
    prosaic: Callable[..., tuple[bytes, tuple[str, ...]]], words: str
) -> None:
    """Greek, Cyrillic and accented Latin are set as they are, without a finding."""
    data, findings = prosaic(f"<p>{words}</p><p><b>{words}</b> <i>{words}</i></p>", title=words)
    assert findings == ()
    assert flat(text_of(data)).count(words) >= 5


@pytest.mark.debian("pdftotext")
def test_letters_that_no_font_has_are_boxes(
    prosaic: Callable[..., tuple[bytes, tuple[str, ...]]],
) -> None:
    """Japanese is printed as boxes; the reading of the lesson has told it."""
    data, findings = prosaic("<p>灯台 and light</p>", title="港の灯台")
    assert findings == ()
    text = flat(text_of(data))
    assert "□□ and light" in text
    assert "灯" not in text
    tagged(data)


def test_letters_are_composed_and_signs_without_shape_go() -> None:
    """Unicode NFC (UAX 15): e and a combining acute are one letter; joiners and direction marks go."""
    assert printable("e\u0301 a\u200db\ufe0f") == "é ab"


def test_a_picture_that_is_damaged_is_told(prosaic: Callable[..., tuple[bytes, tuple[str, ...]]]) -> None:
    """A PNG cut short gives a finding and its words in its place; a sound one is shown."""
    import base64

    buffer = io.BytesIO()
    Image.new("RGB", (40, 20), "red").save(buffer, "PNG")
    whole = buffer.getvalue()
    assert unprintable(whole) == ""
    for content, codes, figures in ((whole, [], 1), (whole[:40], ["picture-not-printed"], 0)):
        src = "data:image/png;base64," + base64.b64encode(content).decode()
        data, findings = prosaic(f'<p>See <img src="{src}" alt="a red field"> here</p>')
        assert [finding.split(":")[0] for finding in findings] == codes
        alts = [str(e.get("/Alt")) for kind, e in elements(tagged(data)) if kind == "Figure"]
        assert alts.count("a red field") == figures


# -- editions and papers ------------------------------------------------------------------------------------


def test_what_is_made_on_which_paper(material: Make) -> None:
    """Booklets on A4, Letter and folded A4; posters on A4, Letter, A3, A2; anything else is refused."""
    known = material("mailbox-flag")
    assert {p: editions_on(p, known.compiled) for p in ("a4", "a5-booklet", "a2")} == {  # type: ignore[arg-type]
        "a4": ("learner", "teacher", "poster"), "a5-booklet": ("learner", "teacher"), "a2": ("poster",),
    }  # fmt: skip
    assert set(handouts(known, ("learner",), "a5-booklet").files) == {
        "learner-a5.pdf",
        "learner-a5-sheets.pdf",
    }
    with pytest.raises(ValueError, match="learner edition"):
        handouts(known, ("learner",), "a2")


def test_a_lesson_without_trials_still_has_a_booklet(compiled_demo: Callable[[str], Compiled]) -> None:
    """Without guide, sheet and pictures there is less in it, but there it is."""
    data, findings = booklet_pdf(Material(compiled_demo("mailbox-flag"), Pictures()), "a4", teacher=True)
    tagged(data)
    assert findings == ()


def test_every_template_is_sound(tmp_path: Path) -> None:
    """A template that is not there is a fault of ours and is told as such."""
    with pytest.raises(RuntimeError):
        typeset("no-such-template", {})


# -- faces ----------------------------------------------------------------------------------------------

VENDORED = {TTFont(io.BytesIO(font.data))["name"].getDebugName(6) for font in vendored_fonts()}
"""Their PostScript names (OpenType 1.9, name table, id 6)."""
MATHS = {"NewCMMath-Book"}
"""Formulas need a face with a table of mathematics; the typesetter's own is the only one of them."""


@pytest.mark.parametrize("teacher", [False, True])
def test_booklets_carry_no_other_faces(booklet: Callable[..., bytes], teacher: bool) -> None:
    """Words and pictures, whose labels have letters of two families (ohms), are set in the fonts we ship."""
    assert faces(booklet("mailbox-flag", "a4", teacher)) - MATHS <= VENDORED


@pytest.mark.debian("pdftotext")
@pytest.mark.parametrize("anchor", ["start", "middle", "end"])
def test_a_picture_in_a_pdf_keeps_its_faces_for_any_letters(anchor: Any) -> None:
    """Polish, Cyrillic and Greek letters beside Latin ones, raised and lowered, are set as in the browser."""
    drawn = Svg(300, 60, title="Letters", alt="Letters", background="#FFFFFF")
    drawn.text(150, 40, "Łódź 330 Ω", 20, anchor=anchor)
    drawn.text(150, 20, "R_{Приб} → x", 20, anchor=anchor, style="bold")
    page = '#set document(title: "p", date: none)\n#image("p.svg", alt: "Letters")'
    (data,) = _compiled(
        "p.typ", {**_files({}, {"p.svg": drawn.picture().svg.encode()}), "p.typ": page.encode()}
    )
    assert faces(data) == {"AtkinsonHyperlegible-Regular", "AtkinsonHyperlegible-Bold"} | {
        name for name in VENDORED if name.startswith("DejaVu")
    }
    assert set("Łódź330ΩRПриб→x") <= set(text_of(data))


@pytest.mark.debian("pdftotext")
def test_boards_that_fill_a_page_follow_what_is_asked(
    material: Make, monkeypatch: pytest.MonkeyPatch
) -> None:
    """On A5 a board as tall as its page leaves no room for lines to write on: what is asked comes before."""
    tall = Svg(400, 800, title="A board", alt="A long board with a slip on it.")
    tall.text(200, 400, "slipped", 14, anchor="middle")
    monkeypatch.setattr("buildalong.publish.handout._booklet.slip_picture", lambda *_: tall.picture())
    known = replace(material("mailbox-flag"))  # what was drawn for it before is left behind
    data, _ = booklet_pdf(known, "a5")
    pages = [flat(page) for page in text_of(data).split("\f")]
    asked = next(index for index, page in enumerate(pages) if "Each of these boards" in page)
    drawn = [index for index, page in enumerate(pages) if "slipped" in page]
    numbers = [puzzle.number for puzzle in known.puzzles]
    assert f"Board {numbers[0]} This is seen" in pages[asked]
    before = " ".join(pages[asked : drawn[0]])
    assert all(f"Board {number} This is seen" in before for number in numbers)
    assert all(f"Board {n} " in pages[index] for n, index in zip(numbers, drawn, strict=True))


# -- kept for other words -----------------------------------------------------------------------


@pytest.mark.debian("pdftotext")
def test_a_kept_booklet_takes_other_words(material: Make) -> None:
    """What is kept of a booklet comes back from JSON; with other words it is what would be made anew."""
    known = material("mailbox-flag")
    kept = booklet_setting(known, "a4", teacher=True)
    again = TypeAdapter(Setting).validate_json(TypeAdapter(Setting).dump_json(kept), strict=True)
    words = "<p>" + "quite other words " * 300 + "</p>"
    prose = (Section("how-it-works", "How", (Block(words, 1),)), Section("else", "Something else", ()))
    changed = Material(replace(known.compiled, prose=prose), *_rest(known))
    data, _ = again.filled(prose)
    assert data == booklet_pdf(changed, "a4", teacher=True)[0]
    text = flat(text_of(data))
    assert text.count("quite other words") == 300
    assert "Something else" in text
    # 900 words more take nine minutes more to read
    before, after = (_reading(kept.filled(p)[0]) for p in ((), prose))
    assert after - before == 9


@pytest.mark.debian("pdftotext")
def test_a_kept_booklet_speaks_the_language_it_was_made_in(material: Make) -> None:
    """The words go in after the lesson's language has been left; what is summed up then keeps it."""
    with speaking("fr"):
        kept = booklet_setting(material("mailbox-flag"), "a4", teacher=True)
    text = flat(text_of(kept.filled(())[0]))
    assert re.search(r"environ \d+\smin", text)
    assert not re.search(r"about \d+\smin", text)


def _rest(material: Material) -> tuple[Any, ...]:
    return material.pictures, material.guide, material.sheet, material.puzzles


def _reading(data: bytes) -> int:
    found = re.search(r"read how it works\s+(\d+)", flat(text_of(data, "-layout")))
    assert found is not None
    return int(found[1])
