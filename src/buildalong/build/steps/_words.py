"""Every sentence of the steps, whole, with named gaps: the one place to translate.

Plain international English, present tense, imperative.  ``{part}`` is the part with what is
printed on it; holes come as 'hole c5' or 'hole 3 of the left plus rail'.
"""

from __future__ import annotations

from buildalong.words import Many

__all__ = [
    "CALLOUT",
    "CHECK",
    "CHECK_PAIR",
    "EDGES",
    "FINAL",
    "FRACTION",
    "FRACTIONS",
    "JOINED",
    "LEAD",
    "LEADS",
    "LEAD_MARK",
    "LIE",
    "NETS",
    "RAILS",
    "TAKE",
    "TEXT",
    "TITLE",
    "WHAT",
    "WHY",
    "WIRE_WHY",
]

WHAT = {"value": "{value} {noun}", "several": "{count} {title}"}
"""A part's short name: '10 kΩ resistor', '4 AA cells in a holder'."""
EDGES = {"row": "row {row}", "column": "column {column}"}

TITLE = {
    "part": "{id}: {what}",
    "group": "{ids}: {count} × {what}",
    "wire": "Wire from {start} to {end}",
    "wires": "{count} wires: {pairs}",
    "wires-pair": "{start} to {end}",
    "check": "Last check before the supply",
    "test": "Test: switch on for a moment",
    "look": "Test: look at what it does",
}

TAKE = {
    "plain": "{id} ({what})",
    "bands": "{id} ({what}, bands {mark})",
    "code": '{id} ({what}, marked "{mark}")',
    "text": '{id} ({what}, printed "{mark}")',
    "plus": "{id} ({what}, marked with a plus sign)",
    "turned": "{part}, its screw turned {position}",
    "group-plain": "{ids} ({count} alike: {what})",
    "group-bands": "{ids} ({count} alike: {what}, bands {mark})",
    "group-code": '{ids} ({count} alike: {what}, marked "{mark}")',
    "group-text": '{ids} ({count} alike: {what}, printed "{mark}")',
    "group-plus": "{ids} ({count} alike: {what}, each marked with a plus sign)",
}

TEXT = {
    "dip": "Set {part} across the trench with its notch towards {notch}. Pins 1 to {middle} go into"
    " holes {first} to {last}, pins {next} to {count} into {across} to {back}.",
    "either-way": "Push the leads of {part} into {holes}. Either way round is right.",
    "either-way-flat": "Bend the leads of {part} and push them into {holes}. Either way round is right.",
    "leads": "Take {part}. {leads}",
    "to92": "Take {part}, its flat face towards {face}. {leads}",
    "trench": "Set {part} across the trench, its legs in {holes}.",
    "legs": "Set {part} on the board, its legs in {holes}.",
    "wire": "Put {wire} from {start} to {end}.",
    "wire-bent": "Put {wire} from {start} to {end}, bent as the picture shows.",
    "wire-around": "Put {wire} from {start} to {end}, bent around {parts} as the picture shows.",
    "wire-flexible": "Put {wire} from {start} to {end}; it may arch over the parts.",
    "wires": "Put {wire} from {start} to {end}, and likewise {pairs}.",
    "wires-bent": "Put {wire} from {start} to {end}, and likewise {pairs}, as the picture shows.",
    "wires-flexible": "Put {wire} from {start} to {end}, and likewise {pairs}; they may arch over the parts.",
    "off-board": "Lay {part} beside the board. {leads}",
    "check": "Do not connect the supply yet. Compare the board with the picture, point by point.",
    "supply": "Connect {part} last. {leads}",
    "look": "{seen}",
    "test": "Compare the board with the picture. Then connect {id}: red to {plus}, black to {minus}. {seen}"
    " Take the two leads of {id} out again.",
}

LIE = {
    "from-to": "from {start} to {end}",
    "over": "It passes over {wires}.",
    "room": "It leaves room for {parts}.",
    "room-over": "It leaves room for {parts}, and passes over {wires}.",
    "room-many": "They leave room for {parts}.",
    "room-one": "The wire {pairs} leaves room for {parts}.",
    "room-some": "The wires {pairs} leave room for {parts}.",
    "free": "It leaves {holes} free.",
    "free-over": "It leaves {holes} free, and passes over {wires}.",
    "at": "{wire} at row {row}",
    "standing": "the parts",
    "later": "parts that come later",
    "many": "{count} wires that lie there already",
}
"""How wires lie among what is there already and what comes later; of more than a few only how many."""

LEAD = {
    "first": "{lead} goes into {hole}",
    "first-marked": "{lead}, {mark}, goes into {hole}",
    "next": "{lead} into {hole}",
    "next-marked": "{lead}, {mark}, into {hole}",
    "first-free": "{lead} stays free",
    "next-free": "{lead} stays free",
    "named": "the {title}",
    "many": "{id}: {pairs}.",
    "many-turned": "{id}, its screw turned {position}: {pairs}.",
    "either": "{id}: {hole} and {second}.",
}
"""The leads of one part make one sentence: a first, then the next ones, joined by semicolons."""

LEAD_MARK = {
    ("dome", "anode"): "the longer lead",
    ("dome", "cathode"): "the shorter lead at the flat of the rim",
    ("cylinder", "cathode"): "at the end with the stripe",
    ("can", "positive"): "the longer lead",
    ("can", "negative"): "at the side with the stripe of minus signs",
    ("buzzer", "positive"): "the longer lead, beside the plus sign",
    ("supply", "positive"): "red",
    ("supply", "negative"): "black",
}

CALLOUT = {
    "dip": "The notch, or the dot beside pin 1, points to {notch}. Turned round, the chip gets hot and"
    " may be lost.",
    "dome": "Look twice: the longer lead is the anode and belongs in {plus}. The other way round the LED"
    " stays dark.",
    "dome-group": "Look twice at each: the longer lead is the anode. The other way round an LED stays dark.",
    "cylinder-group": "Look twice at each: the stripe marks the cathode.",
    "can-group": "Look twice at each: the stripe marks the minus lead. The other way round it may burst.",
    "to92-group": "Look twice at each: the flat face must look the way the picture shows.",
    "cylinder": "Look twice: the stripe belongs at {minus}. The other way round the current is stopped"
    " where it should pass.",
    "can": "Look twice: the stripe with the minus signs belongs at {minus}. The other way round the"
    " capacitor may burst.",
    "buzzer": "Look twice: the plus sign belongs at {plus}. The other way round it stays silent.",
    "to92": "Look twice: the flat face looks to {face}. Turned round, collector and emitter change places.",
    "tact": "Its legs reach across the trench without force; if you have to bend them, turn it by a quarter."
    " A quarter turn wrong, it acts as if it were pressed all the time.",
    "slip": "Look twice; this is how it goes wrong: {slip}",
    "supply": "Red is plus, black is minus. Let the two bare ends never touch.",
}

RAILS = Many(
    "Both halves of {rails} are used. If its coloured line has a gap in the middle of the board, bridge the"
    " gap with a short wire.",
    "Both halves of {rails} are used. If their coloured lines have a gap in the middle of the board, bridge"
    " each gap with a short wire.",
)
"""A warning where boards like this one are sold with whole and with broken rails."""

CHECK = {
    "dip": "All {count} legs are in their holes; none is folded under the body.",
    "wire": "Count the holes again: one end is in {start}, the other in {end}. No bare metal shows.",
    "wires": "Count the holes again, one wire after the other. No bare metal shows.",
    "either-way": "The leads are in {holes}, and touch no other part.",
    "leads": "Count the holes again: {pairs}.",
    "group": "Count the holes again, one part after the other; no lead touches its neighbour.",
    "tact": "Press it: it clicks, and it does not lift out of the board.",
    "legs": "All legs are in their holes; the part sits straight.",
    "off-board": "A gentle pull does not bring the leads out.",
    "supply": "If something gets warm or smells, take the supply off at once and go back to the check.",
    "seen": "{seen} {check}",
    "test": "If it is otherwise, take the supply off at once and go through the steps before, hole by hole.",
}
CHECK_PAIR = "{lead} in {hole}"

FINAL = {
    "dip": "The notch of {id} points to {notch}.",
    "dome": "{id}: the longer lead is in {plus}, the shorter in {minus}.",
    "cylinder": "{id}: the stripe is at {minus}.",
    "can": "{id}: the stripe with the minus signs is at {minus}.",
    "buzzer": "{id}: the plus sign is at {plus}.",
    "to92": "{id}: the flat face looks to {face}.",
    "polarised": "{id}: {pairs}.",
    "turn": "The screw of {id} is turned {position}.",
    "tact": "{id} stands across the trench, its legs in {holes}.",
    "wires": "There are {count} wires, and every end sits firmly in its hole.",
    "one-wire": "The one wire sits firmly in both its holes.",
    "bare": "No bare lead touches another one; bend them apart where they come close.",
    "parts": "No part is left on the table: {count} parts are on the board.",
    "supply": "The supply is still off. Its red lead will go to {plus}, its black lead to {minus}.",
}

FRACTIONS = (
    (0.0, "all the way to end A"),
    (0.25, "a quarter of the way from end A to end B"),
    (1 / 3, "a third of the way from end A to end B"),
    (0.5, "to the middle"),
    (2 / 3, "two thirds of the way from end A to end B"),
    (0.75, "three quarters of the way from end A to end B"),
    (1.0, "all the way to end B"),
)
"""How far a wiper is turned, in words; in between: FRACTION."""
FRACTION = "{percent:.0f} % of the way from end A to end B"

LEADS = {"lead": "one lead of {id}", "contact": "one contact of {id}", "more": "one of {id}"}
"""Leads of parts without a direction on one net: 'one lead of C2 and one of C3'."""

NETS = {"plus": "plus", "ground": "0 V", "other": "{net}"}

WIRE_WHY = {
    "plus": "It brings plus to {who}.",
    "plus-on": "It carries plus on.",
    "ground": "It brings 0 V to {who}.",
    "ground-on": "It carries 0 V on.",
    "plus-through": "It brings plus through {parts} to {who}.",
    "ground-through": "It brings 0 V through {parts} to {who}.",
    "join": "It joins {one} to {other}.",
    "on": "It carries {net} on to {who}.",
    "only": "It carries {net} from one place of the board to another.",
}

JOINED = {
    "row": "{id}'s two legs in row {row} are always joined: they carry {net} across the trench.",
    "rows": "{id}'s two legs in each row are always joined and lead across the trench: {rows}.",
    "in-row": "in row {row} they carry {net}",
    "holes": "{id}'s legs in {holes} are always joined: they carry {net} from one to the other.",
}
"""What legs carry that are joined inside their part, where nothing else on the board does."""

WHY = {
    "limits-light": "It limits the current through {light}.",
    "limits-lights": "It limits the current through {first} to {last}.",
    "limits-base": "It limits the current into {base}.",
    "holds": "It holds {net} at {level} until {button} is pressed.",
    "divides": "Together with {other} it sets the voltage at {net}.",
    "times": "Together with {other} it sets how long things take.",
    "steadies": "It steadies the supply while other parts switch.",
    "quiets": "It keeps {pin} steady.",
    "charges": "It fills and empties through {other}, and that takes the time.",
    "feeds-back": "It feeds {pin} back to {other}.",
    "between": "It lies between {one} and {other}.",
    "light-high": "It lights while {pin} is high.",
    "light-low": "It lights while {pin} is low.",
    "light-conducts": "It lights while {part} conducts.",
    "light": "It lights while current flows through it from {one} to {other}.",
    "one-way": "It lets current pass from {one} to {other}, and not back.",
    "button": "Pressed, it joins {one} and {other}.",
    "switch": "It joins its middle contact, {one}, to one side or the other.",
    "track": "Turning it moves the voltage or the resistance at {one}.",
    "transistor": "A small current into its base lets a larger one flow through its collector.",
    "transistor-pnp": "A small current out of its base lets a larger one flow through its collector.",
    "light-sensor": "Its resistance falls when light falls on it, and with it changes the voltage at {net}.",
    "timer": "It compares the voltages at its inputs with parts of the supply and switches its output.",
    "comparator": "It compares two voltages and pulls its output to 0 V, or lets go of it.",
    "counter": "At each pulse it passes the high level on to its next output.",
    "buzzer": "It sounds while current flows through it.",
    "motor": "It turns while current flows through it.",
    "supply": "It drives the whole circuit.",
    "each": "{id}: {why}",
    "check": "A slip found now costs a minute; found later it may cost a part.",
    "test": "What works now need not be looked at again if something fails later.",
}
