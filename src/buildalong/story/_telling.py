"""Telling one beat: what set it off, what it does, and what begins next."""

from __future__ import annotations

from itertools import pairwise

from buildalong.engine import Event
from buildalong.story import _words as words
from buildalong.story._beats import Beat
from buildalong.story._chapters import compared, comparing, counted, pair_of, starting_pair, state_of, turn
from buildalong.story._scene import Scene, said_level, said_light, said_share, said_time
from buildalong.story._sentence import Sentence, ShapeLike
from buildalong.words import capital, listed, say, say_many

__all__ = ["Teller"]

ASTABLES = ("astable", "astable-steered", "astable-output")


class Teller:
    """Turns beats into sentences; keeps what has been said of levels, parts and nets."""

    def __init__(self, scene: Scene) -> None:
        self.scene = scene
        self.levels: dict[str, float] = {}

    def time(self, seconds: float) -> str:
        """A time for a sentence."""
        return said_time(seconds)

    def tell(self, beat: Beat, *, brief: bool) -> Sentence:
        """The sentence of a beat, in full or briefly."""
        self.levels = {}
        events = [self.scene.events[i] for i in beat.events]
        root = events[0]
        if root.kind == "supply":
            text = self._start(events)
        elif (shape := pair_of(self.scene, events)) is not None:
            text = turn(self, shape, beat, events, brief=brief)
        elif (step := state_of(self.scene, events, "counter")) is not None:
            text = counted(self, step, beat, events, brief=brief)
        elif (state := state_of(self.scene, events, "comparator")) is not None:
            text = compared(self, state, beat, events)
        else:
            text = self.plain(beat, events, brief=brief)
        parts = tuple(dict.fromkeys(e.part for e in events if e.part))
        return Sentence(beat.time, text, beat.events, parts, tuple(self.levels), dict(self.levels))

    # levels and lights

    def level(self, net: str, time: float, *, after: bool = False) -> str:
        """A level for a sentence; it is kept for the sentence's record."""
        value = self.scene.level(net, time, after=after)
        self.levels[net] = value
        return said_level(value)

    def lights(self, events: list[Event]) -> str:
        """What the lights do, as clauses joined to one."""
        last = {e.part: e.after for e in events if e.kind == "light"}
        doing: dict[tuple[str, str], list[str]] = {}
        for state in ("dark", "lit"):
            for part in (p for p, now in last.items() if now == state):
                family = self.scene.circuit.by_id[part].type.family
                doing.setdefault((family if (family, state) in words.SHOWS else "led", state), []).append(
                    part
                )
        return listed(
            [
                say_many(words.SHOWS[what], len(names), light=self.scene.listed(names))
                for what, names in doing.items()
            ]
        )

    def and_lights(self, events: list[Event]) -> str:
        said = self.lights(events)
        return say(words.LIGHTS_AND, lights=said) if said else ""

    def places(self, shape: ShapeLike | None) -> dict[str, str]:
        """The names of a shape's parts and nets for a sentence."""
        if shape is None:
            return {}
        out = dict(shape.nets)
        out.update({role: self.scene.listed(parts) for role, parts in shape.roles.items()})
        for path in ("charge", "discharge"):
            diodes = shape.roles.get(f"{path}_diode", ())
            if path in out and diodes:
                out[path] = self.scene.listed((*shape.roles[path], *diodes))
        if shape.kind == "astable":
            out["charge"] = self.scene.listed((*shape.roles["charge"], *shape.roles["discharge"]))
        return out

    # openings

    def opening(self, event: Event) -> str:
        """What a person or the surroundings do."""
        time = said_time(event.time)
        if event.what == "pressed":
            return say(words.PRESS if event.rising else words.RELEASE, time=time, part=event.part)
        if event.what == "thrown":
            return say(words.THROWN, time=time, part=event.part)
        if event.what == "light":
            return self._daylight(event)
        return self._turned(event)

    def _before(self, event: Event, setting: str) -> tuple[float | None, float]:
        """What a setting was just before an action changes it, and how long the change takes [s]."""
        actions = self.scene.run.trial.actions
        ramp = next((a.ramp for a in actions if (a.part, a.time) == (event.part, event.time)), 0.0)
        return self.scene.setting(event.part, setting, event.time - 1e-9), ramp

    def _turned(self, event: Event) -> str:
        """How a potentiometer begins to be turned."""
        before, ramp = self._before(event, "position")
        places = {"time": said_time(event.time), "part": event.part, "value": said_share(event.after)}
        if before is None or ramp <= 0:
            return say(words.TURN_STEP, **places)
        return say(words.TURN, **places, before=said_share(before), ramp=said_time(ramp))

    def _daylight(self, event: Event) -> str:
        """How the light on a sensor begins to change."""
        goal = float(event.after or "nan")
        before, ramp = self._before(event, "light")
        places = {"time": said_time(event.time), "part": event.part, "light": said_light(goal)}
        if event.time == 0:
            return say(words.LIGHT_NOW, **places)
        if before is None or ramp <= 0:
            return say(words.LIGHT_STEP, **places)
        template = words.DARKER if goal < before else words.BRIGHTER
        return say(template, **places, before=said_light(before), ramp=said_time(ramp))

    def _noticed(self, watch: Event, shape: ShapeLike | None, time: str) -> str:
        """What an IC notices, as a sentence; with the time where one is given."""
        kind = "" if shape is None else ("astable" if shape.kind in ASTABLES else shape.kind)
        sentences = words.NOTICED.get((kind, watch.what, watch.rising))
        if sentences is not None and shape is not None:
            net = shape.nets.get("capacitor", "")
            level = self.level(net, watch.time) if net and "{level}" in sentences[0] else ""
            return say(sentences[not time], **self.places(shape), level=level, time=time)
        title = self.scene.title(watch)
        if not title:
            return ""
        return say(words.AT_WATCHED if time else words.WATCHED, part=watch.part, title=title, time=time)

    # beats of timers, buttons and everything that has no chapter of its own

    def plain(self, beat: Beat, events: list[Event], *, brief: bool) -> str:
        root, time = events[0], said_time(beat.time)
        state = next((e for e in events if e.kind == "state"), None)
        out: list[str] = []
        if root.kind == "action":
            out.append(self.opening(root))
        if state is None:
            return " ".join([*out, *self._without_state(events, root)])
        shape = self.scene.shape_of(state.part)
        places = {**self.places(shape), "timer": state.part}
        kind = "" if shape is None else shape.kind
        general = "astable" if kind in ASTABLES else kind
        if brief and (template := words.AGAIN.get((general, state.after))):
            span = said_time(beat.time - self._since(state, beat))
            return say(template, **{**places, "time": time, "lights": self.and_lights(events), "span": span})
        watch = self._watch_of(state)
        if watch is not None:
            out.append(self._noticed(watch, shape, "" if root.kind == "action" else time))
        template = words.TIMER.get(state.after, "")
        out.append(say(template, timer=state.part, lights=self.and_lights(events)))
        if following := words.NEXT.get((kind, state.after)) or words.NEXT.get((general, state.after)):
            out.append(say(following, **places))
        out.extend(self._first(beat, state, shape))
        return " ".join(part for part in out if part)

    def _without_state(self, events: list[Event], root: Event) -> list[str]:
        said = self.lights(events)
        if said and root.kind == "action":
            return [f"{capital(said)}."]
        if said:
            return [say(words.LIGHT_ALONE, time=said_time(root.time), lights=said)]
        if root.kind != "action" or root.what != "pressed":
            return []
        for shape in self.scene.shapes:
            if shape.kind in ("pull-up", "pull-down") and root.part in shape.roles.get("button", ()):
                main = self.scene.shape_of(next(iter(shape.roles.get("listener", ())), ""))
                if main is not None:
                    table = words.STILL if root.rising else words.UNCHANGED
                    return [say(table.get(main.kind, words.UNCHANGED[""]), **self.places(main))]
        return [say(words.UNCHANGED[""])]

    def _watch_of(self, state: Event) -> Event | None:
        cause = self.scene.events[state.because] if state.because >= 0 else None
        return cause if cause is not None and cause.kind == "watch" else None

    def _since(self, state: Event, beat: Beat) -> float:
        """When the part entered the state that it leaves now [s]."""
        earlier = [
            e.time
            for e in self.scene.events[: beat.events[0]]
            if e.kind == "state" and e.part == state.part and e.after == state.before
        ]
        return earlier[-1] if earlier else 0.0

    def _first(self, beat: Beat, state: Event, shape: ShapeLike | None) -> list[str]:
        """Why the first stay was longer, where it was and there is a later one to compare."""
        if shape is None or shape.kind not in ASTABLES or state.before != "high":
            return []
        turns = [e for e in self.scene.events if e.kind == "state" and e.part == state.part]
        stays = [b.time - a.time for a, b in pairwise(turns) if a.after == b.before == "high"]
        if len(stays) < 2 or turns[[t.time for t in turns].index(state.time) - 1].time > 0.01 * stays[0]:
            return []
        if stays[0] < 1.1 * stays[1]:
            return []
        return [
            say(
                words.FIRST_LONGER, first=said_time(stays[0]), later=said_time(stays[1]), **self.places(shape)
            )
        ]

    # the moment the supply comes on

    def _start(self, events: list[Event]) -> str:
        out = [say(words.SUPPLY, time=said_time(0.0))]
        out += [self._daylight(e) for e in events if e.kind == "action" and e.what == "light"]
        final = {e.part: e for e in events if e.kind == "light"}
        shown = [e for e in final.values() if e.after == "lit"]
        last = {(e.part, e.what): e for e in events if e.kind == "state"}
        counting = state_of(self.scene, events, "counter") is not None
        for (part, _), state in last.items():
            lights = "" if counting and self.scene.family(part) != "counter" else self.and_lights(shown)
            out.append(self._waking(part, state, lights, events))
            if part in self.scene.run.undetermined:
                counter = self.scene.family(part) == "counter"
                template = words.UNPROMISED_COUNTER if counter else words.UNPROMISED
                out.append(say(template, part=part))
        pair = pair_of(self.scene, events)
        if pair is not None:
            out.append(starting_pair(self, pair, events, self.and_lights(shown)))
        elif not last and (said := self.lights(shown)):
            out.append(f"{capital(said)}.")
        return " ".join(part for part in out if part)

    def _waking(self, part: str, state: Event, lights: str, events: list[Event]) -> str:
        """How one IC begins."""
        shape = self.scene.shape_of(part)
        kind = "" if shape is None else shape.kind
        places = {**self.places(shape), "timer": part, "lights": lights}
        family = self.scene.family(part)
        if kind in ASTABLES and state.after == "high":
            following = words.NEXT.get((kind, "high")) or words.NEXT["astable", "high"]
            return " ".join(
                say(template, **places) for template in (words.EMPTY_AT_START, words.START_HIGH, following)
            )
        if (template := words.WAITS.get((kind, state.after))) is not None:
            return say(template, **places)
        if family == "counter":
            return say(words.COUNTER_START, counter=part, state=state.after, lights=lights)
        if family == "comparator" and shape is not None:
            return comparing(self, shape, state, lights)
        return ""
