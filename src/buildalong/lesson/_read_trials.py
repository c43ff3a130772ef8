"""The trials of a lesson: how long each lasts, and what is done in it when."""

from __future__ import annotations

from buildalong.circuit import Circuit
from buildalong.engine import Action, Trial
from buildalong.finding import Finding, Place, Severity
from buildalong.lesson._reading import Reading
from buildalong.lesson._schema import LessonTable, TrialTable
from buildalong.lesson._trial import KINDS, MAX_LASTS, ActionError, read_action, read_time

__all__ = ["read_trials"]


def read_trials(
    reading: Reading, table: LessonTable, circuit: Circuit
) -> tuple[tuple[Trial, ...], dict[str, float]]:
    """The trials, and how long the contacts bounce in each that says so [s]."""
    out: list[Trial] = []
    bounces: dict[str, float] = {}
    if not table.trial:
        reading.findings.append(
            Finding(
                Severity.WARNING,
                "no-trial",
                "the lesson has no trial, so nothing is simulated",
                'add one: [[trial]] name = "first minute", lasts = "30 s"',
                Place(reading.places.file, 1, 1),
            )
        )
    for number, entry in enumerate(table.trial):
        at = ("trial", number)
        lasts = _lasts(reading, entry, at)
        bounce = _bounce(reading, entry, at)
        if bounce:
            bounces[entry.name] = bounce
        if any(entry.name == other.name for other in out):
            reading.error(
                "name-taken",
                f"two trials are named '{entry.name}'",
                "give each its own name",
                reading.places.value(*at, "name"),
            )
        actions = _actions(reading, entry, circuit, lasts, at)
        if lasts is not None:
            out.append(Trial(entry.name, lasts, actions))
    return tuple(out), bounces


def _lasts(reading: Reading, entry: TrialTable, at: tuple[str | int, ...]) -> float | None:
    place = reading.places.value(*at, "lasts")
    try:
        lasts = read_time(entry.lasts)
    except ActionError as error:
        reading.error(error.code, f"lasts: {error}", 'write a time, such as "30 s"', place)
        return None
    if lasts > MAX_LASTS:
        reading.error(
            "trial-too-long",
            f"the trial lasts {entry.lasts}; at most one hour is simulated",
            "shorten the trial, or make the circuit faster for the lesson",
            place,
        )
        return None
    if lasts <= 0:
        reading.error(
            "negative-time", "the trial lasts no time at all", 'write a time, such as "30 s"', place
        )
        return None
    return lasts


def _bounce(reading: Reading, entry: TrialTable, at: tuple[str | int, ...]) -> float:
    if entry.bounce is None:
        return 0.0
    place = reading.places.value(*at, "bounce")
    try:
        bounce = read_time(entry.bounce)
    except ActionError as error:
        reading.error(error.code, f"bounce: {error}", 'write a time, such as "3 ms"', place)
        return 0.0
    if bounce > 0.2:
        reading.error(
            "value-out-of-range",
            f"a contact does not bounce for {entry.bounce}",
            "common buttons bounce for 1 to 10 ms",
            place,
        )
        return 0.0
    return bounce


def _actions(
    reading: Reading,
    entry: TrialTable,
    circuit: Circuit,
    lasts: float | None,
    at: tuple[str | int, ...],
) -> tuple[Action, ...]:
    out: list[Action] = []
    for kind in KINDS:
        for number, line in enumerate(getattr(entry, kind.key)):
            place = reading.places.value(*at, kind.key, number)
            try:
                actions = read_action(kind, line)
            except ActionError as error:
                reading.error(error.code, str(error), f"write it like '{kind.example}'", place)
                continue
            name = actions[0].part
            part = circuit.by_id.get(name)
            fitting = [p.id for p in circuit.parts if p.type.family in kind.families]
            if part is None or part.type.family not in kind.families:
                why = (
                    f"there is no part {name}" if part is None else f"{name} is a {part.type.noun}"
                ) + f"; it cannot be {kind.verb}"
                hint = (
                    f"that works on {', '.join(fitting)}"
                    if fitting
                    else "the circuit has nothing of the kind"
                )
                code = "unknown-part-in-trial" if part is None else "wrong-part-in-trial"
                if part is not None or reading.sound or fitting:
                    reading.error(code, why, hint, place, name)
                continue
            if lasts is not None and any(a.time > lasts for a in actions[:1]):
                reading.error(
                    "after-the-end",
                    f"'{line}' happens after the trial has ended ({entry.lasts})",
                    "let the trial last longer",
                    place,
                    name,
                )
                continue
            out.extend(actions)
    return tuple(sorted(out, key=lambda a: a.time))
