"""The words of the story, as whole sentences and clauses with places for names and numbers.

A translation replaces this module alone.
"""

from __future__ import annotations

# openings: what sets a beat off
SUPPLY = "At 0 s the supply is switched on."
PRESS, RELEASE = "At {time} you press {part}.", "At {time} you let go of {part}."
THROWN = "At {time} you throw the switch {part}."
DARKER = (
    "At {time} it begins to get darker: within {ramp} the light on {part} falls from {before} to {light}."
)
BRIGHTER = (
    "At {time} it begins to get lighter: within {ramp} the light on {part} rises from {before} to {light}."
)
LIGHT_STEP = "At {time} the light on {part} is {light}."
LIGHT_NOW = "The light on {part} is {light}."
SETTING = "At {time} {part} is set to {value}."
HAPPENS = "At {time} {clause}."

CLAUSES: dict[tuple[str, str, bool], str] = {
    ("astable", "threshold", True): "{capacitor} has filled to two thirds of the supply ({level}): the "
    "threshold comparator inside {timer} resets the latch",
    ("astable", "trigger", True): "{capacitor} has emptied to one third of the supply ({level}): the "
    "trigger comparator inside {timer} sets the latch",
    ("one-shot", "threshold", True): "{capacitor} has filled to two thirds of the supply ({level}): the "
    "threshold comparator inside {timer} resets the latch",
    ("one-shot", "trigger", True): "the trigger input of {timer} falls below one third of the supply, and "
    "that sets the latch inside",
    ("latch", "trigger", True): "the trigger input of {timer} falls below one third of the supply, and that "
    "sets the latch inside",
    ("latch", "reset", True): "the reset input of {timer} is pulled to 0 V, and that resets the latch inside",
    ("latch", "threshold", True): "the threshold input of {timer} rises above two thirds of the supply, and "
    "that resets the latch inside",
}
"""(shape, watcher, turned true) -> clause."""

WATCHED = "{part} notices that {title}"

# what the timer does
TIMER = {
    "high": "The output of {timer} rises{lights}.",
    "low": "The output of {timer} falls{lights}.",
}
SHOWS: dict[tuple[str, str], tuple[str, str]] = {
    ("led", "lit"): ("{light} lights up", "{light} light up"),
    ("led", "dark"): ("{light} goes out", "{light} go out"),
    ("buzzer", "lit"): ("{light} sounds", "{light} sound"),
    ("buzzer", "dark"): ("{light} falls silent", "{light} fall silent"),
    ("motor", "lit"): ("{light} begins to turn", "{light} begin to turn"),
    ("motor", "dark"): ("{light} is left to stop", "{light} are left to stop"),
}
"""(family, state) -> what one does, what several do; a family not named speaks as a light."""
LIGHTS_AND = ", and {lights}"
EMPTY_AT_START = (
    "{capacitor} is still empty, far below one third of the supply, and that sets the latch inside {timer}."
)
START_HIGH = "The output of {timer} is high{lights}."
NEXT: dict[tuple[str, str], str] = {
    ("astable", "high"): "The discharge pin lets go, and {capacitor} begins to fill through {charge}.",
    (
        "astable",
        "low",
    ): "The discharge pin now pulls down to 0 V, and {capacitor} begins to empty through {discharge}.",
    ("astable-output", "high"): "Through {through} the output now fills {capacitor}.",
    ("astable-output", "low"): "Through {through} the output now empties {capacitor}.",
    ("one-shot", "high"): "The discharge pin lets go, and {capacitor} begins to fill through {charge}.",
    (
        "one-shot",
        "low",
    ): "The discharge pin empties {capacitor} at once, and all waits for the next press.",
    ("latch", "high"): "There it stays, whatever {set} does next.",
    ("latch", "low"): "There it stays until {set} is pressed.",
}
WAITS: dict[tuple[str, str], str] = {
    ("one-shot", "low"): "{timer} keeps its output off and {capacitor} empty until it is triggered.",
    ("one-shot", "high"): "{timer} wakes with its output on, so a first pulse runs by itself: {capacitor} "
    "begins to fill through {charge}.",
    ("latch", "low"): "{timer} wakes with its output off.",
    ("latch", "high"): "{timer} wakes with its output on.",
}
UNPROMISED = "No data sheet promises in which state {part} wakes, so yours may start the other way."
UNPROMISED_COUNTER = "No data sheet promises at which output {part} begins, so yours may begin at another."
FIRST_LONGER = (
    "This first time took {first}, longer than the {later} of every later one, because {capacitor} started "
    "empty and not at one third."
)
UNCHANGED = {
    "one-shot": "Nothing changes: the pulse runs on until {capacitor} is full enough.",
    "latch": "Nothing changes: {timer} remembers.",
    "": "Nothing changes.",
}
STILL = {
    "one-shot": "A pulse is already running, so {timer} takes no notice.",
    "latch": "The output is already so, and nothing changes.",
}

# briefly, the second time
AGAIN: dict[tuple[str, str], str] = {
    ("astable", "low"): "At {time} {capacitor} is at two thirds again: the output of {timer} falls{lights}, "
    "after {span}.",
    ("astable", "high"): "At {time} {capacitor} is at one third again: the output of {timer} rises{lights}, "
    "after {span}.",
}

# the counter
STEP = "{opening} That rising edge moves {counter} on from output {before} to output {after}{lights}."
STEP_ALONE = (
    "At {time} a rising edge at {clock} moves {counter} on from output {before} to output {after}{lights}."
)
STEP_NOTE = "{counter} switches on exactly one output at a time, and each waits for the next edge."
WRAP = (
    "At {time} {counter} has gone through all its outputs: the next edge leads from output {before} back to "
    "output {after}{lights}, and the round begins again."
)
COUNTER_START = "{counter} wakes with output {state} on{lights}."

# the comparator
COMPARE = {
    "pulling": "At {time} {sensed}the voltage at {inverting} has risen past the reference at {straight} "
    "({level}). {comparator} pulls its output down{lights}.",
    "open": "At {time} {sensed}the voltage at {inverting} has fallen below the reference at {straight} "
    "({level}). {comparator} lets its output go{lights}.",
}
SENSED = "the light on {sensor} is down to {light}: "
SENSED_UP = "the light on {sensor} is back up to {light}: "
SHIFT = {
    "pulling": "Through {feedback} this pulls the reference down to {shifted}, so a small change back does "
    "not undo it.",
    "open": "Through {feedback} this lets the reference rise to {shifted}, so a small change back does "
    "not undo it.",
}
COMPARE_START = {
    "pulling": "The voltage at {inverting} is above the reference at {straight}, so {comparator} pulls its "
    "output down{lights}.",
    "open": "The voltage at {inverting} ({now}) is below the reference at {straight} ({level}), so "
    "{comparator} leaves its output alone{lights}.",
}

# two transistors
PAIR_START = (
    "Both bases are pulled up, and {on} wins the race: it switches on and holds {off} off{lights}. Small "
    "differences decide which one wins, so yours may begin with the other."
)
PAIR_BOTH = (
    "Both bases are pulled up, so {first} and {second} begin to conduct together{lights}: it is a balance "
    "that cannot last."
)
PAIR_TIPS = (
    "At {time} the balance tips: {on} wins, and {capacitor} pushes the base of {off} down to {pushed}: {off} "
    "switches off{lights}."
)
PAIR = (
    "At {time} the base of {on} has climbed to 0.6 V: {on} switches on and its collector falls. {capacitor} "
    "passes this fall on to the base of {off}, which is pushed down to {pushed}: {off} switches off{lights}."
)
PAIR_NEXT = "Now {base} slowly brings the base of {off} up again until it reaches 0.6 V."
PAIR_AGAIN = (
    "At {time} it is the turn of {on}: its base reaches 0.6 V, it switches on and {off} switches off{lights}."
)

# going on
GOES_ON = "And so it goes on until {end}{counts}."
GOES_ON_LIGHT = ": {light} is {lit} for {on} and {dark} for {off}, {times} more times"
GOES_ON_LIT = ": {light} comes on {times} more times"
STATES = {"led": ("lit", "dark"), "buzzer": ("heard", "silent"), "motor": ("on", "off")}
GOES_ON_STATE = ": {part} keeps its output on for {on} and off for {off}"
GOES_ON_STEPS = ": every {span} {counter} moves on by one output"
GOES_ON_ROUND = ": every {span} {counter} moves on by one output, and a full round takes {round}"
LIMIT = "At {time} changes come too fast to follow one by one, and the story ends here."
LIGHT_ALONE = "At {time} {light}."
