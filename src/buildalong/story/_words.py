"""The words of the story, as whole sentences and clauses with places for names and numbers.

Clauses such as "DS1 lights up" stand alone with a capital, after a colon, or after "and".
"""

from __future__ import annotations

from buildalong.words import Many

# openings: what sets a beat off
SUPPLY = "At {time} the supply is switched on."
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
TURN_STEP = "At {time} you turn {part} to {value}."
TURN = "At {time} you begin to turn {part}: within {ramp} it goes from {before} to {value}."
# what an IC notices: at a time, and where the time has been said
AT_FILLED = (
    "At {time} {capacitor} has filled to two thirds of the supply ({level}): the threshold comparator "
    "inside {timer} resets the latch."
)
FILLED = (
    "{capacitor} has filled to two thirds of the supply ({level}): the threshold comparator inside "
    "{timer} resets the latch."
)
AT_EMPTIED = (
    "At {time} {capacitor} has emptied to one third of the supply ({level}): the trigger comparator "
    "inside {timer} sets the latch."
)
EMPTIED = (
    "{capacitor} has emptied to one third of the supply ({level}): the trigger comparator inside {timer} "
    "sets the latch."
)
AT_TRIGGERED = (
    "At {time} the trigger input of {timer} falls below one third of the supply, and that sets the latch "
    "inside."
)
TRIGGERED = (
    "The trigger input of {timer} falls below one third of the supply, and that sets the latch inside."
)
AT_PULLED = "At {time} the reset input of {timer} is pulled to 0 V, and that resets the latch inside."
PULLED = "The reset input of {timer} is pulled to 0 V, and that resets the latch inside."
AT_RISEN = (
    "At {time} the threshold input of {timer} rises above two thirds of the supply, and that resets the "
    "latch inside."
)
RISEN = (
    "The threshold input of {timer} rises above two thirds of the supply, and that resets the latch inside."
)
NOTICED: dict[tuple[str, str, bool], tuple[str, str]] = {
    ("astable", "threshold", True): (AT_FILLED, FILLED),
    ("astable", "trigger", True): (AT_EMPTIED, EMPTIED),
    ("one-shot", "threshold", True): (AT_FILLED, FILLED),
    ("one-shot", "trigger", True): (AT_TRIGGERED, TRIGGERED),
    ("latch", "trigger", True): (AT_TRIGGERED, TRIGGERED),
    ("latch", "reset", True): (AT_PULLED, PULLED),
    ("latch", "threshold", True): (AT_RISEN, RISEN),
}
"""(shape, watcher, turned true) -> sentence with the time, sentence without."""

AT_WATCHED = "At {time} {part} notices that {title}."
WATCHED = "{part} notices that {title}."

# what the timer does
TIMER = {
    "high": "The output of {timer} rises{lights}.",
    "low": "The output of {timer} falls{lights}.",
}
SHOWS: dict[tuple[str, str], Many] = {
    ("led", "lit"): Many("{light} lights up", "{light} light up"),
    ("led", "dark"): Many("{light} goes out", "{light} go out"),
    ("buzzer", "lit"): Many("{light} sounds", "{light} sound"),
    ("buzzer", "dark"): Many("{light} falls silent", "{light} fall silent"),
    ("motor", "lit"): Many("{light} begins to turn", "{light} begin to turn"),
    ("motor", "dark"): Many("{light} is left to stop", "{light} are left to stop"),
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
CROSSED = {
    True: "At {time} the voltage at {signal} has risen past the reference at {reference} ({level}).",
    False: "At {time} the voltage at {signal} has fallen below the reference at {reference} ({level}).",
}
"""Whether the signal has risen -> sentence."""
CROSSED_SENSED: dict[tuple[bool, bool], str] = {
    (True, False): "At {time} the light on {sensor} is down to {light}: the voltage at {signal} has risen "
    "past the reference at {reference} ({level}).",
    (True, True): "At {time} the light on {sensor} is back up to {light}: the voltage at {signal} has risen "
    "past the reference at {reference} ({level}).",
    (False, False): "At {time} the light on {sensor} is down to {light}: the voltage at {signal} has fallen "
    "below the reference at {reference} ({level}).",
    (False, True): "At {time} the light on {sensor} is back up to {light}: the voltage at {signal} has "
    "fallen below the reference at {reference} ({level}).",
}
"""(the signal has risen, the light has risen) -> sentence."""
ANSWERS = {
    "pulling": "{comparator} pulls its output down{lights}.",
    "open": "{comparator} lets its output go{lights}.",
}
SHIFT = {
    "pulling": "Through {feedback} this pulls the reference down to {shifted}, so a small change back does "
    "not undo it.",
    "open": "Through {feedback} this lets the reference rise to {shifted}, so a small change back does "
    "not undo it.",
}
COMPARE_START: dict[tuple[str, bool], str] = {
    ("pulling", True): "The voltage at {signal} is above the reference at {reference}, so {comparator} pulls "
    "its output down{lights}.",
    ("pulling", False): "The voltage at {signal} is below the reference at {reference}, so {comparator} "
    "pulls its output down{lights}.",
    ("open", True): "The voltage at {signal} ({now}) is above the reference at {reference} ({level}), so "
    "{comparator} leaves its output alone{lights}.",
    ("open", False): "The voltage at {signal} ({now}) is below the reference at {reference} ({level}), so "
    "{comparator} leaves its output alone{lights}.",
}
"""(what the output does, whether the signal is above the reference) -> sentence."""

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
GOES_ON = "And so it goes on until {end}."
GOES_ON_LIGHT = {
    "led": Many(
        "And so it goes on until {end}: {light} is lit for {on} and dark for {off}, {times} more time.",
        "And so it goes on until {end}: {light} is lit for {on} and dark for {off}, {times} more times.",
    ),
    "buzzer": Many(
        "And so it goes on until {end}: {light} is heard for {on} and silent for {off}, {times} more time.",
        "And so it goes on until {end}: {light} is heard for {on} and silent for {off}, {times} more times.",
    ),
    "motor": Many(
        "And so it goes on until {end}: {light} is on for {on} and off for {off}, {times} more time.",
        "And so it goes on until {end}: {light} is on for {on} and off for {off}, {times} more times.",
    ),
}
"""Family -> sentence; a family not named speaks as a light."""
GOES_ON_LIT = Many(
    "And so it goes on until {end}: {light} comes on {times} more time.",
    "And so it goes on until {end}: {light} comes on {times} more times.",
)
GOES_ON_STATE = "And so it goes on until {end}: {part} keeps its output on for {on} and off for {off}."
GOES_ON_STEPS = "And so it goes on until {end}: every {span} {counter} moves on by one output."
GOES_ON_ROUND = (
    "And so it goes on until {end}: every {span} {counter} moves on by one output, and a full round takes "
    "{round}."
)
LIMIT = "At {time} changes come too fast to follow one by one, and the story ends here."
LIGHT_ALONE = "At {time} {lights}."

FROM_TO = "{first} to {last}"
