"""Words of the fault finder that are ours; whole sentences, one place."""

TITLE = "If it does not work"
TITLE_PAGE = "Find the fault"
OF = "{id}: {what}"
"""What something is about, and what is said of it."""
WIRE = "wire {number}"
ASK = "What do you see?"
FIRST = "First:"
CAUSE_LOOK = "Look:"
CAUSE_METER = "Measure:"
CAUSE_CURE = "Mend it:"
WAYS = "Slips that do it"
OTHERS = "Less likely causes, part by part"
ABOUT = (
    "Choose what you see. The likeliest cause comes first; how likely each is, is our judgement. Each was"
    " simulated with this very board."
)
ABOUT_PAGE = (
    "Every plausible slip of the hand on this board was simulated, one at a time. Choose what you see; the"
    " likeliest cause comes first. How likely each is, is our judgement, not counted data."
)
METER_TITLE = "How to measure"
METER = (
    "Set the meter to DC volts (20 V). Put its leads into the two sockets for volts, never into the one for"
    " amperes. Touch the bare wire where it goes into the hole; let the two tips never touch each other."
)
TWICE_TITLE = "Before you switch on, look twice at these"
TWICE = "{what}{step}; {why}."
TWICE_STEP = " (step {step})"
SEVERAL = (
    "If nothing here fits, there may be two slips at once. Then go through the steps again, one by one, and"
    " compare each hole."
)
READING = "Black lead on {black}, red lead on {red}, {when}."
READING_RIGHT = "If all is right: {right}. With this fault: {wrong}."
SOME = "With some of these causes: {danger}"
RIGHT, WRONG = "Right", "Wrong"
SWINGS = "the number keeps changing"
GO_TO = "go to {number}"
DANGERS = {"burst": "may burst", "battery": "shorts the supply", "heat": "gets hot"}
PLAN_EXPECTED = (
    "With this plan {plan} readings find a mistake on average; checking part after part in the order of"
    " building takes {order}."
)
PLAN = {
    "about": "Begin at the symptom; do what the first row says; the answer leads to"
    " another row or to the cause. Each row is the reading that tells most for its effort. How likely"
    " mistakes are, and what a reading costs, are our judgement.",
    "safety": "Supply off before anything is moved. If a part gets hot or smells, supply off at once, and"
    " let it cool. Never connect a breadboard to the mains.",
    "worst": "Where mistakes hurt most",
    "worst_about": "Points: likelihood times what comes of it, in hundreds (our judgement).",
    "heads": ["Step", "What is put down", "Points", "Dangers"],
    "meter": METER_TITLE,
    "caution": "Mind:",
    "share": "of all mistakes",
    "readings": "readings on average:",
    "columns": ["No.", "Do this", "If you see", "then"],
    "only": "Nothing needs to be read; it is:",
}
