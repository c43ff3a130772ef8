"""Reading and writing quantities."""

from __future__ import annotations

import contextlib
import math
from decimal import ROUND_HALF_EVEN, Context, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildalong.quantity import (
    Quantity,
    QuantityError,
    agrees,
    format_like,
    format_quantity,
    parse,
    parse_as,
    to_figures,
)

PREFIXED = ("Ω", "F", "s", "V", "A", "W", "Hz", "Ah", "m", "lx", "N", "H", "J")
WHOLE = ("", "°C", "K", "1/K", "rpm", "dB")

FROM_THE_TRADE = [
    # SI Brochure 9th ed., table 7 (prefixes) and IEC 60062 (letter as the decimal point)
    ("4k7", "Ω", 4700.0, "Ω"),
    ("0R47", "", 0.47, "Ω"),
    ("R47", "", 0.47, "Ω"),
    ("47K3", "Ω", 47300.0, "Ω"),
    ("4M7", "Ω", 4.7e6, "Ω"),
    ("4n7", "F", 4.7e-9, "F"),
    ("µ1", "F", 1e-7, "F"),
    ("47K", "Ω", 47000.0, "Ω"),
    ("47k", "Ω", 47000.0, "Ω"),
    ("470", "Ω", 470.0, "Ω"),
    ("470R", "", 470.0, "Ω"),
    ("100n", "F", 1e-7, "F"),
    ("22 µF", "", 22e-6, "F"),
    ("22 uF", "", 22e-6, "F"),
    ("22 μF", "", 22e-6, "F"),
    ("4.7 kΩ", "", 4700.0, "Ω"),
    ("4.7 kohm", "", 4700.0, "Ω"),
    ("10 000 pF", "", 1e-8, "F"),
    ("1/4 W", "", 0.25, "W"),
    ("150 ms", "", 0.15, "s"),
    ("0,5 s", "", 0.5, "s"),
    ("0.5\u202fs", "", 0.5, "s"),
    ("0.5\u2009s", "", 0.5, "s"),
    ("0.5\u00a0s", "", 0.5, "s"),
    ("−0.6 V", "", -0.6, "V"),
    ("-2 mV/°C", "", -0.002, "V/K"),
    ("1.5 min", "", 90.0, "s"),
    ("2 h", "", 7200.0, "s"),
    ("3000 mAh", "", 3.0, "Ah"),
    ("20 %", "", 0.2, ""),
    ("50 ppm/°C", "", 5e-5, "1/K"),
    ("0.3 %/V", "", 0.003, "1/V"),
    ("300 lx", "", 300.0, "lx"),
    ("25 °C", "", 25.0, "°C"),
    ("298.15 K", "", 298.15, "K"),
    ("2.52 nA", "", 2.52e-9, "A"),
    ("14.34 fA", "", 14.34e-15, "A"),
    ("5 mm", "", 0.005, "m"),
    ("45 g", "", 0.045, "kg"),
    ("1e3 Ω", "", 1000.0, "Ω"),
]


@pytest.mark.parametrize(
    ("text", "assumed", "value", "unit"), FROM_THE_TRADE, ids=[c[0] for c in FROM_THE_TRADE]
)
def test_a_spelling_of_the_trade_is_read_exactly(text: str, assumed: str, value: float, unit: str) -> None:
    """Each spelling gives the very float that Python reads for the same number (SI Brochure, IEC 60062)."""
    assert parse(text, assumed) == Quantity(value, unit)


@pytest.mark.parametrize(
    ("prefix", "power"), [("p", -12), ("n", -9), ("µ", -6), ("m", -3), ("k", 3), ("M", 6), ("G", 9)]
)
@given(digits=st.integers(1, 999), places=st.integers(0, 2))
def test_prefixes_scale_without_rounding_errors(prefix: str, power: int, digits: int, places: int) -> None:
    """A prefix is a power of ten (SI Brochure, table 7); the float is the one nearest to the exact value."""
    text = f"{digits / 10**places:.{places}f}"
    assert parse(f"{text} {prefix}F").value == float(Fraction(text) * Fraction(10) ** power)


@given(
    mantissa=st.integers(100, 999),
    power=st.integers(-14, 8),
    unit=st.sampled_from(PREFIXED + WHOLE),
    negative=st.booleans(),
    space=st.sampled_from([" ", "\u00a0", "\u202f"]),
)
def test_what_is_written_can_be_read_back(
    mantissa: int, power: int, unit: str, negative: bool, space: str
) -> None:
    """Writing three figures and reading them again gives the same float, for every unit and size."""
    value = float(f"{'-' if negative else ''}{mantissa}e{power}")
    written = format_quantity(value, unit, space=space)
    assert parse(written, unit) == Quantity(value, unit)
    assert parse_as(written, unit) == value


@given(st.floats(1e-14, 1e11), st.integers(1, 12))
def test_rounding_keeps_the_figures_asked_for(value: float, figures: int) -> None:
    """It is off by half a unit of its last figure at most (ISO 80000-1 Annex B, from memory)."""
    back = parse(format_quantity(value, "Ω", figures), "Ω").value
    step = Fraction(10) ** (math.floor(math.log10(back)) - figures + 1)
    assert abs(Fraction(back) - Fraction(value)) <= step / 2 * (1 + Fraction(1, 10**6))


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (4700.0, "Ω", "4.7 kΩ"),
        (20.0, "°C", "20 °C"),
        (0.5, "s", "500 ms"),
        (5163.5, "s", "5160 s"),
        (22e-6, "F", "22 µF"),
        (-0.6, "V", "−600 mV"),
        (999.6, "Ω", "1 kΩ"),
        (0.0, "V", "0 V"),
        (4.7e-3, "F", "4700 µF"),  # common practice: millifarad is not written
        (0.47, "F", "0.47 F"),
        (0.05, "%", "5 %"),
        (50e-6, "ppm", "50 ppm"),
        (2.675, "V", "2.68 V"),
        (0.5949, "", "0.595"),
    ],
)
def test_quantities_are_written_after_iso_80000(value: float, unit: str, text: str) -> None:
    """ISO 80000-1:2022 (from memory): space before the unit, k for kilo, real minus sign, no plural."""
    assert format_quantity(value, unit) == text


@given(st.floats(1e-4, 9e5), st.integers(1, 6), st.sampled_from([1, -1]))
def test_a_plain_number_is_rounded_as_decimal_arithmetic_rounds_it(
    value: float, figures: int, sign: int
) -> None:
    """IEEE 854 rounding to nearest, ties to even, as Python's decimal module does it; no zeros behind."""
    text = to_figures(sign * value, figures)
    expected = Context(prec=figures, rounding=ROUND_HALF_EVEN).create_decimal(Decimal(sign * value))
    assert Decimal(text.replace("−", "-")) == expected
    assert "." not in text or text[-1] != "0"


def test_trailing_zeros_and_spaces_on_request() -> None:
    """Zeros tell the precision where they are asked for; a no-break space keeps number and unit together."""
    assert format_quantity(4.7e3, "Ω", zeros=True) == "4.70 kΩ"
    assert format_quantity(4.7e3, "Ω", space="\u00a0") == "4.7\u00a0kΩ"


@pytest.mark.parametrize(("celsius", "kelvin"), [("0 °C", 273.15), ("25 °C", 298.15), ("−273.15 °C", 0.0)])
def test_celsius_and_kelvin_differ_by_the_defined_offset(celsius: str, kelvin: float) -> None:
    """SI Brochure 9th ed., section 2.3.1: t/°C = T/K − 273.15, exactly."""
    assert parse_as(celsius, "K") == kelvin
    assert parse_as(f"{kelvin} K", "°C") == parse(celsius).value


AGREEING = [
    # facts of textbooks: printed answer against the exact value (Malvino 5-13, Grob 22-10, Boylestad 13.2)
    ("14.89 mA", 14.894e-3, True),
    ("0.549 ms", 0.5493e-3, True),
    ("0.825 ms", 0.82396e-3, False),
    ("0.8 ms", 0.82396e-3, True),
    ("0.5 s", 0.4501, True),
    ("0.5 s", 0.4499, False),
    ("0.50 s", 0.4949, False),
    ("0.50 s", 0.4951, True),
    ("100 ms", 0.0996, True),
    ("100 ms", 0.0994, False),
    ("4k7", 4749.0, True),
    ("4k7", 4751.0, False),
    ("50 %", 0.504, True),
    ("50 %", 0.506, False),
    ("1/4 W", 0.25, True),
    ("1/4 W", 0.26, False),
    ("−0.6 V", -0.62, True),
    ("2 min", 149.0, True),
    ("2 min", 151.0, False),
]


@pytest.mark.parametrize(("text", "value", "expected"), AGREEING)
def test_a_number_agrees_to_the_digits_written(text: str, value: float, expected: bool) -> None:
    """A written number stands for half a unit of its last digit to either side (ISO 80000-1 Annex B)."""
    assert agrees(text, value, "Ω" if text == "4k7" else "") is expected


def test_another_unit_never_agrees() -> None:
    """The number alone is not enough: 5 V is not 5 A."""
    assert not agrees("5 V", 5.0, "A")
    assert agrees("5 V", 5.0, "V")
    assert not agrees("5 V", math.nan, "V")


@given(
    st.floats(1e-9, 1e9), st.sampled_from(["0.5 s", "12 kΩ", "3.30 µF", "4k7", "20 %", "1.00 min", "7 ppm"])
)
def test_writing_like_an_author_always_agrees(value: float, text: str) -> None:
    """What is written with the author's digits agrees with the value, whatever the value."""
    unit = "Ω" if text == "4k7" else ""
    assert agrees(format_like(value, text, unit), value, unit)


@pytest.mark.parametrize(
    ("value", "text", "expected"),
    [
        (0.4987, "0.5 s", "0.5 s"),
        (0.4987, "480 ms", "499 ms"),
        (4750.0, "4k7", "4.8 kΩ"),
        (0.125, "12 %", "13 %"),
    ],
)
def test_writing_like_an_author_keeps_unit_and_decimals(value: float, text: str, expected: str) -> None:
    """Prefix and decimals follow the author's text, half rounded up (ISO 80000-1 Annex B, rule B)."""
    assert format_like(value, text, "Ω" if text == "4k7" else "") == expected


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "not a number"),
        ("abc", "not a number"),
        ("5 5 V", "not a number"),
        ("22 uf", "did you mean 'µF'"),
        ("9 v", "did you mean 'V'"),
        ("10 khz", "did you mean 'kHz'"),
        ("1,000 Ω", "two ways"),
        ("1/0 W", "divides by zero"),
        ("5 parsecs", "no unit known here"),
        ("1" * 70, "too long"),
        ("१२ V", "not a number"),
        ("1e999 V", "not a number"),
    ],
)
def test_what_is_no_quantity_says_why(text: str, words: str) -> None:
    """The message names the fault and, where there is one, the spelling that was meant."""
    with pytest.raises(QuantityError, match=words):
        parse(text)


def test_a_unit_that_is_not_wanted_is_named() -> None:
    """Asking for seconds and getting volts says both; resistor letters are no capacitance."""
    with pytest.raises(QuantityError, match=r"in V, but s is expected"):
        parse_as("5 V", "s")
    with pytest.raises(QuantityError, match="resistance"):
        parse("4R7", "F")
    with pytest.raises(QuantityError, match="significant figures"):
        format_quantity(1.0, "V", 0)


@given(st.text(max_size=40))
def test_any_text_is_read_or_refused(text: str) -> None:
    """No text breaks the reader: a finite quantity or a QuantityError, never anything else."""
    with contextlib.suppress(QuantityError):
        assert math.isfinite(parse(text).value)
