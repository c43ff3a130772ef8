"""The commands that look for a mistake: mistakes, trace."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from buildalong.cli._group import (
    ERRORS,
    OK,
    UNREADABLE,
    attempted,
    language_option,
    lesson_command,
    print_findings,
    texts_of,
)
from buildalong.cli._mistakes_show import (
    ask,
    show_advice,
    show_badness,
    show_mistakes,
    show_plan,
    show_symptoms,
)
from buildalong.cli._show import Progress, say, show_findings

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from buildalong.guide import Guide
    from buildalong.lesson import Compiled
    from buildalong.mistakes import Lab
    from buildalong.trace import Advice, Plan

__all__: list[str] = []


@lesson_command("buildalong mistakes examples/lighthouse --symptom nothing --plan")
@click.option("--symptom", help="Only the mistakes with this symptom, such as nothing.")
@click.option("--part", help="Only the mistakes at this part or wire, such as R1 or 'wire 2'.")
@click.option("--plan", "with_plan", is_flag=True, help="Print the search for each symptom besides.")
@language_option
def mistakes(
    lesson: str, as_json: bool, symptom: str | None, part: str | None, with_plan: bool, language: str
) -> int:
    """Make every single mistake of a build, and tell what comes of it.

    Each is simulated: what is seen, what is damaged, what is dangerous.  Stopped with Ctrl-C, it goes on
    from there the next time.
    """
    from buildalong.cli._guide_json import guide_object
    from buildalong.cli._json import write
    from buildalong.cli._mistakes_json import mistakes_document

    def work(progress: Progress) -> tuple[Compiled, Guide | None, Plan | None, frozenset[str]]:
        from buildalong.guide import guide_of
        from buildalong.trace import build_order, make_plan

        compiled, lab = _laboratory(lesson, progress, language)
        if lab is None:
            return compiled, None, None, frozenset()
        chosen = _chosen(lab, symptom, part)
        progress(0.98, "planning the search")
        with compiled.lesson.speaking():
            plan = make_plan(lab, build_order(compiled.steps))
            return compiled, guide_of(lab, compiled.steps), plan, chosen

    done = attempted(work, as_json)
    if done is None:
        return UNREADABLE
    compiled, guide, plan, chosen = done
    if guide is None or plan is None:
        return _unbuilt(compiled, as_json)
    lab = guide.lab
    with compiled.lesson.speaking():
        if as_json:
            say(write({**mistakes_document(lab, plan, chosen), **guide_object(guide, compiled.steps)}))
            return OK
        show_mistakes(lab, chosen, whole=part is not None)
        if with_plan:
            show_plan(plan, lab, symptom)
    say()
    say(
        f"{len(lab.outcomes)} mistakes make {lab.circuits} different circuits; {lab.unchanged} more change "
        "nothing."
    )
    say(
        f"The plan finds one in {plan.readings:.1f} readings on average; checking in the order of building "
        f"takes {plan.in_build_order:.1f}."
    )
    show_badness(guide, compiled.steps)
    return OK


@lesson_command("buildalong trace examples/lighthouse --symptom nothing --reading look-DS1=right")
@click.option("--symptom", help="What is seen, such as nothing; without it the symptoms are listed.")
@click.option("--failing", default="", help="What is seen while it fails, if it comes and goes.")
@click.option("--light", "lights", multiple=True, help="How one light differs, such as DS1=dark.")
@click.option(
    "--reading", "readings", multiple=True,
    help="A reading that was taken: look-R1=right or wrong, press-R1=yes, volts-1-12L=4.8, or =unknown.",
)  # fmt: skip
@language_option
def trace(
    lesson: str, as_json: bool, symptom: str | None, failing: str, lights: tuple[str, ...],
    readings: tuple[str, ...], language: str,
) -> int:  # fmt: skip
    """Find a mistake: tell the symptom, get the reading that tells most next.

    On a terminal it goes on asking until the cause is found; otherwise it prints the next reading.
    """
    import sys

    from buildalong.cli._json import write
    from buildalong.cli._mistakes_json import trace_document

    def work(progress: Progress) -> tuple[Compiled, Lab | None, Advice | None]:
        compiled, lab = _laboratory(lesson, progress, language)
        with compiled.lesson.speaking():
            return (
                compiled,
                lab,
                _advice(lab, symptom, failing, _lights(lights), readings) if lab is not None else None,
            )

    done = attempted(work, as_json)
    if done is None:
        return UNREADABLE
    compiled, lab, advice = done
    if lab is None:
        return _unbuilt(compiled, as_json)
    with compiled.lesson.speaking():
        if as_json:
            say(write(trace_document(lab, symptom or "", advice)))
        elif sys.stdin.isatty() and sys.stdout.isatty():
            ask(lab, symptom, failing, _lights(lights), readings)
        elif advice is None:
            show_symptoms(lab)
        else:
            show_advice(lab, advice)
    return OK


def _lights(texts: Sequence[str]) -> dict[str, str]:
    """Read "DS1=dark"; raises ValueError with what was expected."""
    out: dict[str, str] = {}
    for text in texts:
        light, equals, kind = text[:100].partition("=")
        if not equals:
            raise ValueError(f"'{text[:40]}' is no light: write it as DS1=dark")
        out[light.strip()] = kind.strip()
    return out


def _advice(
    lab: Lab, symptom: str | None, failing: str, lights: Mapping[str, str], readings: Sequence[str]
) -> Advice | None:
    from buildalong.trace import given_from, next_reading

    if symptom is None:
        if readings or failing or lights:
            raise ValueError(f"--reading, --failing and --light go with --symptom; {_symptoms(lab)}")
        return None
    return next_reading(lab, symptom, given_from(lab, readings), failing=failing, lights=lights)


def _laboratory(lesson: str, progress: Progress, language: str) -> tuple[Compiled, Lab | None]:
    """The board of a lesson and all its mistakes; None where there is no sound board."""
    from buildalong.lesson import compile_lesson
    from buildalong.mistakes import laboratory
    from buildalong.store import user_store

    store = user_store()
    compiled = compile_lesson(lesson, want=("board",), progress=progress, store=store, language=language)
    if compiled.layout is None or not compiled.lesson.sound or not compiled.lesson.trials:
        return compiled, None
    with compiled.lesson.speaking():
        lab = laboratory(
            compiled.circuit, compiled.layout, compiled.lesson.trials,
            wishes=compiled.lesson.wishes, store=store, progress=progress,
        )  # fmt: skip
    return compiled, lab


def _unbuilt(compiled: Compiled, as_json: bool) -> int:
    """Say why there is no board whose mistakes could be made."""
    from buildalong.finding import Finding, Severity

    findings = list(compiled.findings)
    if not compiled.lesson.trials and compiled.layout is not None:
        hint = "add a [[trial]]: mistakes are told from what they change in it"
        findings.append(Finding(Severity.ERROR, "no-trial", "the lesson has no trial", hint))
    if as_json:
        print_findings(findings, as_json)
    else:
        show_findings(findings, texts_of(compiled))
        say("no mistakes were made: mend the errors first")
    return ERRORS


def _chosen(lab: Lab, symptom: str | None, part: str | None) -> frozenset[str]:
    """Ids of the mistakes asked for; raises ValueError where there is nothing of the name."""
    subjects = {subject for o in lab.outcomes for subject in o.mistake.subjects}
    if part is not None and part not in subjects:
        raise ValueError(f"there is no '{part[:40]}' on this board; there are: {', '.join(sorted(subjects))}")
    if symptom is not None and symptom not in {o.symptom for o in lab.outcomes}:
        raise ValueError(f"no single mistake of this build shows '{symptom[:40]}'; {_symptoms(lab)}")
    return frozenset(
        o.mistake.id
        for o in lab.outcomes
        if symptom in (None, o.symptom) and (part is None or part in o.mistake.subjects)
    )


def _symptoms(lab: Lab) -> str:
    from buildalong.trace import by_symptom

    return f"they show: {', '.join(dict.fromkeys(seen.symptom for seen in by_symptom(lab)))}"
