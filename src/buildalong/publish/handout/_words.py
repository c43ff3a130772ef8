"""Words of the handouts that are ours; whole sentences, one place."""

from __future__ import annotations

from buildalong.words import Many

EDITIONS = {"learner": "Learner's booklet", "teacher": "Teacher's edition"}
COVER = {"name": "Name:", "date": "Date:", "contents": "In this booklet"}
FACTS_FOR = "For the teacher: answers are inside. Do not hand out."

BOOKLET = {
    "have": "Tick each part when it lies before you.",
    "parts": ("Have it", "Picture", "Part", "How to know it"),
    "why": "Why:",
    "check": "Check:",
    "mind": "Mind the direction.",
    "danger": "Danger.",
    "twice": "Before you switch on, look twice at these",
    "done": "Your board should look like this",
    "formula": "By the formula:",
    "real": "With real parts, simulated:",
    "promises": ("What to look for", "Expected", "Simulated", "Mine"),
    "first": "First:",
    "look": "Look:",
    "measure": "Measure:",
    "mend": "Mend it:",
    "fewer": "Rarer causes are not listed here; the page faults.html of the lesson has them all.",
    "slips": ("Part", "What is easily put in wrong"),
    "questions": "Questions",
    "questions_about": "Work these out with the values given here; they are not those of your board.",
    "your_values": "Your values:",
    "puzzles": "Find the slip",
    "puzzles_about": "Each of these boards was built with one slip. What is wrong? Compare it with your own.",
    "answer": "It is this:",
    "glossary": "Words to know",
    "sources": "To read on",
    "about": "About this lesson",
}

PIECES = Many("{count} piece", "{count} pieces")
ALSO = "You also need the solderless breadboard with {board} tie-points."
ALSO_WIRES = "You also need the solderless breadboard with {board} tie-points and {wires}."
STEP, AT_STEP = "Step {number}", "step {number}"
SOURCE = "Formula: {source}"
PUZZLE, SEEN = "Board {number}", "This is seen: {symptom}."

TEACHER = {
    "title": "For the teacher",
    "times": "How long it takes",
    "times_heads": ("What", "Minutes"),
    "steps": "The steps one by one",
    "steps_heads": ("Step", "What is put down", "Minutes"),
    "class": "Parts for the class",
    "class_heads": ("Part", "One learner", "10 learners", "20 learners", "30 learners"),
    "class_about": "Spares are counted in, by how often beginners lose or break a kind of part (our"
    " judgement). Wires are counted each; the bag labels stand at the end.",
    "cautions": "Before the class begins",
    "answers": "Answers",
    "accepted": "right within",
    "puzzle_answers": "The slips",
    "plan": "The fault-finding plan",
    "tell": "Tell the class",
    "labels": "Bag labels",
    "labels_about": "Copy this page for each four learners, and cut along the lines.",
}
CAUTIONS_CLASS = (
    "Build the lesson once yourself, on the same board, before the class does.",
    "Hand out the supply last, after you have seen each board and its switch-on checks.",
    "Count button cells and batteries before and after the lesson; flat or damaged ones do not go back into a"
    " bag.",
    "Let two learners check each other's board against the pictures; who built it sees what was meant.",
)
"""Common practice in a classroom with small parts and batteries."""

STAGES = {
    "read": "Say what it will do, and read how it works",
    "sort": "Hand out the parts and tick them off",
    "build": "Build it, step by step",
    "try": "Try it, and compare with what was expected",
    "mend": "Time for boards that do not work at once",
    "questions": "Questions and slips",
    "tidy": "Tidy up and count the parts",
}
TOTAL = "Together"
ABOUT = "{name}:"
"""Stands in heavy letters before what is said of something."""
TIMES_TOTAL = "about {minutes} min"
TIMES_AUTHOR = "The author of the lesson says {time}."
TIMES_ABOUT = (
    "Worked out from the words and the parts of this lesson: {words} words a minute to read and follow;"
    " {seek} s to find a part or a wire, {place} s for each of its ends, {look} s to check a step; {own} s"
    " for the first look at the working circuit, besides the trials; {question} min for each question; {mend}"
    " of the building time for mending; {tidy} min to tidy up. Our judgement for beginners, not measured:"
    " after your first class, write your own times beside these."
)

BAG = "bag ______"

CARD_ALT = "A ruler of 100 mm with a mark at each millimetre."
CARD_PRINT = (
    'Print at 100 % (no "fit to page"). Then lay a ruler on this line: from end to end it is {ruler} long. If'
    " it is not, the print is not to scale."
)
CARD_TRUE = "The board at true scale: holes are {pitch} apart. Lay the parts on it before you build."
CARD_SCALE = (
    "The board enlarged {scale} times: holes are {pitch} apart here and {true} on the board. The ruler is in"
    " true millimetres of the paper."
)
CARD_TILES = (
    "Sheet {number} of {count}: row {row}, column {column}. Cut along the marks on the right and below where"
    " a sheet follows, and lay this one over the margin of the next so that the marks meet."
)
POSTER = {
    "parts": ("Part", "What", "Holes"),
    "wires": ("Wire", "From", "To"),
    "tiles": "How the sheets lie",
}

SHEET_TITLE = "{title}, sheets for a folded booklet"
SHEET_ALT = "Page {number} of the booklet."
