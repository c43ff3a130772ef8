"""What one circuit does, as far as a learner or a meter can tell: simulated once for all equal mistakes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from buildalong.circuit import Circuit
from buildalong.engine import Action, Options, Run, Trial
from buildalong.finding import Severity
from buildalong.mistakes import _words as words
from buildalong.mistakes._looks import LIGHTS, Look, look_at
from buildalong.words import numeral, say, with_unit

__all__ = ["Case", "Harm", "Shown", "Window", "case_of", "dead_case", "lights_of", "windows_of"]

METER = 0.3
"""A hand-held meter shows the mean of about so long [s] (2 to 3 readings a second, from memory)."""
PIECES = 10
RESTS = 0.02
"""Readings that differ by less [V] are one reading."""
WARM = (0.25, 0.6)
"""Between these shares of its rated power a part is felt to be warm and takes no harm (our choice)."""
FELT = 0.1
"""Less heat than this [W] is not felt at a part of a breadboard (our choice)."""
MOST_WINDOWS = 3
OPTIONS = Options(rtol=1e-3, max_samples=3_000, max_events=3_000, max_steps=30_000, wakings=False)
"""Cheaper than a lesson's own runs: classes of symptoms are coarse; a fast oscillation is soon known."""


Shown = tuple[tuple[float, ...], ...]
"""For each way to wake, what a meter shows one after the other [V]."""


@dataclass(frozen=True, slots=True)
class Window:
    """A rest between two actions of a trial, in which a meter can be read [s]."""

    trial: int
    start: float
    end: float
    words: str
    plain: str
    """The same for who does not count seconds."""


@dataclass(frozen=True, slots=True)
class Harm:
    """What one part suffers: its grade (as the engine's, or "shorted"), and the sentence."""

    part: str
    grade: str
    code: str
    sentence: str


@dataclass(frozen=True, slots=True)
class Case:
    """What a circuit does.

    ``looks``: for each trial and each of its ways to wake, the look of each light; ``volts``: window, net
    -> for each way to wake what a meter shows one after the other [V] (one number where it rests), empty
    where the net floats.  ``warm`` names parts that get warm without harm; ``wakes`` parts that
    may wake in several states; ``doubts`` say why something is not decided.
    """

    looks: tuple[tuple[tuple[Look, ...], ...], ...]
    volts: tuple[tuple[tuple[str, Shown], ...], ...]
    harms: tuple[Harm, ...]
    shorted: float
    warm: tuple[str, ...] = ()
    wakes: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()


def lights_of(circuit: Circuit) -> tuple[str, ...]:
    """What a learner watches: lights, buzzers and motors."""
    return tuple(p.id for p in circuit.parts if p.type.family in LIGHTS)


def windows_of(trials: Sequence[Trial]) -> tuple[Window, ...]:
    """The longest rests of each trial, in order of time."""
    out: list[Window] = []
    for number, trial in enumerate(trials):
        ends = sorted({a.time + max(a.ramp, 0.0) for a in trial.actions} | {a.time for a in trial.actions})
        ends = [0.0, *(t for t in ends if 0 < t < trial.lasts), trial.lasts]
        moving = [(a.time, a.time + a.ramp) for a in trial.actions if a.ramp > 0]
        rests = [
            (a, b) for a, b in pairwise(ends)
            if b - a >= METER and not any(a < e - 1e-9 and b > s + 1e-9 for s, e in moving)
        ]  # fmt: skip
        longest = sorted(sorted(rests, key=lambda r: r[0] - r[1])[:MOST_WINDOWS])
        for a, b in longest or [(0.0, trial.lasts)]:
            last = [x for x in trial.actions if x.time <= a + 1e-9 and a > 0]
            message = words.WINDOW_BEFORE if trial.actions else words.WINDOW_RUNNING
            said = (say(message), say(message))
            if last:
                said = _after(max(last, key=lambda x: x.time))
            out.append(Window(number, a + 0.4 * (b - a), b, *said))
    return tuple(out)


def _after(done: Action) -> tuple[str, str]:
    """After an action, in words: with its time, and without."""
    key: str = done.setting
    if key == "pressed" and done.value <= 0.5:
        key = "let-go"
    time, value = with_unit(f"{done.time:g}", "s"), numeral(f"{done.value:g}")
    if key == "position":
        value = with_unit(f"{100 * done.value:.3g}", "%")
    elif key == "thrown":
        value = "B" if done.value > 0.5 else "A"
    timed, plain = words.WINDOWS[key]
    return say(timed, part=done.part, time=time, value=value), say(plain, part=done.part, value=value)


def dead_case(lights: int, trials: int, windows: int, *, amps: float = 0.0, emf: float = 0.0) -> Case:
    """Nothing happens at all; ``amps`` flow where the supply is shorted, ``emf`` stands at it where not."""
    dark = tuple(((tuple(Look((), 0.0) for _ in range(lights))),) for _ in range(trials))
    volts: tuple[tuple[str, Shown], ...] = (("plus", ((emf,),)), ("minus", ((0.0,),)))
    return Case(dark, tuple(volts for _ in range(windows)), (), amps)


def case_of(
    circuit: Circuit, trials: Sequence[Trial], lights: Sequence[str], windows: Sequence[Window]
) -> Case:
    """Simulate one circuit in every trial, also from every way to wake."""
    from buildalong.engine import check_ratings, damages, power_up_variants, simulate

    looks: list[tuple[tuple[Look, ...], ...]] = []
    volts: list[tuple[tuple[str, Shown], ...]] = []
    harms: dict[tuple[str, str], Harm] = {}
    doubts: dict[str, None] = {}
    wakes: dict[str, None] = {}
    warm: dict[str, None] = {}
    shorted = 0.0
    for number, trial in enumerate(trials):
        ways = power_up_variants(circuit, trial, OPTIONS)
        wakes |= dict.fromkeys(_waking(ways))
        runs = [simulate(circuit, way, None, OPTIONS) for way in _some(ways)]
        run = runs[0]
        looks.append(tuple(tuple(_look(r, light) for light in lights) for r in runs))
        passed = damages(run)
        for damage in passed:
            if damage.grade != "unsure":
                harm = Harm(damage.part, damage.grade, damage.code, damage.finding.message)
                harms.setdefault((harm.part, harm.code), harm)
        for finding in check_ratings(run, passed):
            if finding.code in ("supply-reversed", "coil-kick") and finding.severity >= Severity.ERROR:
                grade = "dies" if finding.code == "supply-reversed" else "hot"
                part = finding.about[0]
                harms.setdefault((part, finding.code), Harm(part, grade, finding.code, finding.message))
        floats: set[str] = set()
        warm.update(dict.fromkeys(_warm(run)))
        for verdict in run.verdicts:
            if verdict.code == "supply-shorted":
                shorted = max(shorted, dict(verdict.numbers)["current"])
            elif verdict.code == "floating-net":
                floats |= set(verdict.nets)
                doubts[
                    f"An input of {', '.join(verdict.parts)} is held by nothing: a touch may change it."
                ] = None
            elif verdict.code in ("too-frequent-events", "too-many-steps"):
                doubts["It switches to and fro so fast that it was followed for a moment only."] = None
        volts += [_metered(runs, w, floats) for w in windows if w.trial == number]
    return Case(
        tuple(looks), tuple(volts), tuple(harms.values()), shorted, tuple(warm), tuple(wakes), tuple(doubts)
    )


def _some(ways: Sequence[Trial]) -> list[Trial]:
    """The usual way to wake, the one most like it, and the one least like it."""
    return [way for i, way in enumerate(ways) if i in (0, 1, len(ways) - 1)]


def _waking(ways: Sequence[Trial]) -> list[str]:
    """Parts whose state differs between the ways to wake."""
    cells = zip(*(way.power_up for way in ways), strict=True) if len(ways) > 1 else ()
    return list(dict.fromkeys(c[0][0].partition(".")[0] for c in cells if len(set(c)) > 1))


def _look(run: Run, light: str) -> Look:
    return look_at(run, light) if light in run.circuit.by_id else Look((), 0.0)


def _warm(run: Run) -> list[str]:
    """Parts that a finger finds warm."""
    out: list[str] = []
    for part in run.circuit.parts:
        rated, found = part.type.ratings.get("power"), run.extremes.get(part.id)
        if rated is None or found is None or found.mean_power < FELT:
            continue
        if WARM[0] < found.mean_power / rated.value < WARM[1]:
            out.append(part.id)
    return out


def _metered(runs: Sequence[Run], window: Window, floats: set[str]) -> tuple[tuple[str, Shown], ...]:
    """What a meter shows between each net and the supply's minus, in each way to wake."""
    ways = [_shown(run, window) for run in runs]
    return tuple(
        (net, () if net in floats or not all(ways) else tuple(way[net] for way in ways))
        for net in runs[0].nets
    )


def _shown(run: Run, window: Window) -> dict[str, tuple[float, ...]]:
    """Net -> the meter's readings one after the other; empty where the run ended at once."""
    times = run.times
    if len(times) < 2:
        return {}
    end = min(window.end, float(times[-1]))
    start = min(window.start, max(end - METER, 0.0)) if end <= window.start else window.start
    start = min(start, end - 1e-12)
    pieces = int(min(max((end - start) / METER, 1), PIECES))
    marks = np.linspace(start, end, pieces + 1)
    widths = np.maximum(np.diff(marks), 1e-15)
    steps = np.diff(times)[:, None]
    area = np.concatenate(
        [
            np.zeros((1, len(run.nets))),
            np.cumsum(0.5 * (run.voltages[1:] + run.voltages[:-1]) * steps, axis=0),
        ]
    )
    out: dict[str, tuple[float, ...]] = {}
    for column, net in enumerate(run.nets):
        mean = np.diff(_between(marks, times, area[:, column], run.voltages[:, column])) / widths
        if float(mean.max() - mean.min()) < RESTS:
            mean = mean.mean(keepdims=True)
        out[net] = tuple(round(float(v), 3) for v in mean)
    return out


def _between(
    at: np.ndarray[tuple[int, ...], np.dtype[np.float64]],
    times: np.ndarray[tuple[int, ...], np.dtype[np.float64]],
    area: np.ndarray[tuple[int, ...], np.dtype[np.float64]],
    values: np.ndarray[tuple[int, ...], np.dtype[np.float64]],
) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    """The integral up to each time, exact for a broken line."""
    i = np.clip(np.searchsorted(times, at, side="right") - 1, 0, len(times) - 2)
    h = times[i + 1] - times[i]
    x = np.clip(at - times[i], 0.0, h)
    slope = np.where(h > 0, (values[i + 1] - values[i]) / np.where(h > 0, h, 1.0), 0.0)
    result: np.ndarray[tuple[int, ...], np.dtype[np.float64]] = area[i] + values[i] * x + 0.5 * slope * x * x
    return result
