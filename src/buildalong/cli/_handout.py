"""The command that sets handouts as PDF."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

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
    from buildalong.lesson import Compiled
    from buildalong.publish.handout import Handouts

__all__: list[str] = []

EDITIONS = ("learner", "teacher", "poster")
PAPERS = ("a4", "letter", "a5-booklet", "a3", "a2")


@lesson_command("buildalong handout examples/lighthouse --edition learner --paper a5-booklet")
@click.option("--edition", "editions", multiple=True, type=click.Choice(EDITIONS),
              help="May be given more than once; without it all that this paper takes.")  # fmt: skip
@click.option("--paper", type=click.Choice(PAPERS), default="a4", show_default=True,
              help="Booklets: a4, letter, a5-booklet (A4, folded); posters: a4, letter, a3, a2.")  # fmt: skip
@click.option("--scale", type=click.IntRange(1, 8),
              help="Enlarge the poster's board so many times; else true scale on a4 and letter, as large as"
              " fits on a3 and a2.")  # fmt: skip
@click.option(
    "--faults/--no-faults",
    default=True,
    help="Simulate every plausible mistake, for fault finder and plan (kept for the next time).",
)
@click.option("--hand", type=click.Choice(["right", "left"]), help="Hand that builds; left turns the board.")
@click.option("--contrast", type=click.Choice(["usual", "high"]), help="High: black lines on white.")
@click.option(
    "--output", default="handout", show_default=True, type=click.Path(), help="Folder to write into."
)
@language_option
def handout(
    lesson: str, as_json: bool, editions: tuple[Any, ...], paper: Any, scale: int | None, faults: bool,
    hand: Any, contrast: Any, output: str, language: str,
) -> int:  # fmt: skip
    """Set handouts as PDF: learner's booklet, teacher's edition, the board at true scale.

    Booklets are tagged for screen readers (PDF/UA-1).  The poster has holes at 2.54 mm, so that parts can be
    laid on it, and a ruler to check the print.
    """
    from buildalong.cli._json import publish_document, write

    compiled = sound_lesson(lesson, as_json, refusal="no handout was made", language=language)
    if isinstance(compiled, int):
        return compiled

    def work(progress: Progress) -> tuple[Handouts, tuple[str, ...], tuple[str, ...]]:
        with compiled.lesson.speaking():
            return _made(compiled, editions, paper, scale, faults, hand, contrast, output, progress)

    done = attempted(work, as_json)
    if done is None:
        return UNREADABLE
    made, files, changed = done
    findings = [*compiled.findings, *made.findings]
    if as_json:
        say(write(publish_document(output, files, changed, findings)))
    else:
        show_findings(findings, texts_of(compiled))
        say(f"{len(files)} files in {output}")
    return code_of(compiled)


def _made(
    compiled: Compiled, editions: tuple[Any, ...], paper: Any, scale: int | None, faults: bool, hand: Any,
    contrast: Any, output: str, progress: Progress,
) -> tuple[Handouts, tuple[str, ...], tuple[str, ...]]:  # fmt: skip
    from buildalong.publish import changed_in, draw, guide_for, variant_of, write_pack
    from buildalong.publish.handout import editions_on, handouts, material_of
    from buildalong.store import user_store

    possible = editions_on(paper, compiled)
    wanted = tuple(dict.fromkeys(editions)) or possible
    unfit = [edition for edition in wanted if edition not in possible]
    if unfit:
        takes = ", ".join(possible) or "nothing of this lesson"
        raise ValueError(f"the {unfit[0]} edition is not made on {paper}, which takes: {takes}")
    if scale is not None and "poster" not in wanted:
        raise ValueError("--scale is for the poster: add --edition poster, or leave it out")
    store = user_store()
    guide = guide_for(compiled, store, progress) if faults else None
    pictures = draw(compiled, progress.tell, store, variant_of(compiled.lesson, hand, contrast), guide)
    progress.tell("setting the pages")
    made = handouts(material_of(compiled, pictures, guide), wanted, paper, scale)
    changed = changed_in(Path(output), made.files)
    return made, write_pack(Path(output), made.files, keep=True), changed
