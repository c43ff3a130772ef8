"""Names of nets on a board: each stands upon or level with a strip of its own, and is led over no other."""

from functools import cache

from buildalong.board import strip_nets
from buildalong.drawing import board_picture, rows_in_use
from buildalong.drawing._scene import Scene

from ._demo import BOARDS, circuit_of, layout_of
from ._leaders import Led, clip, corners, labels_of
from ._measure import Point, Sheet

STRIP = 9.0
"""Half the width of a strip's tint."""


@cache
def names(name: str) -> tuple[Led, ...]:
    """The name of each net on a board with its leader and plate."""
    picture = board_picture(
        circuit_of(name), layout_of(name), muted=False, highlight_holes=False, net_labels=True, crop="auto"
    )
    return tuple(labels_of(Sheet(picture.svg), set(circuit_of(name).nets)))


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


def test_the_name_of_a_net_is_led_over_no_other() -> None:
    """A leader that runs over another strip can be taken to end there (common practice)."""
    found, led = [], 0
    for name in BOARDS:
        for net, leader, _ in names(name):
            led += leader is not None
            if leader:
                over = {other for other, strip in strips(name) if other != net and clip(leader, strip) > 2}
                found += [(name, net, other) for other in sorted(over)]
    assert led > 20
    assert len(found) <= 10, found


def test_most_names_of_nets_stand_in_a_row_of_their_own() -> None:
    """One reads along a row: a name beside another row's number names that row (common practice)."""
    off, seen = [], 0
    for name in BOARDS:
        rows = [(net, (strip[0][1] + strip[2][1]) / 2) for net, strip in strips(name)]
        for net, _, plate in names(name):
            seen += 1
            if not any(abs((plate[1] + plate[3]) / 2 - y) < 3 for other, y in rows if other == net):
                off.append((name, net))
    assert seen > 100
    assert len(off) <= 67, off
