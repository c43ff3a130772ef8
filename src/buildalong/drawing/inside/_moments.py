"""Which moments of a run are worth a look inside an IC: one cycle, told in the story's sentences."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from buildalong.drawing.inside import _words as words
from buildalong.drawing.inside._state import (
    Moment,
    State,
    levels_between,
    moment_at,
    moved_by,
    state_at,
    usual,
)
from buildalong.engine import Run
from buildalong.story import Sentence, said_level, said_time, settled
from buildalong.words import say

__all__ = ["Look", "looks"]

MOST = 6
"""Most moments of one strip."""
BEAT = 1e-3
"""A sentence whose changes of state lie further apart than this [s] sums up many; it shows no moment."""
APART = 0.15
"""A quiet time is shown where a voltage differs by this share of the supply from the moments beside it."""
EDGE = 0.002
"""The levels of a quiet time are read this share of it from its ends."""
WORTH = 0.3
"""A quiet time that is shorter than this share of the gap between two moments is not shown."""

_SENTENCES = re.compile(r"(?<=[.!?]) (?=\w)")


@dataclass(frozen=True, slots=True)
class Look:
    """One look inside: the state, the sentence that tells it, and that sentence's index in the story.

    Of a sentence that tells of several ICs, what concerns this one.  ``index`` is -1 for a quiet time
    between two events, of which the story does not speak.
    """

    state: State
    caption: str
    index: int


def looks(run: Run, part_id: str, story: Sequence[Sentence]) -> tuple[Look, ...]:
    """Choose up to six moments of one cycle of an IC.

    Every told change of its state until one repeats, then told moments at which something else
    changes inside, then the quiet times between.
    """
    told = _told(run, part_id, story)
    keep = _cycle(told)
    for look in told:
        late = bool(keep) and look.state.time > keep[-1].state.time
        if len(keep) < MOST and not late and look.state.key not in {k.state.key for k in keep}:
            keep = sorted([*keep, look], key=lambda k: (k.state.time, k.index))
    for look in _between(run, part_id, keep):
        if len(keep) < MOST:
            keep = sorted([*keep, look], key=lambda k: (k.state.time, k.index))
    return tuple(keep)


def _told(run: Run, part_id: str, story: Sequence[Sentence]) -> list[Look]:
    """The sentences at whose moment something happens inside the IC."""
    out: list[Look] = []
    for index, sentence in enumerate(story):
        own = [i for i in sentence.events if run.events[i].part == part_id]
        if not own or run.events[own[-1]].time - sentence.time > BEAT:
            continue
        if any(run.events[i].kind == "supply" for i in sentence.events):
            caption = _own(run, part_id, sentence.text, None, changes=True)
            out.append(Look(state_at(run, part_id, _settled(run, part_id)), caption, index))
            continue
        changes = [i for i in own if run.events[i].kind == "state"]
        last = (changes or own)[-1]
        moment = Moment(run.events[last].time, last + 1, edge=True)
        caption = _own(run, part_id, sentence.text, moment, changes=bool(changes))
        out.append(Look(state_at(run, part_id, moment), caption, index))
    return out


def _own(run: Run, part_id: str, text: str, moment: Moment | None, *, changes: bool) -> str:
    """What of a text concerns an IC and not another one: sentences that name it, and what follows them.

    Where that leaves out why it happens, the input that moved at the moment stands first.
    """
    others = [other for other in usual(run) if other != part_id]
    bits = _SENTENCES.split(text)
    kept: list[int] = []
    own = True
    for index, bit in enumerate(bits):
        named = {name for name in (part_id, *others) if re.search(rf"\b{re.escape(name)}\b", bit)}
        own = part_id in named or (own and not named)
        if own:
            kept.append(index)
    edge = moved_by(run, part_id, moment) if moment is not None else None
    if 0 in kept or edge is None or moment is None:
        return " ".join(bits[index] for index in kept) or text
    net, rises = edge
    first = say(words.RISES if rises else words.FALLS, time=said_time(moment.time), net=net)
    stays = [] if kept or changes else [say(words.STAYS, part=part_id)]
    return " ".join([first, *stays, *(bits[index] for index in kept)])


def _settled(run: Run, part_id: str) -> Moment:
    """Soon after the supply came on: small capacitors have filled, nothing else has happened."""
    later = [e.time for e in run.events if e.part == part_id and e.time > BEAT]
    nets = [net for net in run.circuit.by_id[part_id].nets if net is not None]
    return moment_at(run, settled(run, nets, 0.5 * min(later, default=np.inf)))


def _cycle(told: list[Look]) -> list[Look]:
    """The looks at which a state changes, until one looks like an earlier one (which ends the cycle)."""
    out: list[Look] = []
    for look in told:
        if out and out[-1].state.cells == look.state.cells:
            continue
        out.append(look)
        if len(out) == MOST or look.state.key in {k.state.key for k in out[:-1]}:
            break
    return out


def _between(run: Run, part_id: str, keep: list[Look]) -> list[Look]:
    """The quiet times between neighbouring looks that show something that those do not."""
    out: list[Look] = []
    for one, other in pairwise(keep):
        inside = [
            e for e in run.events
            if e.part == part_id and one.state.time < e.time < other.state.time
        ]  # fmt: skip
        if any(e.kind == "state" for e in inside):
            continue
        edges = [one.state.time, *(e.time for e in inside), other.state.time]
        wide = [b - a for a, b in pairwise(edges)]
        at = int(np.argmax(wide))
        if wide[at] < WORTH * (other.state.time - one.state.time):
            continue
        start, end = edges[at], edges[at + 1]
        middle = (start + end) / 2
        state = state_at(run, part_id, moment_at(run, middle))
        if state.key != one.state.key or (_apart(state, one.state) and _apart(state, other.state)):
            out.append(Look(state, _quiet(run, part_id, start, end), -1))
    return out


def _apart(one: State, other: State) -> bool:
    """Whether a voltage differs clearly between two states."""
    pairs = ((one.volts[name], other.volts[name]) for name in one.volts)
    return any(a is not None and b is not None and abs(a - b) > APART * one.supply for a, b in pairs)


def _quiet(run: Run, part_id: str, start: float, end: float) -> str:
    """A sentence for a quiet time: which of the watched nets moves meanwhile."""
    part = run.circuit.by_id[part_id]
    # A little inside, past the jumps at both ends.
    ends = (start + EDGE * (end - start), end - EDGE * (end - start))
    places = {"start": said_time(start), "end": said_time(end), "part": part_id}
    best: tuple[float, str] = (0.0, "")
    for terminal, net in zip(part.type.terminals, part.nets, strict=True):
        if terminal.role == "input" and net is not None:
            first, last = np.interp(ends, run.times, run.voltage(net))
            best = max(best, (abs(float(last - first)), net))
    if best[0] < 0.5:
        return say(words.QUIET, **places)
    low, high = (said_level(v) for v in levels_between(run, best[1], (start, end), ends))
    return say(words.MOVING, **places, net=best[1], low=low, high=high)
