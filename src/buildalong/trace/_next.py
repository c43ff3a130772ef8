"""The next best reading, from a symptom and the readings so far."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from buildalong.mistakes import Lab
from buildalong.trace._reading import WRONG, Answer, Reading
from buildalong.trace._seen import suspects_of
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
    found: str = ""
    """The part or wire at which a look found something amiss: what is seen there is the mistake."""


def next_reading(
    lab: Lab,
    symptom: str,
    given: Sequence[Given] = (),
    *,
    failing: str = "",
    lights: Mapping[str, str] | None = None,
) -> Advice:
    """Say who is suspected after a symptom and some readings, and which reading tells most next.

    ``failing`` is the symptom while a contact that comes and goes fails, "" for any; ``lights`` says how
    some of the lights differ.  Raises ValueError where the build has no mistake that shows it, or no
    reading with an id.
    """
    group = suspects_of(lab, symptom, failing, lights)
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
    amiss = [known[t.reading].reading.subject for t in given if t.answer.key == WRONG]
    if amiss:
        node = search.node(left, None, ())
        return Advice(node.suspects, node.causes, None, (), (), (), amiss[-1])
    best = search.best(left, frozenset(t.reading for t in given))
    node = search.node(left, None, ())
    if best is None:
        return Advice(node.suspects, node.causes, None, (), (), ())
    answers = tuple(answer for answer, _ in split(best, left, search.suspects))
    cautions = search.cautions(left) if best.reading.under_power else ()
    return Advice(node.suspects, node.causes, best.reading, answers, cautions, ())
