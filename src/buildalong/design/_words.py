"""The words of recognition, as whole sentences with places for names.

Every place is a part, a list of parts or a phrase of this module.
"""

from __future__ import annotations

from collections.abc import Mapping

from buildalong.words import Many

__all__ = ["DARK", "DRIVE", "FROM_TO", "INPUT", "LIT", "OUTPUT", "SHAPES"]

OUTPUT = {"high": "the output stays high", "low": "the output stays low"}
LIT = Many("{light} stays lit", "{light} stay lit")
DARK = Many("{light} stays dark", "{light} stay dark")
"""What lasts while an output is high or low, as the end of a sentence: "how long DS1 stays lit"."""
FROM_TO = "{first} to {last}"
INPUT = "the input"
"""What a button drives, where no input of a part is known there."""

DRIVE = {
    "plus": "the supply",
    "ground": "0 V",
    "output": "the output of {part}",
    "open-output": "the output of {part}, which can only pull down",
    "transistor": "the collector of {part}",
    "button": "{part}",
    "other": "the rest of the circuit",
}

SHAPES: Mapping[str, tuple[str, str, Mapping[str, str | Many]]] = {
    "astable": (
        "Timer as an astable",
        "{timer} fills {capacitor} through {charge} and {discharge} and empties it through {discharge}, "
        "over and over, so its output changes between high and low by itself.",
        {
            "timer": "{timer} watches the voltage on {capacitor} and turns its output over at one third "
            "and at two thirds of the supply.",
            "capacitor": "{capacitor} is the clock: filling and emptying it takes time, and that time "
            "sets the rhythm.",
            "charge": "{charge} lets {capacitor} fill; with {discharge} it sets how long {high}.",
            "discharge": "{discharge} sets how long {low}, because {capacitor} empties through it; it "
            "has a share in how long {high}, too.",
        },
    ),
    "astable-steered": (
        "Timer as an astable with steering diodes",
        "{timer} fills {capacitor} through {charge} and empties it through {discharge}; a diode keeps the "
        "two paths apart, so the two times can be chosen one by one.",
        {
            "timer": "{timer} watches the voltage on {capacitor} and turns its output over at one third "
            "and at two thirds of the supply.",
            "capacitor": "{capacitor} is the clock: filling and emptying it takes time, and that time "
            "sets the rhythm.",
            "charge": "{charge} sets how long {high}, because {capacitor} fills through it.",
            "discharge": "{discharge} sets how long {low}, because {capacitor} empties through it.",
            "charge_diode": "{charge_diode} leads the charging current past {discharge}, so that "
            "{discharge} has no say in how long {high}.",
            "discharge_diode": "{discharge_diode} lets {capacitor} empty through {discharge}, and keeps the "
            "charging current out of that path.",
        },
    ),
    "astable-output": (
        "Timer as a square-wave astable",
        "{timer} fills and empties {capacitor} through {through} from its own output, so high and low "
        "last about equally long.",
        {
            "timer": "{timer} watches the voltage on {capacitor} and turns its output over at one third "
            "and at two thirds of the supply.",
            "capacitor": "{capacitor} is the clock: filling and emptying it takes time, and that time "
            "sets the rhythm.",
            "through": "{through} sets how fast {capacitor} fills and empties, and so how long {high} and "
            "how long {low}.",
        },
    ),
    "one-shot": (
        "Timer as a one-shot",
        "A short low pulse on the trigger of {timer} starts one pulse at the output; it ends by itself when "
        "{capacitor} has filled through {charge}.",
        {
            "timer": "{timer} starts the pulse when it is triggered and ends it when {capacitor} reaches "
            "two thirds of the supply.",
            "capacitor": "{capacitor} measures the time: the pulse lasts until it is filled to two thirds "
            "of the supply.",
            "charge": "{charge} sets how long {high}, because {capacitor} fills through it.",
        },
    ),
    "latch": (
        "Timer as a set-and-reset latch",
        "{set} switches the output of {timer} on and {clear} switches it off; in between it remembers.",
        {
            "timer": "{timer} remembers which of the two buttons was pressed last.",
            "set": "{set} sets the latch: one short press, and {high}.",
            "clear": "{clear} resets the latch: one short press, and {low}.",
        },
    ),
    "transistor-astable": (
        "Two transistors as an astable",
        "{first} and {second} switch each other off in turn: each time one switches on, a capacitor pushes "
        "the other base far below 0.6 V, and that one stays off until a resistor has brought it back up.",
        {
            "first": "{first} switches {load1} on while {second} is off.",
            "second": "{second} switches {load2} on while {first} is off.",
            "base1": "{base1} brings the base of {first} back up: with {capacitor1} it sets how long "
            "{first} stays off.",
            "base2": "{base2} brings the base of {second} back up: with {capacitor2} it sets how long "
            "{second} stays off.",
            "capacitor1": "{capacitor1} switches {first} off when {second} switches on, and keeps it off "
            "for a while.",
            "capacitor2": "{capacitor2} switches {second} off when {first} switches on, and keeps it off "
            "for a while.",
        },
    ),
    "transistor-switch": (
        "Transistor as a switch",
        "A small current through {base} switches {transistor} on, and {transistor} carries the larger "
        "current of {load}.",
        {
            "transistor": "{transistor} is the switch that carries the current of {load}.",
            "base": "{base} limits the current into the base of {transistor}.",
            "bleed": "{bleed} keeps {transistor} off when nothing drives it.",
            "load": Many(
                "{each} lies in the path that {transistor} switches.",
                "{each} lie in the path that {transistor} switches.",
            ),
        },
    ),
    "freewheel": (
        "Freewheel diode",
        "{diode} gives the current of the coil a way to run on when {transistor} switches off.",
        {"diode": "{diode} catches the voltage kick of {load} and so protects {transistor}."},
    ),
    "led": (
        "LED with its resistor",
        "{resistor} limits the current that flows through {light} from {source_words} to {sink_words}.",
        {
            "light": "{light} shows you what the circuit is doing.",
            "resistor": "{resistor} limits the current through {light}: without it the light would burn out.",
        },
    ),
    "led-shared": (
        "LEDs that share one resistor",
        "{resistor} limits the current of {light}; one resistor is enough, because one shines at a time.",
        {
            "light": Many(
                "{each} is one of the lights that {resistor} protects.",
                "{each} are among the lights that {resistor} protects.",
            ),
            "resistor": "{resistor} limits the current of whichever of {light} is lit.",
        },
    ),
    "led-bare": (
        "LED without a resistor",
        "Nothing but the source limits the current through {light}.",
        {"light": "{light} shows you what the circuit is doing."},
    ),
    "counter-chain": (
        "Timer that clocks a counter",
        "Each rising edge from {timer} moves {counter} on by one output, and the round starts again after "
        "{length} steps.",
        {
            "counter": "{counter} counts the pulses of {timer} and switches on one output after the other.",
            "timer": "{timer} gives the beat for {counter}.",
        },
    ),
    "counter": (
        "Counter",
        "Each rising edge at the clock input moves {counter} on by one output, and the round starts again "
        "after {length} steps.",
        {"counter": "{counter} counts pulses and switches on one output after the other."},
    ),
    "comparator": (
        "Comparator",
        "{comparator} compares two voltages and pulls its output down while its plus input is the lower one.",
        {"comparator": "{comparator} compares two voltages and switches."},
    ),
    "comparator-hysteresis": (
        "Comparator with hysteresis",
        "{comparator} compares two voltages; {feedback} moves the reference a little each time it "
        "switches, so that it does not flicker at the edge.",
        {
            "comparator": "{comparator} compares the measured voltage with the reference and switches.",
            "feedback": "{feedback} shifts the reference away whenever the output switches, so that the "
            "circuit makes up its mind and does not flicker.",
        },
    ),
    "divider": (
        "Voltage divider",
        "{upper} and {lower} share the supply voltage: the net between them has a part of it.",
        {
            "upper": "{upper} and {lower} together set the voltage between them.",
            "lower": "{lower} and {upper} together set the voltage between them.",
        },
    ),
    "light-divider": (
        "Voltage divider with a light sensor",
        "{upper} and {lower} share the supply voltage, and the share changes with the light on {sensor}.",
        {
            "sensor": "{sensor} measures the light: the darker it is, the larger its resistance.",
            "upper": "{upper} turns the changing resistance of {sensor} into a changing voltage.",
            "lower": "{lower} turns the changing resistance of {sensor} into a changing voltage.",
        },
    ),
    "rc": (
        "Capacitor that fills through a resistor",
        "{capacitor} fills through {resistor}: quickly at first, then ever more slowly.",
        {
            "resistor": "{resistor} sets how fast {capacitor} fills.",
            "capacitor": "{capacitor} takes time to fill, and that makes a delay.",
        },
    ),
    "pull-up": (
        "Button with a pull-up resistor",
        "{resistor} holds the net high until {button} takes it to 0 V.",
        {
            "resistor": "{resistor} keeps {input} high while {button} is not pressed.",
            "button": "{button} takes {input} to 0 V as long as you press it.",
            "capacitor": "{capacitor} smooths the bouncing of {button}.",
        },
    ),
    "pull-down": (
        "Button with a pull-down resistor",
        "{resistor} holds the net at 0 V until {button} takes it to the supply.",
        {
            "resistor": "{resistor} keeps {input} low while {button} is not pressed.",
            "button": "{button} takes {input} to the supply voltage as long as you press it.",
            "capacitor": "{capacitor} smooths the bouncing of {button}.",
        },
    ),
    "decoupling": (
        "Decoupling capacitor",
        "{capacitor} keeps a small store of charge across the supply.",
        {
            "capacitor": "{capacitor} steadies the supply: it delivers the short bursts of current that the "
            "chips draw when they switch."
        },
    ),
    "control-bypass": (
        "Capacitor at the control pin",
        "{capacitor} keeps the switching levels of {timer} steady.",
        {
            "capacitor": "{capacitor} keeps the control pin of {timer} quiet, so that disturbances do not "
            "shift its switching levels."
        },
    ),
    "resistors": (
        "Resistors across the supply",
        "{resistor} act together as one resistance across the supply.",
        {"resistor": "{resistor} draws its current straight from the supply."},
    ),
    "supply": (
        "Supply",
        "{supply} drives the whole circuit.",
        {"supply": "{supply} supplies the energy for everything else."},
    ),
    "power-switch": (
        "Power switch",
        "{switch} connects the circuit with its supply.",
        {"switch": "{switch} switches the whole circuit on and off."},
    ),
}
"""Kind -> title, one sentence of what the shape does, and why each role's part is there; with a form for
several where like parts of one role may stand in one step."""
