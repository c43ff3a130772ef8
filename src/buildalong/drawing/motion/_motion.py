"""Moving pictures: a still picture, and the style sheet that moves it while it is asked to."""

from __future__ import annotations

import math
import re
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from buildalong.drawing._picture import Picture
from buildalong.drawing._svg import number

__all__ = ["FLASHES", "Motion", "Track", "factor_for", "flashes", "sheet"]

PLAYING = ":is(.play,.pause):checked~.plate"
"""A page moves a picture while its 'play' is chosen, and holds it while 'pause' is."""
FLASHES = 3
"""Most flashes in any second (WCAG 2.2, success criterion 2.3.1); we stay one below."""
SHORTEST = 5.0
"""An animation should last at least so long [s]; our choice."""
TOGETHER = 0.1
"""Changes within this time [s] of the first count as one; faster flicker still counts ten a second."""
FACTORS = tuple(sorted(m * 10.0**p for p in range(-4, 7) for m in (1, 2, 5)))


@dataclass(frozen=True, slots=True)
class Motion:
    """A picture that can move: ``picture`` alone is still and whole; ``css`` moves it for ``seconds``.

    ``factor``: how many times slower than real it plays (below 1: faster), 0 where time means nothing.
    ``span`` [s] is the part of the run that it plays, ``on`` when each light shines or button is pressed
    in it [s], ``tracks`` what moves; ``told`` says in words what is seen at a time of it [s].
    """

    picture: Picture
    css: str
    seconds: float
    factor: float = 0.0
    span: tuple[float, float] = (0.0, 0.0)
    on: Mapping[str, tuple[tuple[float, float], ...]] = field(default_factory=dict)
    tracks: tuple[Track, ...] = ()
    told: Callable[[float], str] | None = field(default=None, compare=False)

    def at(self, time: float) -> Picture:
        """The picture as it stands at a time of the run [s]."""
        svg = self.picture.svg
        for track in self.tracks:
            svg = _set(svg, track, time)
        picture = replace(self.picture, svg=svg)
        return picture.told(self.told(time)) if self.told else picture


@dataclass(frozen=True, slots=True)
class Track:
    """Values of one CSS property of one element over time [s]; ``steps`` holds each until the next."""

    name: str
    property: str
    points: tuple[tuple[float, str], ...]
    steps: bool = False


def _set(svg: str, track: Track, time: float) -> str:
    """Put the value of a track at a time into the element that it moves."""
    times = [point[0] for point in track.points]
    after = bisect_right(times, time)
    value = track.points[max(after - 1, 0)][1]
    if not track.steps and 0 < after < len(times):
        share = (time - times[after - 1]) / (times[after] - times[after - 1])
        ends = [
            float(found[1])
            for _, text in track.points[after - 1 : after + 1]
            if (found := _PIXELS.search(text))
        ]
        value = _PIXELS.sub(f"{number(ends[0] + share * (ends[1] - ends[0]))}px", value)
    if moved := _MOVED.fullmatch(value):
        value = f"translate({moved[2]} 0)" if moved[1] == "X" else f"translate(0 {moved[2]})"
    return re.sub(
        rf'(class="{re.escape(track.name)}" {track.property})="[^"]*"', rf'\1="{value}"', svg, count=1
    )


_PIXELS = re.compile(r"(-?[\d.]+)px")
_MOVED = re.compile(r"translate([XY])\((-?[\d.]+)px\)")


def sheet(tracks: Iterable[Track], start: float, end: float, seconds: float) -> str:
    """The style sheet that plays tracks from ``start`` to ``end`` (of the run) in ``seconds``, over and over.

    Nothing moves for a reader who asks for reduced motion. Tracks that say the same share one set of key
    frames, named after the first of them.
    """
    rules: list[str] = []
    named: dict[str, str] = {}
    for track in tracks:
        frames: list[str] = []
        last = -1.0
        for time, value in track.points:
            share = min(max((time - start) / (end - start), 0.0), 1.0) * 100
            # Two values at one time are a jump: the second comes a hair later.
            share = max(share, last + 0.01) if last >= 0 else share
            if share > 100:
                continue
            frames.append(f"{number(share)}%{{{track.property}:{value}}}")
            last = round(share, 2)
        if not frames:
            continue
        pace = "step-end" if track.steps else "linear"
        body = "".join(frames)
        if body not in named:
            named[body] = track.name
            rules.append(f"@keyframes {track.name}{{{body}}}")
        played = f"{named[body]} {number(seconds)}s {pace} infinite"
        rules.append(f"{PLAYING} .{track.name}{{animation:{played}}}")
    return "@media (prefers-reduced-motion:no-preference){\n" + "\n".join(rules) + "\n}\n" if rules else ""


def flashes(times: Sequence[float], whole: float) -> int:
    """Most changes to bright in any one second of an endless loop of ``whole`` seconds."""
    rounds = max(2, math.ceil(1.0 / whole) + 1) if whole > 0 else 2
    played: list[float] = []
    for time in (time + turn * whole for turn in range(rounds) for time in sorted(times)):
        if not played or time - played[-1] >= TOGETHER:
            played.append(time)
    return max((bisect_left(played, time + 1.0) - index for index, time in enumerate(played)), default=0)


def factor_for(times: Sequence[float], span: float) -> float:
    """How many times slower than real a time of ``span`` [s] plays, so that nothing flashes too often.

    ``times`` [s] from its beginning are those at which something becomes bright.
    """
    for factor in FACTORS:
        if span * factor >= SHORTEST and flashes([t * factor for t in times], span * factor) < FLASHES:
            return factor
    return FACTORS[-1]
