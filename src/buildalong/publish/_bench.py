"""The bench of an article: any moment of a run on the board, on the schematic and inside the ICs."""

from __future__ import annotations

from collections.abc import Sequence

from buildalong.drawing.motion import TIME_FROM_TO, Bench
from buildalong.lesson import Compiled
from buildalong.publish._metadata import data_of
from buildalong.publish._pictures import Pictures
from buildalong.publish._view import BenchView
from buildalong.words import numeral, say

__all__ = ["bench_view"]

TICKS = 10_000
"""Into so many the time of a bench is divided; voltages are whole hundredths of a volt."""


def bench_view(compiled: Compiled, pictures: Pictures, trial: str) -> BenchView | None:
    """The bench of a trial; None where another is followed, or none."""
    bench = pictures.bench
    if bench is None or bench.trial != trial:
        return None
    story = compiled.stories.get(trial, ())
    told = [
        (sentence.time, index)
        for index, sentence in enumerate(story)
        if (trial, index) in pictures.trials.marks and bench.span[0] <= sentence.time <= bench.span[1]
    ]
    parts = compiled.circuit.by_id
    return BenchView(
        _data(bench, told),
        bench.board.svg if bench.board else "",
        bench.schematic.svg,
        tuple((part, tuple(picture.svg for picture in found.pictures)) for part, found in bench.inside.items()),
        tuple(bench.curves),
        tuple((name, say(parts[name].type.noun)) for name in bench.on),
    )


def _data(bench: Bench, told: Sequence[tuple[float, int]]) -> str:
    start, end = bench.span

    def tick(time: float) -> int:
        return round((min(max(time, start), end) - start) / (end - start) * TICKS)

    return data_of(
        {
            "from": start,
            "to": end,
            "ticks": TICKS,
            "point": numeral("0.5")[1],
            "plot": TIME_FROM_TO,
            "curves": {
                net: [list(map(tick, times)), [round(100 * volt) for volt in volts]]
                for net, (times, volts) in bench.curves.items()
            },
            "on": {name: [[tick(a), tick(b)] for a, b in spans] for name, spans in bench.on.items()},
            "inside": {
                part: [[tick(time), place] for time, place in found.since]
                for part, found in bench.inside.items()
            },
            "told": [[tick(time), index] for time, index in told],
        }
    )
