"""Words of the pictures of an IC's inside; whole sentences, one place."""

TITLE = "Inside {part}"
FRAME = "Inside {part}, the {noun}, at {time}."
BLOCK = "{title}: {word}."
PINS = "Pins: {pins}."
PIN = "{name} {level}"
UNUSED = "unused"
OFF = "off"

STRIP = "{count} moments inside {part}, the {noun}."
LOOK = "{number}. {caption} {alt}"
QUIET = "From {start} to {end} nothing switches inside {part}."
MOVING = "From {start} to {end} nothing switches inside {part}; {net} goes from {low} to {high}."
KEY = (
    "Thick and red: high (1), closed or active. Thin: low (0), open or a steady voltage. "
    "1 and 0 stand in each block."
)
STATES = ("high", "low", "closed", "open", "active", "released", "+ is higher", "− is higher")
"""What stands as ``on`` and ``off`` in the plans."""
