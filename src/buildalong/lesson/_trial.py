"""Trials: what a person and the surroundings do, written as short lines.

Lines (times count from switching on)::

    press   S1 at 2 s for 150 ms
    throw   S1 is A             S1 to B at 3 s
    turn    R1 is 20 %          R1 to 80 % from 1 s to 4 s
    light   R2 is 300 lx        R2 to 1 lx from 2 s to 10 s
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from buildalong.engine import Action
from buildalong.quantity import QuantityError, parse, parse_as

__all__ = ["KINDS", "MAX_LASTS", "ActionError", "Kind", "read_action", "read_time"]

MAX_LASTS = 3600.0
"""Longest trial, seconds."""

_PRESS = re.compile(r"(?P<part>\S+)\s+at\s+(?P<start>.+?)\s+for\s+(?P<length>.+)$")
_IS = re.compile(r"(?P<part>\S+)\s+is\s+(?P<value>.+)$")
_TO_AT = re.compile(r"(?P<part>\S+)\s+to\s+(?P<value>.+?)\s+at\s+(?P<start>.+)$")
_TO_RAMP = re.compile(r"(?P<part>\S+)\s+to\s+(?P<value>.+?)\s+from\s+(?P<start>.+?)\s+to\s+(?P<end>.+)$")


class ActionError(ValueError):
    """A line of a trial is not understood; ``code`` is the finding's code."""

    def __init__(self, message: str, code: str = "trial-line") -> None:
        self.code = code
        super().__init__(message)


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of line: its key in a trial, the setting it moves, the part families it works on."""

    key: str
    setting: str
    families: tuple[str, ...]
    verb: str
    unit: str
    example: str


KINDS = (
    Kind("press", "pressed", ("button",), "pressed", "", "S1 at 2 s for 150 ms"),
    Kind("throw", "thrown", ("switch",), "thrown", "", "S1 to B at 3 s"),
    Kind("turn", "position", ("potentiometer",), "turned", "", "R1 to 80 % from 1 s to 4 s"),
    Kind("light", "light", ("ldr",), "lit", "lx", "R2 to 1 lx from 2 s to 10 s"),
)


def read_time(text: str) -> float:
    """Read a time in seconds; a negative one is an ActionError with its own code."""
    try:
        quantity = parse(text.strip())
    except QuantityError as error:
        raise ActionError(str(error)) from None
    if quantity.unit != "s":
        raise ActionError(f"'{text.strip()}' is no time; write seconds or milliseconds, such as '2 s'")
    if quantity.value < 0:
        raise ActionError(f"the time '{text.strip()}' is negative; a trial starts at 0 s", "negative-time")
    return quantity.value


def _value(kind: Kind, text: str) -> float:
    if kind.key == "throw":
        ends = {"A": 0.0, "B": 1.0}
        if text.strip() not in ends:
            raise ActionError(f"a slide switch joins C to 'A' or to 'B', not to '{text.strip()}'")
        return ends[text.strip()]
    try:
        value = parse_as(text, kind.unit)
    except QuantityError as error:
        raise ActionError(str(error)) from None
    if kind.key == "turn" and not 0 <= value <= 1:
        raise ActionError(
            f"a position lies between 0 % and 100 %, not at '{text.strip()}'", "value-out-of-range"
        )
    if kind.key == "light" and not 0 < value <= 200_000:
        raise ActionError(
            f"light lies above 0 lx and below 200 klx (full sun is about 100 klx), not at '{text.strip()}'",
            "value-out-of-range",
        )
    return value


def read_action(kind: Kind, line: str) -> tuple[Action, ...]:
    """Read one line of a trial; raises ActionError."""
    if kind.key == "press":
        found = _PRESS.match(line.strip())
        if found is None:
            raise ActionError(f"'{line}' is not understood")
        start, length = read_time(found["start"]), read_time(found["length"])
        if length <= 0:
            raise ActionError(f"'{line}' presses for no time at all")
        part = found["part"]
        return Action(start, part, "pressed", 1.0), Action(start + length, part, "pressed", 0.0)
    found = _IS.match(line.strip())
    if found is not None:
        return (Action(0.0, found["part"], kind.setting, _value(kind, found["value"])),)
    found = _TO_RAMP.match(line.strip()) or _TO_AT.match(line.strip())
    if found is None:
        raise ActionError(f"'{line}' is not understood")
    start, ramp = read_time(found["start"]), 0.0
    if "end" in found.groupdict():
        ramp = read_time(found["end"]) - start
        if ramp <= 0:
            raise ActionError(f"'{line}' ends before it begins")
        if kind.key == "throw":
            raise ActionError(f"a switch is thrown at one moment: '{kind.example}'")
    return (Action(start, found["part"], kind.setting, _value(kind, found["value"]), ramp),)
