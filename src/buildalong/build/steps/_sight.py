"""What a learner sees when the board is switched on as far as it is built: simulated, never assumed.

The board is read back, and only a circuit about which the simulation is sure is looked at: every pin
of an IC and every base that the whole circuit uses meets something, no net floats, no part is
strained, and the other states in which an IC may wake give the same sight.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import groupby, pairwise
from typing import TYPE_CHECKING

from buildalong.board import Layout, equal, read_back
from buildalong.build.steps._turns import BRIEF, in_turn
from buildalong.circuit import Circuit, Part
from buildalong.finding import Severity

if TYPE_CHECKING:
    from buildalong.engine import Action, Run, Trial

__all__ = ["DARK", "LIGHTS", "Sight", "Spell", "look"]

LONGEST = 60.0
"""So much of a trial is looked at [s]: nobody waits longer at a test."""
SOON = 0.25
"""What happens within this time [s] seems to happen at once (from memory: human reaction)."""
FUSION = 20.0
"""Flashes in a second from which on a light seems to glow evenly, and none is promised [Hz]
(from memory: flicker fusion of steady light begins at about 20 Hz to 60 Hz)."""
MOMENT = 1.0
"""A press of less than this is one for a moment [s]."""
LIGHTS = ("led", "buzzer", "motor")
DARK = ("off", "stays-off", "is-off", "either")
"""Sights of which nothing surely lights."""
_NEEDS = ("base", "input", "supply", "ground")
_VARIANTS = 12


@dataclass(frozen=True, slots=True)
class Sight:
    """One thing to see: ``part`` does ``what`` after ``cause``.

    ``what``: "on", "off" (it changes at once), "stays-on", "stays-off", "flashes", "in-turn" (several flash,
    one at a time), "late-on", "late-off", "pulse"; where it hangs on how the ICs wake, "either" (on or off at
    first) or "is-on", "is-off" (so at last, whatever it was).  ``seconds``: the period of flashes, the delay,
    or the length of the pulse.
    """

    part: str
    what: str
    seconds: float = 0.0


@dataclass(frozen=True, slots=True)
class Spell:
    """What is seen after one cause: None (switching on) or an action.

    ``held``: how long a press lasts [s]; ``before``: what the part was set to; ``rests``: each light that
    soon changes no more, and whether it is on then.
    """

    cause: Action | None
    held: float
    before: float
    sights: tuple[Sight, ...]
    rests: tuple[tuple[str, bool], ...] = field(default=(), compare=False)


def look(circuit: Circuit, layout: Layout, trial: Trial, *, quick: bool = False) -> tuple[Spell, ...]:
    """What is seen on the board, the supply's leads in their holes; empty where nothing is sure or lights.

    Each light of the board has one sight in each spell in which it does something.  ``quick``: ratings
    and other ways to wake are not looked at, so the answer is only worth a try.
    """
    real = read_back(circuit.parts, layout)
    whole = equal(circuit, real)
    if not whole and not _defined(circuit, real):
        return ()
    actions = tuple(action for action in trial.actions if action.part in real.by_id and action.time < LONGEST)
    short = replace(trial, lasts=min(trial.lasts, LONGEST), actions=actions)
    runs = _runs(real, short, strict=not whole, quick=quick)
    if not runs:
        return ()
    spells = [_spells(run, short) for run in runs]
    agreed = tuple(_agreed(same) for same in zip(*spells, strict=True))
    lit = any(s.what not in DARK for spell in agreed for s in spell.sights)
    return agreed if lit else ()


def _defined(wanted: Circuit, real: Circuit) -> bool:
    """Whether nothing in a half-built circuit is left to chance, as far as its pins tell."""
    if not any(part.type.family == "supply" for part in real.parts):
        return False
    plus, ground = real.plus, real.ground
    if not plus or not ground or plus == ground:
        return False
    for part in real.parts:
        for terminal, net in zip(part.type.terminals, part.nets, strict=True):
            used = wanted.by_id[part.id].net(terminal.name) is not None
            if used and terminal.role in _NEEDS and (net is None or len(real.nets[net]) < 2):
                return False
            if used and terminal.role in ("supply", "ground") and net not in (plus, ground):
                return False
    return True


def _runs(circuit: Circuit, trial: Trial, *, strict: bool, quick: bool) -> list[Run]:
    """The trial from every state in which the ICs may wake; none where the circuit is not sound."""
    from buildalong.engine import Options, check_ratings, power_up_variants, simulate

    if quick:
        tried = simulate(circuit, trial, None, Options(waveforms=False))
        return [] if strict and tried.verdicts else [tried]
    first = simulate(circuit, trial)
    if strict and (first.verdicts or any(f.severity >= Severity.WARNING for f in check_ratings(first))):
        return []
    if not first.undetermined:
        return [first]
    others = power_up_variants(circuit, trial)[1:_VARIANTS]
    return [first, *(simulate(circuit, other, None, Options(waveforms=False)) for other in others)]


def _agreed(runs: Sequence[Spell]) -> Spell:
    """One spell of all runs: what is seen in each of them, and what is left to chance or no longer is."""
    first = runs[0]
    seen = tuple(s for s in first.sights if all(_alike(s, other.sights) for other in runs))
    sure = {sight.part for sight in seen}
    changing = {sight.part for run in runs for sight in run.sights} - sure
    more = []
    for name, _ in first.rests:
        states = {dict(run.rests).get(name) for run in runs}
        if name not in changing or None in states:
            continue
        if len(states) == 1:
            more.append(Sight(name, "is-on" if states.pop() else "is-off"))
        elif first.cause is None:
            more.append(Sight(name, "either"))
    return replace(first, sights=(*seen, *more))


def _alike(sight: Sight, others: Sequence[Sight]) -> bool:
    return any(
        other.part == sight.part
        and other.what == sight.what
        and abs(other.seconds - sight.seconds) <= 0.1 * max(sight.seconds, other.seconds)
        for other in others
    )


def _causes(trial: Trial) -> Iterator[tuple[Action | None, float, float, float]]:
    """(cause, how long it is held, when it acts, until when what follows belongs to it)."""
    done: list[tuple[Action, float]] = []
    for _, together in groupby(trial.actions, key=lambda action: action.time):
        action = next(iter(together))
        if action.setting == "pressed" and not action.value:
            continue
        release = next(
            (a.time for a in trial.actions
             if a.part == action.part and a.setting == "pressed" and not a.value and a.time > action.time),
            action.time,
        )  # fmt: skip
        if action.time > 0:
            done.append((action, release - action.time if action.setting == "pressed" else 0.0))
    times = [action.time for action, _ in done]
    yield None, 0.0, 0.0, min([*times, trial.lasts])
    for (action, held), end in zip(done, [*times[1:], trial.lasts], strict=False):
        yield action, held, action.time, end


def _spells(run: Run, trial: Trial) -> list[Spell]:
    """What each light does after each cause."""
    lights: dict[str, list[tuple[float, bool]]] = {
        part.id: [] for part in run.circuit.parts if _is_light(part, run)
    }
    for event in run.events:
        if event.kind == "light" and event.part in lights:
            lights[event.part].append((event.time, event.rising))
    out = []
    for cause, held, start, end in _causes(trial):
        ramp = cause.ramp if cause is not None else 0.0
        sights = [
            found
            for name, edges in lights.items()
            if (found := _sight(name, edges, start, end, ramp, first=cause is None)) is not None
        ]
        flashing = [
            s for s in sights if s.what == "flashes" and run.circuit.by_id[s.part].type.family == "led"
        ]
        alike = all(_alike(replace(s, part=flashing[0].part), flashing[:1]) for s in flashing)
        if alike and in_turn([lights[s.part] for s in flashing], start, end):
            sights = [replace(s, what="in-turn") if s in flashing else s for s in sights]
        before = 0.0 if cause is None else _setting_before(run, trial, cause)
        rests = [
            (name, next((on for time, on in reversed(edges) if time < end), False))
            for name, edges in lights.items()
            if not any(start + SOON + ramp < time < end for time, _ in edges)
        ]
        out.append(Spell(cause, held, before, tuple(sights), tuple(rests)))
    return out


def _is_light(part: Part, run: Run) -> bool:
    return part.type.family in LIGHTS and None not in part.nets


def _setting_before(run: Run, trial: Trial, cause: Action) -> float:
    """What the part was set to before."""
    earlier = [
        a
        for a in trial.actions
        if a.part == cause.part and a.setting == cause.setting and a.time < cause.time
    ]
    return earlier[-1].value if earlier else run.circuit.by_id[cause.part].setting(cause.setting, 0.0)


def _sight(
    name: str, edges: Sequence[tuple[float, bool]], start: float, end: float, ramp: float, *, first: bool
) -> Sight | None:
    """What a light does in a stretch of time; None where it goes on as before, or nobody could tell."""
    was = next((on for time, on in reversed(edges) if time < start), False)
    inside = [(time, on) for time, on in edges if start <= time < end]
    soon = start + SOON + ramp
    rising = [time for time, on in inside if on]
    if len(rising) >= 3:
        gaps = [b - a for a, b in pairwise(rising[1:])]
        period = sum(gaps) / len(gaps)
        lit = [b - a for (a, on), (b, _) in pairwise(inside) if on]
        if 1 / period >= FUSION or (lit and max(lit) < BRIEF):
            return None
        return Sight(name, "flashes", period)
    if not inside:
        return Sight(name, "stays-on" if was else "stays-off") if first or was else None
    time, on = inside[0]
    if len(inside) == 1:
        at_once = time <= soon
        return Sight(
            name, ("on" if on else "off") if at_once else ("late-on" if on else "late-off"), time - start
        )
    if len(inside) == 2 and on and time <= soon:
        lasts = inside[1][0] - time
        return Sight(name, "pulse", lasts) if lasts >= BRIEF else None
    return None
