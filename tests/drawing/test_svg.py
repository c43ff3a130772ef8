"""The SVG writer: stable bytes, safe text, pictures that can share a page."""

import re
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildalong.drawing._svg import Svg, number


def drawn(text: str = "a") -> str:
    svg = Svg(100, 50, title="Title", alt="What it shows")
    svg.rect(0, 0, 10, 10, fill=svg.ref("shade"))
    svg.element("linearGradient", id=svg.id("shade"))
    svg.text(5, 20, text, 12)
    return svg.picture().svg


@given(st.floats(-1e6, 1e6))
def test_numbers_have_two_decimals_and_no_minus_zero(value: float) -> None:
    """Every number reads back within half a hundredth, and is never written '-0'."""
    text = number(value)
    assert re.fullmatch(r"-?\d+(\.\d{1,2})?", text)
    assert text != "-0"
    assert abs(float(text) - value) <= 0.005 + 1e-9 * abs(value)


def test_numbers_must_be_finite() -> None:
    """A coordinate that is no number is a programming error, not a broken picture."""
    with pytest.raises(ValueError, match="finite"):
        number(float("nan"))


@given(st.text(st.characters(exclude_categories=("Cs",)), max_size=30))
def test_any_text_stays_text(text: str) -> None:
    """Whatever stands in a label, the document is well-formed XML and shows it as text (XML 1.0, 2.2)."""
    legal = "".join(c for c in text if c in "\t\n\r" or (c >= " " and c not in "\ufffe\uffff"))
    root = ElementTree.fromstring(drawn(legal))
    element = root.find("{http://www.w3.org/2000/svg}text")
    assert element is not None
    assert "script" not in [child.tag for child in root.iter() if child is not element]


def test_markup_in_text_is_escaped() -> None:
    """Text never runs as markup."""
    svg = drawn("<script>alert('&')</script>")
    assert "<script>" not in svg
    assert "&lt;script&gt;" in svg


def test_text_alternative() -> None:
    """A picture says what it shows: role, title and description tied by ids (WAI-ARIA 1.2, img role)."""
    root = ElementTree.fromstring(drawn())
    ids = root.attrib["aria-labelledby"].split()
    named = {child.attrib.get("id"): child.text for child in root.iter()}
    assert root.attrib["role"] == "img"
    assert [named[i] for i in ids] == ["What it shows"]
    assert named[root.attrib["aria-describedby"]] == "Title"


def test_ids_of_two_pictures_differ() -> None:
    """Two different pictures in one page share no id; the same picture has the same bytes."""
    one, other = drawn("a"), drawn("b")
    assert not set(re.findall(r'id="([^"]+)"', one)) & set(re.findall(r'id="([^"]+)"', other))
    assert drawn("a") == one


def test_references_point_at_ids() -> None:
    """A url(#...) points at an id of the same picture."""
    svg = drawn()
    assert set(re.findall(r"url\(#([^)]+)\)", svg)) <= set(re.findall(r'id="([^"]+)"', svg))
