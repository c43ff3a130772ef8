"""The promises of a lesson: what is measured, what it must be, and how far it may be off."""

from __future__ import annotations

from dataclasses import replace

from buildalong.engine import Trial
from buildalong.finding import Place
from buildalong.lesson._expression import Expression, ExpressionError, read_expression
from buildalong.lesson._lesson import Promise
from buildalong.lesson._reading import Reading
from buildalong.lesson._schema import LessonTable, PromiseTable
from buildalong.lesson._validate import nearest
from buildalong.quantity import Quantity, QuantityError, parse

__all__ = ["read_promises"]


def read_promises(reading: Reading, table: LessonTable, trials: tuple[Trial, ...]) -> tuple[Promise, ...]:
    """The promises that can be read; each other one is a finding."""
    names = [trial.name for trial in trials]
    out: list[Promise] = []
    for number, entry in enumerate(table.promise):
        at = ("promise", number)
        promise = _promise(reading, entry, at)
        if promise is None:
            continue
        wanted = entry.trial or promise.that.trial
        if wanted and wanted not in names and len(trials) == len(table.trial):
            near = nearest(wanted, names)
            reading.error(
                "unknown-trial",
                f"there is no trial '{wanted}'",
                f"did you mean '{near}'?" if near else f"the trials are {', '.join(names) or 'none'}",
                reading.places.value(*at, "trial" if entry.trial else "that"),
            )
            continue
        out.append(promise)
    return tuple(out)


def _promise(reading: Reading, entry: PromiseTable, at: tuple[str | int, ...]) -> Promise | None:
    place = reading.places.value(*at, "that")
    that: Expression | None = None
    expected: Quantity | None = None
    tolerance: tuple[float, bool] | None = None
    try:
        that = read_expression(entry.that)
        that = replace(that, trial=reading.trial_names.get(that.trial, that.trial))
    except ExpressionError as error:
        reading.error("promise-unreadable", str(error), "", _beside(place, error.offset + 1))
    try:
        expected = parse(entry.is_)
    except QuantityError as error:
        reading.error("value-unreadable", f"is: {error}", "", reading.places.value(*at, "is"))
    try:
        tolerance = _within(entry.within, expected)
    except QuantityError as error:
        reading.error(
            "value-unreadable",
            f"within: {error}",
            'write it like "20 %"',
            reading.places.value(*at, "within"),
        )
    if that is None or expected is None or tolerance is None:
        return None
    return Promise(that, expected, tolerance[0], tolerance[1], entry.trial or that.trial, entry.says, place)


def _within(text: str, expected: Quantity | None) -> tuple[float, bool]:
    """The tolerance of a promise: (ratio, False), or (amount, True) where it is written in the unit."""
    reach = parse(text)
    if reach.value < 0:
        raise QuantityError(f"'{text}' is negative")
    if "%" in text or expected is None:
        if reach.value > 1:
            raise QuantityError(f"'{text}' would allow anything")
        return reach.value, False
    if reach.unit != expected.unit:
        raise QuantityError(f"'{text}' is neither a percentage nor in {expected.unit or 'the same kind'}")
    return reach.value, True


def _beside(place: Place, columns: int) -> Place:
    return Place(place.file, place.line, place.column + columns)
