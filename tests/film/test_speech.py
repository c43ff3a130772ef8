"""What a narrator says: number words against an independent library, units against the SI Brochure."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from num2words import num2words

from buildalong.film import spoken
from buildalong.quantity import format_quantity


def plain(words: str) -> str:
    """The words without the commas that the reference writes between groups."""
    return words.replace(",", "")


@given(st.integers(0, 10**12 - 1))
def test_counts_are_read_as_the_reference_reads_them(number: int) -> None:
    """Whole numbers with a unit: the same words as num2words (British "and")."""
    if number != 1:
        assert spoken(f"{number} V") == f"{plain(num2words(number))} volts"


@given(st.integers(0, 9999), st.text("0123456789", min_size=1, max_size=6))
def test_decimals_are_read_digit_by_digit(whole: int, decimals: str) -> None:
    """0.48 is "zero point four eight"; a decimal comma says the same."""
    digits = " ".join(num2words(int(digit)) for digit in decimals)
    said = f"{plain(num2words(whole))} point {digits} seconds"
    assert spoken(f"{whole}.{decimals} s") == said
    assert spoken(f"{whole},{decimals} s") == said


@pytest.mark.parametrize(
    ("text", "said"),
    [
        # names of units and prefixes: SI Brochure, 9th edition, tables 2, 4 and 7 (from memory)
        ("10 µF", "ten microfarads"),
        ("1 V", "one volt"),
        ("−2.9 V", "minus two point nine volts"),
        ("12 mA", "twelve milliamperes"),
        ("2 MHz", "two megahertz"),
        ("300 lx", "three hundred lux"),
        ("25 °C", "twenty-five degrees Celsius"),
        ("±5 %", "plus or minus five per cent"),
        # the vowel falls out: NIST SP 811, 9.3 (from memory)
        ("4.7 kΩ", "four point seven kilohms"),
        ("1 MΩ", "one megohm"),
        # before a noun in the singular: NIST SP 811, 7.6 (from memory)
        ("the 56 kΩ resistor", "the fifty-six kilohm resistor"),
        # trade speech (common practice): references and holes by letter and number, markings by digit
        ("R1 and DS12 in hole a13", "R one and D S twelve in hole a thirteen"),
        ("a13 to L+11, L-5 to R+2", "a thirteen to left plus eleven, left minus five to right plus two"),
        ('timer 555, printed "NE555"', 'timer five five five, printed "N E five five five"'),
        ('marked "103"', 'marked "one zero three"'),
        ("diode 1N4148", "diode one N four one four eight"),
        ("4 AA cells", "four double A cells"),
        ("a board with 400 tie-points", "a board with four hundred tie-points"),
        ("1/3 of 6 V", "one third of six volts"),
        ("2–3 times", "two to three times"),
        ("no numbers here.", "no numbers here."),
        ("It ends at 30 s.", "It ends at thirty seconds."),
    ],
)  # fmt: skip
def test_trade_texts(text: str, said: str) -> None:
    """Texts as they stand in lessons."""
    assert spoken(text) == said


@given(st.floats(1e-11, 1e8), st.sampled_from(["V", "A", "Ω", "F", "s", "Hz", "W"]))
def test_no_digit_and_no_symbol_is_left_of_a_quantity(value: float, unit: str) -> None:
    """Whatever the program writes as a quantity can be read out in letters alone."""
    text = format_quantity(value, unit)
    if "fF" not in text and not text.startswith("0.00"):
        assert all(c.isascii() and (c.isalpha() or c in " -") for c in spoken(text)), text


@given(st.text(max_size=200))
def test_any_text_can_be_spoken(text: str) -> None:
    """Nothing an author writes stops the narrator; saying it again changes little and ends."""
    assert spoken(text) == spoken(text)
    assert len(spoken(text)) <= 12 * len(text) + 40


@pytest.mark.parametrize("text", ["a 5 V supply", "a USB 5 V lead"])
def test_a_unit_before_its_noun_is_singular(text: str) -> None:
    """A five volt supply, not a five volts supply (NIST SP 811, 7.6, from memory)."""
    assert "five volt " in spoken(text)
