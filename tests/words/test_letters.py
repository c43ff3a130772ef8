"""Which letters can be drawn: those of the fonts themselves, read by fontTools."""

from __future__ import annotations

from fontTools.ttLib import TTFont

from buildalong.drawing import uncovered
from buildalong.drawing._text import font_files
from buildalong.words import undrawn
from buildalong.words._letters import _drawn

GREEK = "Ένας φάρος για το λιμάνι ΑΩ"
CYRILLIC = "Маяк для модели гавани Ґґ"


def test_the_letters_are_those_of_the_fonts() -> None:
    """letters.json holds what the upright faces have between them, and the advances too."""
    faces = [TTFont(file) for file in font_files() if file.stem.endswith("-Regular")]
    letters = {chr(code) for face in faces for code in face.getBestCmap()}
    assert _drawn() == letters
    assert uncovered("".join(sorted(letters))) == ()


def test_greek_and_cyrillic_are_drawn() -> None:
    """Whole sentences, each letter of them."""
    assert undrawn(GREEK + CYRILLIC) == ()


def test_each_letter_without_a_font_is_told_at_its_first_place() -> None:
    """Unicode NFC (UAX 15): a mark joins the letter before it; joiners and direction marks are no letters."""
    assert undrawn("a灯b台灯") == ((1, "灯"), (3, "台"))
    assert undrawn("e\u0301 a\u200d\u202e") == ()
    assert undrawn("q\u0323") == ((1, "\u0323"),)
