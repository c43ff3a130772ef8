"""The replay of an article: any moment of a run on the board, on the schematic and inside the ICs."""

from __future__ import annotations

from collections.abc import Sequence

from buildalong.drawing import said_at_rest, said_at_work
from buildalong.drawing.motion import TIME_FROM_TO, Replay
from buildalong.lesson import Compiled
from buildalong.publish import _words as words
from buildalong.publish._metadata import data_of
from buildalong.publish._pictures import Pictures
from buildalong.publish._view import ReplayView
from buildalong.words import numeral, say

__all__ = ["replay_view"]

TICKS = 10_000
"""Into so many the time of a replay is divided; voltages are whole hundredths of a volt."""


def replay_view(compiled: Compiled, pictures: Pictures, trial: str) -> ReplayView | None:
    """The replay of a trial; None where another is followed, or none."""
    replay = pictures.replay
    if replay is None or replay.trial != trial:
        return None
    story = compiled.stories.get(trial, ())
    told = [
        (sentence.time, index)
        for index, sentence in enumerate(story)
        if (trial, index) in pictures.trials.marks and replay.span[0] <= sentence.time <= replay.span[1]
    ]
    parts = compiled.circuit.by_id
    shown = pictures.trials.waveforms
    waves = shown.get((trial, "closer")) or shown[trial, ""]  # as many as stand there, the last is scrubbed
    return ReplayView(
        _data(replay, told, waves.head, waves.foot),
        replay.board.told(say(words.MOMENT_BOARD)).svg if replay.board else "",
        replay.schematic.told(say(words.MOMENT_SCHEMATIC)).svg,
        tuple(
            (part, tuple(picture.svg for picture in found.pictures)) for part, found in replay.inside.items()
        ),
        tuple(replay.curves),
        tuple((name, said_at_work(parts[name]), said_at_rest(parts[name])) for name in replay.on),
    )


def _data(replay: Replay, told: Sequence[tuple[float, int]], head: float, foot: float) -> str:
    start, end = replay.span

    def tick(time: float) -> int:
        return round((min(max(time, start), end) - start) / (end - start) * TICKS)

    return data_of(
        {
            "from": start,
            "to": end,
            "ticks": TICKS,
            "point": numeral("0.5")[1],
            "plot": TIME_FROM_TO,
            "head": round(head),
            "foot": round(foot),
            "curves": {
                net: [list(map(tick, times)), [round(100 * volt) for volt in volts]]
                for net, (times, volts) in replay.curves.items()
            },
            "on": {name: [[tick(a), tick(b)] for a, b in spans] for name, spans in replay.on.items()},
            "inside": {
                part: [[tick(time), place] for time, place in found.since]
                for part, found in replay.inside.items()
            },
            "told": [[tick(time), index] for time, index in told],
        }
    )
