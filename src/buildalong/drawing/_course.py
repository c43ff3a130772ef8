"""What the surroundings do to a part in a trial: light on a sensor, a wiper that is turned, over time."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass

from buildalong.engine import Run
from buildalong.quantity import parse
from buildalong.story import said_light, said_share

__all__ = ["SETTINGS", "Course", "course_of"]

SETTINGS: dict[str, Callable[[float], str]] = {"light": said_light, "position": said_share}
"""Settings that move from value to value, and how one is said; buttons are pressed or not."""
Point = tuple[float, float]


@dataclass(frozen=True)
class Course:
    """Times [s] and values of a part's ``setting``, straight between them; two at one time are a jump."""

    setting: str
    points: tuple[Point, ...]

    def at(self, time: float) -> float:
        """The value at a time [s], after a jump."""
        after = bisect_right(self.points, time, key=lambda point: point[0])
        if after in (0, len(self.points)):
            return self.points[max(after - 1, 0)][1]
        (t0, v0), (t1, v1) = self.points[after - 1 : after + 1]
        return v0 + (v1 - v0) * (time - t0) / (t1 - t0)

    def within(self, start: float, end: float) -> tuple[Point, ...]:
        """The points between two times [s], and the values at these."""
        found = [(start, self.at(start)), *(point for point in self.points if start < point[0] <= end)]
        return (*found, (end, self.at(end))) if found[-1][0] < end else tuple(found)

    def stays(self, start: float, end: float) -> tuple[tuple[float, float, float], ...]:
        """(from, to, value) wherever it rests between two times [s], or, both alike, turns."""
        out: list[tuple[float, float, float]] = []
        for time, value in self.within(start, end):
            if out and out[-1][2] == value:
                out[-1] = (out[-1][0], time, value)
            else:
                out.append((time, time, value))
        return tuple(out)

    def told(self, start: float, end: float) -> tuple[tuple[float, str], ...]:
        """From when [s] on it is what, between two times: "300 lx", on the way "300 lx → 1 lx"."""
        out: list[tuple[float, str]] = []
        stays = self.stays(start, end)
        for index, (begins, ends, value) in enumerate(stays):
            if ends > begins or len(stays) == 1:
                out.append((begins, self.said(value)))
            if index + 1 < len(stays) and stays[index + 1][0] > ends:
                out.append((ends, f"{self.said(value)} → {self.said(stays[index + 1][2])}"))
        return tuple(out)

    def said(self, value: float) -> str:
        """A value in words: "300 lx"."""
        return SETTINGS[self.setting](value)


def course_of(run: Run, part_id: str) -> Course | None:
    """What the actions of a run's trial do to a part, as the engine does it; None where there are none."""
    actions = [a for a in run.trial.actions if a.part == part_id and a.setting in SETTINGS]
    if not actions:
        return None
    part, setting = run.circuit.by_id[part_id], actions[0].setting
    usual = parse(part.type.model[setting]["typ"]).value
    course = Course(setting, ((0.0, part.setting(setting, usual)),))
    for action in sorted(actions, key=lambda a: a.time):
        if action.time <= 0 and action.ramp <= 0:  # so it is before anything happens
            course = Course(setting, ((0.0, action.value),))
            continue
        kept = [point for point in course.points if point[0] <= action.time]
        begins, ends = (action.time, course.at(action.time)), (action.time + action.ramp, action.value)
        course = Course(setting, (*kept, *([begins] if kept[-1:] != [begins] else []), ends))
    return course
