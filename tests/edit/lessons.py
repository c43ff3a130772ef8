"""An invented lesson with everything placed by hand, as a folder to edit."""

from __future__ import annotations

from pathlib import Path

from demos import EXAMPLES

__all__ = ["BY_HAND", "by_hand", "copied"]

BY_HAND = """\
[layout]  # by hand; the chip first
BT1 = ["b8", "b5"]
U1 = ["e5", "e6", "e7", "e8", "f8", "f7", "f6", "f5"]
R1 = ["j2", "j6"]
R2 = ['i6', 'i3']   # beside R1
D1 = ["g6", "g9"]
D2 = ["h7", "h3"]
C1 = ["j9", "j11"]
C2 = ["h8", "h11"]
R3 = ["a7", "a3"]
DS1 = ["d3", "d5"]
wires = [
  ["f2", "a-2", "a-8", "a8"],   # plus to the chip
  ["g2", "g5"],
  ["c5", "c11", "f11", "orange"],
  ["d6", "d9", "f9"],
  ["i7", "i9"],
]

"""


def copied(name: str, to: Path) -> Path:
    """A demo's folder, to be written into."""
    folder = to / name
    folder.mkdir()
    for file in (EXAMPLES / name).iterdir():
        (folder / file.name).write_bytes(file.read_bytes())
    return folder


def by_hand(to: Path) -> Path:
    """The lighthouse with its board placed by hand."""
    folder = copied("lighthouse", to)
    facts = folder / "lesson.toml"
    text = facts.read_text(encoding="utf-8")
    facts.write_text(text.replace("[words.de]", BY_HAND + "[words.de]", 1), encoding="utf-8")
    return folder
