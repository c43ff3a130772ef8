"""A small lesson with all that a hand can set: a change-over switch, a potentiometer, a light sensor."""

from __future__ import annotations

from pathlib import Path

FACTS = """title   = "Everything a hand can set"
board   = "400"
supply  = "3 x AA"

[parts]
S1  = { part = "slide-switch", pins = ["BRIGHT", "PLUS", "DIM"] }
R1  = { part = "resistor", value = "220", pins = ["BRIGHT", "LAMP"] }
R2  = { part = "resistor", value = "4.7k", pins = ["DIM", "LAMP"] }
DS1 = { part = "led-red", pins = ["LAMP", "0V"] }
R3  = { part = "potentiometer", value = "10k", pins = ["PLUS", "WIPER", "0V"] }
R4  = { part = "ldr-5mm", pins = ["PLUS", "SENSE"] }
R5  = { part = "resistor", value = "10k", pins = ["SENSE", "0V"] }
R6  = { part = "resistor", value = "1M", pins = ["WIPER", "0V"] }

[[trial]]
name  = "switched on"
lasts = "1 s"

[layout]
BT1 = ["R+3", "R-4"]
S1  = ["j15", "j14", "j13"]
R1  = ["h15", "h9"]
R2  = ["f13", "f9"]
DS1 = ["j9", "j7"]
R3  = ["f5", "h6", "f7"]
R4  = ["f14", "f17"]
R5  = ["j17", "R-15"]
R6  = ["j6", "R-8"]
wires = [["R+4", "j5"], ["R-5", "i5.5", "i7"], ["R+10", "i11.5", "i14"]]
"""


def write_night(folder: Path) -> None:
    """Write the lesson into a folder in the place of what is there."""
    for path in folder.iterdir():
        path.unlink()
    (folder / "lesson.toml").write_text(FACTS, encoding="utf-8")
    (folder / "lesson.md").write_text("Turn, shade and throw.\n", encoding="utf-8")
