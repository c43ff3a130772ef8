"""Words for holes, strips, terminals and wires, to be put into sentences."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from string import Formatter

from buildalong.board._layout import Wire
from buildalong.circuit import Part
from buildalong.words import capital, listed, say

__all__ = [
    "a_wire",
    "hole_name",
    "hole_words",
    "holes_words",
    "pin_words",
    "strip_words",
    "swappable_lead",
    "the_wire",
    "the_wire_alone",
    "turned_words",
]

STRIPS = {
    "L": "row {row} left",
    "R": "row {row} right",
    "L+": "the left plus rail",
    "L-": "the left minus rail",
    "R+": "the right plus rail",
    "R-": "the right minus rail",
    "L+ upper": "the upper half of the left plus rail",
    "L+ lower": "the lower half of the left plus rail",
    "L- upper": "the upper half of the left minus rail",
    "L- lower": "the lower half of the left minus rail",
    "R+ upper": "the upper half of the right plus rail",
    "R+ lower": "the lower half of the right plus rail",
    "R- upper": "the upper half of the right minus rail",
    "R- lower": "the lower half of the right minus rail",
}
"""A strip: a side of a row, a rail, half a rail."""
RAIL_HOLES = {
    "L+": "hole {number} of the left plus rail",
    "L-": "hole {number} of the left minus rail",
    "R+": "hole {number} of the right plus rail",
    "R-": "hole {number} of the right minus rail",
}
RAIL_HOLE = "{sign} rail, {number}"
"""Hole 5 of a minus rail, where it stands: '− rail, 5' (the file's 'R-5' would be read as a resistor)."""
HOLE, HOLES = "hole {hole}", "holes {holes}"
NUMBERED, TITLED = "{part}'s {title} (pin {number})", "{part}'s {title}"
EITHER = {"lead": "{part}'s lead", "contact": "{part}'s contact"}
"""A terminal of which it does not matter which one it is."""
FROM_TO = "{wire} from {start} to {end}"
A_WIRE = {
    "red": "a red wire",
    "black": "a black wire",
    "yellow": "a yellow wire",
    "green": "a green wire",
    "blue": "a blue wire",
    "orange": "an orange wire",
    "white": "a white wire",
    "violet": "a violet wire",
    "grey": "a grey wire",
    "brown": "a brown wire",
    "purple": "a purple wire",
    "teal": "a teal wire",
    "pink": "a pink wire",
    "": "a {colour} wire",
}
A_JUMPER = {
    "red": "a red jumper lead",
    "black": "a black jumper lead",
    "yellow": "a yellow jumper lead",
    "green": "a green jumper lead",
    "blue": "a blue jumper lead",
    "orange": "an orange jumper lead",
    "white": "a white jumper lead",
    "violet": "a violet jumper lead",
    "grey": "a grey jumper lead",
    "brown": "a brown jumper lead",
    "purple": "a purple jumper lead",
    "teal": "a teal jumper lead",
    "pink": "a pink jumper lead",
    "": "a {colour} jumper lead",
}
THE_WIRE = {
    "red": "the red wire",
    "black": "the black wire",
    "yellow": "the yellow wire",
    "green": "the green wire",
    "blue": "the blue wire",
    "orange": "the orange wire",
    "white": "the white wire",
    "violet": "the violet wire",
    "grey": "the grey wire",
    "brown": "the brown wire",
    "purple": "the purple wire",
    "teal": "the teal wire",
    "pink": "the pink wire",
    "": "the {colour} wire",
}


def strip_words(strip: str) -> str:
    """Say a strip: 'row 12 left', 'the left plus rail', 'the upper half of the left plus rail'."""
    if strip in STRIPS:
        return say(STRIPS[strip])
    return say(STRIPS[strip[-1]], row=strip[:-1])


def hole_name(hole: str) -> str:
    """What a hole is called where it stands and in headings: 'c12', '− rail, 5'."""
    if hole[0] not in "LR":
        return hole
    return say(RAIL_HOLE, sign=hole[1].replace("-", "−"), number=hole[2:])


def hole_words(hole: str) -> str:
    """Say a hole: 'hole c12', 'hole 3 of the left plus rail'."""
    if hole[:2] in RAIL_HOLES:
        return say(RAIL_HOLES[hole[:2]], number=hole[2:])
    return say(HOLE, hole=hole)


def holes_words(holes: Sequence[str]) -> str:
    """Say several holes: 'holes c5 and c9', 'hole a5 and hole 3 of the left plus rail'."""
    if len(holes) < 2 or any(hole[:2] in RAIL_HOLES for hole in holes):
        return listed([hole_words(hole) for hole in holes])
    return say(HOLES, holes=listed(holes))


def turned_words(text: str) -> str:
    """The same words for a reader who has the board turned by half a turn: left and right change places.

    Only what the functions above say is changed, in the language of the moment.
    """
    found = [(say(one), say(other)) for one, other in _mirrored()]
    found.sort(key=lambda pair: (-len(pair[0]), pair))
    places = [_pattern(one) for one, _ in found]

    def turned(match: re.Match[str]) -> str:
        index = next(i for i in range(len(found)) if match[f"m{i}"] is not None)
        name = next((name for _, name, _, _ in Formatter().parse(found[index][0]) if name), "")
        words = found[index][1].format(**{name: match[f"p{index}"]}) if name else found[index][1]
        return capital(words) if match[0][:1].isupper() else words

    pattern = "|".join(f"(?P<m{i}>{place.replace('PLACE', f'p{i}')})" for i, place in enumerate(places))
    return re.sub(rf"(?<!\w)(?:{pattern})(?!\w)", turned, text)


def _mirrored() -> Iterator[tuple[str, str]]:
    """(message, the one for the mirrored place) of strips and holes of rails."""
    exchange = {"L": "R", "R": "L", "upper": "lower", "lower": "upper"}
    for table in (STRIPS, RAIL_HOLES):
        for key, message in table.items():
            rail, _, half = key.partition(" ")
            other = f"{exchange[rail[0]]}{rail[1:]}" + (f" {exchange[half]}" if half else "")
            yield message, table[other]


def _pattern(message: str) -> str:
    """A pattern for a message with a number in its place; its first letter may be a capital."""
    out = ""
    for text, name, _, _ in Formatter().parse(message):
        out += re.escape(text) + (r"(?P<PLACE>\d+)" if name else "")
    first = message[:1]
    return f"[{first.upper()}{first}]{out[1:]}" if first.isalpha() else out


def swappable_lead(part: Part, terminal: str) -> str:
    """What a terminal of a part that may be put in either way round is: a 'lead' or a 'contact'."""
    return "lead" if "lead" in part.type.terminal(terminal).title else "contact"


def pin_words(part: Part, terminal: str) -> str:
    """Say a terminal of a part: "C1's minus lead", "U1's trigger (pin 2)", "R1's lead"."""
    found = part.type.terminal(terminal)
    if part.type.swappable:
        return say(EITHER[swappable_lead(part, terminal)], part=part.id)
    if found.number:
        return say(NUMBERED, part=part.id, title=say(found.title), number=found.number)
    return say(TITLED, part=part.id, title=say(found.title))


def a_wire(wire: Wire) -> str:
    """'a red wire', 'an orange jumper lead'."""
    table = A_JUMPER if wire.style == "flexible" else A_WIRE
    return say(table.get(wire.colour, table[""]), colour=wire.colour)


def the_wire_alone(wire: Wire) -> str:
    """'the red wire'."""
    return say(THE_WIRE.get(wire.colour, THE_WIRE[""]), colour=wire.colour)


def the_wire(wire: Wire) -> str:
    """'the red wire from hole a3 to hole b9'."""
    return say(FROM_TO, wire=the_wire_alone(wire), start=hole_words(wire.start), end=hole_words(wire.end))
