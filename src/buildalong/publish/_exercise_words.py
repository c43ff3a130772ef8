"""Words of the exercises that are ours; whole sentences, one place."""

from buildalong.words import Many

READINGS = Many("{count} reading by the plan", "{count} readings by the plan")
WORDS = {
    "title": "What is wrong with this board?",
    "board": "Board",
    "about": "Each of these boards was built with one slip. Look at the picture, think what it does to the"
    " circuit, and say which part or wire you would look at first, and why.",
    "safety": "These boards are for looking at. Should you build one, use only the supply of the lesson, and"
    " take it off at once if anything gets warm.",
    "schematic": "How it should be",
    "parts": "The right parts",
    "should": "It should do this:",
    "seen": "This is seen:",
    "level": "Level:",
    "easy": "easy",
    "middle": "middle",
    "hard": "hard",
    "hint": "Hint",
    "answer": "Answer",
    "answers": "Answers",
    "mend": "Mend it:",
    "way": "The plan finds it so:",
    "lines": "I would look first at … because …",
    "step": "step",
    "picture": "The board with its slip",
    "alt": "The same board in words",
}
