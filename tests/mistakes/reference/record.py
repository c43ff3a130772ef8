"""Build a sample of the demos' mistakes, run them with the reference simulator, and record what is seen.

``python -m tests.mistakes.reference.record`` rewrites ``recorded.json`` beside it: for each demo, mistake ->
how each light differs, by the reference simulator's waveforms and by ``classify.py``.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import numpy as np
from tests.mistakes._labs import built, lab

from buildalong.circuit import Circuit
from buildalong.engine import Trial
from buildalong.mistakes import Outcome

from .classify import differs, shines
from .decks import currents, known

FILE = Path(__file__).with_name("recorded.json")
DEMOS = ("cupboard-light", "dusk-light", "level-crossing", "lighthouse", "mailbox-flag")
EACH = 46
"""Different circuits of each demo."""
LEFT_OUT = ("supply-reversed", "overcurrent", "overheats", "reverse-voltage", "input-beyond-supply")
"""What destroys a part, or drives it where no data sheet says what it does, is not compared."""


def sample(demo: str) -> Iterator[Outcome]:
    """Mistakes of a demo, spread evenly over its circuits; each makes another circuit."""
    seen: set[str] = set()
    found: list[Outcome] = []
    for outcome in lab(demo).outcomes:
        if outcome.mistake.id in seen or outcome.symptom in ("battery-hot", "undetermined", "wrong-colour"):
            continue
        seen |= {outcome.mistake.id, *outcome.same}
        hurt = any(h.code in LEFT_OUT for h in outcome.harms)
        if outcome.failing != "undetermined" and not hurt and known(outcome.mistake.circuit):
            found.append(outcome)
    step = max(len(found) / EACH, 1.0)
    yield from (found[int(i * step)] for i in range(min(EACH, len(found))))


def judged(demo: str, outcome: Outcome) -> list[str] | None:
    """How each light differs by the reference simulator; None where it gave up."""
    lesson, _ = built(demo)
    lights = list(lab(demo).lights)
    out = ["same"] * len(lights)
    for trial in lesson.trials:
        right, seen = _seen(lesson.circuit, trial, lights), _seen(outcome.mistake.circuit, trial, lights)
        if right is None or seen is None:
            return None
        for i in range(len(lights)):
            if out[i] == "same":
                out[i] = differs(right[i], seen[i], trial)
    return out


Seen = list[tuple[np.ndarray, float]] | None
"""For each light whether it shines in each millisecond, and its mean current [A]."""
_KNOWN: dict[tuple[int, str], Seen] = {}


def _seen(circuit: Circuit, trial: Trial, lights: list[str]) -> Seen:
    key = (id(circuit), trial.name)
    if key not in _KNOWN:
        found = currents(circuit, trial, lights)
        _KNOWN[key] = (
            None
            if found is None
            else [shines(found[0], found[1][:, i], trial.lasts) for i in range(len(lights))]
        )
    return _KNOWN[key]


def main() -> None:
    """Record every demo; what the simulator gives up on is told, and kept as null."""
    data: dict[str, dict[str, list[str] | None]] = {}
    for demo in DEMOS:
        data[demo] = {}
        for outcome in sample(demo):
            found = data[demo][outcome.mistake.id] = judged(demo, outcome)
            ours = [kind for _, kind in outcome.sights]
            if found != ours:
                print(demo, outcome.mistake.id, "reference", found, "ours", ours, outcome.doubts, flush=True)
        print(demo, len(data[demo]), flush=True)
    FILE.write_text(json.dumps(data, indent=1, sort_keys=True) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
