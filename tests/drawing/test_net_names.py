"""Names of nets on a board: each stands upon or level with a strip of its own, and is led over no other."""

from functools import cache

from buildalong.board import strip_nets
from buildalong.drawing import rows_in_use
from buildalong.drawing._scene import Scene

from ._demo import BOARDS, circuit_of, drawn, layout_of
from ._leaders import Led, clip, corners, labels_of
from ._measure import Point, Sheet
from .test_board import numbers_of_rows

STRIP = 9.0
"""Half the width of a strip's tint."""


@cache
def sheet_of(name: str) -> Sheet:
    """The finished board with every net tinted and named."""
    return Sheet(drawn(name, muted=False, highlight_holes=False, net_labels=True, crop="auto").svg)


@cache
def names(name: str) -> tuple[Led, ...]:
    """The name of each net on a board with its leader and plate."""
    return tuple(labels_of(sheet_of(name), set(circuit_of(name).nets)))


@cache
def strips(name: str) -> list[tuple[str, tuple[Point, ...]]]:
    """Each strip in use in the middle of the board: its net, and its rectangle."""
    circuit, layout = circuit_of(name), layout_of(name)
    frame = Scene(circuit, layout, "top", rows_in_use(layout)).frame
    out = []
    for strip, net in strip_nets(circuit, layout).items():
        holes = layout.board.strips[strip]
        if strip[0] not in "LR":
            (x0, y), (x1, _) = frame.hole(holes[0]), frame.hole(holes[-1])
            out.append((net, corners((min(x0, x1) - STRIP, y - STRIP, max(x0, x1) + STRIP, y + STRIP))))
    return out


def led_over(name: str) -> list[tuple[str, str]]:
    """The nets whose names are led over a strip of another, with the other."""
    found = []
    for net, leader, _ in names(name):
        if leader:
            over = {other for other, strip in strips(name) if other != net and clip(leader, strip) > 2}
            found += [(net, other) for other in sorted(over)]
    return found


def off_rows(name: str) -> list[str]:
    """The nets whose names stand in no row of theirs."""
    rows = [(net, (strip[0][1] + strip[2][1]) / 2) for net, strip in strips(name)]
    return [
        net for net, _, plate in names(name)
        if not any(abs((plate[1] + plate[3]) / 2 - y) < 3 for other, y in rows if other == net)
    ]  # fmt: skip


def struck(name: str) -> list[tuple[str, str]]:
    """The nets whose leaders run over the number of a row, with the number."""
    numbers = numbers_of_rows(sheet_of(name))
    return [
        (net, text.text) for net, leader, _ in names(name) for text in numbers
        if leader and clip(leader, corners(text.box)) > 1
    ]  # fmt: skip


def test_the_name_of_a_net_is_led_over_no_other() -> None:
    """A leader that runs over another strip can be taken to end there (common practice)."""
    found = [(name, *each) for name in BOARDS for each in led_over(name)]
    assert sum(leader is not None for name in BOARDS for _, leader, _ in names(name)) > 20
    assert len(found) <= 8, found


def test_most_names_of_nets_stand_in_a_row_of_their_own() -> None:
    """One reads along a row: a name beside another row's number names that row (common practice)."""
    off = [(name, net) for name in BOARDS for net in off_rows(name)]
    assert sum(len(names(name)) for name in BOARDS) > 100
    assert len(off) <= 62, off


def test_few_leaders_of_nets_strike_out_the_number_of_a_row() -> None:
    """A number under a line reads as one that does not count (common practice)."""
    found = [(name, *each) for name in BOARDS for each in struck(name)]
    assert len(found) <= 2, found
