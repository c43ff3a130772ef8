"""Every sentence about build lists, whole, with named gaps: the one place to translate."""

from __future__ import annotations

__all__ = ["CHANGED", "HINT", "SAY"]

SAY = {
    "list-too-long": "The list has {count} lines; {most} is the most that is read.",
    "list-unknown-word": "'{word}' is no part of the circuit, and neither 'wire' nor 'test'.",
    "list-other-board": "The list is made for the board {board}; the lesson uses the board {wanted}.",
    "list-head": "'{word}' is no {what}.",
    "part-twice": "{part} is placed in line {line} already.",
    "unknown-lead": "{part} ({noun}) has no lead '{lead}'.",
    "lead-twice": "{part}'s lead {lead} is given two holes.",
    "not-rigid": "{part} ({noun}) is not rigid: one hole does not tell where its other leads are.",
    "no-room-there": "{part} does not stand with its first leg in {hole}{turn}: a leg would miss the holes.",
    "test-takes-nothing": "No trial is named '{trial}'.",
    "empty-step": "Nothing stands between two semicolons.",
    "list-empty": "The list places nothing.",
}

HINT = {
    "list-too-long": "A lesson needs no more than a few dozen lines.",
    "list-unknown-word": "{near}A line is a part and its holes, 'wire' and its places, or 'test'.",
    "list-other-board": 'Write board = "{board}" in the lesson, or make the list anew.',
    "list-head": "Write {legal}.",
    "part-twice": "Keep one of the two lines.",
    "unknown-lead": "Its leads are {leads}.",
    "lead-twice": "Name each lead once.",
    "not-rigid": "Give one hole for each lead, in this order: {leads}.",
    "no-room-there": "Its legs, in order: {leads}; 'turned 90', 180 or 270 turns it clockwise.",
    "test-takes-nothing": "{near}The trials are: {trials}.",
    "empty-step": "Take one of them out.",
    "list-empty": "Write one line for each part, such as 'R1 a5 a9', and one for each wire.",
}

CHANGED = {
    "up": "{name} moved up by {rows} rows",
    "up-one": "{name} moved up by one row",
    "down": "{name} moved down by {rows} rows",
    "down-one": "{name} moved down by one row",
    "moved": "{name} moved, {there}",
    "turned": "{name} turned, {there}",
    "added": "{name} put in, {there}",
    "first": "its first leg in {first}",
    "holes": "into {holes}",
    "wires": "{count} wires",
    "wire": "the wire from {start} to {end}",
    "ends": "now from {start} to {end}",
    "bent": "{name} bent another way",
    "wire-added": "{name} added",
    "wire-gone": "{name} taken out",
}
"""What mending changed."""
