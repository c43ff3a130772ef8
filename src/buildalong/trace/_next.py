"""The next best reading, from a symptom and the readings so far."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from buildalong.mistakes import Lab
from buildalong.trace._plan import by_symptom
from buildalong.trace._reading import Answer, Reading
from buildalong.trace._split import agrees, split
from buildalong.trace._tree import Search

__all__ = ["Advice", "Given", "next_reading"]


@dataclass(frozen=True, slots=True)
class Given:
    """A reading that was taken, by its id, and what it showed."""

    reading: str
    answer: Answer


@dataclass(frozen=True)
class Advice:
    """What is known, and what to read next.

    ``suspects``: ids of the mistakes that agree with everything, with their shares, likeliest first; none
    where no single mistake explains it, and then ``against`` names the readings that alone stand in the
    way.  ``reading`` is None where nothing is left to tell apart; ``answers`` are what it may show.
    """

    suspects: tuple[tuple[str, float], ...]
    causes: int
    reading: Reading | None
    answers: tuple[Answer, ...]
    cautions: tuple[str, ...]
    against: tuple[str, ...]


def next_reading(lab: Lab, symptom: str, given: Sequence[Given] = (), *, failing: str = "") -> Advice:
    """Say who is suspected after a symptom and some readings, and which reading tells most next.

    ``failing`` is the symptom while a contact that comes and goes fails; "" for any.  Raises ValueError
    where the build has no mistake with the symptom, or no reading with an id.
    """
    groups = by_symptom(lab)
    group = [o for key, some in groups.items() if key[0] == symptom and failing in ("", key[1]) for o in some]
    if not group:
        shown = ", ".join(dict.fromkeys(key[0] for key in groups))
        raise ValueError(f"no single mistake of this build shows '{symptom[:40]}'; they show: {shown}")
    search = Search(lab, group)
    known = {f.reading.id: f for f in search.forecasts}
    for taken in given:
        if taken.reading not in known:
            raise ValueError(f"this build has no reading '{taken.reading}'")
    fits = {i: [agrees(known[t.reading], i, t.answer) for t in given] for i in range(len(search.suspects))}
    left = {i: search.weights[i] for i, yes in fits.items() if all(yes)}
    if not left:
        alone = [
            t.reading for k, t in enumerate(given) if any(all(y[:k] + y[k + 1 :]) for y in fits.values())
        ]
        return Advice((), 0, None, (), (), tuple(alone))
    best = search.best(left, frozenset(t.reading for t in given))
    node = search.node(left, None, ())
    if best is None:
        return Advice(node.suspects, node.causes, None, (), (), ())
    answers = tuple(answer for answer, _ in split(best, left, search.suspects))
    cautions = search.cautions(left) if best.reading.under_power else ()
    return Advice(node.suspects, node.causes, best.reading, answers, cautions, ())
