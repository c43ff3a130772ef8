"""Part cards in other languages: every label is translated and whole (docs/languages.md)."""

from __future__ import annotations

import pytest

from buildalong.circuit import Part
from buildalong.drawing._part import part_picture
from buildalong.parts import catalogue
from buildalong.words import speaking


@pytest.mark.parametrize(
    ("tag", "red", "black"),
    [("de", "rot", "schwarz"), ("es", "rojo", "negro"), ("fr", "rouge", "noir")],
)
def test_leads_of_a_supply_bear_their_colours(tag: str, red: str, black: str) -> None:
    """Both leads are named in the language, uncut; no message is missing."""
    kind = next(
        kind for kind in catalogue().values()
        if kind.body.kind == "off-board" and {t.role for t in kind.terminals} >= {"positive", "negative"}
    )  # fmt: skip
    with speaking(tag) as speaker:
        svg = part_picture(Part("BT1", kind, tuple(t.name for t in kind.terminals))).svg
    assert f">{red}" in svg
    assert f">{black}" in svg
    assert not speaker.missing
    assert "…" not in svg
