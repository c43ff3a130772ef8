"""A reading, and an answer to it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

__all__ = ["UNKNOWN", "WRONG", "Answer", "Kind", "Reading"]

UNKNOWN, WRONG = "unknown", "wrong"
"""Keys that only a person gives: a reading that could not be taken; a look that finds anything amiss."""

Kind = Literal["look", "press", "feel", "volts", "continuity"]


@dataclass(frozen=True, slots=True)
class Reading:
    """One thing to look at, press, feel or measure.

    ``subject`` is the part or wire of a look, a press or a feel; ``holes`` are those of the red and the black
    probe, ``strips`` their strips; ``window`` tells when volts are read (an index into ``Lab.windows``, else
    -1); ``expected`` says what a right build shows.
    """

    id: str
    kind: Kind
    text: str
    expected: str
    effort: float
    subject: str = ""
    holes: tuple[str, ...] = ()
    strips: tuple[str, ...] = ()
    window: int = -1

    @property
    def under_power(self) -> bool:
        """Whether the supply is on meanwhile."""
        return self.kind in ("press", "feel", "volts")


@dataclass(frozen=True, slots=True)
class Answer:
    """What a reading shows.

    ``key``: UNKNOWN; "right", WRONG or the id of a mistake for a look; "yes" or "no" for a press, a feel
    and continuity; "steady" (from ``low`` to ``high`` [V]) or "swings" for volts.
    """

    key: str
    words: str
    low: float = -math.inf
    high: float = math.inf
