"""The commands for a class: kit and worksheet."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from buildalong.cli._group import (
    OK,
    UNREADABLE,
    attempted,
    cli,
    json_option,
    language_option,
    lesson_command,
    print_findings,
)
from buildalong.cli._reading import read_drawer_file, read_lesson, refused, telling
from buildalong.cli._show import Progress, say, table

if TYPE_CHECKING:
    from collections.abc import Sequence
    from contextlib import AbstractContextManager

    from buildalong.board import Layout
    from buildalong.choose import Drawer
    from buildalong.finding import Finding
    from buildalong.kit import Kit, Swap
    from buildalong.lesson import Lesson
    from buildalong.spread import Target
    from buildalong.words import Speaker
    from buildalong.worksheet import Sheet

__all__: list[str] = []


@cli.command(epilog="Example: buildalong kit examples/lighthouse examples/dusk-light --learners 12")
@click.argument("lessons", nargs=-1, required=True, type=click.Path())
@click.option("--learners", type=click.IntRange(1, 10_000), default=1, show_default=True, help="Learners.")
@click.option("--drawer", type=click.Path(), help="A CSV of the parts that the class owns.")
@click.option("--reuse", is_flag=True, help="Parts of one lesson serve the next.")
@click.option("--spares", nargs=2, multiple=True, metavar="FAMILY PERCENT", help="Spares of a family.")
@click.option("--swaps/--no-swaps", default=True, help="Simulate what can be taken instead.")
@click.option("--wires", is_flag=True, help="Place each lesson on its board, and count the wires.")
@click.option("--address", default="", help="Address of the article, put on the labels as a QR code.")
@click.option("--output", type=click.Path(), help="Folder to write sheets and labels into.")
@language_option
@json_option
def kit(
    lessons: tuple[str, ...], learners: int, drawer: str | None, reuse: bool,
    spares: tuple[tuple[str, str], ...], swaps: bool, wires: bool, address: str, output: str | None,
    language: str, as_json: bool,
) -> int:  # fmt: skip
    """Count the parts of one lesson or a whole course for a class.

    What is needed with spares, what is there, what is to be bought; bag labels; what can be taken instead.
    """
    from buildalong.cli._class_json import kit_document
    from buildalong.cli._json import write
    from buildalong.kit import Session
    from buildalong.kit import kit as count

    faults: list[Finding] = []
    answers: list[tuple[Swap, tuple[Target, ...]]] = []

    def work(progress: Progress) -> tuple[Kit, tuple[str, ...]]:
        stock: Drawer | None = None
        if drawer:
            stock, found = read_drawer_file(drawer)
            faults.extend(found)
        read = [read_lesson(lesson, language=language) for lesson in lessons]
        faults.extend(finding for each in read for finding in each.findings)
        sessions = [
            Session(
                each.title,
                each.circuit,
                _laid(each, progress) if wires else None,
                "" if each.board == "smallest" else each.board,
            )
            for each in read
        ]
        with telling(faults), _speaking(read):
            made = count(sessions, learners, drawer=stock, reuse=reuse, breakage=_rates(spares))
        for lesson, bag in zip(read, made.bags, strict=True) if swaps else ():
            with _speaking(read):
                ways = _swaps(lesson, progress)
            answers.extend((replace(swap, lesson=bag.lesson), t) for swap, t in ways)
        with _speaking(read):
            return made, _written(made, answers, address, output) if output else ()

    done = attempted(work, as_json)
    if done is None:
        return UNREADABLE
    made, files = done
    if as_json:
        say(write(kit_document(made, answers, faults)))
        return OK
    print_findings(faults, as_json=False)
    _show_kit(made, wires=wires)
    if files:
        say(f"{len(files)} files written to {output}")
    return OK


def _speaking(lessons: Sequence[Lesson]) -> AbstractContextManager[Speaker]:
    """Speak the language of the first lesson, with what the authors of all say in it."""
    from buildalong.words import speaking, spoken

    tongue = lessons[0].language
    own = {text: said for each in lessons if each.language == tongue for text, said in each.own_words.items()}
    return speaking(spoken(tongue) or "en", own)


def _rates(spares: Sequence[tuple[str, str]]) -> dict[str, float]:
    """Shares of spares as typed, ``led 20`` or ``led "20 %"``."""
    from buildalong.kit import BREAKAGE
    from buildalong.parts import catalogue
    from buildalong.quantity import QuantityError, parse_as

    families = sorted({*BREAKAGE, *(kind.family for kind in catalogue().values())})
    out: dict[str, float] = {}
    for family, share in spares:
        if family not in families:
            refused(
                "unknown-family", f"there is no family '{family[:40]}'", f"there are {', '.join(families)}"
            )
        try:
            rate = parse_as(f"{share.rstrip('% ')} %", "")
        except QuantityError:
            rate = -1.0
        if not 0.0 <= rate <= _MOST_SPARES:
            refused(
                "spares-senseless",
                f"'{share[:40]}' is no share of spares",
                "write a percentage from 0 to 1000",
            )
        out[family] = rate
    return out


_MOST_SPARES = 10.0


def _swaps(lesson: Lesson, progress: Progress) -> list[tuple[Swap, tuple[Target, ...]]]:
    from buildalong.kit import swaps as ways
    from buildalong.lesson import targets_of
    from buildalong.parts import catalogue

    targets = targets_of(lesson)
    out: list[tuple[Swap, tuple[Target, ...]]] = []
    for number, part in enumerate(lesson.circuit.parts):
        progress(number / len(lesson.circuit.parts), f"what could stand in for {part.id}")
        out += [(swap, targets) for swap in ways(lesson.circuit, lesson.trials, targets, catalogue(), part)]
    return out


def _written(
    made: Kit, answers: list[tuple[Swap, tuple[Target, ...]]], address: str, output: str
) -> tuple[str, ...]:
    from buildalong.publish import kit_files, write_pack

    return write_pack(Path(output), kit_files(made, answers, address=address))


def _laid(lesson: Lesson, progress: Progress) -> Layout:
    """The lesson on its board, from the store where it has been placed before.  Raises Unreadable."""
    from buildalong.finding import Severity, Unreadable
    from buildalong.lesson import compile_lesson
    from buildalong.store import user_store

    made = compile_lesson(lesson, want=("board",), progress=progress, store=user_store())
    if made.layout is None:
        worst = [f for f in made.findings if f.severity >= Severity.ERROR]
        raise Unreadable(*worst) if worst else ValueError(f"'{lesson.title}' does not fit on its board")
    return made.layout


def _show_kit(made: Kit, *, wires: bool) -> None:
    rows = [["part", "each", "class", "spares", "there", "to buy", "cost"]]
    for line in made.lines:
        buy = str(line.to_buy) if line.pack == 1 or not line.to_buy else f"{line.packs} × {line.pack}"
        cost = "-" if line.outlay is None else f"{line.outlay:.2f}"
        rows.append([
            line.name, str(line.for_one), str(line.needed), str(line.spares), str(line.there), buy, cost
        ])  # fmt: skip
    table(rows)
    say()
    if made.cost_for_one is not None:
        say(f"one learner's parts cost {made.cost_for_one:.2f}")
    if made.outlay is not None and made.outlay > 0:
        say(f"what is to be bought costs {made.outlay:.2f}")
    elif made.known_outlay > 0:
        say(f"what is to be bought costs {made.known_outlay:.2f} and what has no price here")
    if 0 < len(made.unpriced) < len(made.lines):
        say(f"no price is known for: {', '.join(made.unpriced)}")
    for row in made.weak:
        say(f"not counted: {row}")
    if not wires:
        say("wires are not counted: take --wires, which places each lesson on its board")
    say("spares by how often beginners lose or break a kind of part: our judgement, see --spares")


@lesson_command("buildalong worksheet examples/lighthouse --learners 12 --output worksheets")
@click.option("--learners", type=click.IntRange(1, 200), default=1, show_default=True, help="Sheets to make.")
@click.option("--seed", type=click.IntRange(0, 2**31 - 1), default=1, show_default=True,
              help="Another seed, other values.")  # fmt: skip
@click.option("--output", type=click.Path(), help="Folder to write the PDF and the marking sheet into.")
@language_option
def worksheet(lesson: str, as_json: bool, learners: int, seed: int, output: str | None, language: str) -> int:
    """Make worksheets on the lesson's circuit, other values for each learner, with answers.

    The answers come from the formula and from the simulation of each sheet's own values.
    """
    from buildalong.cli._class_json import worksheet_document
    from buildalong.cli._json import write
    from buildalong.worksheet import worksheets

    faults: list[Finding] = []

    def work(progress: Progress) -> tuple[tuple[Sheet, ...], tuple[str, ...]]:
        read = read_lesson(lesson, language=language)
        faults.extend(read.findings)
        with read.speaking():
            made = worksheets(read.circuit, read.trials, learners, seed=seed, progress=progress)
            return made, _pages(read.title, made, output) if output else ()

    done = attempted(work, as_json)
    if done is None:
        return UNREADABLE
    sheets, files = done
    if as_json:
        say(write(worksheet_document(sheets, seed, faults)))
        return OK
    print_findings(faults, as_json=False)
    for sheet in sheets:
        say(f"sheet {sheet.number}: {', '.join(f'{part} = {value}' for part, value in sheet.values)}")
        for number, question in enumerate(sheet.questions, start=1):
            say(f"  {number}. {question.text}")
            say(f"     {question.answer}")
        say()
    if files:
        say(f"{len(files)} files written to {output}")
    return OK


def _pages(title: str, sheets: tuple[Sheet, ...], output: str) -> tuple[str, ...]:
    from buildalong.drawing.schematic import schematic
    from buildalong.publish import worksheet_files, write_pack
    from buildalong.worksheet import without_values

    picture = schematic(without_values(sheets[0]))
    return write_pack(Path(output), worksheet_files(title, sheets, picture))
