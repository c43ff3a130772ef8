"""The command spread: how differently many builds behave, in words and pictures."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from buildalong.cli._group import OK, UNREADABLE, attempted, lesson_command
from buildalong.cli._reading import read_lesson
from buildalong.cli._show import Progress, say
from buildalong.cli._values import SEED, WANT, Finite, wanted_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from buildalong.drawing import Picture
    from buildalong.engine import Trial
    from buildalong.lesson import Lesson
    from buildalong.spread import Spread

__all__: list[str] = []

TEMPERATURE = click.option("--temperature", nargs=2, type=Finite(-20, 70), default=(25.0, 25.0),
                            show_default=True, help="Coldest and warmest room, °C.")  # fmt: skip


@lesson_command("buildalong spread examples/lighthouse --temperature 5 35 --output spread")
@WANT
@click.option("--samples", type=click.IntRange(10, 100_000), default=2000, show_default=True,
              help="Builds to simulate.")  # fmt: skip
@SEED
@TEMPERATURE
@click.option("--supply", nargs=2, type=Finite(0, 1), default=None,
              help="State of the supply, from 0 (spent) to 1 (fresh); else nominal.")  # fmt: skip
@click.option(
    "--output", type=click.Path(), help="Folder to write histograms and waveforms into, as SVG and PNG."
)
def spread(
    lesson: str, as_json: bool, want: tuple[str, ...], samples: int, seed: int,
    temperature: tuple[float, float], supply: tuple[float, float] | None, output: str | None,
) -> int:  # fmt: skip
    """Tell how differently many builds behave, and which part matters most.

    Every part somewhere within its tolerance, in as many simulated builds as you like.
    """
    from buildalong.cli._json import write
    from buildalong.cli._values_json import spread_document
    from buildalong.spread import Surroundings, sentence
    from buildalong.spread import spread as build_many

    around = Surroundings((min(temperature), max(temperature)), supply and (min(supply), max(supply)))

    def work(progress: Progress) -> tuple[Spread, tuple[str, ...]]:
        read = read_lesson(lesson)
        found = build_many(
            read.circuit, read.trials, wanted_of(read, want),
            samples=samples, seed=seed, surroundings=around, progress=progress,
        )  # fmt: skip
        return found, _pictures(found, read, output) if output else ()

    done = attempted(work, as_json)
    if done is None:
        return UNREADABLE
    found, files = done
    sentences = [sentence(outcome, found.circuit) for outcome in found.outcomes]
    if as_json:
        say(write(spread_document(found, sentences)))
    else:
        _show_spread(found, sentences)
        if files:
            say(f"{len(files)} files written to {output}")
    return OK


def _bands(found: Spread, trials: Sequence[Trial]) -> dict[str, Picture]:
    """The waveforms of each trial that was looked at, with the band in which other builds stay."""
    from buildalong.drawing import tolerance_band, usual_traces, waveforms
    from buildalong.engine import simulate

    asked = {outcome.target.trial for outcome in found.outcomes}
    out: dict[str, Picture] = {}
    for number, trial in enumerate((t for t in trials if t.name in asked), start=1):
        run = simulate(found.circuit, trial)
        span = (0.0, float(run.times[-1]))
        band = tolerance_band(run, usual_traces(run), span)
        if band is not None:
            out[f"band-{number}"] = waveforms(run, span=span, band=band)
    return out


def _pictures(found: Spread, read: Lesson, output: str) -> tuple[str, ...]:
    from buildalong.drawing import histogram, to_png
    from buildalong.publish import write_pack
    from buildalong.spread import name_of, shares

    files: dict[str, bytes] = {}
    for number, outcome in enumerate(found.outcomes, start=1):
        if not outcome.varies:  # a single bar tells nothing that its sentence does not
            continue
        target = outcome.target
        name = f"{name_of(target.measure)} of {target.of}"
        title = f"{read.title}: {name} in {found.samples} builds"
        picture = histogram(outcome, title, name, shares(outcome, 0.02))
        stem = f"{number}-{target.measure}-{target.of}".lower().replace("_", "-")
        files[f"{stem}.svg"] = picture.svg.encode()
        files[f"{stem}.png"] = to_png(picture)
    for stem, picture in _bands(found, read.trials).items():
        files[f"{stem}.svg"] = picture.svg.encode()
        files[f"{stem}.png"] = to_png(picture)
    return write_pack(Path(output), files)


def _show_spread(found: Spread, sentences: Sequence[str]) -> None:
    from buildalong.quantity import format_quantity
    from buildalong.spread import counted_errors, said_share, shares, surroundings

    for outcome, words in zip(found.outcomes, sentences, strict=True):
        unit = outcome.target.wanted.unit or "%"
        low, high, least, most = (
            format_quantity(v, unit, 3)
            for v in (outcome.low, outcome.high, outcome.least.value, outcome.most.value)
        )
        sure = " to ".join(map(said_share, outcome.sure))
        kept = said_share(outcome.kept)
        say(f"{outcome.target}: kept in {kept} of {found.samples} builds (95 % sure: {sure})")
        say(f"  95 % of builds: {low} to {high}; worst cases: {least} and {most}")
        told = ", ".join(shares(outcome, 0.005))
        if told:
            say(f"  share of the spread: {told}")
        if outcome.failed:
            say(f"  in {outcome.failed} builds it never happens")
        say(f"  {words}")
        say()
    say(surroundings(found))
    for line in counted_errors(found.circuit):
        say(line)
