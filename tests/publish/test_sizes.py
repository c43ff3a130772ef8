"""How large the letters of every handout are on paper, read from the PDFs themselves.

Nothing under nine points is common practice for what learners must read at the bench.  Three things are
smaller, for a reason: indices of formulas, as in any book; the board of a poster at true scale, whose row
numbers must stand 2.54 mm apart; on A5 waveforms and long boards, which are as large as the page.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

import pytest

from buildalong.drawing import board_picture, tilted_picture
from buildalong.guide import Guide
from buildalong.kit import Session, kit
from buildalong.lesson import Compiled
from buildalong.publish import kit_files
from buildalong.publish._pictures import Pictures
from buildalong.publish.handout import Material, booklet_pdf, material_of, poster_pdf
from publish._pdf import Stretch, stretches

LEAST = 9.0
INDICES = tuple(0.7 * size * formula for size in (10.5, 10.0) for formula in (1.0, 1.12))
"""Sizes of an index: a share of the letter before it, in text and formulas of large and small booklets."""
ROUNDED = 0.999
"""Widths of pictures are rounded to a hundredth of a millimetre."""


@pytest.fixture(scope="module")
def material(
    compiled_demo: Callable[[str], Compiled],
    guide: Callable[[str], Guide | None],
    drawn: Callable[[str], Pictures],
) -> Callable[[str], Material]:
    """Give what handouts are made from: all of the lighthouse, of the runway lights the whole boards."""

    @cache
    def of(name: str) -> Material:
        compiled = compiled_demo(name)
        if name != "runway-lights":
            return material_of(compiled, drawn(name), guide(name))
        circuit, layout = compiled.circuit, compiled.layout
        assert layout is not None
        whole, nets = (
            board_picture(circuit, layout, muted=False, highlight_holes=False, net_labels=named, crop="auto")
            for named in (False, True)
        )
        return Material(compiled, Pictures(board=whole, nets=nets, tilted=tilted_picture(circuit, layout)))

    return of


def _small(data: bytes) -> list[Stretch]:
    """What is written under nine points, but for the indices of formulas."""
    return [
        found
        for found in stretches(data)
        if found.size < LEAST * ROUNDED and not any(abs(found.size - index) < 0.02 for index in INDICES)
    ]


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("teacher", [False, True], ids=["learner", "teacher"])
@pytest.mark.parametrize("name", ["lighthouse", "runway-lights"])
def test_no_letter_of_a_booklet_is_under_nine_points(
    material: Callable[[str], Material], name: str, teacher: bool, paper: str
) -> None:
    """Words, boards, waveforms, looks inside, parts and bag labels: all of 9 pt at least."""
    data, _ = booklet_pdf(material(name), paper, teacher=teacher)
    assert len(list(stretches(data))) > 1000
    assert _small(data) == []


def test_labels_say_all_they_say_in_nine_points(compiled_demo: Callable[[str], Compiled]) -> None:
    """A bag of a dozen kinds of parts, four labels to a page; pictures of parts bear no print."""
    data = kit_files(kit([Session("night", compiled_demo("lighthouse").circuit)], 4))["labels.pdf"]
    assert _small(data) == []
    assert {found.page for found in stretches(data)} == {1}


def test_only_the_board_of_a_poster_at_true_scale_is_smaller(material: Callable[[str], Material]) -> None:
    """There rows are 2.54 mm apart, so words are 2 to 2.4 mm high; three times as large all have 9 pt."""
    sizes = {found.size * 25.4 / 72 for found in _small(poster_pdf(material("lighthouse"), "a4"))}
    assert {round(size, 2) for size in sizes} <= {2.0, 2.2, 2.4}
    assert _small(poster_pdf(material("lighthouse"), "a3")) == []
