"""Words of the guide: what a learner sees, where to look, in plain words; one place."""

from __future__ import annotations

from collections.abc import Mapping

from buildalong.words import Many

TITLES: Mapping[str, str] = {
    "battery-hot": "Nothing works, and the supply or its leads get warm",
    "wrong-colour": "It works, but in the wrong colour",
    "comes-and-goes": "It works only now and then",
    "undetermined": "Each time you switch on, it does something else",
    "overstressed": "It works, but a part is strained",
    "as-it-should": "It works, although something is built wrongly",
}
"""Classes that are not said of single lights."""

WHICH = {
    "led": "The light",
    "buzzer": "The buzzer",
    "motor": "The motor",
    "both": "Both lights",
    "all": "All {count} lights",
    "none": "No light ever comes on",
    "rest": "{title}; the rest works",
    "more": "{some} and {count} more",
}

FIRST: Mapping[str, str] = {
    "battery-hot": "Pull out one lead of the supply at once. Leave it out until you have found the fault.",
    "burns-out": "Take the supply off. The part is lost: find the fault before you put in a new one.",
    "": "Take the supply off before you move anything.",
    "comes-and-goes": "Leave it switched on, and press gently on one lead after the other while you watch.",
}
"""What to do first, by class; "" for all others."""

HEADS = {
    "open-part": "{id} is missing, or one of its leads has no contact",
    "open-wire": "{wire} is missing, or one of its ends has no contact",
    "open-several": "{ids}: one of them is missing or has no contact",
    "several": "{ids}: one of them goes into a wrong hole",
    "loose": "{ids}: a contact is loose",
    "colour": "{id} has another colour",
}
"""Headings of causes that several slips lead to."""

LOOK: Mapping[str, str] = {
    "holes": "Look into which holes {id} goes. Right is: {right}.",
    "there": "Look whether {id} is on the board. Right is: {right}.",
    "wire": "Look for {wire}, and count the holes at both ends.",
    "way-round": "Look which way round {id} is. Right is: {right}.",
    "turned": "Look how {id} is turned. Right is: {right}.",
    "value": "Read {id}. Right is {value}.",
    "two-values": "Read {id} and {other}. Right is {value} for {id}, and {second} for {other}.",
    "colour": "Look at {id} while it is on. Right is: {value}.",
    "rails": "Look along the lines of the rails: a gap in the middle needs a wire across it.",
    "spent": "Measure {id} while the circuit runs.",
    "loose": "Press gently on {id} while it is switched on. If that changes something, you have found it.",
    "several-loose": "Press gently on {id}, one after the other, while it is switched on. Where that changes"
    " something, you have found it.",
    "step": "Compare {id} with its step.",
}

CURES = {
    "open": "Put every lead of it into its hole, and push it in firmly.",
}
"""Cures that fit several slips at once; for single ones those of ``mistakes.KINDS``."""

RIGHT = {
    "swappable": "one lead in {a}, the other in {b}",
    "lead": "{lead} in {hole}",
    "pin": "pin {number} in {hole}",
    "marked": "{value}, marked {mark}",
}

LEAD_MARKS: Mapping[tuple[str, str], str] = {
    ("dome", "anode"): "anode (the longer lead)",
    ("dome", "cathode"): "cathode (the shorter lead, at the flat of the rim)",
    ("cylinder", "cathode"): "cathode (at the stripe)",
    ("can", "positive"): "plus (the longer lead)",
    ("can", "negative"): "minus (at the stripe)",
    ("buzzer", "positive"): "plus (the longer lead)",
    ("supply", "positive"): "plus (red)",
    ("supply", "negative"): "minus (black)",
}
"""(body, role or name of a lead) -> what is to be seen of it."""

CAUTIONS: Mapping[str, str] = {
    "burst": "If {slip}, a capacitor may burst. Look twice, and keep your face away when you switch on.",
    "battery": "If {slip}, the supply is shorted and gets hot. Count the holes twice; should anything get"
    " warm, pull out one lead of the supply at once.",
    "heat": "If {slip}, a part gets hot enough to burn a finger. Look twice; if it smells or gets hot, take"
    " the supply off and let it cool.",
}

WHY: Mapping[str, str] = {
    "burst": "otherwise something may burst",
    "battery": "otherwise the supply gets hot",
    "heat": "otherwise something gets hot",
    "dies": "otherwise a part is lost",
    "hot": "otherwise a part is strained",
    "ages": "otherwise a part suffers unseen",
    "hidden": "nothing else would tell you",
}
"""Why a check stands on the list, by the worst name of SEVERITY."""

FOUND = "Found: mend it as its step shows."
ELSE = "anything else"
OR = "; or "
"""Stands between causes that no reading tells apart."""
UNTOLD = Many(
    "{causes}; or {count} more that no reading tells apart",
    "{causes}; or {count} more that no reading tells apart",
)
RAILS = "the rails"
