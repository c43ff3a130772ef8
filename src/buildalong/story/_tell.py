"""Telling a run as cause and effect."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from buildalong.circuit import Circuit
from buildalong.engine import Run
from buildalong.story import _words as words
from buildalong.story._beats import Beat, beats, token
from buildalong.story._going_on import going_on
from buildalong.story._scene import Scene
from buildalong.story._sentence import Sentence, ShapeLike
from buildalong.story._telling import Teller
from buildalong.words import say

__all__ = ["tell"]

FULL, BRIEF, ROUND = 1, 2, "wrap"
"""The first beat of a kind is told in full, the second briefly; the rest are summed up.
A counter's full round is told once."""


def tell(run: Run, circuit: Circuit, shapes: Iterable[ShapeLike] = ()) -> tuple[Sentence, ...]:
    """Tell what happened in a run, in order of time; ``shapes`` as recognised in the circuit.

    A happening is told in full the first time and briefly the second time; what repeats after that
    is summed up with its times.  Every number is read from the run.  The words are in the language of
    the moment (:func:`buildalong.words.speaking`).
    """
    scene = Scene(run, circuit, shapes)
    teller = Teller(scene)
    seen: Counter[tuple[object, ...]] = Counter()
    out: list[Sentence] = []
    skipped: list[Beat] = []
    for beat in beats(scene):
        kind = token(scene, beat)
        seen[kind] += 1
        limit = FULL if (ROUND in {entry[-1] for entry in kind if isinstance(entry, tuple)}) else BRIEF
        if seen[kind] > limit:
            skipped.append(beat)
            continue
        if skipped:
            out.append(going_on(scene, skipped, beat.time))
            skipped = []
        out.append(teller.tell(beat, brief=seen[kind] == BRIEF))
    if skipped:
        out.append(going_on(scene, skipped, scene.ends))
    if scene.events and scene.events[-1].kind == "limit":
        last = scene.events[-1]
        text = say(words.LIMIT, time=teller.time(last.time))
        out.append(Sentence(last.time, text, (len(scene.events) - 1,)))
    return tuple(sentence for sentence in out if sentence.text)
