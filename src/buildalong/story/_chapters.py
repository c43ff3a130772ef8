"""The parts of the story with a chapter of their own: counters, comparators, two transistors."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from buildalong.engine import Event
from buildalong.story import _words as words
from buildalong.story._beats import INSTANT, Beat, wraps
from buildalong.story._scene import Scene, said_level, said_light, said_time
from buildalong.story._sentence import ShapeLike
from buildalong.story._settled import settled
from buildalong.words import say

if TYPE_CHECKING:
    from buildalong.story._telling import Teller

__all__ = ["compared", "comparing", "counted", "pair_of", "starting_pair", "state_of", "turn"]

SETTLED_TURN = 0.01
"""The base that was pushed down is read this share of its rest later, past the edge itself; our choice."""


def state_of(scene: Scene, events: list[Event], family: str) -> Event | None:
    """The first change of state of a part of this family, of the unit that its shape is about."""
    for event in events:
        if event.kind == "state" and scene.family(event.part) == family and _in_use(scene, event):
            return event
    return None


def _in_use(scene: Scene, event: Event) -> bool:
    """Whether a state belongs to the comparator that the shape describes, not to a spare one."""
    shape, part = scene.shape_of(event.part), scene.circuit.by_id[event.part]
    if shape is None or shape.kind not in ("comparator", "comparator-hysteresis"):
        return True
    outputs = {t.name: net for t, net in zip(part.type.terminals, part.nets, strict=True)}
    return outputs.get(f"OUT{event.what}") == shape.nets["output"]


# counters


def counted(teller: Teller, step: Event, beat: Beat, events: list[Event], *, brief: bool) -> str:
    """A counter moves on by one output, or back to the first."""
    scene = teller.scene
    shape = scene.shape_of(step.part)
    places = {
        "time": said_time(beat.time),
        "counter": step.part,
        "before": step.before,
        "after": step.after,
        "lights": teller.and_lights(events),
        "clock": "" if shape is None else shape.nets.get("clock", ""),
    }
    if wraps(step):
        return say(words.WRAP, **places)
    before = [e for e in events if e.part != step.part and e.kind != "light"]
    if brief or not any(e.kind == "state" for e in before):
        return say(words.STEP_ALONE, **places)
    opening = teller.plain(beat, before, brief=False)
    return f"{say(words.STEP, **places, opening=opening)} {say(words.STEP_NOTE, **places)}"


# comparators


def compared(teller: Teller, state: Event, beat: Beat, events: list[Event]) -> str:
    """A comparator switches because one input crossed the other."""
    shape = teller.scene.shape_of(state.part)
    out = [teller.opening(events[0])] if events[0].kind == "action" else []
    if shape is None or state.after not in words.ANSWERS:
        return teller.plain(beat, events, brief=False)
    signal, reference = _signal(teller.scene, shape)
    risen = (state.after == "pulling") == (signal == shape.nets["inverting"])
    places = {
        **teller.places(shape),
        "signal": signal,
        "reference": reference,
        "time": said_time(beat.time),
        "level": teller.level(reference, beat.time),
        "lights": teller.and_lights(events),
    }
    sensed = _sensed(teller.scene, shape, beat.time)
    if sensed is None:
        out.append(say(words.CROSSED[risen], **places))
    else:
        sensor, light, lighter = sensed
        out.append(say(words.CROSSED_SENSED[risen, lighter], **places, sensor=sensor, light=light))
    out.append(say(words.ANSWERS[state.after], **places))
    if shape.kind == "comparator-hysteresis":
        shifted = teller.level(reference, beat.time, after=True)
        out.append(say(words.SHIFT[state.after], **places, shifted=shifted))
    return " ".join(out)


def comparing(teller: Teller, shape: ShapeLike, state: Event, lights: str) -> str:
    """How a comparator begins; nothing for a spare one."""
    if not _in_use(teller.scene, state) or state.after not in words.ANSWERS:
        return ""
    signal, reference = _signal(teller.scene, shape)
    begun = settled(teller.scene.run, (signal, reference))
    above = (state.after == "pulling") == (signal == shape.nets["inverting"])
    places = {
        **teller.places(shape),
        "signal": signal,
        "reference": reference,
        "level": teller.level(reference, begun),
        "now": teller.level(signal, begun),
        "lights": lights,
    }
    return say(words.COMPARE_START[state.after, above], **places)


def _signal(scene: Scene, shape: ShapeLike) -> tuple[str, str]:
    """The input that moves, and the reference: the one that feedback shifts, else the steadier one."""
    inverting, straight = shape.nets["inverting"], shape.nets["straight"]
    if shape.kind != "comparator-hysteresis":
        moves = {net: float(np.ptp(scene.run.voltage(net))) for net in (inverting, straight)}
        if moves[straight] > moves[inverting]:
            return straight, inverting
    return inverting, straight


def _sensed(scene: Scene, shape: ShapeLike, time: float) -> tuple[str, str, bool] | None:
    """The sensor whose voltage is compared, its light, whether that has risen; where the trial moves it."""
    inputs = (shape.nets["inverting"], shape.nets["straight"])
    for other in scene.shapes:
        if other.kind == "light-divider" and other.nets["tap"] in inputs:
            sensor = other.roles["sensor"][0]
            now = scene.setting(sensor, "light", time)
            before = scene.setting(sensor, "light", max(time - 0.05, 0.0))
            if now is not None and before is not None:
                return sensor, said_light(now), now > before
    return None


# two transistors


def pair_of(scene: Scene, events: list[Event]) -> ShapeLike | None:
    """The two-transistor astable one of whose transistors begins or ends to conduct here."""
    for shape in scene.shapes:
        if shape.kind == "transistor-astable":
            both = (*shape.roles["first"], *shape.roles["second"])
            if any(e.kind == "watch" and e.part in both for e in events):
                return shape
    return None


def turn(teller: Teller, shape: ShapeLike, beat: Beat, events: list[Event], *, brief: bool) -> str:
    """One transistor switches on and pushes the other off."""
    scene, on = teller.scene, events[0].part
    index, side = ("2", "second") if on in shape.roles["first"] else ("1", "first")
    off, net = shape.roles[side][0], shape.nets[f"base{index}"]
    places = {
        "time": said_time(beat.time),
        "on": on,
        "off": off,
        "lights": teller.and_lights(events),
        "capacitor": scene.listed(shape.roles[f"capacitor{index}"]),
        "base": scene.listed(shape.roles[f"base{index}"]),
    }
    if brief:
        return say(words.PAIR_AGAIN, **places)
    pushed = scene.level(net, beat.time + SETTLED_TURN * (_next_turn(scene, shape, beat) - beat.time))
    teller.levels[net] = pushed
    places["pushed"] = said_level(pushed)
    template = words.PAIR_TIPS if _tips(scene, shape, beat) else words.PAIR
    return f"{say(template, **places)} {say(words.PAIR_NEXT, **places)}"


def _next_turn(scene: Scene, shape: ShapeLike, beat: Beat) -> float:
    """When the next transistor of the pair begins to conduct after a beat, or the end of the run [s]."""
    both = (*shape.roles["first"], *shape.roles["second"])
    later = (e.time for e in scene.events if e.kind == "watch" and e.rising and e.part in both)
    return next((time for time in later if time > beat.time + INSTANT), scene.ends)


def _tips(scene: Scene, shape: ShapeLike, beat: Beat) -> bool:
    """Whether both conducted from the start until now, so that this beat is the tipping of the balance."""
    both = (shape.roles["first"][0], shape.roles["second"][0])
    earlier = [e for e in scene.events[: beat.root] if e.kind == "watch" and e.part in both]
    holding = dict.fromkeys(both, False)
    for event in earlier:
        if event.time > INSTANT and event.rising:
            return False
        if event.time <= INSTANT:
            holding[event.part] = event.rising
    return all(holding.values())


def starting_pair(teller: Teller, shape: ShapeLike, events: list[Event], lights: str) -> str:
    """Which of the two transistors wins when the supply comes on, or that both begin together."""
    both = (shape.roles["first"][0], shape.roles["second"][0])
    begun = {e.part: e.rising for e in events if e.kind == "watch" and e.part in both and e.time == 0}
    winners = [part for part in both if begun.get(part)]
    if len(winners) == 2:
        return say(words.PAIR_BOTH, first=both[0], second=both[1], lights=lights)
    if len(winners) != 1:
        return ""
    off = both[1] if winners[0] == both[0] else both[0]
    return say(words.PAIR_START, on=winners[0], off=off, lights=lights)
