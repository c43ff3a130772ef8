"""What all commands share: the group, its exit codes, compiling a lesson, telling findings."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, TypeVar

import click

import buildalong
from buildalong.cli._show import Progress, say, show_findings

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from buildalong.finding import Finding
    from buildalong.lesson import Compiled

__all__ = [
    "CLOSED_PIPE", "ERRORS", "INTERRUPTED", "OK", "UNREADABLE", "attempted", "cli", "code_of", "compiled_of",
    "json_option", "language_option", "lesson_command", "print_findings", "sound_lesson", "texts_of",
]  # fmt: skip

T = TypeVar("T")

OK, ERRORS, UNREADABLE, INTERRUPTED, CLOSED_PIPE = 0, 1, 2, 130, 141
"""Exit codes: nothing worse than a warning; errors in the lesson; unreadable; Ctrl-C; reader gone."""


_ORDER = {
    "A lesson": ("new", "check", "simulate", "layout", "edit", "publish", "bench", "netlist"),
    "Its circuit": ("sweep", "sensitivity", "moment"),
    "Its values": ("choose", "spread", "battery", "compare"),
    "Its mistakes": ("mistakes", "trace", "exercise"),
    "For a class": ("kit", "worksheet", "handout", "slides", "film"),
}
"""The commands in the order of use, under the headings of ``--help``."""


class _Group(click.Group):
    """Commands in the order of use, not of the alphabet."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Names of the commands."""
        return [name for names in _ORDER.values() for name in names]

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the commands under their headings, all in one column."""
        limit = formatter.width - 6 - max(len(name) for name in self.commands)
        for heading, names in _ORDER.items():
            with formatter.section(heading):
                formatter.write_dl(
                    [(f"{name:11}", self.commands[name].get_short_help_str(limit)) for name in names]
                )


_HELP = """Compile a plain-text electronics lesson into a checked build-along.

\b
Start:   buildalong new my-lamp
Check:   buildalong check my-lamp
Publish: buildalong publish my-lamp --output pack
"""


@click.group(cls=_Group, help=_HELP, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(buildalong.__version__, message="buildalong %(version)s")
def cli() -> None:
    """Hold the commands; what they do is in the functions below."""


json_option = click.option("--json", "as_json", is_flag=True, help="Print one JSON document instead.")


def lesson_command(example: str) -> Callable[[Callable[..., int]], click.Command]:
    """Make a command on one lesson, with --json and its example in --help."""

    def make(function: Callable[..., int]) -> click.Command:
        decorated: Any = json_option(function)
        decorated = click.argument("lesson", type=click.Path())(decorated)
        return cli.command(epilog=f"Example: {example}")(decorated)

    return make


language_option = click.option(
    "--language",
    default="",
    metavar="TAG",
    help="Language of the words: en, de, es or fr; without it the author's own.",
)


def compiled_of(
    lesson: str, as_json: bool, want: Collection[str] = (), language: str = ""
) -> Compiled | None:
    """Compile a lesson, or the wanted stages of it; where it cannot be read, print why and give None."""
    from buildalong.lesson import STAGES, compile_lesson
    from buildalong.store import user_store

    def work(progress: Progress) -> Compiled:
        return compile_lesson(
            lesson, want=want or STAGES, progress=progress, store=user_store(), language=language
        )

    return attempted(work, as_json)


def sound_lesson(
    lesson: str,
    as_json: bool,
    want: Collection[str] = (),
    *,
    refusal: str = "nothing was made",
    language: str = "",
) -> Compiled | int:
    """A compiled lesson without errors; otherwise what is wrong is printed and the exit code is given."""
    compiled = compiled_of(lesson, as_json, want, language)
    if compiled is None:
        return UNREADABLE
    if compiled.ok:
        return compiled
    if as_json:
        print_findings(compiled.findings, as_json)
    else:
        show_findings(compiled.findings, texts_of(compiled))
        say(f"{refusal}: mend the errors first")
    return ERRORS


def print_findings(findings: Sequence[Finding], as_json: bool) -> None:
    """Print findings for people, with the lines they are about, or as JSON."""
    from buildalong.cli._json import findings_document, write

    if as_json:
        say(write(findings_document(findings)))
    else:
        show_findings(findings, _texts_of(findings))


def _texts_of(findings: Sequence[Finding]) -> dict[str, str]:
    """The texts of the files that findings are about, where they can be shown."""
    out: dict[str, str] = {}
    for finding in findings:
        name = finding.place.file if finding.place else ""
        if name and name not in out and finding.place is not None and finding.place.line:
            try:
                with open(name, "rb") as stream:
                    out[name] = stream.read(2_000_000).decode("utf-8", "replace").replace("\r\n", "\n")
            except OSError:
                continue
    return out


def texts_of(compiled: Compiled) -> Mapping[str, str]:
    """The texts of the files that a compilation's findings are about."""
    lesson = compiled.lesson
    known = {lesson.places.file: lesson.facts, lesson.prose_file: lesson.prose}
    others = [f for f in compiled.findings if f.place and f.place.file not in known]
    return {**_texts_of(others), **known}


def code_of(compiled: Compiled) -> int:
    """The exit code of a compilation."""
    return OK if compiled.ok else ERRORS


def attempted(work: Callable[[Progress], T], as_json: bool) -> T | None:
    """Do some work with progress shown; where it cannot be done, print why and give None.

    A ValueError (what cannot be measured or understood is one) says in its message why.
    """
    from buildalong.finding import Finding, Severity, Unreadable

    progress = Progress()
    try:
        return work(progress)
    except Unreadable as error:
        found: Sequence[Finding] = error.findings
    except ValueError as error:
        found = (Finding(Severity.FATAL, "cannot-do", str(error)),)
    finally:
        progress.clear()
    print_findings(found, as_json)
    return None
