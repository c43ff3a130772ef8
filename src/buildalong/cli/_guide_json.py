"""What the guide tells, as JSON: symptoms with causes, cautions, checks, and how bad the mistakes are."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from buildalong.cli._json import number

if TYPE_CHECKING:
    from collections.abc import Sequence

    from buildalong.build.steps import Step
    from buildalong.guide import Cause, Guide, Reading

__all__ = ["guide_object"]


def guide_object(guide: Guide, steps: Sequence[Step]) -> dict[str, Any]:
    """The keys that the guide adds to the document of mistakes."""
    return {
        "badness": {
            "total": number(guide.badness.total),
            "by_name": {name: number(points) for name, points in guide.badness.by_name.items()},
            "steps": [
                {"step": step.number, "points": number(points)}
                for step, points in guide.worst_steps(steps)
            ],
        },
        "cautions": [
            {"step": c.step, "danger": c.danger, "text": c.text, "mistakes": list(c.mistakes)}
            for c in guide.cautions
        ],
        "checks": [
            {
                "subject": c.subject, "step": c.step, "right": c.right, "why": c.why,
                "severity": c.severity, "points": number(c.points), "mistakes": list(c.mistakes),
            }
            for c in guide.checks
        ],
        "symptoms": [
            {
                "symptom": s.kind, "title": s.title, "first": s.first, "danger": s.danger,
                "weight": number(s.weight), "causes": [_cause(cause) for cause in s.causes],
            }
            for s in guide.symptoms
        ],
    }  # fmt: skip


def _cause(cause: Cause) -> dict[str, Any]:
    return {
        "what": cause.what, "mistakes": [way.mistake for way in cause.ways], "weight": number(cause.weight),
        "share": number(cause.share), "step": cause.step, "look": cause.look, "cure": cause.cure,
        "danger": cause.danger, "reading": _reading(cause.reading) if cause.reading else None,
    }  # fmt: skip


def _reading(reading: Reading) -> dict[str, Any]:
    """A meter reading; a range is null where the meter does not rest."""
    return {
        "red": reading.red, "black": reading.black, "when": reading.when,
        "right": [number(volts) for volts in reading.right] if reading.right else None,
        "wrong": [number(volts) for volts in reading.wrong] if reading.wrong else None,
    }  # fmt: skip
