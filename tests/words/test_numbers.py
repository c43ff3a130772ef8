"""Numbers, units and plurals of each language against the Unicode locale data (CLDR) that Babel carries.

Two things differ from CLDR on purpose: groups of digits are parted by a no-break space, after ISO 80000-1
(CLDR's German and Spanish have a dot), and every space is U+00A0, which the vendored fonts have.
"""

from __future__ import annotations

import gettext
import re

import pytest
from babel import Locale
from babel.numbers import format_decimal, format_percent
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from buildalong.drawing import vendored_fonts
from buildalong.quantity import format_like, format_quantity, parse
from buildalong.words import (
    LANGUAGES,
    in_parts,
    listed,
    numeral,
    plainly,
    speaking,
    spoken,
    tied,
    tied_page,
    with_unit,
)

OTHERS = [tag for tag in LANGUAGES if tag != "en"]
SPACE = re.compile(r"[\u00a0\u202f\u2009 ]")


@pytest.mark.parametrize("tag", LANGUAGES)
@pytest.mark.parametrize("number", ["0.46", "12.4", "999.5", "7", "1234.5"])
def test_decimal_sign_is_that_of_cldr(tag: str, number: str) -> None:
    """Below 10 000 nothing is grouped here, and the decimal sign is CLDR's."""
    with speaking(tag):
        assert numeral(number) == format_decimal(number, locale=tag, group_separator=False)


@pytest.mark.parametrize("tag", OTHERS)
def test_groups_of_three_from_five_digits_on(tag: str) -> None:
    """As CLDR's French groups them, with U+00A0 for its U+202F; four digits stay together (ISO 80000-1)."""
    with speaking(tag):
        assert numeral("1234567.5") == SPACE.sub("\u00a0", format_decimal("1234567.5", locale="fr"))
        assert (numeral("12345"), numeral("1234")) == ("12\u00a0345", "1234")


@pytest.mark.parametrize("tag", OTHERS)
def test_percent_with_a_space(tag: str) -> None:
    """German, Spanish and French write a no-break space before the percent sign (CLDR)."""
    with speaking(tag):
        said = format_quantity(0.05, "%")
    assert said == SPACE.sub("\u00a0", format_percent(0.05, locale=tag))


@pytest.mark.parametrize("tag", LANGUAGES)
def test_plural_forms_are_those_of_cldr(tag: str) -> None:
    """The form for each count is CLDR's, and what a catalogue's head tells other tools is the same rule.

    CLDR's third form of Spanish and French ("many") begins at a million, which is never counted here.
    """
    language = LANGUAGES[tag]
    head = gettext.c2py(language.plural.split("plural=")[1].rstrip(";"))
    for count in range(1000):
        form = Locale(tag).plural_form(count)
        assert language.form(count) == head(count) == ("one", "other").index(form)


@pytest.mark.parametrize("tag", OTHERS)
def test_fonts_have_the_letters(tag: str) -> None:
    """Letters and quotes of a language (CLDR's exemplars) and the no-break space are in the fonts."""
    have = {code for font in vendored_fonts() for code in _codes(font.data)}
    letters = {
        "de": "äöüßÄÖÜ„“", "es": "áéíñóúüÁÉÍÑÓÚÜ¿¡«»", "fr": "àâæçéèêëîïôœùûüÿÀÂÆÇÉÈÊËÎÏÔŒÙÛÜŸ«»’",
    }  # fmt: skip
    assert [letter for letter in f"{letters[tag]}\u00a0" if ord(letter) not in have] == []


def _codes(data: bytes) -> set[int]:
    from io import BytesIO

    return set(TTFont(BytesIO(data)).getBestCmap())


@given(st.floats(1e-12, 1e9), st.sampled_from(["Ω", "F", "s", "V", "A", "Hz"]), st.sampled_from(OTHERS))
def test_a_comma_says_what_the_dot_says(value: float, unit: str, tag: str) -> None:
    """A value in another language is the English one with its dot and spaces exchanged."""
    english = format_quantity(value, unit)
    with speaking(tag):
        said = format_quantity(value, unit)
    number, _, symbol = said.rpartition("\u00a0")
    assert f"{number.replace(',', '.').replace(chr(0xA0), '')} {symbol}" == english
    if not re.search(r",\d{3}\b", said):
        assert parse(said) == parse(english)


def test_plainly_and_texts_that_are_no_numbers() -> None:
    """Text for a program is written as the source writes it; what is no number is left alone."""
    with speaking("de"):
        assert with_unit("−2.7", "V") == "−2,7\u00a0V"
        assert format_like(0.4567, "0.50 s") == "0,46\u00a0s"
        assert numeral("4.7.1") == "4.7.1"
        assert numeral("U1.5") == "U1.5"
        with plainly():
            assert format_quantity(0.456, "s") == "456 ms"
    assert with_unit("0.46", "s") == "0.46 s"


def test_a_region_is_served_by_its_language() -> None:
    """The tag "de-AT" is served by German (BCP 47: the first subtag is the language); Italian by none."""
    assert (spoken("de-AT"), spoken("FR"), spoken("it")) == ("de", "fr", None)


@pytest.mark.parametrize(
    ("tag", "last", "said"),
    [
        ("es", "i3", "h2 e i3"), ("es", "IC1", "h2 e IC1"), ("es", "hierro", "h2 y hierro"),
        ("es", "j3", "h2 y j3"), ("es", "hilo", "h2 e hilo"), ("es", "iones", "h2 y iones"),
        ("fr", "i3", "h2 et i3"), ("en", "i3", "h2 and i3"),
    ],
)  # fmt: skip
def test_spanish_and_before_the_sound_i(tag: str, last: str, said: str) -> None:
    """RAE, Diccionario panhispánico de dudas, "y" (from memory): e before i-, hi-; not before hie-, io-."""
    with speaking(tag):
        assert listed(["h2", last]) == said


def test_clauses_stand_apart_as_the_language_writes_it() -> None:
    """French has a no-break space before a semicolon: Imprimerie nationale, Lexique (from memory)."""
    clauses = ["a, b", "c", "d"]
    assert [in_parts(clauses[:n]) for n in (0, 1, 3)] == ["", "a, b", "a, b; c; d"]
    with speaking("fr"):
        assert in_parts(clauses) == "a, b\u00a0; c\u00a0; d"


def test_a_number_keeps_its_unit_and_its_thousands_on_the_line() -> None:
    """ISO 80000-1, 7.1.4 and 7.3.1: the spaces before a unit and between groups of digits; no others."""
    text = tied("at 4 V, 20 % and 25 °C; 100 000 pF in hole 4 Volta, step 2 of 17")
    assert text == "at 4\u00a0V, 20\u00a0% and 25\u00a0°C; 100\u00a0000\u00a0pF in hole 4 Volta, step 2 of 17"


def test_only_the_words_of_a_page_are_tied() -> None:
    """Attributes, styles, pictures and code stay byte for byte; words and data of a script do not."""
    page = (
        '<p title="4 V">4 V</p><svg><text>4 V</text></svg><style>a{margin:4 V}</style><script>4 V</script>'
        '<script type="application/json">["4 V"]</script>'
    )
    told = tied_page(page)
    assert told == page.replace(">4 V</p>", ">4\u00a0V</p>").replace('["4 V"]', '["4\u00a0V"]')
