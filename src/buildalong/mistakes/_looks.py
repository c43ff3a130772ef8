"""What a person sees of a light: when it shines, how brightly, and how that differs from what is right."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from buildalong.engine import Run, Trial
from buildalong.parts import Figure

__all__ = ["LIGHTS", "Look", "Sight", "compared", "look_at", "out_of_turn"]

LIGHTS = ("led", "buzzer", "motor")
FUSED = 0.02
"""Dark gaps shorter than this [s] are not seen (flicker fusion near 50 Hz, from memory)."""
LEAST = 0.005
"""A flash shorter than this [s] is not noticed (our choice)."""
FAR = 1.3
"""Times that differ by this ratio are noticed (our choice)."""
DIM, BRIGHT = 0.45, 2.2
"""Light is noticed as other than it should be beyond these ratios of current (our choice)."""

SHIFTED = 0.15
"""A light that is off by this share of the round is seen to be out of turn (our choice)."""

Intervals = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Look:
    """When something shines [s], its mean current meanwhile [A], and whether it turns the other way round."""

    lit: Intervals
    level: float
    backwards: bool = False


@dataclass(frozen=True, slots=True)
class Sight:
    """How a light differs: a symptom class ("same" where it does not) and by what factor."""

    kind: str
    factor: float = 1.0


def look_at(run: Run, part: str) -> Look:
    """What is seen of one light in a run."""
    end = float(run.statistics.get("ended", run.trial.lasts))
    lit: list[list[float]] = []
    on: float | None = None
    edges = [(e.time, e.rising) for e in run.events if e.kind == "light" and e.part == part]
    backwards = not edges and run.circuit.by_id[part].type.family == "motor"
    if backwards:
        edges = _turning_back(run, part)
    for time, rising in [*edges, (end, False)]:
        if rising and on is None:
            on = time
        elif not rising and on is not None:
            if lit and on - lit[-1][1] < FUSED:
                lit[-1][1] = time
            elif time > on:
                lit.append([on, time])
            on = None
    followed = end
    if lit and end < run.trial.lasts * 0.999 and lit[-1][1] > end - FUSED:
        lit[-1][1] = run.trial.lasts  # too fast to follow on: as it flickers then, it goes on
    seen = tuple((a, b) for a, b in lit if b - a >= LEAST)
    if not seen or len(run.times) < 2:
        return Look(seen, 0.0)
    into = run.current(part, run.circuit.by_id[part].type.terminals[0].name)
    amps = np.clip(-into if backwards else into, 0.0, None)
    times = run.times
    area = np.concatenate([[0.0], np.cumsum(0.5 * (amps[1:] + amps[:-1]) * np.diff(times))])
    shown = [(a, min(b, followed)) for a, b in seen if a < followed]
    flowed = sum(float(np.interp(b, times, area) - np.interp(a, times, area)) for a, b in shown)
    return Look(seen, flowed / max(sum(b - a for a, b in shown), 1e-12), backwards)


def _turning_back(run: Run, part: str) -> list[tuple[float, bool]]:
    """When a motor begins and ceases to turn the other way: its voltage is the other way round."""
    motor = run.circuit.by_id[part]
    if None in motor.nets or len(run.times) < 2:
        return []
    first, second = (run.voltage(net) for net in motor.nets if net)
    turns = second - first > Figure.model_validate(motor.type.model["on_voltage"]).value
    changes = np.flatnonzero(np.diff(turns, prepend=False))
    return [(float(run.times[i]), bool(turns[i])) for i in changes]


def _rhythm(lit: Intervals, end: float) -> tuple[float, float] | None:
    """Period and on time of the settled part; None where it does not repeat."""
    starts = [a for a, _ in lit]
    if len(starts) < 3:
        return None
    gaps = np.diff(starts[1:] if len(starts) > 3 else starts)
    whole = [b - a for a, b in lit[1:] if b < end * 0.999] or [lit[0][1] - lit[0][0]]
    return float(np.mean(gaps)), float(np.mean(whole))


def compared(right: Look, seen: Look, trial: Trial) -> Sight:
    """How what is seen differs from what should be."""
    end = trial.lasts
    if not right.lit and not seen.lit:
        return Sight("same")
    if not seen.lit:
        return Sight("dark")
    if right.lit and right.backwards != seen.backwards:
        return Sight("backwards")
    kind = _timing(right.lit, seen.lit, trial)
    if kind.kind != "same" or not right.lit:
        return (
            kind if kind.kind != "same" else Sight("always-lit" if _share(seen.lit, end) > 0.97 else "other")
        )
    if seen.level < DIM * right.level:
        return Sight("dim", seen.level / right.level)
    if seen.level > BRIGHT * right.level:
        return Sight("bright", seen.level / max(right.level, 1e-9))
    return Sight("same")


def out_of_turn(right: Sequence[Look], seen: Sequence[Look], end: float) -> tuple[int, ...]:
    """Lights that come on at another point of the round than they should, against the first that repeats."""
    rounds = [i for i, look in enumerate(right) if _rhythm(look.lit, end) and _rhythm(seen[i].lit, end)]
    out: list[int] = []
    for i in rounds[1:]:
        wanted, found = (_phase(looks[rounds[0]], looks[i], end) for looks in (right, seen))
        if abs((wanted - found + 0.5) % 1.0 - 0.5) > SHIFTED:
            out.append(i)
    return tuple(out)


def _phase(first: Look, other: Look, end: float) -> float:
    """How far into the first light's round the other one comes on (0..1), at the end of the trial."""
    rhythm = _rhythm(first.lit, end)
    period = rhythm[0] if rhythm else 1.0
    return (other.lit[-1][0] - first.lit[-1][0]) / period % 1.0


def _share(lit: Intervals, end: float) -> float:
    return sum(b - a for a, b in lit) / end


def _timing(right: Intervals, seen: Intervals, trial: Trial) -> Sight:
    end = trial.lasts
    wanted, found = _rhythm(right, end), _rhythm(seen, end)
    if wanted is not None:
        if _share(seen, end) > 0.97:
            return Sight("always-lit")
        if found is None:
            slow = len(seen) == 2 and seen[1][0] - seen[0][0] > FAR * wanted[0]
            return Sight("too-slow", (seen[1][0] - seen[0][0]) / wanted[0]) if slow else Sight("once-only")
        ratio = found[0] / wanted[0]
        if ratio > FAR:
            return Sight("too-slow", ratio)
        if ratio < 1 / FAR:
            return Sight("too-fast", 1 / ratio)
        share = found[1] / max(wanted[1], 1e-9)
        if not 1 / 1.4 <= share <= 1.4:
            return Sight("other-rhythm", share)
        late = seen[0][0] - right[0][0]
        return Sight("starts-late", late) if late > max(0.6 * wanted[0], 0.5) else Sight("same")
    slack = max(0.3, 0.02 * end)
    near = len(right) == len(seen) and all(
        abs(a - c) <= slack and abs(b - d) <= max(slack, 0.2 * (b - a))
        for (a, b), (c, d) in zip(right, seen, strict=True)
    )
    if near:
        return Sight("same")
    if found is not None and len(seen) > len(right) + 2:
        return Sight("blinks-by-itself", found[0])
    if _share(seen, end) > 0.97:
        return Sight("always-lit")
    held = _held(trial)
    if held and all(any(a >= h - 0.1 and b <= g + 0.15 for h, g in held) for a, b in seen):
        return Sight("while-pressed")
    both = _overlap(right, seen)
    wanted_for = sum(b - a for a, b in right)
    wrongly = sum(b - a for a, b in seen) - both
    if right and both < 0.15 * wanted_for and wrongly > 0.5 * (end - wanted_for):
        return Sight("inverted")
    if seen[-1][1] >= end * 0.999 and (not right or right[-1][1] < end * 0.999):
        early = not right or seen[-1][0] < right[-1][0] - slack
        return Sight("stays-lit-from-the-start" if early and seen[-1][0] < slack else "stays-lit")
    if right and len(right) == len(seen):
        long, got = sum(b - a for a, b in right), sum(b - a for a, b in seen)
        if got > FAR * long:
            return Sight("too-long", got / long)
        if got < long / FAR:
            return Sight("too-short", long / got)
        late = seen[0][0] - right[0][0]
        if late > slack:
            return Sight("starts-late", late)
        return Sight("comes-at-once") if seen[0][0] < slack < -late else Sight("other")
    if len(seen) < len(right):
        return Sight("misses")
    return Sight("comes-by-itself")


def _held(trial: Trial) -> list[tuple[float, float]]:
    """When any button is held down."""
    out: list[tuple[float, float]] = []
    down: dict[str, float] = {}
    for action in sorted(trial.actions, key=lambda a: a.time):
        if action.setting != "pressed":
            continue
        if action.value > 0.5:
            down.setdefault(action.part, action.time)
        elif action.part in down:
            out.append((down.pop(action.part), action.time))
    return out


def _overlap(one: Intervals, other: Intervals) -> float:
    return sum(max(0.0, min(b, d) - max(a, c)) for a, b in one for c, d in other)
