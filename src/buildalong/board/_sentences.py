"""Every sentence of the comparison, whole, with named gaps: the one place to translate.

``{lead}`` is "C1's minus lead", ``{here}`` and ``{there}`` are strips, ``{net}`` and ``{other}`` nets.
"""

from __future__ import annotations

__all__ = ["HINT", "SAY"]

SAY = {
    "part-missing": "{part}, the {noun}, is not on the board; it belongs between {nets}.",
    "part-missing-one": "{part}, the {noun}, is not on the board; it belongs on {nets}.",
    "part-extra": "{part} is on the board, but the circuit has no part of that name.",
    "lead-in-no-hole": "{lead} is in no hole; it should be on {net}.",
    "supply-shorted": "Plus and 0 V are joined: the supply would be shorted.",
    "part-reversed": "{part}, the {noun}, is the wrong way round: {lead} is on {other} and should be on"
    " {net}.",
    "part-turned": "{part}, the {noun}, is turned round: {lead} is in {here} and should be in {there}.",
    "button-turned": "{part}, the push-button, is turned by a quarter: its legs in {here} and {there} are"
    " always joined, so it is always pressed.",
    "legs-crossed": "{part}'s legs are in the wrong order: from {first} on they should be {order}.",
    "part-shifted": "{part}, the {noun}, is {rows} too far {way}: {lead} is in {here} and should be in"
    " {there}.",
    "both-leads-in-one-strip": "Both leads of {part} are in {here}, so it does nothing; one of them should be"
    " on {net}.",
    "lead-one-row-off": "{lead} is one row off: it is in {here}{state}; it should be in {there}, on {net}.",
    "lead-across": "{lead} is on the wrong side of the trench: it is in {here}{state}; it should be in"
    " {there}, on {net}.",
    "lead-in-wrong-rail": "{lead} is in the wrong rail: it is in {here}{state}; it should be in {there},"
    " on {net}.",
    "lead-in-wrong-half": "{lead} is in {here}, which is not joined to the other half; it should be in"
    " {there}, on {net}.",
    "lead-on-wrong-net": "{lead} is in {here}, which belongs to {other}; it should be on {net}.",
    "lead-not-alone": "{lead} is in {here}, which belongs to {other}; it should be joined to nothing.",
    "nets-joined": "{here} joins {net} to {other}: {leads} belong to {net} and must move to another strip.",
    "wire-one-row-off": "{wire} is one row off at one end: it is in {here}; it should be in {there}, on"
    " {net}.",
    "wire-across": "{wire} ends on the wrong side of the trench: it is in {here}; it should be in {there}, on"
    " {net}.",
    "wire-in-wrong-rail": "{wire} ends in the wrong rail: it is in {here}; it should be in {there}, on"
    " {net}.",
    "wire-in-wrong-half": "{wire} ends in {here}, which is not joined to the other half; it should be in"
    " {there}, on {net}.",
    "wire-end-wrong": "{wire} ends in {here}; it should end in {there}, on {net}.",
    "wires-swapped": "{wire} and {second} have their ends exchanged: they should go from {a} to {b} and from"
    " {c} to {d}.",
    "wire-joins-nets": "{wire} joins {net} in {here} to {other} in {there}; these must stay apart.",
    "wire-to-open": "{wire} leads from {net} to {lead}, which should be joined to nothing.",
    "wire-missing": "A wire from {here} to {there} is missing: both belong to {net}.",
    "lead-alone": "{lead} in {here} is joined to nothing; it should be on {net}: a wire from {here} to"
    " {there} is missing.",
    "rail-not-fed": "{Rail} is used for {net}, but nothing feeds it: a wire to {there} is missing.",
    "rail-split": "{Rail} is broken in the middle: its {here} half is not joined to its {there} half, so"
    " that half carries no {net}.",
}

HINT = {
    "part-missing": "Put it in.",
    "part-extra": "Take it out, or add it to the circuit.",
    "lead-in-no-hole": "Push it into {places}.",
    "supply-shorted": "Do not connect the supply before this is mended.",
    "part-reversed": "Turn it round, leads in the same holes.",
    "part-turned": "Turn it by half a turn.",
    "button-turned": "Turn it by a quarter, so that each pair of joined legs reaches across the trench.",
    "legs-crossed": "Look for the flat face and count the legs again.",
    "part-shifted": "Move it by {rows}.",
    "move": "Move it to {places}.",
    "move-either": "Move it to {places}, or move {wire} to {here}.",
    "move-leads": "Move them to {places}.",
    "move-free": "Move one of the two to a free row.",
    "wire-joins-nets": "Take the wire out, or look where its ends belong.",
    "wire-missing": "Put a wire from {start} to {end}.",
    "wire-move": "Move that end.",
    "wires-swapped": "Exchange the ends.",
}
