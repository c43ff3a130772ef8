"""The author's hints are followed; without them nothing changes."""

from __future__ import annotations

import pytest
from _netlists import NETLISTS

from buildalong.drawing.schematic import SchematicLayout, check, draw_layout


def drawn(name: str, *hints: tuple[str, str, str]) -> SchematicLayout:
    layout = draw_layout(NETLISTS[name], hints=hints, effort=0.4)
    assert check(NETLISTS[name], layout) == []
    return layout


def middle(layout: SchematicLayout, part: str) -> tuple[float, float]:
    left, top, right, bottom = next(s.body for s in layout.symbols if s.part == part)
    return (left + right) / 2, (top + bottom) / 2


def lies(layout: SchematicLayout, part: str) -> bool:
    (_, one), (_, other) = next(s.terminals for s in layout.symbols if s.part == part)
    return one.y == other.y


def test_left_of_and_above_are_followed_both_ways():
    """Whichever way the hint says, the drawing follows."""
    for one, other in (("R1", "R2"), ("R2", "R1")):
        layout = drawn("two-lights", ("left of", one, other))
        assert middle(layout, one)[0] < middle(layout, other)[0]
        layout = drawn("two-lights", ("above", one, other))
        assert middle(layout, one)[1] < middle(layout, other)[1]


def test_in_line_is_followed():
    """Two parts share a row or a column."""
    layout = drawn("slow-fade", ("in line with", "C1", "DS1"))
    (x1, y1), (x2, y2) = middle(layout, "C1"), middle(layout, "DS1")
    assert min(abs(x1 - x2), abs(y1 - y2)) < 10


@pytest.mark.parametrize("kind", ["upright", "lying"])
def test_a_part_is_kept_as_asked(kind):
    """The base resistor stands or lies as the author says."""
    assert lies(drawn("slow-fade", (kind, "R1", "")), "R1") == (kind == "lying")


def test_near_brings_parts_together():
    """The distance shrinks or stays."""
    far = [middle(drawn("bell"), part)[0] for part in ("C3", "LS1")]
    near = [middle(drawn("bell", ("near", "C3", "LS1")), part)[0] for part in ("C3", "LS1")]
    assert abs(near[0] - near[1]) < abs(far[0] - far[1])


def test_a_hint_about_nothing_drawn_changes_nothing():
    """A part that is not placed (the supply, or none at all) is passed over."""
    assert drawn("one-light", ("left of", "R9", "R1")) == drawn("one-light")
