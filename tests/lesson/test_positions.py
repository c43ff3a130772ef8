"""Positions of keys and values, also in half-typed text."""

from __future__ import annotations

import tomllib
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from buildalong.finding import Place
from buildalong.lesson._positions import positions


def test_every_form_of_toml_is_placed() -> None:
    """Tables, arrays of tables, dotted and quoted keys, inline tables and arrays: line and column from 1."""
    text = (
        'a = 1\n"b c" = "x"\nd.e = [1, [2, 3]]\n[t]\nf = { g = true }\n'
        "[[u]]\nh = 1\n[[u]]\nh = 2\n[u.v]\nw = 3\n"
    )
    found = positions(text, "f")
    expected = {
        "a": (1, 5), "b c": (2, 9), "d.e": (3, 7), "d.e.0": (3, 8), "d.e.1.1": (3, 15), "t.f": (5, 5),
        "t.f.g": (5, 11), "u.0.h": (7, 5), "u.1.h": (9, 5), "u.1.v.w": (11, 5),
    }  # fmt: skip
    for dotted, (line, column) in expected.items():
        assert found.values[dotted] == Place("f", line, column), dotted
    assert found.keys["t.f.g"] == Place("f", 5, 7)
    assert found.keys["u.1"] == Place("f", 8, 3)


def test_columns_count_characters() -> None:
    """'µ' is one column though two bytes."""
    assert positions('a = ["µµ", "x"]\n', "f").values["a.1"] == Place("f", 1, 12)


def test_half_typed_text_keeps_the_places_before_it() -> None:
    """Where the standard reader gives up, the keys typed so far are still known."""
    found = positions('a = 1\n[parts]\nR1 = { part = "resistor" }\nR2 = { part = ', "f")
    assert found.values["parts.R1.part"] == Place("f", 3, 15)
    assert found.values["a"] == Place("f", 1, 5)


def test_an_unknown_path_falls_back_to_its_parent() -> None:
    """A finding about a missing key stands at its table."""
    found = positions("[t]\na = 1\n", "f")
    assert found.key("t", "missing") == Place("f", 1, 2)
    assert found.key("nowhere") == Place("f", 1, 1)


def _paths(value: Any, path: tuple[str, ...] = ()) -> list[str]:
    if isinstance(value, dict):
        below = [p for key, item in value.items() for p in _paths(item, (*path, key))]
    elif isinstance(value, list):
        below = [p for number, item in enumerate(value) for p in _paths(item, (*path, str(number)))]
    else:
        below = []
    return [*([".".join(path)] if path else []), *below]


_KEY = st.text("abcdefgh", min_size=1, max_size=3)
_VALUE = st.recursive(
    st.integers(-9, 9).map(str) | st.sampled_from(['"x"', "'µ'", "true", "1.5"]),
    lambda inner: (
        st.lists(inner, max_size=3).map(lambda items: f"[{', '.join(items)}]")
        | st.dictionaries(_KEY, inner, max_size=3).map(
            lambda items: "{" + ", ".join(f"{k} = {v}" for k, v in items.items()) + "}"
        )
    ),
    max_leaves=8,
)


@given(st.dictionaries(_KEY, _VALUE, max_size=4), st.dictionaries(_KEY, _VALUE, max_size=4))
def test_whatever_the_standard_reader_reads_has_a_place(top: dict[str, str], below: dict[str, str]) -> None:
    """Every path of the values that tomllib gives is in the position map (oracle: the standard library)."""
    text = "\n".join(f"{k} = {v}" for k, v in top.items()) + "\n[zz.yy]\n"
    text += "\n".join(f"{k} = {v}" for k, v in below.items())
    found = positions(text, "f")
    for dotted in _paths(tomllib.loads(text)):
        assert dotted in found or dotted == "zz", dotted
