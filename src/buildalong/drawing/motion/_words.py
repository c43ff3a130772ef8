"""Words of the moving pictures; whole sentences, one place."""

WORK = "At work"
ALT = "Lights, switches and voltages at {time}, the beginning of what the animation plays. {rest}"
MOMENT = "Lights, switches and voltages at {time}. {rest}"
ON = {
    "led": "{part} is lit.",
    "buzzer": "{part} is heard.",
    "motor": "{part} is turning.",
    "button": "{part} is pressed.",
    "switch": "{part} is thrown.",
}
NOT_ON = {
    "led": "{part} is not lit.",
    "buzzer": "{part} is not heard.",
    "motor": "{part} is not turning.",
    "button": "{part} is not pressed.",
    "switch": "{part} is not thrown.",
}
SET = {"light": "The light on {part} is {value}.", "position": "{part} is turned to {value}."}
LEVEL = "{net} is at {level}."
SLOW = "Slow motion: {factor} times slower than real."
REAL = "Real time."
FAST = "Time lapse: {factor} times faster than real."
AXIS = "time in {unit}"
STEP = "Step {number}. {title}"
