"""Titles, sources, notes and causes of the formula sheet, as whole sentences with places for names."""

from __future__ import annotations

# sources
TI = "TI, NE555 data sheet SLFS022F (2006), page 10"
STEERED = "the charging law of the plain astable with each path on its own (common practice)"
BY_OUTPUT = "Tooley, Electronic Circuits, example 12.4, page 223 (as f = 0.72/(R·C))"
TRANSISTORS = "Salivahanan, Electronic Devices and Circuits, example 16.10, page 520"
COUNTER = "Nexperia, HEF4017B data sheet, rev. 9: one output for each clock pulse"
LED = "Malvino & Bates, Electronic Principles, example 5-12, page 168"
SWITCH = "Malvino & Bates, Electronic Principles, examples 7-1 to 7-7, pages 228 to 235"
DIVIDER = "Tooley, Electronic Circuits, example 3.4, page 52"
RESISTORS = "Tooley, Electronic Circuits, examples 2.12 and 2.13, pages 26 and 27"
CHARGING = "Schultz, Grob's Basic Electronics, examples 22-4 to 22-10, pages 676 to 682"
OHM = "Ohm's law (common practice)"
LIGHT_LAW = "power law of the light-dependent resistor, data sheet figures at 10 lx (common practice)"
HYSTERESIS = "divider rule with the feedback resistor at one rail or the other (common practice)"

# titles
HIGH, LOW = "How long {net} stays high", "How long {net} stays low"
LIT, DARK = "How long {light} stays lit", "How long {light} stays dark"
PERIOD, FREQUENCY = "How long one full cycle takes", "Cycles in each second"
DUTY = "Share of the cycle that is on (duty cycle)"
STEP, ROUND = "How long each light is lit, such as {light}", "How long {counter} needs for a full round"
CURRENT = "Current through {light} while it is lit"
BASE_CURRENT = "Current into the base of {transistor}"
COLLECTOR_CURRENT = "Current of the load when {transistor} is fully on"
TAP, DIVIDER_CURRENT = "Voltage at {net}", "Current through the divider"
TOTAL, TOTAL_CURRENT = "All resistors taken together", "Current from the supply"
TAU, HALF = "Time constant", "Time to charge half-way"
FILLED, FILLING = "Voltage on the capacitor after a time t", "Charging current after a time t"
PRESSED = "Current through {button} while it is pressed"
LEVEL_HIGH = "Level at {net} while the output is high"
LEVEL_LOW = "Level at {net} while the output is low"
SENSOR = {
    "high": "Resistance of {sensor} at which the output falls",
    "low": "Resistance of {sensor} at which the output rises again",
}
LIGHT = {
    "high": "Light on {sensor} at which the output falls",
    "low": "Light on {sensor} at which the output rises again",
}

# notes
LN2 = "ln 2 = 0.693147…, written 0.693 in most tables"
LN3 = "ln 3 = 1.098612…, rounded to 1.1 in most tables"
FREQUENCY_LN2 = "1/ln 2 = 1.442695…, rounded to 1.44 in most tables"
FREQUENCY_OUTPUT = "1/(2 · ln 2) = 0.721347…, rounded to 0.72 in most tables"
FREQUENCY_TRANSISTORS = "with equal halves f = 0.72/(R·C), because 1/(2 · ln 2) = 0.721347…"
REVERSED = (
    "; the base of {transistor} is pushed {pushed} below 0 V, more than the {most} that it bears, so it "
    "breaks down and the real time is shorter"
)
RATIO = "a plain number: 0.5 means half of the time"
STEP_NOTE = "one step of the counter for each full cycle of the clock"
FORWARD = "V_F is the forward voltage of {light} from its data sheet"
BASE_NOTE = "V_BE is taken as 0.7 V"
TAU_NOTE = "after one time constant a charging capacitor has come 63 % of the way"
AFTER = "here t is one time constant; any other time may be put in"
PARALLEL = "∥ means in parallel: R1 ∥ R2 = R1 · R2 / (R1 + R2)"
LIGHT_NOTE = (
    "R_10 is the resistance at 10 lx and γ the steepness from the data sheet; single sensors differ widely"
)
SHARE = "k is the level at {net} as a share of the supply; the supply itself cancels out"

# causes
DIODE = "{diode} keeps about {volts} for itself, so less voltage is left to move the capacitor"
DIODES = "{diodes} keep about {volts} each for themselves, so less voltage is left to move the capacitor"
LEAKAGE = "{capacitor} leaks like a resistor of about {ohms} across it, so it fills more slowly"
FORWARD_NOW = "at this current {light} needs only about {volts}"
OUTPUT_SINK = "the low output of {timer} stays about {volts} above 0 V, so emptying takes longer"
OUTPUT_SWING = "the high output of {timer} stays about {volts} below the supply, so filling takes longer"
OUTPUT_LOW = "the low output of {part} stays about {volts} above 0 V"
OUTPUT_HIGH = "at this current the high output of {part} stays about {volts} below the supply"
BIAS = {
    "fills": "the inputs of {timer} deliver about {current} too, which helps {capacitor} to fill",
    "empties": "the inputs of {timer} deliver about {current}, which hinders {capacitor} from emptying",
    "both": "the inputs of {timer} deliver about {current} into {capacitor} all the time",
}
SATURATED = "{part} keeps about {volts} between collector and emitter even when it is fully on"
BASE = "the base of {transistor} is at {on} when it is pushed down, and must come back up to about {start}"
BASES = "each base is at {on} when it is pushed down, and must come back up to about {start}"
SWINGS = "the dark light holds back its own voltage, so each collector swings by about {volts} only"
SWING = "the other collector swings by about {volts} only, less than the whole supply"
SWING_LIGHT = (
    "{light} holds back its own voltage while it is dark, so the other collector swings by about {volts} only"
)
GLOW = "{light} glows on for about {time} after its transistor switches off, while it charges {capacitor}"
MEAN = "{cause}, and that lowers the mean of its current"
DARK_LIGHT = "the output of {part} is pulled up through {light}, which holds back its own voltage"

# beside the simulation
AGREES = "The formula gives {ideal} and the simulation of real parts gives {real}: they agree."
DIFFERS = {
    True: "The formula gives {ideal}; the simulation of real parts gives {real}, {percent} more.",
    False: "The formula gives {ideal}; the simulation of real parts gives {real}, {percent} less.",
}
"""Whether the simulation gives more -> sentence."""
UNKNOWN = "The formula gives {ideal}; this run gives no figure to set beside it."
CAUSE = "{cause}: with that counted in, the formula gives {value}."
CAUSE_FURTHER = "{cause}: that makes it {value}."
SAME = "That explains the difference."
LEFT_OVER = {
    True: "Smaller effects make up the rest: the simulation is {percent} more than this corrected formula.",
    False: "Smaller effects make up the rest: the simulation is {percent} less than this corrected formula.",
}
SMALL_EFFECTS = "The formula leaves out the smaller effects of real parts."
UNEXPLAINED = "No single effect that this sheet knows explains {percent}: look at the waveforms."
PIECE = "{piece} is the part of {part} between its end {end} and the wiper"
