"""The words of readings: what to look at, press and measure, and what may be found."""

from __future__ import annotations

from collections.abc import Mapping

LOOK_VALUE = "Look at {part}: compare its holes, its direction and its value with its step."
LOOK_KIND = "Look at {part}: compare its kind, its holes and its direction with its step."
LOOK_WIRE = "Look at {wire}: is it there, and do both ends stand in these holes?"
LOOK_RAILS = "Look at the lines beside the rails: is any of them interrupted in the middle of the board?"
PRESS_PART = "Press {part} gently, lead by lead, while the circuit runs: does anything change?"
PRESS_WIRE = "Press both ends of {wire} while the circuit runs: does anything change?"
FEEL = "Touch {part} with the back of a finger: is it warm?"
VOLTS = (
    "Measure the voltage with the red probe in {red} and the black probe in {black}, {when} "
    "(trial '{trial}', {start} to {end})."
)
CONTINUITY = "Take the supply off and test for continuity between {one} and {other}."

AS_STEP, NO_GAP = "as its step shows", "no gap"
ANSWERS: Mapping[str, Mapping[str, str]] = {
    "press": {"yes": "it changes", "no": "nothing changes"},
    "feel": {"yes": "warm", "no": "not warm"},
    "continuity": {"yes": "joined", "no": "not joined"},
}
"""Kind of reading -> answer -> what is found."""
SWINGING = "it does not rest"
ABOUT_ZERO, BAND = "about 0 V", "{low} to {high}"
OR = " or "
"""Stands between what a meter may show."""
UNHELD = "not known: nothing holds it"
