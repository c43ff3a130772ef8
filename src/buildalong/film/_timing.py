"""When each scene and each caption begins and ends, from the speed of speech and of reading.

Times are whole milliseconds on the grid of the film's frames.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from buildalong.film._lines import pieces
from buildalong.film._speech import spoken
from buildalong.film._storyboard import Scene, Storyboard

__all__ = ["FRAME", "MOST_READING", "WORDS_PER_MINUTE", "Cue", "Timed", "Timeline", "clock", "timeline"]

FRAME = 40
"""One frame [ms]: 25 in a second."""
WORDS_PER_MINUTE = 140
"""Speed of the narrator.  Lectures are held at about 140 words a minute (Tauroza and Allison, "Speech rates
in British English", Applied Linguistics 11 (1990), 90-105; from memory)."""
MOST_READING = 15.0
"""Most characters of a caption in a second.  Common practice is 12 to 17; hands are busy: our judgement."""
SHORTEST, LONGEST = 1000, 7000
"""A caption stands for at least and at most so long [ms]; common practice is 1 s to 7 s."""
LEAD, REST, TAIL = 600, 320, 900
"""Silence before the first sentence of a scene, between sentences, after the last [ms]; our judgement."""
HANDS = 1600
"""Stillness after the words of a step, in which a hand can follow [ms]; our judgement."""
LEAST: Mapping[str, int] = {"title": 6000, "work": 12000, "end": 6000}
"""Least length of a scene by kind [ms]; any other lasts 4 s."""
LEAST_OF_ALL = 4000


@dataclass(frozen=True, slots=True)
class Cue:
    """A caption: from ``start`` to ``end`` [ms], one or two lines, what is said, of which sentence."""

    start: int
    end: int
    lines: tuple[str, ...]
    says: str
    sentence: int


@dataclass(frozen=True, slots=True)
class Timed:
    """A scene in its time [ms], with its captions."""

    scene: Scene
    start: int
    end: int
    cues: tuple[Cue, ...]

    def begins(self, sentence: int) -> int:
        """When a sentence begins [ms]; the start of the scene where it has no caption."""
        return next((cue.start for cue in self.cues if cue.sentence >= sentence), self.start)

    @property
    def seconds(self) -> float:
        """How long it lasts [s]."""
        return (self.end - self.start) / 1000


@dataclass(frozen=True, slots=True)
class Timeline:
    """All scenes, without gaps from 0 on."""

    scenes: tuple[Timed, ...]

    @property
    def end(self) -> int:
        """The length of the film [ms]."""
        return self.scenes[-1].end if self.scenes else 0

    @property
    def cues(self) -> tuple[Cue, ...]:
        """All captions."""
        return tuple(cue for scene in self.scenes for cue in scene.cues)


def timeline(board: Storyboard, lasts: Mapping[str, int] | None = None) -> Timeline:
    """Give every scene its time; ``lasts`` are least lengths of scenes [ms] by their id."""
    out: list[Timed] = []
    at = 0
    for scene in board.scenes:
        cues = tuple(_cues(scene, at + LEAD))
        end = (cues[-1].end if cues else at + LEAD) + TAIL + (HANDS if scene.kind == "step" else 0)
        least = max(LEAST.get(scene.kind, LEAST_OF_ALL), (lasts or {}).get(scene.id, 0))
        end = _grid(max(end, at + least))
        out.append(Timed(scene, at, end, cues))
        at = end
    return Timeline(tuple(out))


def _cues(scene: Scene, at: int) -> Iterable[Cue]:
    for index, sentence in enumerate(scene.says):
        for lines in pieces(sentence, lambda text: _speaking(text) <= LONGEST):
            text = " ".join(lines)
            lasts = _grid(min(max(_speaking(text), _reading(text), SHORTEST), LONGEST))
            yield Cue(at, at + lasts, lines, spoken(text), index)
            at += lasts
        at += REST


def _speaking(text: str) -> float:
    """How long a text is spoken [ms]; a hyphen parts words as a space does."""
    return len(spoken(text).replace("-", " ").split()) * 60_000 / WORDS_PER_MINUTE


def _reading(text: str) -> float:
    return len(text) * 1000 / MOST_READING


def _grid(time: float) -> int:
    """The next frame [ms]."""
    return math.ceil(time / FRAME) * FRAME


def clock(time: int) -> str:
    """A time [ms] as people read it: 0:07, 12:40, 1:02:03."""
    minutes, seconds = divmod(time // 1000, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02d}:{seconds:02d}" if hours else f"{minutes}:{seconds:02d}"
