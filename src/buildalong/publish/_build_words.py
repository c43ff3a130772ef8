"""Words on the many builds of a lesson; whole sentences, one place."""

from __future__ import annotations

TITLE = "If many people build it"
ABOUT = (
    "No two parts are quite alike. In simulation the lesson was built {count} times, every part anywhere "
    "within its tolerance; {around}."
)
KEPT = "Kept in {kept} of {count} builds. {sentence}"
RANGE = "From the least to the most: {measure}"
BUILD = "Build {number} of {count}"
IS_KEPT = "kept"
IS_MISSED = "not kept"
NEVER = "never happens"
MORE = "{part} ({what}): {change} more"
LESS = "{part} ({what}): {change} less"
IN_PLACE = "{value} in place of {drawn}"
AS_DRAWN = "Nearly as drawn."
