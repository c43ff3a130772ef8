"""The author's words in another language, and the claims in them.

Words for about, at most, between and the units: common usage of each language (from memory).
"""

from __future__ import annotations

import pytest

from buildalong.finding import Severity, Unreadable
from buildalong.lesson import compile_lesson, load
from buildalong.lesson._claims import find_claims, only_ideal
from buildalong.lesson._lesson import Figure
from buildalong.quantity import Quantity
from buildalong.words import LANGUAGES, _catalogue, language
from buildalong.words._po import Entry, write_po

GERMAN = """
[words.de]
"A lamp" = "Eine Lampe"
"first second" = "erste Sekunde"
"it shines" = "sie leuchtet"
"lets little through" = "lässt wenig durch"
"""
FACTS = """
title = "A lamp"
supply = "4 x AA"
[parts]
R1 = { part = "resistor", value = "330", pins = ["PLUS", "A"], does = "lets little through" }
DS1 = { part = "led-red", pins = ["A", "0V"] }
[[trial]]
name = "first second"
lasts = "1 s"
[[promise]]
that = 'voltage(DS1) in "first second"'
is = "2 V"
within = "20 %"
says = "it shines"
"""


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "lesson.toml").write_text(FACTS + GERMAN, encoding="utf-8")
    (tmp_path / "lesson.md").write_text("R1 has 330 Ω.\n", encoding="utf-8")
    (tmp_path / "lesson.de.md").write_text(
        'R1 hat 330 Ω, DS1 {{ lasts() in "first second" }} lang.\n', encoding="utf-8"
    )
    return tmp_path


def codes(findings):
    return [f.code for f in findings if f.code.startswith(("words-", "unknown-", "claim-"))]


def test_the_words_come_in_the_wanted_language(folder):
    lesson = load(folder, "de")
    assert (lesson.title, lesson.language) == ("Eine Lampe", "de")
    assert lesson.trials[0].name == "erste Sekunde"
    assert lesson.promises[0].says == "sie leuchtet"
    assert lesson.does["R1"] == "lässt wenig durch"
    assert lesson.prose.startswith("R1 hat")
    assert codes(lesson.findings) == []


def test_authors_are_translated_where_a_translation_stands(folder):
    """A class or a club may be named in each language; a person's name needs no translation."""
    facts = folder / "lesson.toml"
    told = 'author = ["our club", "Ada"]' + FACTS + GERMAN + '"our club" = "unser Verein"\n'
    facts.write_text(told, encoding="utf-8")
    lesson = load(folder, "de")
    assert lesson.authors == ("unser Verein", "Ada")
    assert "words-untranslated" not in codes(lesson.findings)


def test_without_a_wish_the_authors_own_words_are_taken(folder):
    lesson = load(folder)
    assert (lesson.title, lesson.language, lesson.prose) == ("A lamp", "en", "R1 has 330 Ω.\n")
    assert load(folder, "en-GB").title == "A lamp"


def test_trials_may_be_named_as_the_facts_name_them(folder):
    compiled = compile_lesson(folder, want={"words"}, language="de")
    assert codes(compiled.findings) == []
    assert compiled.promises[0].ok
    assert "1\u00a0s" in compiled.prose[0].html
    assert language() == "en"


def test_what_has_no_translation_is_told_with_its_place(folder):
    lesson = load(folder, "fr")
    found = [f for f in lesson.findings if f.code == "words-untranslated"]
    told = [(f.place.line, f.message.split("'")[1]) for f in found if "'" in f.message]
    assert told == [
        (2, "A lamp"), (5, "lets little through"), (8, "first second"), (14, "it shines"),
    ]  # fmt: skip
    assert any(f.place.file.endswith("lesson.md") and "lesson.fr.md" in f.hint for f in found)
    assert lesson.title == "A lamp"


def test_a_language_that_is_not_spoken_is_refused(folder):
    with pytest.raises(Unreadable) as caught:
        load(folder, "it")
    assert caught.value.findings[0].code == "unknown-language"
    assert "Deutsch" in caught.value.findings[0].hint


def test_a_claim_in_german_is_held_against_the_circuit(folder):
    (folder / "lesson.de.md").write_text("R1 hat 470 Ω.\n", encoding="utf-8")
    compiled = compile_lesson(folder, want={"words"}, language="de")
    assert codes(compiled.findings) == ["claim-unsupported"]


@pytest.mark.parametrize(
    ("tag", "text", "unit", "value", "kind"),
    [
        ("de", "etwa 0,5 Sekunden", "s", 0.5, "about"),
        ("de", "höchstens 20 mA", "A", 0.02, "below"),
        ("de", "mindestens 4,5 Volt", "V", 4.5, "above"),
        ("de", "zwischen 1 und 2 Sekunden", "s", 2.0, "range"),
        ("de", "30-mal pro Minute", "Hz", 0.5, "plain"),
        ("es", "unos 0,5 segundos", "s", 0.5, "about"),
        ("es", "más de 4,5 voltios", "V", 4.5, "above"),
        ("es", "30 destellos por minuto", "Hz", 0.5, "plain"),
        ("es", "como máximo 20 mA", "A", 0.02, "below"),
        ("fr", "environ 0,5 seconde", "s", 0.5, "about"),
        ("fr", "moins de 20 mA", "A", 0.02, "below"),
        ("fr", "entre 1 et 2 secondes", "s", 2.0, "range"),
        ("fr", "30 fois par minute", "Hz", 0.5, "plain"),
        ("fr", "50\u00a0%", "", 0.5, "plain"),
    ],
)
def test_numbers_are_read_with_the_words_around_them(tag, text, unit, value, kind):
    claim = find_claims(f"Also {text} .", tag)[-1]
    assert (claim.quantity.unit, claim.kind) == (unit, kind)
    assert claim.quantity.value == pytest.approx(value)


@pytest.mark.parametrize(
    ("tag", "text"),
    [("de", "R1 beträgt 47 kΩ"), ("es", "R1 vale 47 kΩ"), ("fr", "R1 vaut 47 kΩ"), ("en", "R1 is 47 kΩ")],
)
def test_a_part_beside_its_value_owns_it(tag, text):
    assert find_claims(text, tag)[0].owner == "R1"


@pytest.mark.parametrize(
    ("tag", "said"),
    [
        ("de", "Das Lehrbuch nennt 0,39 s."),
        ("es", "La fórmula da 0,39 s."),
        ("fr", "Le calcul donne 0,39 s."),
    ],
)
def test_a_sentence_may_speak_of_the_formula(tag, said):
    figures = {
        "on_time(DS1)": Figure(Quantity(0.456, "s"), "", "measure"),
        "ideal on_time(DS1)": Figure(Quantity(0.388, "s"), "", "formula"),
    }
    (claim,) = find_claims(said, tag)
    assert only_ideal(claim, figures, said, tag) is None
    told = "DS1: 0,39 s."
    assert only_ideal(find_claims(told, tag)[0], figures, told, tag) is not None


@pytest.fixture
def short_catalogue(tmp_path, monkeypatch):
    """A catalogue of German that lacks two words: one is empty, one fuzzy."""
    monkeypatch.setattr(_catalogue, "FOLDER", tmp_path / "catalogues")
    (tmp_path / "catalogues" / "de").mkdir(parents=True)
    entries = [
        Entry("Parts", forms=("Bauteile",)),
        Entry("You press {part}."),
        Entry("dark", context="lamp", forms=("dunkel",), fuzzy=True),
        Entry("You press {part}."),
    ]
    text = write_po(entries, "de", LANGUAGES["de"].plural)
    (tmp_path / "catalogues" / "de" / "story.po").write_text(text, encoding="utf-8")
    caches = (_catalogue.catalogue, _catalogue.lacking, _catalogue._entries)
    for cache in caches:
        cache.cache_clear()
    yield
    for cache in caches:
        cache.cache_clear()


def of_the_program(findings):
    return [f for f in findings if f.code == "words-untranslated" and "program's" in f.message]


def test_a_word_that_the_catalogue_lacks_is_told_once(folder, short_catalogue):
    found = of_the_program(load(folder, "de").findings)
    assert [(f.severity, f.place.file, f.place.line) for f in found] == [
        (Severity.WARNING, str(folder / "lesson.toml"), 16)
    ] * 2
    assert ["'You press {part}.'" in found[0].message, "'dark'" in found[1].message] == [True, True]
    assert all("Deutsch" in f.message and "catalogues/de" in f.hint for f in found)
    assert of_the_program(load(folder).findings) == []


def test_the_author_may_say_what_the_catalogue_lacks(folder, short_catalogue):
    with (folder / "lesson.toml").open("a", encoding="utf-8") as stream:
        stream.write('"You press {part}." = "Du drückst {part}."\n')
    (found,) = of_the_program(load(folder, "de").findings)
    assert "'dark'" in found.message


@pytest.mark.parametrize("tag", LANGUAGES)
def test_the_program_lacks_no_word_of_its_languages(folder, tag):
    assert of_the_program(load(folder, tag).findings) == []


def test_an_author_may_write_in_a_language_that_is_not_spoken(folder):
    facts = (folder / "lesson.toml").read_text(encoding="utf-8")
    (folder / "lesson.toml").write_text(f'language = "el"\n{facts}', encoding="utf-8")
    (found,) = of_the_program(load(folder).findings)
    assert (found.place.line, "'el'" in found.message) == (1, True)


def test_words_of_the_lessons_own_parts_are_told_in_their_file(folder):
    (folder / "parts").mkdir()
    part = 'like = "led-red"\nnoun = "port light"\n'
    (folder / "parts" / "port.toml").write_text(part, encoding="utf-8")
    found = [f for f in load(folder, "de").findings if f.code == "words-untranslated"]
    assert [(f.place.file, f.place.line, "'port light'" in f.message) for f in found] == [
        (str(folder / "parts" / "port.toml"), 2, True)
    ]
    assert [f for f in load(folder).findings if f.code == "words-untranslated"] == []


def lacking_letters(findings):
    found = [f for f in findings if f.code == "letters-missing"]
    return [(f.place.file.rsplit("/")[-1], f.place.line, f.place.column, f.message) for f in found]


def test_letters_without_a_font_are_told_once_for_each_file(folder):
    facts = (folder / "lesson.toml").read_text(encoding="utf-8")
    facts = facts.replace('does = "lets', 'does = "灯台 lets').replace('says = "it', 'says = "台 it')
    (folder / "lesson.toml").write_text(f"# 注\n{facts}", encoding="utf-8")
    (folder / "lesson.md").write_text("R1 has 330 Ω.\n\nA 灯台 and منارة.\n", encoding="utf-8")
    words, circuit = lacking_letters(compile_lesson(folder, want={"words"}).findings)
    column = next(line for line in facts.split("\n") if "灯" in line).index('"灯') + 1
    assert (words[:3], circuit[:3]) == (("lesson.md", 3, 3), ("lesson.toml", 6, column))
    assert all(letter in words[3] for letter in "灯台منارة")
    assert "注" not in circuit[3]


def test_greek_and_cyrillic_need_no_warning(folder):
    (folder / "lesson.md").write_text("Ένας φάρος. Маяк. R1 has 330 Ω.\n", encoding="utf-8")
    assert lacking_letters(compile_lesson(folder, want={"words"}).findings) == []
