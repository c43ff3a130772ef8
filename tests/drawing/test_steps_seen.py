"""What is new in the picture of a step is told from what was there, and nothing is drawn over its letters."""

import re

import pytest

from buildalong.board import Layout, Wire, board
from buildalong.build import make_steps
from buildalong.circuit import Circuit
from buildalong.drawing import _palette as palette
from buildalong.drawing import board_picture

from ._demo import circuit_of, layout_of
from ._measure import Sheet

CROSSED = Layout(
    board("830"), {}, (Wire("a10", "j10", "white"), Wire("c8", "c12", "grey"), Wire("g9", "g40", "black"))
)


def casings(svg: str) -> list[float]:
    """The widths of the insulations in the order in which they are drawn [user units]."""
    found = re.findall(r'<path d="[^"]*" fill="none" stroke="[^"]*" stroke-width="([\d.]+)"', svg)
    widths = [float(width) for width in found][-6:]  # of each wire the casing and what lies in it
    return widths[::2]


@pytest.mark.parametrize("new", [0, 1])
def test_the_new_wire_lies_on_top(new: int) -> None:
    """The old ones are no thicker than three quarters of it: a muted black one is as grey as a grey one."""
    drawn = casings(board_picture(Circuit(()), CROSSED, new_wires=(new,)).svg)
    assert len(drawn) == 3
    assert max(drawn[:-1]) <= 0.75 * drawn[-1]


def test_wires_end_before_the_letters_of_a_torn_edge() -> None:
    """A wire that goes on beyond the rows shown leaves all ten letters their room."""
    picture = board_picture(Circuit(()), CROSSED, new_wires=(1,), crop="new")
    sheet = Sheet(picture.svg)
    letters = [text for text in sheet.texts if text.text in tuple("abcdefghij")]
    assert sorted(text.text for text in letters) == sorted("abcdefghij" * 2)
    (clip,) = re.findall(r'<clipPath[^>]*>\s*<rect [^>]*\by="(\S+)"[^>]*\bheight="(\S+)"[^>]*/>', picture.svg)
    y, height = map(float, clip)
    rows = [float(text.box[1] + text.box[3]) / 2 for text in sheet.texts if text.text in ("6", "20")]
    assert all(not y < text.box[3] - 1 or not text.box[1] + 1 < y + height for text in letters)
    assert all(y < row < y + height for row in rows)


def test_a_ring_has_a_light_rim() -> None:
    """A ring upon a red lamp stands out by what lies around it with 3:1 (WCAG 2.2, 1.4.11)."""
    picture = board_picture(circuit_of("mailbox-flag"), layout_of("mailbox-flag"), new_parts=("DS1",))
    circles = Sheet(picture.svg).circles
    rings = {(c.x, c.y) for c in circles if c.stroke == palette.ACCENT}
    rims = {(c.x, c.y) for c in circles if c.stroke == palette.TAG}
    assert rings
    assert rings <= rims
    assert palette.contrast(palette.ACCENT, palette.TAG) >= 3


@pytest.mark.parametrize("name", ["cupboard-light", "mailbox-flag"])
def test_what_a_test_presses_is_shown(name: str) -> None:
    """A button that the text of a test names is among what the picture shows in full colour."""
    for step in make_steps(circuit_of(name), layout_of(name)):
        if step.kind == "test":
            named = {part.id for part in circuit_of(name).parts if part.type.family == "button"}
            assert {part for part in named if part in step.text} <= set(step.shows)
