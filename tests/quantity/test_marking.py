"""Markings against IEC 60062 (as copied in textbooks and charts)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildalong.quantity import (
    BandReading,
    CodeReading,
    QuantityError,
    bands_for,
    capacitor_code,
    letter_code,
    read_backwards,
    read_bands,
    read_capacitor_code,
    read_letter_code,
    resistance_code,
    series,
    tolerance_letter,
)

TOOLEY = "Tooley, Electronic Circuits, "
BANDS = [
    (TOOLEY + "ex. 2.4", "brown black red silver", 1e3, 0.10),
    (TOOLEY + "ex. 2.5", "red violet orange gold", 27e3, 0.05),
    (TOOLEY + "ex. 2.6", "green blue brown gold", 560.0, 0.05),
    (TOOLEY + "ex. 2.7", "red green black", 25.0, 0.20),
    (TOOLEY + "ex. 2.8", "red red red red", 2.2e3, 0.02),
    ("secondary chart", "yellow violet red gold", 4.7e3, 0.05),
    ("secondary chart", "red red orange gold", 22e3, 0.05),
    ("secondary chart, 5 bands", "brown black black gold brown", 10.0, 0.01),
    ("IEC 60062, 5 bands", "brown black black brown brown", 1e3, 0.01),
]


@pytest.mark.parametrize(("source", "colours", "value", "tolerance"), BANDS, ids=[b[0] for b in BANDS])
def test_bands_of_the_books(source: str, colours: str, value: float, tolerance: float) -> None:
    """Printed examples, read and written."""
    names = tuple(colours.split())
    assert read_bands(names) == BandReading(value, tolerance, None)
    assert bands_for(value, tolerance, len(names)) == names


COLUMNS = [
    # IEC 60062:2016 table, secondary copies: digit, multiplier power, tolerance in %, ppm/K
    ("pink", None, -3, None, None), ("silver", None, -2, 10, None), ("gold", None, -1, 5, None),
    ("black", 0, 0, None, 250), ("brown", 1, 1, 1, 100), ("red", 2, 2, 2, 50),
    ("orange", 3, 3, 0.05, 15), ("yellow", 4, 4, 0.02, 25), ("green", 5, 5, 0.5, 20),
    ("blue", 6, 6, 0.25, 10), ("violet", 7, 7, 0.1, 5), ("grey", 8, 8, 0.01, 1), ("white", 9, 9, None, None),
]  # fmt: skip


@pytest.mark.parametrize(("colour", "digit", "power", "percent", "ppm"), COLUMNS, ids=[c[0] for c in COLUMNS])
def test_each_colour_means_what_the_standard_says(
    colour: str, digit: int | None, power: int, percent: float | None, ppm: float | None
) -> None:
    """IEC 60062:2016, colour table (pink new in 2016; grey ±0.01 % from memory), band by band."""
    if digit is None:
        with pytest.raises(QuantityError, match="a digit is one of black"):
            read_bands([colour, "black", "black"])
    else:
        assert read_bands([colour, "white", "black"]).value == 10 * digit + 9
    assert read_bands(["brown", "black", colour]).value == pytest.approx(10 * 10.0**power, rel=1e-12)
    if percent is None:
        with pytest.raises(QuantityError, match="no tolerance; legal are"):
            read_bands(["brown", "black", "black", colour])
    else:
        assert read_bands(["brown", "black", "black", colour]).tolerance == pytest.approx(percent / 100)
    if ppm is None:
        with pytest.raises(QuantityError, match="temperature coefficient; legal are"):
            read_bands(["brown", "black", "black", "black", "brown", colour])
    else:
        reading = read_bands(["brown", "black", "black", "black", "brown", colour])
        assert reading.tcr == pytest.approx(ppm * 1e-6)


@given(
    st.sampled_from(series("E24")),
    st.integers(-1, 7),
    st.sampled_from([0.1, 0.05, 0.02, 0.01]),
    st.sampled_from([4, 5, 6]),
)
def test_every_preferred_value_survives_its_bands(
    base: float, power: int, tolerance: float, bands: int
) -> None:
    """Painting and reading give the same resistance, tolerance and coefficient."""
    value = float(f"{base}e{power}")
    names = bands_for(value, tolerance, bands, 100.0 if bands == 6 else None)
    assert len(names) == bands
    assert read_bands(names) == BandReading(value, tolerance, 100e-6 if bands == 6 else None)


def test_a_link_has_one_black_band() -> None:
    """Zero-ohm link: one black band (from memory)."""
    assert bands_for(0.0) == ("black",)
    assert read_bands(["black"]).value == 0.0


def test_reading_from_the_wrong_end() -> None:
    """Gold and silver are no digits (IEC 60062), so bands that end in gold cannot be read backwards."""
    assert read_backwards(("yellow", "violet", "red", "gold")) is None
    assert read_backwards(("red", "red", "brown", "brown")) == BandReading(1.1e3, 0.02, None)
    assert read_backwards(("brown", "black", "black", "red", "brown")) == BandReading(120.0, 0.01, None)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: bands_for(4750.0, 0.05, 4), "more figures than the 2"),
        (lambda: bands_for(4700.0, 0.03, 4), "legal are 0.01 %, 0.02 %"),
        (lambda: bands_for(4700.0, 0.05, 7), "legal are 3, 4, 5 and 6"),
        (lambda: bands_for(4700.0, 0.05, 3), "20 %"),
        (lambda: bands_for(4700.0, 0.01, 6), "need a temperature coefficient"),
        (lambda: bands_for(4700.0, 0.01, 5, 100), "use 6"),
        (lambda: bands_for(-1.0), "greater than zero"),
        (lambda: bands_for(1e12), "too large"),
        (lambda: read_bands(["mauve", "black", "red"]), "known are black, brown"),
        (lambda: read_bands(["red", "red"]), "3 to 6"),
        (lambda: tolerance_letter(0.07), "legal are"),
        (lambda: letter_code(4753.0), "three figures"),
        (lambda: letter_code(4700.0, "V"), "Ω or F"),
        (lambda: read_letter_code("hello"), "no letter code"),
        (lambda: read_letter_code("R"), "no letter code"),
        (lambda: read_letter_code("4K7Y"), "tolerance letter"),
        (lambda: capacitor_code(123e-12), "more figures"),
        (lambda: capacitor_code(4.75e-12), "two figures"),
        (lambda: read_capacitor_code("10n"), "no capacitor code"),
        (lambda: read_capacitor_code("00"), "0 pF"),
    ],
)
def test_what_cannot_be_marked_names_the_legal_choices(call: object, words: str) -> None:
    """Every refusal is a QuantityError that says what would be legal."""
    assert callable(call)
    with pytest.raises(QuantityError, match=words):
        call()


LETTERS = [
    # RKM-code tables after IEC 60062
    ("R47", 0.47, "Ω"), ("4R7", 4.7, "Ω"), ("470R", 470.0, "Ω"), ("4K7", 4700.0, "Ω"), ("47K", 47e3, "Ω"),
    ("47K3", 47.3e3, "Ω"), ("470K", 470e3, "Ω"), ("4M7", 4.7e6, "Ω"),
    ("4n7", 4.7e-9, "F"), ("µ1", 1e-7, "F"), ("100n", 1e-7, "F"), ("4p7", 4.7e-12, "F"), ("22µ", 22e-6, "F"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "value", "unit"), LETTERS, ids=[c[0] for c in LETTERS])
def test_letter_codes_of_the_standard(text: str, value: float, unit: str) -> None:
    """IEC 60062 letter codes (RKM tables), read and, in their usual form, written."""
    assert read_letter_code(text) == CodeReading(value, unit)
    if text != "µ1":
        assert letter_code(value, unit) == text


@pytest.mark.parametrize(
    ("text", "value", "tolerance", "unit"),
    [
        ("4R7K", 4.7, 0.10, "Ω"),
        ("330RG", 330.0, 0.02, "Ω"),
        ("R22M", 0.22, 0.20, "Ω"),
        ("4p7C", 4.7e-12, 0.25 / 4.7, "F"),
    ],
)
def test_letter_codes_with_tolerance(text: str, value: float, tolerance: float, unit: str) -> None:
    """Tooley, ex. 2.9 to 2.11 (marks from memory); C under 10 pF is ±0.25 pF (from memory)."""
    reading = read_letter_code(text)
    assert (reading.value, reading.unit) == (value, unit)
    assert reading.tolerance == pytest.approx(tolerance)
    if unit == "Ω":
        assert letter_code(value, unit, tolerance) == text


CODES = [
    ("104", 100e-9), ("223", 22e-9), ("471", 470e-12), ("100", 10e-12), ("103", 10e-9), ("4R7", 4.7e-12),
]  # fmt: skip


@pytest.mark.parametrize(("text", "value"), CODES, ids=[c[0] for c in CODES])
def test_capacitor_codes(text: str, value: float) -> None:
    """Two figures and a power of ten in picofarad (Tooley ex. 2.23 for 103); 100 is 10 pF, not 100 pF."""
    assert read_capacitor_code(text).value == value
    assert capacitor_code(value) == text


def test_capacitor_code_with_tolerance_and_small_multipliers() -> None:
    """103K is 10 nF ±10 % (Tooley ex. 2.23); 479 is 4.7 pF, Z is −20/+80 % (EIA use, from memory)."""
    assert read_capacitor_code("103K") == CodeReading(10e-9, "F", 0.1, 0.1)
    assert capacitor_code(10e-9, 0.1) == "103K"
    assert read_capacitor_code("479").value == 4.7e-12
    assert read_capacitor_code("47").value == 47e-12
    assert read_capacitor_code("104Z")[2:] == (0.2, 0.8)
    assert read_capacitor_code("104Z").tolerance == 0.8


@given(st.sampled_from(series("E24")), st.integers(-12, -6))
def test_every_preferred_capacitance_survives_its_codes(base: float, power: int) -> None:
    """Writing and reading give the same capacitance, by figures and by letters."""
    value = float(f"{base}e{power}")
    assert read_capacitor_code(capacitor_code(value)).value == value
    assert read_letter_code(letter_code(value, "F")).value == value


@given(st.sampled_from(series("E96")), st.integers(-1, 7))
def test_every_preferred_resistance_survives_its_letters(base: float, power: int) -> None:
    """Three figures around a letter are read back unchanged (IEC 60062:2016, four characters)."""
    value = float(f"{base}e{power}")
    code = letter_code(value)
    assert read_letter_code(code).value == value
    assert len(code) <= 5


def test_trimmers_bear_figures_in_ohm() -> None:
    """103 on a trimmer is 10 kΩ (common practice, the capacitor code with ohm in place of picofarad)."""
    assert resistance_code(10e3) == "103"
    assert resistance_code(500.0) == "501"
