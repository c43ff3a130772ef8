"""The command that plants mistakes for learners to find."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from buildalong.cli._group import (
    OK,
    UNREADABLE,
    attempted,
    language_option,
    lesson_command,
    sound_lesson,
    texts_of,
)
from buildalong.cli._show import Progress, say, show_findings

if TYPE_CHECKING:
    from buildalong.exercise import Exercise
    from buildalong.lesson import Compiled

__all__: list[str] = []


@lesson_command("buildalong exercise examples/lighthouse --count 4 --seed 1 --output exercises")
@click.option("--count", type=click.IntRange(1, 40), default=4, show_default=True, help="Boards to make.")
@click.option("--seed", type=click.IntRange(0, 2**31 - 1), default=1, show_default=True,
              help="Another seed, other mistakes.")  # fmt: skip
@click.option("--level", "levels", multiple=True, type=click.Choice(["easy", "middle", "hard"]),
              help="Only boards of this level; may be given more than once.")  # fmt: skip
@click.option("--output", type=click.Path(), help="Folder to write the page, the PDF and the boards into.")
@language_option
def exercise(
    lesson: str,
    as_json: bool,
    count: int,
    seed: int,
    levels: tuple[Any, ...],
    output: str | None,
    language: str,
) -> int:
    """Make boards with one mistake each, for learners to find.

    Every mistake is simulated; what is seen of it is told, the answer is folded away, and the level comes
    from how many readings the fault-finding plan takes.  Dangerous mistakes are left out.
    """
    from buildalong.cli._exercise_json import exercise_document
    from buildalong.cli._json import write

    compiled = sound_lesson(
        lesson,
        as_json,
        ("runs", "board", "words"),
        refusal="no exercises were made",
        language=language,
    )
    if isinstance(compiled, int):
        return compiled

    def work(progress: Progress) -> tuple[tuple[Exercise, ...], tuple[str, ...]]:
        with compiled.lesson.speaking():
            return _made(compiled, count, seed, levels, output, progress)

    done = attempted(work, as_json)
    if done is None:
        return UNREADABLE
    exercises, files = done
    if as_json:
        say(write(exercise_document(exercises, seed, files, compiled.findings)))
        return OK
    show_findings(compiled.findings, texts_of(compiled))
    for each in exercises:
        readings = f"{each.readings} reading{'' if each.readings == 1 else 's'} by the plan"
        say(f"board {each.number}: {each.symptom} ({each.level}, {readings})")
        say(f"  hint:   {each.hint}")
        say(f"  answer: {each.answer} {each.cure}")
    if files:
        say(f"{len(files)} files written to {output}")
    return OK


def _made(
    compiled: Compiled, count: int, seed: int, levels: tuple[Any, ...], output: str | None, progress: Progress
) -> tuple[tuple[Exercise, ...], tuple[str, ...]]:
    from buildalong.exercise import choose
    from buildalong.publish import exercise_files, guide_for, schematic_picture_of, write_pack
    from buildalong.store import user_store

    guide = guide_for(compiled, user_store(), progress)
    if guide is None:
        raise ValueError("this lesson has no trial, no board or no light: nothing could be seen of a mistake")
    exercises = choose(guide, compiled.steps, count, seed=seed, levels=levels)
    if output is None:
        return exercises, ()
    picture = schematic_picture_of(compiled.lesson, user_store())
    return exercises, write_pack(Path(output), exercise_files(compiled, guide, exercises, picture))
