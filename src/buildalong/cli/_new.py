"""The lesson that ``buildalong new`` writes: small, complete, and free of errors."""

from __future__ import annotations

from pathlib import Path

from buildalong.finding import Finding, Place, Severity, Unreadable

__all__ = ["FACTS", "PROSE", "write_lesson"]

FACTS = """\
title   = "A reading lamp for the doll's house"
summary = "Hold the button and the lamp shines: the smallest circuit that does something."
board   = "170"
supply  = "3 x AA"
author  = ""
ages    = "10 to 14"
time    = "15 min"

# Each part: which one it is, its value, and the net at each of its terminals.
# A net is a name for everything that is joined; the supply is on the nets PLUS and 0V.
[parts]
S1  = { part = "push-button", pins = ["PLUS", "HELD"], does = "Closes the circuit while it is held." }
R1  = { part = "resistor", value = "150", pins = ["HELD", "LAMP"], does = "Limits the current of the lamp." }
DS1 = { part = "led-yellow", pins = ["LAMP", "0V"], does = "Is the lamp." }

# What is tried: the supply is switched on at 0 s, then this happens.
[[trial]]
name  = "an evening"
lasts = "6 s"
press = ["S1 at 1 s for 3 s"]

# What the learner may rely on: it is measured in the trial.
[[promise]]
that   = "on_time(DS1)"
is     = "3 s"
within = "2 %"
says   = "the lamp shines as long as the button is held"
"""

PROSE = """\
You build a lamp for a doll's house. It shines while you hold its button.

## What happens {#how-it-works}

The three cells give {{ supply() }}. While S1 is held, a current flows from plus through the button,
through R1 ({{ value(R1) }}) and through the lamp DS1, and back to minus. Without the resistor far too
much would flow; with it, the lamp gets {{ max(current(DS1)) to 2 figures }}.

## What you should see {#what-you-should-see}

Hold the button for about 3 s: the lamp shines for {{ on_time(DS1) to 2 figures }}.

## Try next {#try-next}

- Put in a resistor of twice the value. How much darker does the lamp look?
- Turn the lamp round. Why does it stay dark?
"""


def write_lesson(folder: Path) -> list[str]:
    """Write the starting lesson into a folder that is new or empty; raises Unreadable."""

    def refuse(code: str, message: str, hint: str) -> Unreadable:
        return Unreadable(Finding(Severity.FATAL, code, message, hint, Place(folder.as_posix())))

    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise refuse("folder-in-use", f"'{folder}' holds something already", "choose another name")
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, text in (("lesson.toml", FACTS), ("lesson.md", PROSE)):
            with open(folder / name, "x", encoding="utf-8", newline="\n") as stream:
                stream.write(text)
    except OSError as error:
        message = f"'{folder}' cannot be written: {error.strerror}"
        raise refuse("folder-unwritable", message, "choose another place") from None
    return ["lesson.toml", "lesson.md"]
