"""Summing up what repeats."""

from __future__ import annotations

from itertools import pairwise

from buildalong.story import _words as words
from buildalong.story._beats import Beat, wraps
from buildalong.story._scene import Scene, said_time
from buildalong.story._sentence import Sentence
from buildalong.words import say, say_many

__all__ = ["going_on"]


def going_on(scene: Scene, skipped: list[Beat], end: float) -> Sentence:
    """One sentence for beats that repeat what was told; its times are their means in the run."""
    indices = tuple(i for beat in skipped for i in beat.events)
    until = said_time(end)
    parts: tuple[str, ...] = ()
    text = _steps(scene, skipped, until)
    if not text:
        text, parts = _lights(scene, skipped, until)
    if not text:
        text, parts = _states(scene, skipped, until)
    return Sentence(skipped[0].time, text or say(words.GOES_ON, end=until), indices, parts)


def _steps(scene: Scene, skipped: list[Beat], until: str) -> str:
    """A counter's beat: how often it moves on."""
    times: dict[str, list[float]] = {}
    for beat in skipped:
        for index in beat.events:
            event = scene.events[index]
            if event.kind == "state" and scene.family(event.part) == "counter":
                times.setdefault(event.part, []).append(event.time)
    for part, at in times.items():
        if len(at) > 1:
            said = {"end": until, "counter": part, "span": said_time((at[-1] - at[0]) / (len(at) - 1))}
            round_ = _round(scene, part)
            if round_ is not None and any(wraps(scene.events[i]) for b in skipped for i in b.events):
                return say(words.GOES_ON_ROUND, **said, round=said_time(round_))
            return say(words.GOES_ON_STEPS, **said)
    return ""


def _round(scene: Scene, part: str) -> float | None:
    """The mean time from one return to the first output to the next."""
    at = [e.time for e in scene.events if e.part == part and e.kind == "state" and wraps(e)]
    return (at[-1] - at[0]) / (len(at) - 1) if len(at) > 1 else None


def _lights(scene: Scene, skipped: list[Beat], until: str) -> tuple[str, tuple[str, ...]]:
    """How long the first light is lit and dark, and how often it lights up."""
    names = [scene.events[i].part for beat in skipped for i in beat.events if scene.events[i].kind == "light"]
    if not names:
        return "", ()
    light = next(part.id for part in scene.circuit.parts if part.id in names)
    start, end = skipped[0].time, skipped[-1].time
    turns = [e for e in scene.events if e.kind == "light" and e.part == light and start <= e.time <= end]
    on = _spans([(e.time, e.after) for e in turns], "lit")
    off = _spans([(e.time, e.after) for e in turns], "dark")
    times = sum(e.after == "lit" for e in turns)
    said = {"end": until, "light": light, "times": times}
    if on is None or off is None:
        return say_many(words.GOES_ON_LIT, times, **said) if times else "", (light,)
    family = scene.circuit.by_id[light].type.family
    sentence = words.GOES_ON_LIGHT.get(family, words.GOES_ON_LIGHT["led"])
    return say_many(sentence, times, **said, on=said_time(on), off=said_time(off)), (light,)


def _states(scene: Scene, skipped: list[Beat], until: str) -> tuple[str, tuple[str, ...]]:
    """How long the first timer keeps its output on and off."""
    turns = [scene.events[i] for beat in skipped for i in beat.events if scene.events[i].kind == "state"]
    turns = [e for e in turns if scene.family(e.part) == "timer"]
    if not turns:
        return "", ()
    mine = [(e.time, e.after) for e in turns if e.part == turns[0].part]
    on, off = _spans(mine, "high"), _spans(mine, "low")
    if on is None or off is None:
        return "", (turns[0].part,)
    said = {"end": until, "part": turns[0].part, "on": said_time(on), "off": said_time(off)}
    return say(words.GOES_ON_STATE, **said), (turns[0].part,)


def _spans(turns: list[tuple[float, str]], state: str) -> float | None:
    """The mean length of the stays in a state that lie wholly inside."""
    spans = [b[0] - a[0] for a, b in pairwise(turns) if a[1] == state != b[1]]
    return sum(spans) / len(spans) if spans else None
