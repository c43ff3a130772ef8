"""Illegal drops: each is refused with a reason that names the thing, and the author's text stays as it is.

What is legal is set by the board and the parts: five holes of a row side are one strip and e and f stand
7.62 mm apart (makers' sheets of boards), DIP-8 rows 7.62 mm apart (JEDEC MS-001), leads at 2.54 mm; how
far a lead reaches is the catalogue's.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from buildalong.edit import (
    Edit,
    Editing,
    MoveLead,
    MovePart,
    MoveWire,
    PutPart,
    PutWire,
    RemoveWire,
    edit,
    open_lesson,
)
from edit.lessons import by_hand

PLANTED: list[tuple[str, Edit, str, tuple[str, ...]]] = [
    ("a hole in use", MoveLead("R3", "2", "d3"), "two-leads-in-one-hole", ("R3", "DS1", "d3")),
    ("off the end of the board", PutPart("R3", ("a28", "a32")), "no-such-hole", ("R3", "a32")),
    ("no such column", MovePart("R3", "k9"), "no-such-hole", ("R3", "k9")),
    ("both leads in one strip", PutPart("R3", ("a20", "e20")), "edit-leads-in-one-strip", ("R3", "row 20")),
    ("leads that do not reach", MoveLead("R3", "2", "a20"), "lead-span", ("R3", "a20")),
    ("leads too close", MoveLead("R3", "2", "a6"), "lead-span", ("R3", "a6")),
    ("across the chip", PutPart("R3", ("c6", "h6")), "bodies-collide", ("U1", "R3")),
    ("into another body", MovePart("R1", "a1"), "bodies-collide", ("R1", "R3")),
    ("one lead of a stiff part", MoveLead("U1", "GND", "e9"), "edit-rigid", ("U1", "timer")),
    ("a chip on one side of the trench", PutPart("U1", ("a20",)), "not-across-the-trench", ("U1",)),
    ("a chip over the end", MovePart("U1", "e29"), "edit-lead-off-board", ("U1",)),
    ("legs that are elsewhere", PutPart("U1", ("e20",) * 8), "two-leads-in-one-hole", ("U1", "e20")),
    ("too few holes", PutPart("R3", ("a20",)), "wrong-number-of-holes", ("R3",)),
    ("a wire under a body", PutWire(("i4", "i20")), "hole-under-body", ("wire 6", "R2")),
    ("a wire into a leg's hole", MoveWire(2, 1, "j2"), "two-leads-in-one-hole", ("wire 2", "R1")),
    ("a wire with both ends in one hole", PutWire(("c20", "c20")), "wire-bends", ("c20",)),
    ("a wire off the board", PutWire(("c20", "c31")), "no-such-hole", ("c31",)),
    ("a wire that is not there", RemoveWire(9), "edit-unknown-wire", ("9", "5")),
    ("a part that is not there", MovePart("R9", "a20"), "edit-unknown-part", ("R9", "R3")),
    ("a lead that is not there", MoveLead("R3", "K", "a20"), "edit-unknown-lead", ("R3", "K")),
]  # fmt: skip


@pytest.fixture
def lighthouse(tmp_path: Path) -> Editing:
    return open_lesson(by_hand(tmp_path))


@pytest.mark.parametrize(("drop", "code", "names"), [row[1:] for row in PLANTED], ids=[r[0] for r in PLANTED])
def test_illegal_drop_is_refused_in_words(
    lighthouse: Editing, drop: Edit, code: str, names: tuple[str, ...]
) -> None:
    """The reason names what is in the way, says how to mend it, and nothing is changed."""
    done = edit(lighthouse, drop)
    assert not done.ok
    assert done.editing is lighthouse
    finding = next(f for f in done.findings if f.code == code)
    for name in names:
        assert name in finding.message + finding.hint
    assert finding.hint


def test_a_drop_is_judged_by_what_it_brings(lighthouse: Editing) -> None:
    """A fault that was on the board before does not keep another part from being moved."""
    text = lighthouse.texts["lesson.toml"].replace('C2 = ["h8", "h11"]', 'C2 = ["h8", "h27"]')
    files = {**lighthouse.texts, "lesson.toml": text}
    faulty = Editing(lighthouse.folder, lighthouse.files, files)
    done = edit(faulty, PutPart("DS1", ("d20", "d22")))
    assert done.ok
    assert "lead-span" not in [finding.code for finding in done.findings]


def test_a_drop_that_makes_another_circuit_is_told(lighthouse: Editing) -> None:
    """A part may be put anywhere it can stand; that wires must follow is a warning with its place."""
    done = edit(lighthouse, PutPart("DS1", ("d20", "d22")))
    assert done.ok
    assert done.says == "DS1 moved to d20, d22"
    told = [finding for finding in done.findings if "DS1" in finding.about]
    assert any("row 2" in finding.message for finding in told)
