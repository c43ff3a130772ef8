"""What the guide tells, as plain data."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Cause", "Reading", "Symptom", "Way"]


@dataclass(frozen=True, slots=True)
class Way:
    """One slip that leads to a cause: the mistake's id, what it is, its weight, its step (0 for none)."""

    mistake: str
    kind: str
    what: str
    subjects: tuple[str, ...]
    weight: float
    step: int


@dataclass(frozen=True, slots=True)
class Reading:
    """A meter reading that proves a cause: red lead and black lead of the meter on these holes.

    ``right`` and ``wrong`` are the ranges [V] on the right board and with this cause, None where the meter
    does not rest; ``when`` says in which rest of the trial.
    """

    red: str
    black: str
    when: str
    right: tuple[float, float] | None
    wrong: tuple[float, float] | None


@dataclass(frozen=True, slots=True)
class Cause:
    """One circuit that slips make, with the check that proves it and its cure.

    ``ways``: the slips that make it, likeliest first; ``weight`` their sum, ``share`` of all causes of
    the symptom; ``step`` where the first of them happens (0 for none); ``danger`` a key of
    ``mistakes.DANGERS`` or "".
    """

    id: str
    what: str
    ways: tuple[Way, ...]
    weight: float
    share: float
    step: int
    look: str
    cure: str
    danger: str
    grade: str
    reading: Reading | None = None

    @property
    def subjects(self) -> tuple[str, ...]:
        """The parts and wires at which it is seen, likeliest first."""
        return tuple(dict.fromkeys(name for way in self.ways for name in way.subjects))


@dataclass(frozen=True, slots=True)
class Symptom:
    """What a learner sees, and the causes of it, likeliest first.

    ``kind`` is a class of ``mistakes.SYMPTOMS``; ``first`` says what to do first.
    """

    id: str
    kind: str
    title: str
    first: str
    danger: str
    causes: tuple[Cause, ...]

    @property
    def weight(self) -> float:
        """How likely it is, against the other symptoms."""
        return sum(cause.weight for cause in self.causes)
