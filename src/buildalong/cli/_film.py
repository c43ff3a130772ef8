"""The commands for what is shown: film and slides."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from buildalong.cli._group import (
    UNREADABLE,
    attempted,
    code_of,
    language_option,
    lesson_command,
    sound_lesson,
    texts_of,
)
from buildalong.cli._show import Progress, say, show_findings

if TYPE_CHECKING:
    from buildalong.film import Film, Slide
    from buildalong.guide import Guide
    from buildalong.lesson import Compiled

__all__: list[str] = []

ONLY = ("script", "captions", "overlays", "thumbnail", "video")
SHAPES = {"wide": ("wide",), "tall": ("tall",), "both": ("wide", "tall")}

FAULTS = click.option(
    "--faults/--no-faults",
    default=True,
    help="Simulate every plausible mistake, for the dangers at the steps (kept for the next time).",
)


@lesson_command("buildalong film examples/lighthouse --output film")
@click.option("--output", default="film", show_default=True, type=click.Path(), help="Folder to write into.")
@click.option(
    "--only", type=click.Choice(ONLY), multiple=True,
    help="Make only this; may be given more than once; other files in the folder stay.",
)  # fmt: skip
@click.option(
    "--shape", type=click.Choice(tuple(SHAPES)), default="both", show_default=True, help="Shape of the film."
)
@FAULTS
@language_option
def film(
    lesson: str, as_json: bool, output: str, only: tuple[str, ...], shape: str, faults: bool, language: str
) -> int:
    """Make a film of the build, and what is needed for one of your own.

    Video (1920 x 1080 and 1080 x 1920), captions, chapters, script with timings, shot list, overlays on a
    clear ground, thumbnail, description.  All comes from the checked lesson, so that words, times and
    pictures agree.  Only the video needs more libraries: make video, or pip install av pillow.
    """
    from buildalong.cli._film_json import film_document
    from buildalong.cli._json import write

    compiled = sound_lesson(lesson, as_json, language=language)
    if isinstance(compiled, int):
        return compiled

    def work(progress: Progress) -> tuple[Film, tuple[str, ...]]:
        from buildalong.film import PRODUCTS
        from buildalong.film import film as make
        from buildalong.publish import cores_here, write_pack

        guide = _guide(compiled, progress) if faults else None
        made = make(compiled, only or PRODUCTS, SHAPES[shape], progress, cores_here(), guide)
        return made, write_pack(Path(output), made.files, keep=bool(only))

    done = attempted(work, as_json)
    if done is None:
        return UNREADABLE
    made, files = done
    if as_json:
        say(write(film_document(made, output, files, compiled.findings)))
    else:
        show_findings(compiled.findings, texts_of(compiled))
        _show(made)
        say(f"{len(files)} files in {output}")
    return code_of(compiled)


@lesson_command("buildalong slides examples/lighthouse --output slides")
@click.option(
    "--output", default="slides", show_default=True, type=click.Path(), help="Folder to write into."
)
@FAULTS
@language_option
def slides(lesson: str, as_json: bool, output: str, faults: bool, language: str) -> int:
    """Make slides for the classroom, one idea each, with notes for the speaker.

    One HTML page without network: arrow keys turn the slides, N shows the notes; without scripts they are
    scrolled; in print each slide has its notes below.
    """
    from buildalong.cli._film_json import slides_document
    from buildalong.cli._json import write

    compiled = sound_lesson(lesson, as_json, language=language)
    if isinstance(compiled, int):
        return compiled

    def work(progress: Progress) -> tuple[tuple[Slide, ...], tuple[str, ...]]:
        from buildalong.film import slides as make
        from buildalong.film import slides_html
        from buildalong.publish import write_pack
        from buildalong.store import user_store

        guide = _guide(compiled, progress) if faults else None
        made = make(compiled, progress, user_store(), guide)
        page = slides_html(compiled, made).encode()
        return made, write_pack(Path(output), {"slides.html": page}, keep=True)

    done = attempted(work, as_json)
    if done is None:
        return UNREADABLE
    made, files = done
    if as_json:
        say(write(slides_document(made, output, files, compiled.findings)))
    else:
        show_findings(compiled.findings, texts_of(compiled))
        say(f"{len(made)} slides in {output}/slides.html")
    return code_of(compiled)


def _guide(compiled: Compiled, progress: Progress) -> Guide | None:
    """The guide that tells the dangers, in the lesson's language."""
    from buildalong.publish import guide_for
    from buildalong.store import user_store

    with compiled.lesson.speaking():
        return guide_for(compiled, user_store(), progress)


def _show(made: Film) -> None:
    from buildalong.film import clock

    for timed in made.times.scenes:
        say(f"{clock(timed.start):>7}  {timed.scene.title}")
    say(f"{clock(made.times.end):>7}  end")
    say()
