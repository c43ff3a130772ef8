"""Preferred numbers against the table of IEC 60063 and an independent library."""

from __future__ import annotations

import eseries
import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildalong.quantity import (
    SERIES,
    QuantityError,
    in_series,
    nearest,
    neighbours,
    series,
    values_between,
)

E24 = "10 11 12 13 15 16 18 20 22 24 27 30 33 36 39 43 47 51 56 62 68 75 82 91"
"""IEC 60063, read in two general copies of its tables (qsl.net/g4usp; handwiki)."""
E48 = (
    "100 105 110 115 121 127 133 140 147 154 162 169 178 187 196 205 215 226 237 249 261 274 287 301 316 "
    "332 348 365 383 402 422 442 464 487 511 536 562 590 619 649 681 715 750 787 825 866 909 953"
)
NAMES = st.sampled_from(SERIES)
VALUES = st.floats(1e-11, 1e8)


@pytest.mark.parametrize(
    ("name", "text", "scale"),
    [
        ("E3", "10 22 47", 10),
        ("E6", "10 15 22 33 47 68", 10),
        ("E12", "10 12 15 18 22 27 33 39 47 56 68 82", 10),
        ("E24", E24, 10),
        ("E48", E48, 100),
    ],
)
def test_series_is_the_table_of_iec_60063(name: str, text: str, scale: int) -> None:
    """IEC 60063 tables, as copied in general references."""
    assert series(name) == tuple(int(value) / scale for value in text.split())


@pytest.mark.parametrize("name", SERIES)
def test_series_equals_the_eseries_package(name: str) -> None:
    """The eseries package (an independent table) gives the same numbers, 920 of E192 included."""
    theirs = eseries.series(eseries.ESeries[name])
    assert [round(v * 100) for v in series(name)] == [round(v * (10 if v < 100 else 1)) for v in theirs]


def test_e192_has_920_where_the_formula_gives_919() -> None:
    """IEC 60063: 920 is the one irregular value of E48 to E192, and it is in E192 only."""
    assert 9.2 in series("E192")
    assert 9.19 not in series("E192")
    for name, count in (("E48", 48), ("E96", 96), ("E192", 192)):
        formula = [round(100 * 10 ** (k / count)) for k in range(count)]
        differing = [v for v, f in zip(series(name), formula, strict=True) if round(v * 100) != f]
        assert differing == ([9.2] if name == "E192" else [])


@given(VALUES, NAMES)
def test_nearest_equals_the_eseries_package(value: float, name: str) -> None:
    """Least error, as the eseries package computes it (compared by the error, since ties may differ)."""
    ours, theirs = nearest(value, name), eseries.find_nearest(eseries.ESeries[name], value)
    assert abs(ours - value) <= abs(theirs - value) * (1 + 1e-9) + 1e-9 * value
    assert in_series(ours, name)


@given(VALUES, NAMES)
def test_neighbours_close_the_value_in(value: float, name: str) -> None:
    """Nothing of the series lies strictly between the two neighbours (values_between as the witness)."""
    low, high = neighbours(value, name)
    assert low <= value * (1 + 1e-9)
    assert high >= value * (1 - 1e-9)
    assert len(values_between(low, high, name)) == (1 if low == high else 2)


@given(st.floats(1e-9, 1e6), st.floats(1.0, 500.0), NAMES)
def test_range_equals_the_eseries_package(low: float, ratio: float, name: str) -> None:
    """Function erange of the eseries package gives the same values between two limits."""
    theirs = list(eseries.erange(eseries.ESeries[name], low, low * ratio))
    ours = [v for v in values_between(low, low * ratio, name) if low <= v <= low * ratio]
    assert ours == pytest.approx([v for v in theirs if low <= v <= low * ratio], rel=1e-9)


def test_values_are_the_floats_an_author_writes() -> None:
    """4.7 kΩ of the series is the float 4700.0, 22 µF the float 22e-6, so they compare equal."""
    assert 4700.0 in values_between(1e3, 1e4, "E24")
    assert 22e-6 in values_between(1e-6, 1e-4, "E6")
    assert nearest(0.00033, "E12") == 330e-6


@pytest.mark.parametrize(("value", "expected"), [(4700.0, 4750.0), (2200.0, 2210.0), (330.0, 332.0)])
def test_e24_values_and_their_e96_neighbours(value: float, expected: float) -> None:
    """E24 is not inside E96 (IEC 60063): 4.7 k, 2.2 k and 330 are no E96 values."""
    assert not in_series(value, "E96")
    assert nearest(value, "E96") == expected


def test_bad_questions_are_refused_with_the_legal_choices() -> None:
    """Unknown series, values that are not positive, ranges without end."""
    with pytest.raises(QuantityError, match="E3, E6, E12, E24, E48, E96, E192"):
        series("E10")
    with pytest.raises(QuantityError, match="greater than zero"):
        nearest(-1.0, "E24")
    with pytest.raises(QuantityError, match="positive limits"):
        values_between(10, 1, "E24")
    with pytest.raises(QuantityError, match="too wide"):
        values_between(1e-40, 1.0, "E24")
