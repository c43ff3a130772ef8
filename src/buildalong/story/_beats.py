"""Beats: events that happen together, because one causes the other within an instant."""

from __future__ import annotations

from dataclasses import dataclass

from buildalong.engine import Event
from buildalong.story._scene import Scene

__all__ = ["INSTANT", "Beat", "beats", "token", "wraps"]

INSTANT = 20e-6
"""Effects within this time of their cause belong to the same beat [s]; our choice."""


@dataclass(frozen=True)
class Beat:
    """Events that belong together, in order of time; ``root`` is the one the rest follows from."""

    root: int
    events: tuple[int, ...]
    time: float


def beats(scene: Scene) -> list[Beat]:
    """Group the events of a run into beats; bounces of a button and idle watchers stay out."""
    groups: list[list[int]] = []
    home: dict[int, int] = {}
    pairs: dict[str, int] = {}
    for index, event in enumerate(scene.events):
        pair = _pair(scene, event)
        cause = event.because
        near = 0 <= cause < index and event.time - scene.events[cause].time <= INSTANT
        opens = event.kind == "watch" and event.rising and not _again(scene, groups, pairs.get(pair), event)
        if pair and not (opens and event.time > INSTANT) and (pair in pairs or event.time <= INSTANT):
            home[index] = pairs.setdefault(pair, 0) if groups else len(groups)
        elif near and cause in home and not pair:
            home[index] = home[cause]
        else:
            home[index] = len(groups)
        if pair and opens:
            pairs[pair] = home[index]
        while len(groups) <= home[index]:
            groups.append([])
        groups[home[index]].append(index)
    joined = _joined(scene, groups)
    out = [Beat(group[0], tuple(group), scene.events[group[0]].time) for group in joined]
    return [beat for beat in out if _worth(scene, beat)]


def _again(scene: Scene, groups: list[list[int]], at: int | None, event: Event) -> bool:
    """Whether a transistor only flickers within the instant in which it switches on."""
    if at is None:
        return False
    first = scene.events[groups[at][0]]
    return event.part == first.part and event.time - first.time <= INSTANT


def _pair(scene: Scene, event: Event) -> str:
    """The two-transistor astable that an event belongs to, by its first transistor; "" for none."""
    if event.kind not in ("watch", "light"):
        return ""
    for shape in scene.shapes:
        if shape.kind == "transistor-astable":
            roles = ("first", "second", "light1", "light2")
            if any(event.part in shape.roles.get(role, ()) for role in roles):
                return shape.roles["first"][0]
    return ""


def _joined(scene: Scene, groups: list[list[int]]) -> list[list[int]]:
    """Join a group of lights alone to the group just before it, and start-up to the supply."""
    out: list[list[int]] = []
    for group in groups:
        time = scene.events[group[0]].time
        only_lights = all(scene.events[i].kind == "light" for i in group)
        starting = bool(out) and scene.events[out[0][0]].kind == "supply" and time <= INSTANT
        if out and time - scene.events[out[-1][-1]].time <= INSTANT and (only_lights or starting):
            out[-1].extend(group)
        else:
            out.append(list(group))
    return out


def _worth(scene: Scene, beat: Beat) -> bool:
    kinds = {scene.events[i].kind for i in beat.events}
    if scene.events[beat.root].kind == "action":
        return _meant(scene, scene.events[beat.root]) or bool(kinds & {"state", "light"})
    if _pair(scene, scene.events[beat.root]):
        return True
    return bool(kinds & {"supply", "state", "light", "limit"})


def _meant(scene: Scene, event: Event) -> bool:
    """Whether an action is one of the trial's own, not a bounce of a contact."""
    return any(a.part == event.part and abs(a.time - event.time) < 1e-9 for a in scene.run.trial.actions)


def token(scene: Scene, beat: Beat) -> tuple[object, ...]:
    """What a beat has in common with others of its kind: names without times and counts."""
    out: list[object] = []
    root = scene.events[beat.root]
    if root.kind == "watch" and _pair(scene, root):
        lights = {(e.part, e.after) for i in beat.events if (e := scene.events[i]).kind == "light"}
        return ("turn", root.part, *sorted(lights))
    for index in beat.events:
        event = scene.events[index]
        if scene.family(event.part) == "counter" and event.kind == "state":
            out.append((event.part, "wrap" if wraps(event) else "step"))
        elif event.kind == "light":
            stepped = any(scene.family(scene.events[i].part) == "counter" for i in beat.events)
            out.append(("light",) if stepped else (event.part, event.after))
        elif event.kind == "action":
            unique = event.time if event.what not in ("pressed", "") else 0.0
            out.append(("action", event.part, event.what, event.rising, event.after, unique))
        elif event.kind == "watch":
            out.append((event.part, event.what, event.rising))
        else:
            out.append((event.kind, event.part, event.before, event.after))
    return tuple(sorted(set(out), key=repr))


def wraps(event: Event) -> bool:
    """Whether a counter's step leads back to its first output."""
    return event.after == "0" and event.before.isdigit() and event.before != "0"
