"""A small lesson with a hand-made board, so that no test waits for the placer."""

from __future__ import annotations

from pathlib import Path

FACTS = """# A comment that must stay.
title   = "A lamp with a button"
board   = "400"
supply  = "3 x AA"

[parts]
S1  = { part = "push-button", pins = ["PLUS", "SWITCH"] }   # the button
R1  = { part = "resistor", value = "220", pins = ["SWITCH", "LAMP"] }
DS1 = { part = "led-red", pins = ["LAMP", "0V"] }

[[trial]]
name  = "a press"
lasts = "3 s"
press = ["S1 at 1 s for 1 s"]

[[promise]]
that   = "on_time(DS1)"
is     = "1 s"
within = "10 %"
says   = "it shines for as long as you press"

[layout]
BT1 = ["L+3", "L-3"]
S1  = ["e5", "f5", "e7", "f7"]
R1  = ["b7", "b11"]
DS1 = ["c11", "c12"]
wires = [["L+5", "a5"], ["L-10", "a12"]]
"""
WORDS = "Press, and the lamp shines for {{ on_time(DS1) }}.\n"


def write_lamp(folder: Path) -> None:
    """Write the lesson into a folder in the place of what is there."""
    for path in folder.iterdir():
        path.unlink()
    (folder / "lesson.toml").write_text(FACTS, encoding="utf-8")
    (folder / "lesson.md").write_text(WORDS, encoding="utf-8")
