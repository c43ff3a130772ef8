"""Publishing: from a lesson to the finished lesson pack on disk, making again only what has changed."""

from __future__ import annotations

import os
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from buildalong.finding import Finding
from buildalong.lesson import Folder
from buildalong.publish._in_short import Card
from buildalong.publish._pack import changed_in, write_pack
from buildalong.publish._recording import ARTICLE, recalled, record, room_of, with_words
from buildalong.store import Store

if TYPE_CHECKING:
    from buildalong.lesson import Compiled
    from buildalong.publish._crew import Crew
    from buildalong.publish._products import Made
    from buildalong.publish._variant import Contrast, Hand

__all__ = ["PRODUCTS", "Pack", "Published", "publish", "publish_lesson", "recalled_lesson"]

PRODUCTS = ("article", "cards", "parts", "faults", "handout", "pictures")
"""What a pack is made of, by the names that can be asked for."""
Tell = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class Pack:
    """A lesson pack that was written: its folder and its files, names relative to the folder.

    ``changed`` are those that are new or other than in the pack that was there before; ``findings`` tell what
    could not be printed as it was written.
    """

    folder: Path
    files: tuple[str, ...]
    changed: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()

    @property
    def article(self) -> Path:
        """The page to open."""
        return self.folder / ARTICLE


@dataclass(frozen=True, slots=True)
class Published:
    """All findings on a lesson, and its pack; None where an error stood against it.

    ``card`` tells of it in short.
    """

    findings: tuple[Finding, ...]
    card: Card
    pack: Pack | None


def publish(
    compiled: Compiled,
    output: Path | str,
    *,
    progress: Tell | None = None,
    store: Store | None = None,
    hand: Hand | None = None,
    contrast: Contrast | None = None,
    faults: bool = True,
) -> Pack:
    """Write the lesson pack: article, part cards, handouts, pictures as PNG and SVG, parts list.

    Everything is made before anything is written, and the folder appears whole or not at all.
    ``progress`` hears what is being made; ``store`` keeps the schematic for the next time.  ``hand``
    "left" and ``contrast`` "high" go before what the lesson's ``[picture]`` says.  ``faults`` simulates
    every plausible mistake, for the fault finder and the cautions at the steps; what is in ``store`` is
    not simulated again.  Raises Unreadable where the folder cannot be written.
    """
    from buildalong.publish._crew import Crew
    from buildalong.publish._products import make
    from buildalong.publish._variant import variant_of

    tell = progress or (lambda what: None)
    variant = variant_of(compiled.lesson, hand, contrast)
    with Crew(1) as crew:
        made = make(compiled, PRODUCTS, variant, faults=faults, store=store, room=None, crew=crew, tell=tell)
    files, found = _files(made, compiled)
    tell("writing")
    return replace(_written(Path(output), files, keep=False), findings=found)


def publish_lesson(
    folder: str | os.PathLike[str],
    output: Path | str,
    *,
    only: Collection[str] = PRODUCTS,
    hand: Hand | None = None,
    contrast: Contrast | None = None,
    faults: bool = True,
    store: Store | None = None,
    cores: int = 1,
    progress: Tell | None = None,
    language: str = "",
) -> Published:
    """Compile the lesson in a folder and write its pack, the same bytes as :func:`publish`.

    What is in ``store`` is not made again: where only words have changed, they alone are looked at.
    ``only`` names the products that are wanted; other files of an earlier pack then stay.  ``cores``: how
    many processes work.  ``language`` is that of the words, where it is not the author's own.  Raises
    Unreadable where the lesson cannot be read or the pack not be written.
    """
    tell = progress or (lambda what: None)
    wanted = _wanted(only)
    options = (wanted, hand, contrast, faults, language)
    tell("looking for what has changed")
    known = recalled_lesson(
        folder, output, only=only, hand=hand, contrast=contrast, faults=faults, store=store,
        language=language,
    )  # fmt: skip
    if known is not None:
        return known
    source = Folder(folder)
    room = room_of(store)
    from buildalong.publish._crew import Crew
    from buildalong.publish._sections import card_of

    with Crew(cores) as crew:
        compiled, made = _compiled(source, wanted, hand, contrast, faults, store, crew, tell, language)
    card = card_of(compiled)
    if made is None:
        return Published(compiled.findings, card, None)
    tell("putting the words in")
    files, found = _files(made, compiled)
    tell("writing")
    pack = _written(Path(output), files, keep=wanted != PRODUCTS)
    if room is not None and compiled.basis is not None:
        worded = {ARTICLE, *made.settings}
        rest = {file: body for file, body in files.items() if file not in worded}
        record(
            room, source, options, compiled.basis, card, made.frame, made.settings, rest, made.entries
        )  # fmt: skip
    return Published((*compiled.findings, *found), card, pack)


def recalled_lesson(
    folder: str | os.PathLike[str], output: Path | str, *, only: Collection[str], hand: Hand | None,
    contrast: Contrast | None, faults: bool, store: Store | None, language: str = "",
) -> Published | None:  # fmt: skip
    """Publish a lesson of which only words have changed; None where more has, or the store lacks it."""
    room = room_of(store)
    if room is None:
        return None
    wanted = _wanted(only)
    again = recalled(room, Folder(folder), (wanted, hand, contrast, faults, language))
    if again is None:
        return None
    if again.files is None:
        return Published(again.findings, again.card, None)
    pack = _written(Path(output), again.files, keep=wanted != PRODUCTS)
    return Published(again.findings, again.card, pack)


def _wanted(only: Collection[str]) -> tuple[str, ...]:
    return tuple(name for name in PRODUCTS if name in only)


def _compiled(
    source: Folder, wanted: Collection[str], hand: Hand | None, contrast: Contrast | None, faults: bool,
    store: Store | None, crew: Crew, tell: Tell, language: str,
) -> tuple[Compiled, Made | None]:  # fmt: skip
    """The compiled lesson and what was made of it; another process begins with what needs no board."""
    from buildalong.lesson import compile_lesson, load
    from buildalong.publish._products import DRAWN, begin, make
    from buildalong.publish._variant import variant_of

    lesson = load(source.path, language)
    drawn = lesson.sound and bool(lesson.circuit.parts) and not DRAWN.isdisjoint(wanted)
    variant = variant_of(lesson, hand, contrast)
    room = room_of(store)
    with lesson.speaking():
        schematic = crew.start(begin, lesson, wanted, variant, store, room) if drawn else None
    compiled = compile_lesson(lesson, progress=lambda share, what: tell(what), store=store)
    if not compiled.ok:
        return compiled, None
    made = make(
        compiled, wanted, variant, faults=faults, store=store, room=room, crew=crew, tell=tell,
        schematic=schematic.result if schematic is not None else None,
    )  # fmt: skip
    return compiled, made


def _files(made: Made, compiled: Compiled) -> tuple[dict[str, bytes], tuple[Finding, ...]]:
    """All files with the author's words in them, and what of these cannot be printed."""
    worded, found = with_words(made.frame, made.settings, compiled.prose)
    return {**made.files, **worded}, found


def _written(output: Path, files: Mapping[str, bytes], *, keep: bool) -> Pack:
    changed = changed_in(output, files)
    return Pack(output, write_pack(output, files, keep=keep), changed)
