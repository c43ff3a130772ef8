"""The promises of a lesson as targets, and targets as an author writes them on the command line."""

from __future__ import annotations

import re

from buildalong.finding import Finding, Severity, Unreadable
from buildalong.lesson._asked import asked_in
from buildalong.lesson._expression import Expression, ExpressionError, read_expression
from buildalong.lesson._figures import STATIC
from buildalong.lesson._lesson import Lesson, Promise
from buildalong.quantity import Quantity, QuantityError, parse, parse_as
from buildalong.spread import Target

__all__ = ["measured_promises", "read_target", "targets_of"]

_WISH = re.compile(r"(?P<that>.*\))\s+is\s+(?P<is>.+?)(?:\s+within\s+(?P<within>.+))?\s*", re.DOTALL)
_WITHIN = 0.05
_EXAMPLE = 'write it like "on_time(DS1) is 0.6 s within 10 %"'


def measured_promises(lesson: Lesson) -> tuple[Promise, ...]:
    """The lesson's promises that are measured in a run; facts and formulas need no measuring."""
    return tuple(p for p in lesson.promises if not p.that.ideal and p.that.name not in STATIC)


def targets_of(lesson: Lesson) -> tuple[Target, ...]:
    """The promises that are measured in a run as targets."""
    first = next((trial.name for trial in lesson.trials), "")
    return tuple(
        _target(p.that, p.trial or first, p.expected, (p.limits[1] - p.limits[0]) / 2)
        for p in measured_promises(lesson)
    )


def read_target(text: str, lesson: Lesson) -> Target:
    """Read ``on_time(DS1) is 0.6 s within 10 %``; without ``within`` it is 5 %.  Raises Unreadable."""
    found = _WISH.fullmatch(text.strip()[:300])
    if found is None:
        raise _refused(f"'{text[:60]}' is no target")
    first = next((trial.name for trial in lesson.trials), "")
    try:
        that = read_expression(found["that"])
        wanted = parse(found["is"])
        within = found["within"] or f"{_WITHIN:.0%}"
        allowed = parse(within)
        if allowed.unit == "":
            reach = abs(wanted.value) * parse_as(within, "")
        else:
            reach = parse_as(within, wanted.unit)
        target = _target(that, that.trial or first, wanted, reach)
    except (ExpressionError, QuantityError) as error:
        raise _refused(f"'{text[:60]}': {error}") from None
    names = [trial.name for trial in lesson.trials]
    if target.trial not in names:
        raise _refused(f"there is no trial '{target.trial}'; the trials are {', '.join(names) or 'none'}")
    if not reach > 0.0:
        raise _refused(f"'{text[:60]}' allows nothing: within must be above zero")
    return target


def _target(that: Expression, trial: str, wanted: Quantity, allowed: float) -> Target:
    asked = asked_in(that)
    return Target(asked.name, asked.of, trial, wanted, allowed, window=asked.window)


def _refused(message: str) -> Unreadable:
    return Unreadable(Finding(Severity.FATAL, "target-unreadable", message, _EXAMPLE))
