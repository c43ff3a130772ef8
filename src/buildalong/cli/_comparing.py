"""The command compare: what was measured beside what was predicted."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from buildalong.cli._group import ERRORS, OK, UNREADABLE, attempted, lesson_command
from buildalong.cli._reading import bounded_text, read_lesson, refused
from buildalong.cli._show import Progress, say
from buildalong.cli._values import SEED, target_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from buildalong.circuit import Circuit
    from buildalong.lesson import Lesson
    from buildalong.measured import Comparison
    from buildalong.spread import Target

__all__: list[str] = []


@lesson_command('buildalong compare examples/lighthouse --saw "on_time(DS1) is 0.52 s"')
@click.option("--saw", multiple=True, help='What was measured, such as "on_time(DS1) is 0.52 s".')
@click.option("--recording", type=click.Path(), help="A CSV from an oscilloscope or a logic analyser.")
@click.option("--channel", default="", help="Channel of the recording; else the first.")
@click.option("--of", "of", default="", help="The light or net that the channel shows.")
@click.option("--samples", type=click.IntRange(10, 100_000), default=400, show_default=True,
              help="Builds to simulate.")  # fmt: skip
@SEED
def compare(
    lesson: str, as_json: bool, saw: tuple[str, ...], recording: str | None, channel: str, of: str,
    samples: int, seed: int,
) -> int:  # fmt: skip
    """Hold what you measured against what was predicted.

    Inside the spread or not, and which part value would explain it.
    """
    from buildalong.cli._json import write
    from buildalong.cli._values_json import compare_document
    from buildalong.measured import compare as explain
    from buildalong.spread import spread as build_many

    def work(progress: Progress) -> tuple[Circuit, list[Comparison]]:
        read = read_lesson(lesson)
        asked = _measurements(read, saw, recording, channel, of)
        targets = [target for target, _ in asked]
        found = build_many(read.circuit, read.trials, targets, samples=samples, seed=seed, progress=progress)
        pairs = zip(found.outcomes, asked, strict=True)
        return read.circuit, [
            explain(read.circuit, read.trials, outcome, value) for outcome, (_, value) in pairs
        ]

    done = attempted(work, as_json)
    if done is None:
        return UNREADABLE
    circuit, comparisons = done
    if as_json:
        say(write(compare_document(comparisons)))
    else:
        for comparison in comparisons:
            _show_comparison(comparison, circuit)
    return OK if all(comparison.inside for comparison in comparisons) else ERRORS


def _measurements(
    lesson: Lesson, saw: Sequence[str], recording: str | None, channel: str, of: str
) -> list[tuple[Target, float]]:
    from buildalong.lesson import targets_of
    from buildalong.measured import read_recording, rhythm_of
    from buildalong.quantity import Quantity
    from buildalong.spread import Target, name_of

    out: list[tuple[Target, float]] = []
    for text in saw:
        target = target_of(text, lesson)
        if target.wanted.unit in ("s", "Hz") and not target.wanted.value > 0.0:
            refused("measurement-senseless", f"'{text[:60]}': a {name_of(target.measure)} is above zero",
                    'write it like "on_time(DS1) is 0.52 s"')  # fmt: skip
        out.append((target, target.wanted.value))
    if recording:
        text = bounded_text(recording, 50_000_000)
        read = read_recording(text, recording)
        name = channel or next(iter(read.channels))
        if name not in read.channels:
            refused("unknown-channel", f"the recording has no channel '{name}'",
                    f"it has {', '.join(read.channels)}")  # fmt: skip
        rhythm = rhythm_of(read, name)
        if not rhythm:
            refused("no-rhythm", f"'{name}' never goes up and down again", "record at least two whole cycles")
        promised = [t for t in targets_of(lesson) if t.measure in rhythm and of in ("", t.of)]
        if not promised and of:
            trial = next((t.name for t in lesson.trials), "")
            units = {"frequency": "Hz", "duty": ""}
            promised = [
                Target(m, of, trial, Quantity(v, units.get(m, "s")), 0.1 * v) for m, v in rhythm.items()
            ]
        if not promised:
            refused(
                "nothing-promised", "no promise is about a rhythm", "say with --of which light or net it is"
            )
        out += [(t, rhythm[t.measure]) for t in promised]
    if not out:
        refused("nothing-measured", "nothing to compare", "give --saw or --recording")
    return out


def _standing(below: float) -> str:
    """Where a measurement lies among the builds, of which a share is below it."""
    if 0.005 <= below < 0.995:
        return f"{below:.0%} of all builds are below it"
    return "at its edge, hardly any build is " + ("below it" if below < 0.5 else "above it")


def _show_comparison(comparison: Comparison, circuit: Circuit) -> None:
    from buildalong.quantity import format_quantity

    unit = comparison.target.wanted.unit or "%"
    measured, predicted, low, high = (
        format_quantity(v, unit, 3)
        for v in (comparison.value, comparison.predicted, comparison.low, comparison.high)
    )
    say(f"{comparison.target}: measured {measured}, predicted {predicted}; 95 % of builds: {low} to {high}")
    if comparison.inside:
        say(f"  inside the spread: {_standing(comparison.below)}")
    else:
        say("  outside of all that tolerances explain")
    for each in comparison.explanations[:4]:
        rule = circuit.by_id[each.part].type.value
        name = format_quantity(each.value, rule.unit if rule else "", 3)
        was = format_quantity(each.nominal, rule.unit if rule else "", 3)
        fits = "within its tolerance" if each.within else "beyond its tolerance"
        say(f"  {each.part} alone would explain it with {name} in place of {was} ({each.off:+.0%}, {fits})")
    say()
