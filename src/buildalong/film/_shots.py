"""The shot list: for a teacher who films the build, what to show, from where, and for how long."""

from __future__ import annotations

from dataclasses import dataclass

from buildalong.build.steps import Step
from buildalong.circuit import Circuit
from buildalong.film import _shot_words as words
from buildalong.film._timing import Timed, Timeline
from buildalong.words import say

__all__ = ["Shot", "shots"]

HANDLES = 2.0
"""Seconds of stillness to film before and after each shot, so that it can be cut (common practice)."""


@dataclass(frozen=True, slots=True)
class Shot:
    """One shot: the scene it is for, when that begins [ms], what is seen, the camera's place, a tip.

    ``seconds`` is the length that the film needs of it; film ``HANDLES`` more on both sides.
    ``overlays`` are the pictures made to be laid over it.
    """

    number: int
    scene: str
    title: str
    start: int
    seconds: float
    shows: str
    camera: str
    tip: str
    overlays: tuple[str, ...] = ()


def shots(
    circuit: Circuit, steps: tuple[Step, ...], times: Timeline, overlays: dict[str, list[str]]
) -> list[Shot]:
    """One shot for each scene; ``overlays`` names the pictures that go with a scene, by its id."""
    by_number = {step.number: step for step in steps}
    out = []
    for number, timed in enumerate(times.scenes, start=1):
        step = by_number.get(timed.scene.step)
        key = _key(circuit, timed, step)
        shows = say(words.SHOWS[key], parts=", ".join(step.parts) if step else "", lights=_lights(circuit))
        out.append(
            Shot(
                number, timed.scene.id, timed.scene.title, timed.start, timed.seconds, shows,
                say(words.CAMERA[key]), say(words.TIPS.get(key, "")), tuple(overlays.get(timed.scene.id, ())),
            )
        )  # fmt: skip
    return out


def _key(circuit: Circuit, timed: Timed, step: Step | None) -> str:
    """Which words are for a scene: those of the step's kind, or of the scene's."""
    if step is None:
        return timed.scene.kind
    tall = any(circuit.by_id[part].type.body.height > TALL for part in step.parts)
    return "tall" if step.kind == "standing" and tall else step.kind


TALL = 8.0
"""A body higher than this [mm] hides its holes from above."""


def _lights(circuit: Circuit) -> str:
    lights = [part.id for part in circuit.parts if part.type.family == "led"]
    return ", ".join(lights) or say(words.NO_LIGHT)
