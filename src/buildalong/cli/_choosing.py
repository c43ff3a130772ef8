"""The command choose: values that keep the promises, as a table."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from buildalong.cli._group import ERRORS, OK, UNREADABLE, attempted, lesson_command, print_findings
from buildalong.cli._reading import read_drawer_file, read_lesson, refused, telling
from buildalong.cli._show import Progress, say, table
from buildalong.cli._values import WANT, wanted_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from buildalong.choose import Choice, Drawer, Free, Refusal
    from buildalong.circuit import Part
    from buildalong.finding import Finding
    from buildalong.lesson import Lesson

__all__: list[str] = []


@lesson_command('buildalong choose examples/lighthouse --free R1,R2,C1 --want "on_time(DS1) is 0.6 s"')
@click.option("--free", "names", default="", help="Parts to choose, as R1,R2,C1; else those left open.")
@WANT
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
                read.circuit, read.trials, wanted_of(read, want), free,
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
    if choice.simulated == choice.grid:
        say(f"all {choice.grid} combinations simulated")
    elif choice.simulated:
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
