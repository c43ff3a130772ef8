"""Every sentence about edits, whole, with named gaps: the one place to translate."""

from __future__ import annotations

from buildalong.finding import Finding, Place, Severity, Unreadable

__all__ = ["refused", "told"]

DID = {
    "set-value": "{part} set to {value}",
    "set-key": "{key} set",
    "remove-key": "{key} taken out",
    "add-part": "{part} added",
    "remove-part": "{part} taken out",
    "rename-part": "{part} renamed to {name}",
    "set-pin": "{part}'s {pin} put on {net}",
    "open-pin": "{part}'s {pin} left open",
    "put-part": "{part} moved to {holes}",
    "move-lead": "{part}'s {lead} moved to {hole}",
    "turn-part": "{part} turned",
    "put-wire": "wire from {start} to {end} laid",
    "move-wire": "wire {number} moved: from {start} to {end}",
    "remove-wire": "wire from {start} to {end} taken out",
    "tidy": "all given up that was placed by hand",
    "fewest-wires": "all wires given up, the parts kept",
    "keep-these": "{names} kept, all else given up",
    "replace-text": "{file} changed in line {line}",
}
NOT = {
    "no-change": "That is so already.",
    "unknown-part": "The circuit has no part {part}.",
    "unknown-wire": "The board has no wire {wire}.",
    "unknown-lead": "{part} ({noun}) has no lead '{lead}'.",
    "unknown-file": "The lesson has no text '{file}'.",
    "text-differs": "Other letters stand there than the edit believes.",
    "name-taken": "The lesson has a part {name} already.",
    "name-unfit": "'{name}' is no name for a part.",
    "not-rigid": "{part} ({noun}) does not stand on its legs as one piece.",
    "rigid": "{part} ({noun}) is one stiff piece: its leads cannot move apart.",
    "lead-off-board": "{part}'s {lead} would find no hole there.",
    "leads-in-one-strip": "{part}'s {one} and {other} would both be in {strip}, which joins them.",
    "no-board-yet": "Where {part} stands is not known yet.",
    "no-board-size": "The lesson takes the smallest board that fits; by hand, things are put on one board.",
    "no-way": "A wire cannot go from {start} to {end}.",
    "nothing-undone": "There is nothing to {what}.",
    "too-large": "{file} would have more than {most} MB.",
}
HINT = {
    "unknown-part": "Its parts are {known}.",
    "unknown-wire": "It has {count}, counted from 1.",
    "unknown-lead": "Its leads are {leads}.",
    "unknown-file": "Its texts are {known}.",
    "text-differs": "Look at the text as it is now and edit again.",
    "name-taken": "Choose another name.",
    "name-unfit": "A name is one to four letters and a number, such as R12.",
    "not-rigid": "Give one hole for each lead.",
    "rigid": "Move the whole part.",
    "lead-off-board": "Move it towards the middle of the board.",
    "leads-in-one-strip": "Put one of the two into another row, or across the trench.",
    "no-board-yet": "Give a hole for each of its leads.",
    "no-board-size": 'Choose one first: board = "400".',
    "no-way": "Choose two free holes in different strips.",
    "too-large": "A lesson's text takes a few thousand letters.",
}


def told(code: str, /, **gaps: object) -> str:
    """The sentence that says what was done."""
    return DID[code].format_map(gaps)


def refused(code: str, /, *about: str, place: Place | None = None, **gaps: object) -> Unreadable:
    """The refusal of an edit."""
    message, hint = NOT[code].format_map(gaps), HINT.get(code, "").format_map(gaps)
    return Unreadable(Finding(Severity.ERROR, f"edit-{code}", message, hint, place, about))
