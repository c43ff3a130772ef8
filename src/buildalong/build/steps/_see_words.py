"""What must be seen at a test, and what is done for it."""

from __future__ import annotations

from buildalong.words import Many

__all__ = ["SEE", "SEE_AFTER", "SEE_CAUSE", "SEE_MANY"]

SEE_AFTER = "{cause}: {seen}."
SEE_MANY = "{first} to {last} (all {count})"
SEE: dict[str, dict[str, Many]] = {
    "led": {
        "on": Many("{who} must light", "{who} must light"),
        "off": Many("{who} must go out", "{who} must go out"),
        "stays-on": Many("{who} must light", "{who} must light"),
        "stays-off": Many("{who} must stay dark", "{who} must stay dark"),
        "is-on": Many("{who} must be lit", "{who} must be lit"),
        "is-off": Many("{who} must be dark", "{who} must be dark"),
        "either": Many(
            "{who} may light or stay dark (either is right)", "{who} may light or stay dark (either is right)"
        ),
        "flashes-many": Many(
            "{who} must flash, about {count} times a second", "{who} must flash, about {count} times a second"
        ),
        "flashes-once": Many(
            "{who} must flash, about once a second", "{who} must flash, about once a second"
        ),
        "flashes-slow": Many(
            "{who} must flash, about every {time}",
            "{who} must flash, about every {time}",
        ),
        "in-turn-many": Many(
            "{who} must flash in turn, about {count} times a second",
            "{who} must flash in turn, each about {count} times a second",
        ),
        "in-turn-once": Many(
            "{who} must flash in turn, about once a second",
            "{who} must flash in turn, each about once a second",
        ),
        "in-turn-slow": Many(
            "{who} must flash in turn, about every {time}",
            "{who} must flash in turn, each about every {time}",
        ),
        "late-on": Many("{who} must light after about {time}", "{who} must light after about {time}"),
        "late-off": Many("{who} must go out after about {time}", "{who} must go out after about {time}"),
        "pulse": Many(
            "{who} must light for about {time}, then go out", "{who} must light for about {time}, then go out"
        ),
        "follows": Many("{who} must light as long as you press", "{who} must light as long as you press"),
    },
    "buzzer": {
        "on": Many("{who} must sound", "{who} must sound"),
        "off": Many("{who} must fall silent", "{who} must fall silent"),
        "stays-on": Many("{who} must sound", "{who} must sound"),
        "stays-off": Many("{who} must stay silent", "{who} must stay silent"),
        "is-on": Many("{who} must be sounding", "{who} must be sounding"),
        "is-off": Many("{who} must be silent", "{who} must be silent"),
        "either": Many(
            "{who} may sound or stay silent (either is right)",
            "{who} may sound or stay silent (either is right)",
        ),
        "flashes-many": Many(
            "{who} must beep, about {count} times a second", "{who} must beep, about {count} times a second"
        ),
        "flashes-once": Many(
            "{who} must beep, about once a second",
            "{who} must beep, about once a second",
        ),
        "flashes-slow": Many("{who} must beep, about every {time}", "{who} must beep, about every {time}"),
        "late-on": Many("{who} must sound after about {time}", "{who} must sound after about {time}"),
        "late-off": Many(
            "{who} must fall silent after about {time}", "{who} must fall silent after about {time}"
        ),
        "pulse": Many(
            "{who} must sound for about {time}, then fall silent",
            "{who} must sound for about {time}, then fall silent",
        ),
        "follows": Many("{who} must sound as long as you press", "{who} must sound as long as you press"),
    },
    "motor": {
        "on": Many("{who} must turn", "{who} must turn"),
        "off": Many("{who} must stop", "{who} must stop"),
        "stays-on": Many("{who} must turn", "{who} must turn"),
        "stays-off": Many("{who} must stand still", "{who} must stand still"),
        "is-on": Many("{who} must be turning", "{who} must be turning"),
        "is-off": Many("{who} must be standing still", "{who} must be standing still"),
        "either": Many(
            "{who} may turn or stand still (either is right)",
            "{who} may turn or stand still (either is right)",
        ),
        "flashes-many": Many(
            "{who} must turn and stop, about {count} times a second",
            "{who} must turn and stop, about {count} times a second",
        ),
        "flashes-once": Many(
            "{who} must turn and stop, about once a second", "{who} must turn and stop, about once a second"
        ),
        "flashes-slow": Many(
            "{who} must turn and stop, about every {time}", "{who} must turn and stop, about every {time}"
        ),
        "late-on": Many("{who} must turn after about {time}", "{who} must turn after about {time}"),
        "late-off": Many("{who} must stop after about {time}", "{who} must stop after about {time}"),
        "pulse": Many(
            "{who} must turn for about {time}, then stop", "{who} must turn for about {time}, then stop"
        ),
        "follows": Many("{who} must turn as long as you press", "{who} must turn as long as you press"),
    },
}
"""What a light must do at a test, by family: said of one, said of several."""
SEE_CAUSE = {
    "pressed": "Press {part} for a moment",
    "held": "Hold {part} down for about {time}",
    "thrown": "Slide {part} to {end}",
    "light": "Let light fall on {part}",
    "dark": "Cover {part} with your hand",
    "position": "Turn the screw of {part} {place}",
}
