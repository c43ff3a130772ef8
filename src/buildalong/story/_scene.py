"""What the story can look up about a run: levels, times, shapes, and who is who."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from buildalong.circuit import Circuit
from buildalong.engine import Event, Run
from buildalong.quantity import format_quantity, to_figures
from buildalong.story import _words as words
from buildalong.story._sentence import ShapeLike
from buildalong.words import listed, say, with_unit

__all__ = ["Scene", "said_level", "said_light", "said_share", "said_time"]


def said_time(seconds: float) -> str:
    """A time as people say it: 0.83 s, 12.4 s, 47.1 ms."""
    if seconds == 0:
        return with_unit("0", "s")
    if abs(seconds) >= 0.1:
        return with_unit(to_figures(seconds), "s")
    return format_quantity(seconds, "s", 3)


def said_level(volts: float) -> str:
    """A voltage as people say it: 4.1 V, −2.9 V, 0 V."""
    rounded = round(volts, 1) if abs(volts) < 10 else round(volts)
    return with_unit(f"{rounded + 0.0:g}".replace("-", "−"), "V")


def said_light(lux: float) -> str:
    """An illuminance as people say it, two significant figures."""
    return with_unit(to_figures(lux, 2), "lx")


def said_share(ratio: float | str) -> str:
    """A ratio as people say it: 90 %."""
    return with_unit(f"{float(ratio) * 100:.3g}", "%")


class Scene:
    """A run with its circuit and shapes."""

    def __init__(self, run: Run, circuit: Circuit, shapes: Iterable[ShapeLike]) -> None:
        self.run = run
        self.circuit = circuit
        self.shapes = tuple(shapes)
        self.events: Sequence[Event] = run.events
        self._main: dict[str, ShapeLike] = {}
        for shape in self.shapes:
            for role in ("timer", "comparator", "counter", "first", "second"):
                if shape.kind not in ("control-bypass", "counter-chain") or role == "counter":
                    for part in shape.roles.get(role, ()):
                        self._main.setdefault(part, shape)

    @property
    def ends(self) -> float:
        """When the trial ends [s]."""
        return float(self.run.times[-1]) if len(self.run.times) else self.run.trial.lasts

    def shape_of(self, part: str) -> ShapeLike | None:
        """The main shape that an IC or transistor belongs to."""
        return self._main.get(part)

    def family(self, part: str) -> str:
        """The family of a part, "" where it is not in the circuit."""
        found = self.circuit.by_id.get(part)
        return found.type.family if found else ""

    def level(self, net: str, time: float, *, after: bool = False) -> float:
        """The voltage of a net just before (or just after) a time [V]."""
        times, volts = self.run.times, self.run.voltage(net)
        if after:
            index = min(int(np.searchsorted(times, time, side="right")), len(times) - 1)
            return float(volts[index])
        index = int(np.searchsorted(times, time, side="left"))
        if index < len(times) and times[index] == time:
            return float(volts[index])
        index = min(max(index, 1), len(times) - 1)
        t0, t1 = float(times[index - 1]), float(times[index])
        share = 0.0 if t1 == t0 else (time - t0) / (t1 - t0)
        return float(volts[index - 1] + min(max(share, 0.0), 1.0) * (volts[index] - volts[index - 1]))

    def setting(self, part: str, name: str, time: float) -> float | None:
        """The value of a setting that the trial changes, at a time; None before the first change."""
        value: float | None = None
        for action in sorted(self.run.trial.actions, key=lambda a: a.time):
            if (action.part, action.setting) != (part, name) or action.time > time:
                continue
            share = 1.0 if action.ramp <= 0 else min((time - action.time) / action.ramp, 1.0)
            start = self._initial(part, name) if value is None else value
            value = action.value if start is None else start + share * (action.value - start)
        return value if value is not None else self._initial(part, name)

    def _initial(self, part: str, name: str) -> float | None:
        found = self.circuit.by_id.get(part)
        settings = dict(found.settings) if found else {}
        return settings.get(name)

    def title(self, event: Event) -> str:
        """The sentence that the part's model gives for a watcher, "" where there is none."""
        part = self.circuit.by_id.get(event.part)
        cells = part.type.model.get("cells", []) if part else []
        for cell in cells:
            for watcher in cell.get("watchers", []):
                if event.what in (watcher.get("name"), f"{cell.get('name')}.{watcher.get('name')}"):
                    title = str(watcher.get("title" if event.rising else "title_false", ""))
                    return say(title) if title else ""
        return ""

    def listed(self, names: Sequence[str]) -> str:
        """Names joined for a sentence."""
        names = tuple(dict.fromkeys(names))
        if len(names) > 4:
            return say(words.FROM_TO, first=names[0], last=names[-1])
        return listed(names)
