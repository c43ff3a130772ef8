"""The words of mistakes: what is wrong, when it is seen, what can hurt and how it is mended.

What is wrong is a clause: it stands alone with a capital and a full stop, and inside other sentences.
"""

from __future__ import annotations

from collections.abc import Mapping

SENTENCE = "{what}."
LEFT_OUT = "{part} is left out"
LEAD, LEAD_LONG = "{lead} is in {target}", "{lead} is in {target}; it belongs in {hole}"
ONE_STRIP = "both leads of {part} are in one strip, {holes}"
SUPPLY_REVERSED = "plus and minus of {part} are exchanged"
REVERSED = "{part} is the wrong way round"
TOWARDS, AWAY = (
    "{part} stands one row off, towards row 1",
    "{part} stands one row off, away from row 1",
)
BUTTON_TURNED = "{part} is turned by a quarter, so it always joins its two sides"
CHIP_TURNED = "{part} is turned round"
LEG_ORDER = "{part}'s legs stand in the order {legs}"
LOOSE_LEAD = "{lead} in {hole} makes contact only now and then"
LOOSE_WIRE = "{wire} makes contact only now and then"
VALUE = "{part} is {shown}, not {right}"
BACKWARDS = "{part} is {shown}: its bands were read from the wrong end"
COLOUR = "{part} is a {shown}, not a {right}"
SPENT = "{part} is spent and gives only {volts}"
WIRE, WIRE_LONG = "{wire} ends in {target}", "{wire} ends in {target} in place of {hole}"
SWAPPED = "{one} and {other} are exchanged"
RAIL_SPLIT = "the board's rails are interrupted in their middle, and nothing bridges the gap"
RAILS = "middle of the rails"

WINDOW_RUNNING, WINDOW_BEFORE = "while it runs", "before anything is done"
WINDOWS: Mapping[str, tuple[str, str]] = {
    "pressed": ("after {part} is pressed at {time}", "after {part} is pressed"),
    "let-go": ("after {part} was let go at {time}", "after {part} was let go"),
    "light": ("after {part} has light {value} at {time}", "after {part} gets {value} lx of light"),
    "position": ("after {part} is turned to {value} at {time}", "after {part} is turned to {value}"),
    "thrown": ("after {part} is thrown to {value} at {time}", "after {part} is thrown to {value}"),
}
"""What was done last before a rest in which a meter is read: with its time, and without."""

DANGERS: Mapping[str, str] = {
    "burst": "An electrolytic capacitor the wrong way round gets hot and may burst: keep your face away, "
    "and take the supply off before you touch it.",
    "battery": "A shorted supply and its leads get hot within seconds: pull one lead of it at once.",
    "heat": "A part gets hot enough to burn a finger: take the supply off and let it cool.",
}
"""What can hurt, and what to do."""

CURE_LEAD = "Take the lead out and put it into its own hole."
CURE_OMITTED = "Put it in."
CURE_REVERSED = "Turn it round."
CURE_LEGS = "Put its legs in the order of the step."
CURE_CHIP = "Take the supply off, lift it out and turn it."
CURE_ROWS = "Take the supply off, lift it out and move it."
CURE_BUTTON = "Lift it out and turn it by a quarter."
CURE_VALUE = "Take the right value."
CURE_SWAPPED = "Exchange them."
CURE_COLOUR = "Take the right colour."
CURE_RAIL = "Bridge the gap with a wire."
CURE_SUPPLY = "Take it off at once and exchange its leads."
CURE_SPENT = "Take a fresh one; in a holder, change all its cells."
CURE_LOOSE = "Push the lead in, or use another hole of the strip."
CURE_OWN = "Follow the step again."
