"""Telling one beat: what set it off, what it does, and what begins next."""

from __future__ import annotations

from itertools import pairwise

from buildalong.engine import Event
from buildalong.story import _words as words
from buildalong.story._beats import Beat, wraps
from buildalong.story._scene import Scene, said_level, said_light, said_time
from buildalong.story._sentence import Sentence, ShapeLike

__all__ = ["Teller"]

ASTABLES = ("astable", "astable-steered", "astable-output")


class Teller:
    """Turns beats into sentences; keeps what has been said of levels, parts and nets."""

    def __init__(self, scene: Scene) -> None:
        self.scene = scene
        self._levels: dict[str, float] = {}
        self._named: list[str] = []

    def time(self, seconds: float) -> str:
        """A time for a sentence."""
        return said_time(seconds)

    def tell(self, beat: Beat, *, brief: bool) -> Sentence:
        """The sentence of a beat, in full or briefly."""
        self._levels = {}
        events = [self.scene.events[i] for i in beat.events]
        root = events[0]
        if root.kind == "supply":
            text = self._start(events)
        elif (pair := self._pair(events)) is not None:
            text = self._transistors(pair, beat, events, brief=brief)
        elif any(e.kind == "state" and self.scene.family(e.part) == "counter" for e in events):
            text = self._counter(beat, events, brief=brief)
        elif any(e.kind == "state" and self.scene.family(e.part) == "comparator" for e in events):
            text = self._comparator(beat, events)
        else:
            text = self._plain(beat, events, brief=brief)
        parts = tuple(dict.fromkeys(e.part for e in events if e.part))
        return Sentence(beat.time, text, beat.events, parts, tuple(self._levels), dict(self._levels))

    # levels and lights

    def level(self, net: str, time: float, *, after: bool = False) -> str:
        """A level for a sentence; it is kept for the sentence's record."""
        value = self.scene.level(net, time, after=after)
        self._levels[net] = value
        return said_level(value)

    def lights(self, events: list[Event]) -> str:
        """What the lights do, as clauses joined by "and"."""
        last = {e.part: e.after for e in events if e.kind == "light"}
        dark = [p for p, state in last.items() if state == "dark"]
        lit = [p for p, state in last.items() if state == "lit"]
        clauses = [
            words.AND_LIGHT[state].format(light=self.scene.listed(names))
            for state, names in (("dark", dark), ("lit", lit))
            if names
        ]
        return " and ".join(clauses)

    def _and_lights(self, events: list[Event]) -> str:
        said = self.lights(events)
        return words.LIGHTS_AND.format(lights=said) if said else ""

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

    def _opening(self, event: Event) -> str:
        """What a person or the surroundings do."""
        time = said_time(event.time)
        if event.what == "pressed":
            return (words.PRESS if event.rising else words.RELEASE).format(time=time, part=event.part)
        if event.what == "thrown":
            return words.THROWN.format(time=time, part=event.part)
        if event.what == "light":
            light = said_light(float(event.after or "nan"))
            ramp = next(
                (
                    a.ramp
                    for a in self.scene.run.trial.actions
                    if a.part == event.part and a.time == event.time
                ),
                0.0,
            )
            if ramp > 0:
                return words.LIGHT_RAMP.format(time=time, part=event.part, light=light, ramp=said_time(ramp))
            return words.LIGHT_STEP.format(time=time, part=event.part, light=light)
        return words.SETTING.format(time=time, part=event.part, value=event.after)

    def _clause(self, watch: Event, shape: ShapeLike | None) -> str:
        """What an IC notices, as a clause."""
        kind = "" if shape is None else ("astable" if shape.kind in ASTABLES else shape.kind)
        template = words.CLAUSES.get((kind, watch.what, watch.rising))
        if template is not None and shape is not None:
            net = shape.nets.get("capacitor", "")
            level = self.level(net, watch.time) if net and "{level}" in template else ""
            return template.format(**self.places(shape), level=level)
        title = self.scene.title(watch)
        return words.WATCHED.format(part=watch.part, title=title) if title else ""

    # beats of timers, buttons and everything that has no chapter of its own

    def _plain(self, beat: Beat, events: list[Event], *, brief: bool) -> str:
        root, time = events[0], said_time(beat.time)
        state = next((e for e in events if e.kind == "state"), None)
        out: list[str] = []
        if root.kind == "action":
            out.append(self._opening(root))
        if state is None:
            return " ".join([*out, *self._without_state(events, root)])
        shape = self.scene.shape_of(state.part)
        places = {**self.places(shape), "timer": state.part}
        kind = "" if shape is None else shape.kind
        general = "astable" if kind in ASTABLES else kind
        if brief and (template := words.AGAIN.get((general, state.after))):
            span = said_time(beat.time - self._since(state, beat))
            return template.format(
                **{**places, "time": time, "lights": self._and_lights(events), "span": span}
            )
        watch = self._watch_of(state)
        clause = self._clause(watch, shape) if watch is not None else ""
        if root.kind == "action":
            if clause:
                out.append(f"{clause[0].upper()}{clause[1:]}.")
        elif clause:
            out.append(words.HAPPENS.format(time=time, clause=clause))
        template = words.TIMER.get(state.after, "")
        out.append(template.format(timer=state.part, lights=self._and_lights(events)))
        if following := words.NEXT.get((kind, state.after)) or words.NEXT.get((general, state.after)):
            out.append(following.format(**places))
        out.extend(self._first(beat, state, shape))
        return " ".join(part for part in out if part)

    def _without_state(self, events: list[Event], root: Event) -> list[str]:
        said = self.lights(events)
        if said and root.kind == "action":
            return [f"{said[0].upper()}{said[1:]}."]
        if said:
            return [words.LIGHT_ALONE.format(time=said_time(root.time), light=said)]
        if root.kind != "action" or root.what != "pressed":
            return []
        for shape in self.scene.shapes:
            if shape.kind in ("pull-up", "pull-down") and root.part in shape.roles.get("button", ()):
                main = self.scene.shape_of(next(iter(shape.roles.get("listener", ())), ""))
                if main is not None:
                    table = words.STILL if root.rising else words.UNCHANGED
                    return [table.get(main.kind, words.UNCHANGED[""]).format(**self.places(main))]
        return [words.UNCHANGED[""]]

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
            words.FIRST_LONGER.format(
                first=said_time(stays[0]), later=said_time(stays[1]), **self.places(shape)
            )
        ]

    # the moment the supply comes on

    def _start(self, events: list[Event]) -> str:
        out = [words.SUPPLY]
        last = {e.part: e for e in events if e.kind == "state"}
        for part, state in last.items():
            shape = self.scene.shape_of(part)
            kind = "" if shape is None else shape.kind
            places = {**self.places(shape), "timer": part, "lights": self._and_lights(events)}
            family = self.scene.family(part)
            if kind in ASTABLES and state.after == "high":
                out.append(words.EMPTY_AT_START.format(**places))
                out.append(words.TIMER["high"].format(**places))
                general = kind if (kind, "high") in words.NEXT else "astable"
                out.append(words.NEXT[general, "high"].format(**places))
            elif (template := words.WAITS.get((kind, state.after))) is not None:
                out.append(template.format(**places))
            elif family == "counter":
                lights = self._and_lights(events)
                out.append(words.COUNTER_START.format(counter=part, state=state.after, lights=lights))
            elif family == "comparator" and shape is not None:
                out.append(self._comparing(shape, state, events))
            if part in self.scene.run.undetermined:
                out.append(words.UNPROMISED.format(part=part))
        pair = self._pair(events)
        if pair is not None and self._levels == {}:
            out.append(self._pair_start(pair, events))
        elif not last and (said := self.lights(events)):
            out.append(f"{said[0].upper()}{said[1:]}.")
        return " ".join(out)

    # counters

    def _counter(self, beat: Beat, events: list[Event], *, brief: bool) -> str:
        step = next(e for e in events if e.kind == "state" and self.scene.family(e.part) == "counter")
        shape = self.scene.shape_of(step.part)
        places = {
            "time": said_time(beat.time),
            "counter": step.part,
            "before": step.before,
            "after": step.after,
            "lights": self._and_lights(events),
            "clock": "" if shape is None else shape.nets.get("clock", ""),
        }
        if wraps(step):
            return words.WRAP.format(**places)
        before = [e for e in events if e.part != step.part and e.kind != "light"]
        turned = [e for e in before if e.kind == "state"]
        if brief or not turned:
            return words.STEP_ALONE.format(**places)
        opening = self._plain(beat, before, brief=False)
        return f"{words.STEP.format(**{**places, 'opening': opening})} {words.STEP_NOTE.format(**places)}"

    # comparators

    def _comparator(self, beat: Beat, events: list[Event]) -> str:
        state = next(e for e in events if e.kind == "state" and self.scene.family(e.part) == "comparator")
        shape = self.scene.shape_of(state.part)
        out = [self._opening(events[0])] if events[0].kind == "action" else []
        if shape is None or state.after not in words.COMPARE:
            return self._plain(beat, events, brief=False)
        straight = shape.nets["straight"]
        places = {
            **self.places(shape),
            "time": said_time(beat.time),
            "sensed": self._sensed(shape, beat.time),
            "level": self.level(straight, beat.time),
            "lights": self._and_lights(events),
        }
        out.append(words.COMPARE[state.after].format(**places))
        if shape.kind == "comparator-hysteresis":
            shifted = self.level(straight, beat.time, after=True)
            out.append(words.SHIFT[state.after].format(**{**places, "shifted": shifted}))
        return " ".join(out)

    def _sensed(self, shape: ShapeLike, time: float) -> str:
        for other in self.scene.shapes:
            if other.kind == "light-divider" and other.nets["tap"] in (
                shape.nets["inverting"], shape.nets["straight"],
            ):  # fmt: skip
                sensor = other.roles["sensor"][0]
                now, before = (self.scene.setting(sensor, "light", t) for t in (time, max(time - 0.05, 0.0)))
                if now is not None and before is not None:
                    template = words.SENSED if now <= before else words.SENSED_UP
                    return template.format(sensor=sensor, light=said_light(now))
        return ""

    def _comparing(self, shape: ShapeLike, state: Event, events: list[Event]) -> str:
        lights = self._and_lights(events)
        places = {
            **self.places(shape),
            "level": self.level(shape.nets["straight"], 0.0, after=True),
            "now": self.level(shape.nets["inverting"], 0.0, after=True),
            "lights": lights,
        }
        return words.COMPARE_START.get(state.after, "").format(**places)

    # two transistors

    def _pair(self, events: list[Event]) -> ShapeLike | None:
        for shape in self.scene.shapes:
            if shape.kind == "transistor-astable":
                both = (*shape.roles["first"], *shape.roles["second"])
                if any(e.kind == "watch" and e.part in both for e in events):
                    return shape
        return None

    def _transistors(self, shape: ShapeLike, beat: Beat, events: list[Event], *, brief: bool) -> str:
        on = events[0].part
        index = "2" if on in shape.roles["first"] else "1"
        off = shape.roles["second" if index == "2" else "first"][0]
        places = {
            "time": said_time(beat.time),
            "on": on,
            "off": off,
            "lights": self._and_lights(events),
            "capacitor": self.scene.listed(shape.roles[f"capacitor{index}"]),
            "base": self.scene.listed(shape.roles[f"base{index}"]),
        }
        if brief:
            return words.PAIR_AGAIN.format(**places)
        net = shape.nets[f"base{index}"]
        lowest, when = self._lowest(net, beat.time, beat.time + 0.05 * (self.scene.ends - beat.time))
        self._levels[net] = lowest
        text = words.PAIR.format(**places, pushed=said_level(lowest))
        return f"{text} {words.PAIR_NEXT.format(**places)}" if when >= 0 else text

    def _lowest(self, net: str, start: float, end: float) -> tuple[float, float]:
        times, volts = self.scene.run.times, self.scene.run.voltage(net)
        inside = (times >= start) & (times <= end)
        if not inside.any():
            return self.scene.level(net, start), start
        chosen = volts[inside]
        index = int(chosen.argmin())
        return float(chosen[index]), float(times[inside][index])

    def _pair_start(self, shape: ShapeLike, events: list[Event]) -> str:
        both = (shape.roles["first"][0], shape.roles["second"][0])
        state = dict.fromkeys(both, False)
        for event in events:
            if event.kind == "watch" and event.part in state:
                state[event.part] = event.rising
        winners = [part for part in both if state[part]]
        if len(winners) != 1:
            return ""
        off = both[1] if winners[0] == both[0] else both[0]
        return words.PAIR_START.format(on=winners[0], off=off, lights=self._and_lights(events))
