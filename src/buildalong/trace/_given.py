"""Readings that a person took, in words: "look-R1=right", "volts-1-12L=4.8 V"."""

from __future__ import annotations

import difflib
from collections.abc import Sequence

from buildalong.mistakes import Lab
from buildalong.quantity import parse_as
from buildalong.trace._next import Given
from buildalong.trace._reading import UNKNOWN, WRONG, Answer, Reading
from buildalong.trace._readings import all_readings

__all__ = ["answer_from", "given_from", "grammar"]

MOST_VOLTS = 100.0


def given_from(lab: Lab, texts: Sequence[str]) -> tuple[Given, ...]:
    """Read what was found; raises ValueError with what was expected."""
    known = {reading.id: reading for reading in all_readings(lab)}
    out: list[Given] = []
    for text in texts:
        name, equals, said = text[:200].partition("=")
        name = name.strip()
        if not equals:
            raise ValueError(f"'{text[:60]}' is no reading: write it as look-R1=right or as volts-1-12L=4.8")
        if name not in known:
            near = difflib.get_close_matches(name, known, n=1)
            hint = f": did you mean '{near[0]}'?" if near else ""
            raise ValueError(f"this build has no reading '{name[:60]}'{hint}")
        out.append(Given(name, answer_from(known[name], said)))
    return tuple(out)


def answer_from(reading: Reading, said: str) -> Answer:
    """Read one answer; raises ValueError with what was expected."""
    word = said.strip().lower()
    if word in ("unknown", "?"):
        return Answer(UNKNOWN, "not known")
    if reading.kind == "look" and word in ("right", "wrong"):
        return Answer("right" if word == "right" else WRONG, word)
    if reading.kind in ("press", "feel", "continuity") and word in ("yes", "no"):
        return Answer(word, word)
    if reading.kind == "volts":
        if word == "swings":
            return Answer("swings", word)
        try:
            volts = parse_as(said.strip(), "V")
        except ValueError:
            volts = MOST_VOLTS + 1
        if abs(volts) <= MOST_VOLTS:
            return Answer("steady", said.strip(), volts, volts)
    raise ValueError(f"'{said.strip()[:40]}' is no answer to {reading.id}: {grammar(reading)}, or 'unknown'")


def grammar(reading: Reading) -> str:
    """How an answer is written."""
    ways = {"look": "write 'right' or 'wrong'", "volts": "write the volts, such as 4.8, or 'swings'"}
    return ways.get(reading.kind, "write 'yes' or 'no'")
