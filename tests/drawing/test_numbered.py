"""Each row into which something goes has its number where it can be read, and no leader crosses a band."""

from collections.abc import Iterator
from functools import cache
from itertools import pairwise

from buildalong.board import Layout
from buildalong.build import make_steps
from buildalong.circuit import Circuit
from buildalong.drawing import _palette as palette
from buildalong.drawing import rows_in_use
from buildalong.drawing._frame import PITCH
from buildalong.drawing._scene import Scene
from buildalong.publish._pictures import crop_of_steps, step_picture
from buildalong.publish._variant import Variant
from once import once

from ._demo import BOARDS, DEMOS, circuit_of, drawn, layout_of
from ._leaders import clip, corners, labels_of
from ._measure import SVG, Point, Sheet, apply, matrix, overlap
from .test_board import numbers_of_rows, rects
from .test_hole_names import named

Shown = tuple[str, Circuit, Layout, Sheet]
"""A picture read back: what it is called, and what it shows."""


@cache
def boards(name: str) -> tuple[Shown, ...]:
    """The finished board with the names of its parts, and with its nets named."""
    circuit, layout = circuit_of(name), layout_of(name)
    out = []
    for nets in ({}, {"net_labels": True}):
        shown = drawn(name, muted=False, highlight_holes=False, crop="auto", **nets)
        out.append((f"{name}{', nets' * len(nets)}", circuit, layout, Sheet(shown.svg)))
    return tuple(out)


@cache
def steps(name: str) -> tuple[Shown, ...]:
    """Every step of a demo, the tests, too."""
    circuit, layout = circuit_of(name), layout_of(name)
    crop, made = crop_of_steps(layout), make_steps(circuit, layout)
    svgs = once(f"every-step-{name}", lambda: [step_picture(circuit, s, crop, Variant()).svg for s in made])
    return tuple(
        (f"{name} {step.number}", circuit, step.after, Sheet(svg))
        for step, svg in zip(made, svgs, strict=True)
    )


def everything() -> Iterator[Shown]:
    """Both boards of each kept layout, and every step of the demos."""
    for name in BOARDS:
        yield from boards(name)
    for name in DEMOS:
        yield from steps(name)


def bands(sheet: Sheet) -> list[list[Point]]:
    """The corners of the bands of resistors and of the rings of diodes, muted ones too."""
    found = []
    for group in sheet.root.iter(f"{SVG}g"):
        if "translate" in group.get("transform", ""):
            for a in (element.attrib for element in group.iter(f"{SVG}rect")):
                if a.get("stroke-width") in ("0.8", "1.2") and "rx" not in a:
                    x, y, w, h = (float(a[key]) for key in ("x", "y", "width", "height"))
                    at = matrix(group.attrib["transform"])
                    found.append([apply(at, *corner) for corner in corners((x, y, x + w, y + h))])
    return found


def over_bands(shown: Shown) -> list[tuple[str, str]]:
    """The labels whose leaders run over a band."""
    what, circuit, layout, sheet = shown
    names = {*layout.holes, *layout.board.holes, *circuit.nets}
    stripes = bands(sheet)
    return [
        (what, name) for name, leader, _ in labels_of(sheet, names)
        if leader and any(clip(leader, stripe) > 1 for stripe in stripes)
    ]  # fmt: skip


def unread(shown: Shown) -> list[tuple[str, int]]:
    """The rows in use that are shown and have no number that is whole: off plates, leaders and wires."""
    what, circuit, layout, sheet = shown
    used = {int(hole[1:]) for hole, _ in layout.used() if hole[0] not in "LR"}
    _, top, _, bottom = sheet.frame
    scene = Scene(circuit, layout, "top", rows_in_use(layout))
    lines = [piece for line in scene.lines for piece in pairwise(line)]
    names = {*layout.holes, *layout.board.holes, *circuit.nets}
    lines += [leader for _, leader, _ in labels_of(sheet, names) if leader]
    plates = [rect for rect, fill in rects(sheet) if fill == palette.TAG]
    whole = {
        int(text.text) for text in numbers_of_rows(sheet)
        if not any(overlap(text.box, plate, 1.0) for plate in plates)
        and not any(clip(line, corners(text.box)) > 1 for line in lines)
    }  # fmt: skip
    rows = [row for row in sorted(used) if top + 40 < (row - 1) * PITCH < bottom - 40]
    return [(what, row) for row in rows if row not in whole]


def boxed(shown: Shown) -> list[tuple[str, str]]:
    """The numbers and letters on plates of their own, upon a wire or a body."""
    what, _, _, sheet = shown
    framed = [rect for rect, fill in rects(sheet) if fill == palette.BOARD and 17 < rect[3] - rect[1] < 19]
    return [(what, t.text) for t in sheet.texts if any(overlap(t.box, rect, 5.0) for rect in framed)]


def far_from_number(shown: Shown) -> list[tuple[str, str]]:
    """The new holes whose row has no number on their own half of the board.

    But for those level with a new hole of that side's rail, which the number would seem to count.
    """
    what, _, layout, sheet = shown
    told = {(t.text, t.box[0] < 5.5 * PITCH) for t in numbers_of_rows(sheet)}
    for text in (t for t in sheet.texts if t.fill == palette.ACCENT and " rail, " in t.text):
        left = text.box[0] < 5.5 * PITCH
        rail, number = text.text[0].replace("−", "-"), text.text.split()[2]
        row = layout.board.holes[f"{'L' if left else 'R'}{rail}{number}"][1]
        told.add((f"{row:g}", left))
    holes = [hole for _, hole in named(layout, sheet)]
    return [(what, hole) for hole in holes if (hole[1:], hole[0] in "abcde") not in told]


def test_no_leader_runs_over_a_band() -> None:
    """Bands are what a builder compares (IEC 60062; the ring at a cathode, common practice)."""
    found = [each for shown in everything() for each in over_bands(shown)]
    assert any(bands(sheet) for _, _, _, sheet in everything())
    assert not found, found


def test_the_number_of_each_row_in_use_can_be_read() -> None:
    """Without it a hole cannot be found (common practice)."""
    found = [each for shown in everything() for each in unread(shown)]
    assert sum(len(numbers_of_rows(sheet)) for _, _, _, sheet in everything()) > 1000
    assert not found, found


def test_no_number_stands_on_a_wire() -> None:
    """There it reads as the name of the wire (a reader took it for one)."""
    found = [each for shown in everything() for each in boxed(shown)]
    assert not found, found


def test_most_new_holes_have_their_number_on_their_own_side() -> None:
    """From the other side one counts across eleven columns (a reader found it hard)."""
    steps_of_all = [shown for name in DEMOS for shown in steps(name)]
    found = [each for shown in steps_of_all for each in far_from_number(shown)]
    seen = sum(len(list(named(layout, sheet))) for _, _, layout, sheet in steps_of_all)
    assert seen > 200
    assert len(found) <= seen / 20, found
