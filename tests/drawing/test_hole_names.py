"""Names of holes: beside the hole, in the hole's own row."""

from collections.abc import Iterator
from functools import cache

import pytest

from buildalong.board import Layout
from buildalong.build import make_steps
from buildalong.drawing import _palette as palette
from buildalong.drawing._frame import PITCH, Frame
from buildalong.publish._pictures import crop_of_steps, step_picture
from buildalong.publish._variant import Variant

from ._demo import DEMOS, circuit_of, layout_of
from ._measure import Sheet, Text

MIDDLE = (0.0, 11 * PITCH)
"""From the row numbers at the left to those at the right [user units]."""


@cache
def pictures(name: str) -> tuple[tuple[Layout, Sheet], ...]:
    """The steps of a demo that bring something, with what is built then; of the longest each third."""
    circuit, layout = circuit_of(name), layout_of(name)
    bring = [step for step in make_steps(circuit, layout) if step.parts or step.wires]
    return tuple(
        (step.after, Sheet(step_picture(circuit, step, crop_of_steps(layout), Variant()).svg))
        for step in bring[:: 3 if name == "runway-lights" else 1]
    )


def names(name: str) -> Iterator[tuple[Layout, Text, str]]:
    """Each name of a hole in the middle of the board, with its hole."""
    for layout, sheet in pictures(name):
        for text in sheet.texts:
            hole = text.text.split()[0]
            if text.fill == palette.ACCENT and hole in layout.board.holes and hole[0] not in "LR":
                yield layout, text, hole


def outside(text: Text, hole: str) -> bool:
    """Whether a name's middle lies a quarter of a pitch and more from its row."""
    return abs((text.box[1] + text.box[3]) / 2 - (int(hole[1:]) - 1) * PITCH) > PITCH / 4


@pytest.mark.parametrize("name", DEMOS)
def test_a_hole_is_named_in_its_own_row(name: str) -> None:
    """One reads along the row (common practice): at most 1 name in 5 stands in another for want of room."""
    found = list(names(name))
    away = [text.text for _, text, hole in found if outside(text, hole)]
    assert found
    assert len(away) <= len(found) / 5, away


def test_names_of_holes_are_in_their_rows_mostly() -> None:
    """Of all demos together at most 1 in 10 stands in another row."""
    found = [outside(text, hole) for name in DEMOS for _, text, hole in names(name)]
    assert sum(found) <= len(found) / 10


def test_a_name_lies_across_no_side_of_the_board() -> None:
    """The name of a rail's hole lies on the board or beside it: of all demos at most 1 in 10 does not."""
    found, across = 0, []
    for name in DEMOS:
        left, _, right, _ = Frame(layout_of(name).board).rectangle
        for _, sheet in pictures(name):
            rails = [text for text in sheet.texts if text.fill == palette.ACCENT and " rail, " in text.text]
            found += len(rails)
            across += [t.text for t in rails if any(t.box[0] < x < t.box[2] for x in (left, right))]
    assert found > 10
    assert len(across) <= found / 10, across


@pytest.mark.parametrize("name", DEMOS)
def test_a_name_in_another_row_is_not_read_as_that_rows(name: str) -> None:
    """It stands neither beside that row's number, nor right at another hole in use."""
    for layout, text, hole in names(name):
        if not outside(text, hole):
            continue
        used = {hole: layout.board.holes[hole] for hole, _ in layout.used()}
        x0, y0, x1, y1 = text.box
        assert x1 > MIDDLE[0], text.text
        assert x0 < MIDDLE[1], text.text
        for other, (x, y) in used.items():
            if other != hole:
                dx = max(x0 - x * PITCH, x * PITCH - x1, 0.0)
                dy = max(y0 - (y - 1) * PITCH, (y - 1) * PITCH - y1, 0.0)
                assert max(dx, dy) > 8, (text.text, other)
