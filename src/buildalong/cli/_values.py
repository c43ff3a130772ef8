"""The commands about values and what becomes of them: choose, spread, battery, compare."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

import click

from buildalong.cli._group import ERRORS, OK, UNREADABLE, attempted, lesson_command, print_findings
from buildalong.cli._reading import bounded_text, read_drawer_file, read_lesson, refused, telling
from buildalong.cli._show import Progress, say, table

if TYPE_CHECKING:
    from collections.abc import Sequence

    from buildalong.battery import Life, Lowest, Use
    from buildalong.choose import Choice, Drawer, Free, Refusal
    from buildalong.circuit import Circuit, Part
    from buildalong.finding import Finding
    from buildalong.lesson import Lesson
    from buildalong.measured import Comparison
    from buildalong.spread import Spread, Target

__all__: list[str] = []

_Battery: TypeAlias = (
    "tuple[tuple[Use, ...], dict[str, tuple[Life, ...]], tuple[Lowest, ...], tuple[float, str], float]"
)

_WANT = click.option(
    "--want", multiple=True, help='A target such as "on_time(DS1) is 0.6 s within 10 %"; else the promises.'
)
_SEED = click.option("--seed", type=click.IntRange(0, 2**31 - 1), default=1, show_default=True,
                     help="Seed of the samples.")  # fmt: skip
_TEMPERATURE = click.option("--temperature", nargs=2, type=click.FloatRange(-20, 70), default=(25.0, 25.0),
                            show_default=True, help="Coldest and warmest room, °C.")  # fmt: skip


def _targets(lesson: Lesson, want: Sequence[str]) -> tuple[Target, ...]:
    from buildalong.lesson import targets_of

    found = tuple(_target(text, lesson) for text in want) if want else targets_of(lesson)
    if not found:
        refused(
            "nothing-wanted", "the lesson promises nothing that can be measured", "give a target with --want"
        )
    return found


def _target(text: str, lesson: Lesson) -> Target:
    """A target as typed, in the unit that its measure has."""
    from buildalong.engine import MEASURES
    from buildalong.lesson import read_target

    found = read_target(text, lesson)
    known = MEASURES.get(found.measure)
    if known is not None and known.unit != found.wanted.unit:
        given = f"in {found.wanted.unit}" if found.wanted.unit else "a number without a unit"
        wanted = f"in {known.unit}" if known.unit else "a share, such as 20 %"
        refused("target-unit", f"'{text[:60]}' is {given}, but {found.measure} is {wanted}",
                'write it like "on_time(DS1) is 0.6 s"')  # fmt: skip
    return found


@lesson_command('buildalong choose examples/lighthouse --free R1,R2,C1 --want "on_time(DS1) is 0.6 s"')
@click.option("--free", "names", default="", help="Parts to choose, as R1,R2,C1; else those left open.")
@_WANT
@click.option("--series", default="", help="Preferred numbers: E3 to E192; else the usual ones.")
@click.option("--drawer", type=click.Path(), help="A CSV of the parts that the class owns.")
@click.option("--between", nargs=3, multiple=True, metavar="PART LOW HIGH", help="Limits of a value.")
@click.option("--pairs", is_flag=True, help="Try two parts in one place even where single ones do.")
@click.option("--ideal", is_flag=True, help="By the textbook's formula alone, to compare with a book.")
@click.option("--rows", type=click.IntRange(1, 100), default=12, show_default=True, help="Rows of the table.")
def choose(
    lesson: str, as_json: bool, names: str, want: tuple[str, ...], series: str, drawer: str | None,
    between: tuple[tuple[str, str, str], ...], pairs: bool, ideal: bool, rows: int,
) -> int:  # fmt: skip
    """Choose values that keep the promises, from parts that people own.

    Every row was simulated with real parts.  A part is left open with value = "choose" in the lesson.
    """
    from buildalong.choose import choose as search
    from buildalong.cli._json import write
    from buildalong.cli._values_json import choose_document

    faults: list[Finding] = []

    def work(progress: Progress) -> Choice:
        read = read_lesson(lesson, open_values=True)
        stock: Drawer | None = None
        if drawer:
            stock, found = read_drawer_file(drawer)
            faults.extend(found)
        with telling(faults):
            free = _free(read, names, series, stock, between)
            return search(
                read.circuit, read.trials, _targets(read, want), free,
                shown=rows, pairs=pairs or None, ideal=ideal, progress=progress,
            )  # fmt: skip

    choice = attempted(work, as_json)
    if choice is None:
        return UNREADABLE
    if as_json:
        say(write(choose_document(choice, faults)))
    else:
        print_findings(faults, as_json=False)
        _show_choice(choice)
    return OK if any(option.kept for option in choice.options) else ERRORS


def _free(
    lesson: Lesson, names: str, series: str, drawer: Drawer | None, between: Sequence[tuple[str, str, str]]
) -> tuple[Free, ...]:
    """The free parts with their candidates: named ones, else those that the lesson leaves open."""
    from buildalong.choose import Free, from_drawer, from_series

    circuit = lesson.circuit
    wanted = [name.strip() for name in names.split(",") if name.strip()]
    if not wanted:
        wanted = [p.id for p in circuit.parts if p.type.value is not None and p.value is None]
    if not wanted:
        refused(
            "nothing-free",
            "no part is free to choose",
            'name some with --free R1,C1, or write value = "choose"',
        )
    limits = {name: (low, high) for name, low, high in between}
    for name in [*wanted, *limits]:
        if name not in circuit.by_id or circuit.by_id[name].type.value is None:
            known = ", ".join(p.id for p in circuit.parts if p.type.value is not None)
            refused("unknown-part", f"there is no part '{name}' with a value", f"parts with values: {known}")
    for name in limits:
        if name not in wanted:
            refused("not-free", f"--between limits {name}, which is not to be chosen",
                    f"name it with --free {','.join([*wanted, name])}")  # fmt: skip
    out = []
    for name in dict.fromkeys(wanted):
        part = circuit.by_id[name]
        low, high = _range(part, limits.get(name), tight=drawer is None)
        found = from_drawer(part, drawer.stock, low, high) if drawer else from_series(part, series, low, high)
        if not found and drawer is not None:
            refused("nothing-there", f"the drawer holds no {part.type.noun} that could be {name}",
                    f"add a row of '{part.type.id}' with a value, or take --between wider")  # fmt: skip
        out.append(Free(part, found))
    return tuple(out)


_USUAL = {"Ω": (1e3, 1e6), "F": (1e-9, 1e-3)}
"""Where a lesson leaves a value open, timing resistors and capacitors lie here (common practice)."""
_AROUND = 30.0


def _range(part: Part, given: tuple[str, str] | None, *, tight: bool) -> tuple[float | None, float | None]:
    from buildalong.quantity import parse_as

    unit = part.type.value.unit if part.type.value is not None else ""
    if given is not None:
        low, high = parse_as(given[0], unit), parse_as(given[1], unit)
        if not 0.0 < low <= high:
            refused("limits-senseless", f"{part.id} cannot lie between {given[0]} and {given[1]}",
                    "give two limits above zero, the smaller one first")  # fmt: skip
        return low, high
    if not tight:
        return None, None
    if part.value is not None:
        return part.value / _AROUND, part.value * _AROUND
    return _USUAL.get(unit, (None, None))


def _show_choice(choice: Choice) -> None:
    from buildalong.quantity import format_quantity

    shown = {free.part.id: free for free in choice.free}
    heads = [*shown, *(str(t) for t in choice.targets), "off", "spread", "values", "cost", ""]
    rows = [heads]
    for option in choice.options:
        rows.append([
            *(
                shown[name].shown(candidate) + (" *" if name in option.known else "")
                for name, candidate in option.candidates.items()
            ),
            *(format_quantity(v, t.wanted.unit or "%", 3) for t, v in option.measured(choice.targets)),
            f"{option.error:.2f}",
            f"± {option.spread:.0%}",
            str(option.different),
            "-" if option.cost is None else f"{option.cost:.2f}",
            "keeps all" if option.kept else "misses",
        ])  # fmt: skip
    if choice.options:
        table(rows)
        say()
        say("off: 1.00 is the edge of what is allowed; spread: tolerances alone, all the worst way;")
        say("values: different values in the whole circuit")
        if any(option.known for option in choice.options):
            say("*: another part of the lesson has this value already")
    else:
        say("nothing serves")
    if choice.refused:
        say()
        say("refused:")
        for refusal in choice.refused[:5]:
            say(f"  {_with_values(refusal, choice)}: {refusal.why}")
        if len(choice.refused) > 5:
            say(f"  and {len(choice.refused) - 5} more (all with --json)")
    say()
    if choice.simulated:
        sure = "no other can come nearer" if choice.exact else "others may come nearer: narrow the ranges"
        say(
            f"{choice.simulated} of {choice.grid} combinations simulated; by the forecast for the rest {sure}"
        )
    else:
        say(f"{choice.grid} combinations by the formula; none simulated")


def _with_values(refusal: Refusal, choice: Choice) -> str:
    """The values that were refused: ``R1 330 Ω, C1 10 µF``."""
    from buildalong.quantity import format_quantity

    units = {free.part.id: free.unit for free in choice.free}
    return ", ".join(f"{name} {format_quantity(v, units[name], 3)}" for name, v in refusal.values.items())


@lesson_command("buildalong spread examples/lighthouse --temperature 5 35 --output spread")
@_WANT
@click.option("--samples", type=click.IntRange(10, 100_000), default=2000, show_default=True,
              help="Builds to simulate.")  # fmt: skip
@_SEED
@_TEMPERATURE
@click.option("--supply", nargs=2, type=click.FloatRange(0, 1), default=None,
              help="State of the supply, from 0 (spent) to 1 (fresh); else nominal.")  # fmt: skip
@click.option("--output", type=click.Path(), help="Folder to write the histograms into, as SVG and PNG.")
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
            read.circuit, read.trials, _targets(read, want),
            samples=samples, seed=seed, surroundings=around, progress=progress,
        )  # fmt: skip
        return found, _pictures(found, output) if output else ()

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


def _pictures(found: Spread, output: str) -> tuple[str, ...]:
    from buildalong.drawing import histogram, to_png
    from buildalong.publish import write_pack
    from buildalong.spread import name_of

    files: dict[str, bytes] = {}
    for number, outcome in enumerate(found.outcomes, start=1):
        if outcome.failed == len(outcome.values):
            continue
        target = outcome.target
        name = f"{name_of(target.measure)} of {target.of}"
        shares = [f"{part} {share:.0%}" for part, share in outcome.shares.items() if share >= 0.02]
        why = f"Share of each part in the spread: {', '.join(shares)}" if shares else ""
        title = f"{name[:1].upper()}{name[1:]} in {found.samples} simulated builds"
        picture = histogram(outcome, title, name, why)
        stem = f"{number}-{target.measure}-{target.of}".lower().replace("_", "-")
        files[f"{stem}.svg"] = picture.svg.encode()
        files[f"{stem}.png"] = to_png(picture)
    return write_pack(Path(output), files)


def _show_spread(found: Spread, sentences: Sequence[str]) -> None:
    from buildalong.quantity import format_quantity
    from buildalong.spread import counted_errors, surroundings

    for outcome, words in zip(found.outcomes, sentences, strict=True):
        unit = outcome.target.wanted.unit or "%"
        low, high, least, most = (
            format_quantity(v, unit, 3)
            for v in (outcome.low, outcome.high, outcome.least.value, outcome.most.value)
        )
        sure = " to ".join(f"{share:.1%}" for share in outcome.sure)
        say(f"{outcome.target}: kept in {outcome.kept:.1%} of {found.samples} builds (95 % sure: {sure})")
        say(f"  95 % of builds: {low} to {high}; worst cases: {least} and {most}")
        shares = [f"{part} {share:.0%}" for part, share in outcome.shares.items() if share >= 0.005]
        if shares:
            say(f"  share of the spread: {', '.join(shares)}")
        if outcome.failed:
            say(f"  in {outcome.failed} builds it never happens")
        say(f"  {words}")
        say()
    say(surroundings(found))
    for line in counted_errors(found.circuit):
        say(line)


@lesson_command("buildalong battery examples/lighthouse")
@_WANT
def battery(lesson: str, as_json: bool, want: tuple[str, ...]) -> int:
    """Tell how long each supply lasts, and down to which voltage the promises hold."""
    from buildalong.battery import least_supply, lives, lowest, switch_off, used
    from buildalong.cli._json import write
    from buildalong.cli._values_json import battery_document
    from buildalong.parts import catalogue

    def work(progress: Progress) -> _Battery:
        read = read_lesson(lesson)
        uses = used(read.circuit, read.trials)
        kinds = [kind for kind in catalogue().values() if kind.family == "supply"]
        hours = {use.trial: lives(read.circuit, use.current, kinds) for use in uses}
        found = lowest(read.circuit, read.trials, _targets(read, want), progress)
        return uses, hours, found, least_supply(read.circuit), switch_off(read.circuit, found)

    done = attempted(work, as_json)
    if done is None:
        return UNREADABLE
    if as_json:
        say(write(battery_document(*done)))
    else:
        _show_battery(*done)
    return OK


def _show_battery(
    uses: Sequence[Use], hours: dict[str, tuple[Life, ...]], found: Sequence[Lowest],
    least: tuple[float, str], off: float,
) -> None:  # fmt: skip
    from buildalong.quantity import format_quantity

    for use in uses:
        say(f"'{use.trial}', over and over: {format_quantity(use.current, 'A', 3)} on average")
        for life in hours[use.trial]:
            name = f"{life.cells} × {life.type.title}" if life.cells > 1 else life.type.title
            lasts = life.why
            if life.hours is not None:
                lasts = f"{'more than ' if life.beyond else 'about '}{format_quantity(life.hours, '', 2)} h"
            say(f"  {name}: {lasts}")
        say()
    own = [hours[use.trial][0] for use in uses if hours[use.trial]]

    def lasting(volts: float | None) -> str:
        """For how long the lesson's own supply stays above a voltage, in the trial that takes most."""
        known = [life.until(volts) for life in own if life.cells and life.type.id == own[0].type.id]
        least = min((h for h in known if h is not None), default=None)
        return "" if least is None else f", for about {format_quantity(least, '', 2)} h"

    for each in found:
        if each.volts is None:
            say(f"{each.target}: not kept even at the nominal voltage")
        elif each.to_the_end:
            say(f"{each.target}: kept until the supply is spent ({format_quantity(each.volts, 'V', 3)})")
        else:
            say(f"{each.target}: kept down to {format_quantity(each.volts, 'V', 3)}{lasting(each.volts)}")
    if least[1]:
        say(f"{least[1]} is promised by its maker to work from {format_quantity(least[0], 'V', 3)}")
    if any(life.hours is not None for lives in hours.values() for life in lives):
        say("hours of a supply: until its cells are empty, by their maker's chart")
    volts = format_quantity(off, "V", 3)
    say(f"change the cells, or switch off, at {volts} (measured without load){lasting(off)}")


@lesson_command('buildalong compare examples/lighthouse --saw "on_time(DS1) is 0.52 s"')
@click.option("--saw", multiple=True, help='What was measured, such as "on_time(DS1) is 0.52 s".')
@click.option("--recording", type=click.Path(), help="A CSV from an oscilloscope or a logic analyser.")
@click.option("--channel", default="", help="Channel of the recording; else the first.")
@click.option("--of", "of", default="", help="The light or net that the channel shows.")
@click.option("--samples", type=click.IntRange(10, 100_000), default=400, show_default=True,
              help="Builds to simulate.")  # fmt: skip
@_SEED
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
    from buildalong.spread import Target

    out: list[tuple[Target, float]] = []
    for text in saw:
        target = _target(text, lesson)
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


def _show_comparison(comparison: Comparison, circuit: Circuit) -> None:
    from buildalong.quantity import format_quantity

    unit = comparison.target.wanted.unit or "%"
    measured, predicted, low, high = (
        format_quantity(v, unit, 3)
        for v in (comparison.value, comparison.predicted, comparison.low, comparison.high)
    )
    say(f"{comparison.target}: measured {measured}, predicted {predicted}; 95 % of builds: {low} to {high}")
    if comparison.inside:
        say(f"  inside the spread: {comparison.below:.0%} of all builds are below it")
    else:
        say("  outside of all that tolerances explain")
    for each in comparison.explanations[:4]:
        rule = circuit.by_id[each.part].type.value
        name = format_quantity(each.value, rule.unit if rule else "", 3)
        was = format_quantity(each.nominal, rule.unit if rule else "", 3)
        fits = "within its tolerance" if each.within else "beyond its tolerance"
        say(f"  {each.part} alone would explain it with {name} in place of {was} ({each.off:+.0%}, {fits})")
    say()
