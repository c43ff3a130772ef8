"""The command publish: the pack of a lesson or a course, once or again whenever it changes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from buildalong.cli._group import ERRORS, OK, UNREADABLE, language_option, lesson_command, print_findings
from buildalong.cli._show import Progress, say

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from buildalong.publish import CourseMade, Published

__all__: list[str] = []

SHOWN = 6
"""Files that are named when a pack is written again; the others are counted."""


def _products(context: click.Context, option: click.Parameter, value: str | None) -> tuple[str, ...]:
    """The products in a list with commas; all without one."""
    from difflib import get_close_matches

    from buildalong.publish import PRODUCTS

    if value is None:
        return PRODUCTS
    names = [name.strip() for name in value.split(",") if name.strip()]
    for name in names:
        if name not in PRODUCTS:
            near = get_close_matches(name, PRODUCTS, n=1)
            hint = f"did you mean '{near[0]}'?" if near else f"there are {', '.join(PRODUCTS)}"
            raise click.BadParameter(f"no product '{name}': {hint}", context, option)
    if not names:
        raise click.BadParameter("it names no product", context, option)
    return tuple(names)


@lesson_command("buildalong publish examples/lighthouse --output pack --only article,cards")
@click.option("--output", required=True, type=click.Path(), help="Folder to write the lesson pack into.")
@click.option(
    "--only", callback=_products,
    help="Make only these, with commas between them: article, cards, parts, faults, handout, pictures; "
    "other files in the folder stay.",
)  # fmt: skip
@click.option(
    "--hand",
    type=click.Choice(["right", "left"]),
    help="Hand that builds; left turns the board by half a turn.",
)
@click.option(
    "--contrast", type=click.Choice(["usual", "high"]), help="High: black lines on white, for weak eyes."
)
@click.option(
    "--faults/--no-faults",
    default=True,
    help="Simulate every plausible mistake, for the fault finder and the cautions (kept for the next time).",
)
@click.option("--cores", type=click.IntRange(1, 64), help="Processes that work; without it, all cores.")
@language_option
@click.option("--watch", is_flag=True, help="Stay, and publish again whenever it changes; Ctrl-C ends.")
def publish(
    lesson: str, as_json: bool, output: str, only: tuple[str, ...], hand: Any, contrast: Any, faults: bool,
    cores: int | None, watch: bool, language: str,
) -> int:  # fmt: skip
    """Write the lesson pack: article, fault finder, handouts, pictures, parts list.

    Only what has changed since the last time is made again.  A folder of lesson folders is a course: all
    its lessons are published, with a page that leads to them (docs/course.md).
    """
    from buildalong.finding import Unreadable
    from buildalong.lesson import is_course
    from buildalong.publish import cores_here, publish_lesson
    from buildalong.store import user_store

    if watch and as_json:
        raise click.UsageError("--watch goes on and on; --json is one document")
    options: dict[str, Any] = {
        "only": only, "hand": hand, "contrast": contrast, "faults": faults,
        "store": user_store(), "cores": cores or cores_here(), "language": language,
    }  # fmt: skip

    def once(heard: Callable[[], None] = lambda: None) -> int:
        progress = Progress()

        def tell(what: str) -> None:
            heard()
            progress.tell(what)

        try:
            if is_course(lesson):
                from buildalong.publish import publish_course

                course = publish_course(lesson, output, progress=tell, **options)
                progress.clear()
                return _course_told(course, output, as_json)
            done = publish_lesson(lesson, output, progress=tell, **options)
            progress.clear()
            return _told(done, output, as_json, again=watch)
        except Unreadable as error:
            progress.clear()
            print_findings(error.findings, as_json)
            return UNREADABLE
        finally:
            progress.clear()

    if watch:
        from buildalong.cli._watch import watched

        return watched(lesson, output, once)
    return once()


def _told(done: Published, output: str, as_json: bool, *, again: bool) -> int:
    """Tell what was published of a lesson."""
    from buildalong.cli._json import publish_document, write

    if as_json and done.pack is not None:
        say(write(publish_document(output, done.pack.files, done.pack.changed, done.findings)))
        return OK
    print_findings(done.findings, as_json)
    if done.pack is None:
        if not as_json:
            say("nothing was published: mend the errors first")
        return ERRORS
    if again:
        say(f"made again: {_names(done.pack.changed)}")
    else:
        say(f"{len(done.pack.files)} files written to {output}")
    return OK


def _course_told(course: CourseMade, output: str, as_json: bool) -> int:
    """Tell what was published of a course, lesson by lesson; 2 where a lesson is missing from it."""
    from buildalong.cli._json import course_document, write

    code = OK if course.ok else UNREADABLE
    if as_json:
        say(write(course_document(course, output)))
        return code
    for made in course.lessons:
        print_findings(made.findings, False)
    print_findings(course.findings, False)
    changed = {name.partition("/")[0] for name in course.pack.changed}
    for made in course.lessons:
        if made.published is None:
            say(f"  {made.lesson.name}: left out, mend its errors first")
        else:
            state = "made again" if made.lesson.name in changed else "as before"
            say(f"  {made.lesson.name}: {made.published.card.title} ({state})")
    good = sum(made.published is not None for made in course.lessons)
    say(f"{good} of {len(course.lessons)} lessons, {len(course.pack.files)} files in {output}")
    return code


def _names(files: Sequence[str]) -> str:
    """Some of the files by name, and how many more."""
    more = f" and {len(files) - SHOWN} more" if len(files) > SHOWN else ""
    return f"{', '.join(files[:SHOWN]) or 'nothing'}{more}"
