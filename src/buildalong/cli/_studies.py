"""The commands that study a lesson's circuit: sweep, sensitivity, moment."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import click

from buildalong.cli._group import ERRORS, OK, UNREADABLE, lesson_command, print_findings
from buildalong.cli._show import Progress, say
from buildalong.cli._studies_show import show_moment, show_sensitivity, show_sweep

if TYPE_CHECKING:
    from buildalong.drawing import Picture
    from buildalong.engine import Trial
    from buildalong.lesson import Lesson
    from buildalong.study import Parameter

__all__: list[str] = []

Study = Callable[["Lesson", "Trial", Progress], None]
MOST_MEASURES = 6

trial_option = click.option("--trial", help="Name of the trial; without it the first one.")
measure_option = click.option(
    "--measure", "measures", multiple=True, required=True, help='What to measure, such as "on_time(DS1)".'
)
picture_option = click.option(
    "--picture", type=click.Path(), help="File to draw it into: .svg, or .png for a bitmap."
)


@lesson_command(
    "buildalong sweep examples/lighthouse --part R2 --from 100k --to 1M "
    '--measure "off_time(DS1)" --picture dark.svg'
)
@click.option("--part", required=True, help="What to move: R2, or a number of the part such as U1.trigger.")
@click.option("--from", "low", required=True, help="First value, such as 10k.")
@click.option("--to", "high", required=True, help="Last value.")
@click.option("--count", default=11, show_default=True, help="How many values, 2 to 1000.")
@click.option("--ratio", is_flag=True, help="Equal ratios instead of equal steps.")
@measure_option
@trial_option
@picture_option
@click.option("--waves", type=click.Path(), help="File for the waveforms at three of the values.")
def sweep(
    lesson: str, as_json: bool, part: str, low: str, high: str, count: int, ratio: bool,
    measures: tuple[str, ...], trial: str | None, picture: str | None, waves: str | None,
) -> int:  # fmt: skip
    """Measure while one number goes through a range."""

    def study(read: Lesson, chosen: Trial, progress: Progress) -> None:
        from buildalong.cli._json import write
        from buildalong.cli._studies_json import sweep_document
        from buildalong.lesson import asked_of
        from buildalong.study import find_parameter, spaced
        from buildalong.study import sweep as swept

        asked = [asked_of(text) for text in _few(measures)]
        which = find_parameter(read.circuit, part)
        values = spaced(_number(low, which.unit), _number(high, which.unit), count, ratio=ratio)
        found = swept(read.circuit, chosen, which, values, asked, progress=progress)
        files = []
        if picture:
            from buildalong.drawing import sweep_curves

            progress(1.0, "drawing")
            files.append(_keep(picture, sweep_curves(found, title=f"{read.title}: sweep of {which}")))
        if waves:
            progress(1.0, "drawing")
            files.append(_keep(waves, _waves(read, chosen, found.parameter, values, [a.of for a in asked])))
        progress.clear()
        if as_json:
            say(write(sweep_document(found, files)))
        else:
            show_sweep(found, files)

    return _studied(lesson, as_json, trial, study)


@lesson_command('buildalong sensitivity examples/lighthouse --measure "period(DS1)"')
@measure_option
@click.option("--part", "parts", multiple=True, help="What to move; without it every value and the supply.")
@trial_option
def sensitivity(
    lesson: str, as_json: bool, measures: tuple[str, ...], parts: tuple[str, ...], trial: str | None
) -> int:
    """Tell how strongly each part moves a measure: per cent for each per cent."""

    def study(read: Lesson, chosen: Trial, progress: Progress) -> None:
        from buildalong.cli._json import write
        from buildalong.cli._studies_json import sensitivity_document
        from buildalong.lesson import asked_of
        from buildalong.study import sensitivity as influences

        asked = [asked_of(text) for text in _few(measures)]
        found = influences(read.circuit, chosen, asked, parts, progress=progress)
        progress.clear()
        if as_json:
            say(write(sensitivity_document(found)))
        else:
            show_sensitivity(found)

    return _studied(lesson, as_json, trial, study)


@lesson_command('buildalong moment examples/lighthouse --at "3.2 s" --picture moment.svg')
@click.option("--at", help="Time in the trial, such as 3.2 s; without it the end.")
@trial_option
@picture_option
def moment(lesson: str, as_json: bool, at: str | None, trial: str | None, picture: str | None) -> int:
    """Tell every voltage and current at one moment, also on the schematic."""

    def study(read: Lesson, chosen: Trial, progress: Progress) -> None:
        from buildalong.cli._json import write
        from buildalong.cli._studies_json import moment_document
        from buildalong.engine import Options, simulate
        from buildalong.engine import moment as at_moment

        progress(0.1, f"simulating '{chosen.name}'")
        run = simulate(read.circuit, chosen, None, Options(bounce=read.bounces.get(chosen.name, 0.0)))
        end = float(run.times[-1])
        time = _number(at, "s") if at is not None else end
        if not 0 <= time <= end:
            raise _refused(
                "value-out-of-range", f"{at} is outside the trial", f"take a time from 0 s to {end:g} s"
            )
        point = at_moment(run, time)
        files = []
        if picture:
            from buildalong.drawing.schematic import STANDARDS, moment_picture
            from buildalong.publish import schematic_layout, variant_of
            from buildalong.store import user_store

            progress(0.3, "drawing the schematic")
            layout = schematic_layout(read, user_store())
            title = f"{read.title}, {time:g} s after switching on"
            drawn = moment_picture(
                read.circuit,
                layout,
                point.voltages,
                point.currents,
                standard=STANDARDS[read.symbols],
                title=title,
                tone=variant_of(read).tone,
            )
            files.append(_keep(picture, drawn))
        progress.clear()
        if as_json:
            say(write(moment_document(point, time, files)))
        else:
            show_moment(read.circuit, point, time, files)

    return _studied(lesson, as_json, trial, study)


def _studied(lesson: str, as_json: bool, trial: str | None, study: Study) -> int:
    """Read a lesson, choose the trial, and do a study on it; what cannot be done is told as findings."""
    from buildalong.finding import Severity, Unreadable
    from buildalong.lesson import load

    progress = Progress()
    try:
        read = load(lesson)
        if not read.sound:
            print_findings([f for f in read.findings if f.severity >= Severity.ERROR], as_json)
            return ERRORS
        study(read, _trial(read, trial), progress)
    except Unreadable as error:
        progress.clear()
        print_findings(error.findings, as_json)
        return UNREADABLE
    finally:
        progress.clear()
    return OK


def _trial(read: Lesson, name: str | None) -> Trial:
    from difflib import get_close_matches

    names = [trial.name for trial in read.trials]
    for trial in read.trials:
        if name in (None, trial.name):
            return trial
    near = get_close_matches(name or "", names, n=1)
    hint = f"did you mean '{near[0]}'?" if near else f"the trials are: {', '.join(names) or 'none'}"
    message = f"the lesson has no trial '{name}'" if name else "the lesson has no trial, so nothing runs"
    raise _refused("unknown-trial", message, hint)


def _few(measures: tuple[str, ...]) -> tuple[str, ...]:
    if len(measures) > MOST_MEASURES:
        raise _refused("count-out-of-range", f"at most {MOST_MEASURES} measures at a time", "ask for fewer")
    return measures


def _number(text: str, unit: str) -> float:
    from buildalong.quantity import QuantityError, parse_as

    try:
        return parse_as(text, unit)
    except QuantityError as error:
        raise _refused("value-unreadable", str(error), "") from None


def _refused(code: str, message: str, hint: str) -> Exception:
    from buildalong.finding import Finding, Severity, Unreadable

    return Unreadable(Finding(Severity.FATAL, code, message, hint))


def _waves(
    read: Lesson, trial: Trial, parameter: Parameter, values: tuple[float, ...], of: list[str]
) -> Picture:
    """What was measured at the first, the middle and the last value: curves of nets, bars of lights."""
    from buildalong.drawing import sweep_waves
    from buildalong.quantity import format_quantity
    from buildalong.study import runs_of

    few = min(3, len(values))
    chosen = [values[round(i * (len(values) - 1) / (few - 1))] for i in range(few)]
    runs = runs_of(read.circuit, trial, parameter, chosen)
    known = {*runs[0].nets, *read.circuit.by_id}
    traces = list(dict.fromkeys(name.partition(".")[0] for name in of if name.partition(".")[0] in known))
    lights = [p.id for p in read.circuit.parts if p.type.family in ("led", "buzzer", "motor")]
    shown = [t for t in traces if t in runs[0].nets or t in lights] or lights[:2]
    labels = [f"{parameter} = {format_quantity(value, parameter.unit, 3)}" for value in chosen]
    title = f"{read.title}: {', '.join(shown)} at {few} values of {parameter}"
    return sweep_waves(runs, labels, shown, title=title)


def _keep(name: str, picture: Picture) -> str:
    """Write a picture where the user wants it."""
    from pathlib import Path

    from buildalong.drawing import to_png

    file = Path(name)
    if file.suffix.lower() not in (".svg", ".png"):
        raise _refused(
            "picture-kind", f"'{name}' is no kind of picture known here", "end the name in .svg or .png"
        )
    try:
        file.write_bytes(to_png(picture) if file.suffix.lower() == ".png" else picture.svg.encode())
    except OSError as error:
        raise _refused("file-unwritable", f"'{name}' cannot be written: {error.strerror}", "") from None
    return name
