"""What a person reads in the terminal: findings with their line and a caret, promises, events, layouts."""

from __future__ import annotations

import math
import os
import sys
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from buildalong.engine import Run
    from buildalong.finding import Finding
    from buildalong.lesson import Compiled
    from buildalong.quantity import Quantity

__all__ = ["Progress", "say", "show_findings", "show_layout", "show_promises", "show_run", "table"]

_COLOURS = {"fatal": "red", "error": "red", "warning": "yellow", "note": "cyan"}
_WORDS = {"fatal": "unreadable"}
_WIDEST = 100
MOMENT = 1e-3
"""The moment of switching on [s]."""
SURGE = 10.0
"""A peak is so many times what flows later, and is over when it has fallen to that part."""
MAX_EVENTS = 60
"""Most events of a run that are listed for a person."""


def coloured(stream: object = None) -> bool:
    """Whether colours may be written: a terminal, and NO_COLOR is not set."""
    out = stream or sys.stdout
    return bool(getattr(out, "isatty", lambda: False)()) and not os.environ.get("NO_COLOR")


def styled(text: str, **style: object) -> str:
    """The text in colour where colours may be written."""
    return click.style(text, **style) if coloured() else text  # type: ignore[arg-type]


def say(text: str = "") -> None:
    """Print a line; control characters of an author's text are shown, not obeyed."""
    shown = "\n\t\x1b\u00a0"  # the no-break space is French before a colon
    click.echo("".join(letter if letter.isprintable() or letter in shown else "�" for letter in text))


class Progress:
    """Progress on standard error, one line that is written over; silent where that is no terminal."""

    def __init__(self) -> None:
        self.live = sys.stderr.isatty()
        self.width = 0

    def __call__(self, share: float, text: str) -> None:
        """Show how far the work is (0..1) and what is being done."""
        self.tell(f"{min(max(share, 0.0), 1.0):4.0%} {text}")

    def tell(self, text: str) -> None:
        """Show what is being done."""
        if self.live:
            line = text[:78]
            click.echo("\r" + line.ljust(self.width), nl=False, err=True)
            self.width = len(line)

    def clear(self) -> None:
        """Take the line away."""
        if self.live and self.width:
            click.echo("\r" + " " * self.width + "\r", nl=False, err=True)
            self.width = 0


def _safe(text: str) -> str:
    """An author's text with control characters made visible."""
    return "".join(letter if letter.isprintable() else "�" for letter in text)


def show_findings(findings: Sequence[Finding], texts: Mapping[str, str]) -> None:
    """Print findings, worst first, each with its place and the line it is about; ``texts``: file -> text."""
    for finding in findings:
        level = finding.severity.name.lower()
        head = styled(_WORDS.get(level, level), fg=_COLOURS[level], bold=True)
        place = f"{_safe(str(finding.place))}: " if finding.place else ""
        say(f"{place}{head}: {_safe(finding.message)} [{finding.code}]")
        for line in _excerpt(finding, texts):
            say(line)
        if finding.hint:
            say(f"    {styled('cure', fg='green')}: {_safe(finding.hint)}")


def _excerpt(finding: Finding, texts: Mapping[str, str]) -> list[str]:
    place = finding.place
    if place is None or not place.line or place.file not in texts:
        return []
    lines = texts[place.file].split("\n")
    if place.line > len(lines):
        return []
    text = lines[place.line - 1]
    column = max(place.column, 1)
    start = max(0, column - 1 - _WIDEST * 3 // 4) if len(text) > _WIDEST else 0
    shown = _safe(text[start : start + _WIDEST].replace("\t", " "))
    gutter = f"{place.line:>4}"
    out = [f"{styled(gutter, dim=True)} | {shown}"]
    if place.column:
        out.append(f"{' ' * len(gutter)} | {' ' * (column - 1 - start)}{styled('^', fg='green', bold=True)}")
    return out


def table(rows: Sequence[Sequence[str]], indent: str = "  ") -> None:
    """Print rows in columns, the first row as their heads."""
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    for number, row in enumerate(rows):
        line = indent + "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        say(styled(line, dim=True) if number == 0 else line)


def show_promises(compiled: Compiled) -> None:
    """Print what the lesson promises beside what was measured."""
    from buildalong.quantity import format_quantity

    if not compiled.promises:
        return
    rows = [("promise", "expected", "within", "measured", "")]
    for result in compiled.promises:
        promise = result.promise
        unit = promise.expected.unit or "%"
        reach = format_quantity(promise.tolerance, unit if promise.absolute else "%")
        measured = "-" if result.measured is None else format_quantity(result.measured.value, unit)
        verdict = "kept" if result.ok else "not measured" if result.measured is None else "NOT KEPT"
        rows.append(
            (
                _safe(str(promise.that)),
                format_quantity(promise.expected.value, unit),
                reach,
                measured,
                verdict,
            )
        )
    say()
    table(rows)


def show_run(run: Run, causes: Sequence[str], measures: Mapping[str, Quantity]) -> None:
    """Print the events of a run with their causes, its measures, and the stress of each part.

    What a part suffers is printed with its grade.
    """
    from buildalong.engine import GRADES, damages
    from buildalong.quantity import format_quantity

    say(f"trial '{_safe(run.trial.name)}', {format_quantity(run.trial.lasts, 's')}")
    if run.undetermined:
        say(f"the state in which {', '.join(run.undetermined)} wakes is promised by no data sheet")
    say()
    told = [
        (event, cause)
        for number, (event, cause) in enumerate(zip(run.events, causes, strict=True))
        if number == 0 or cause != causes[number - 1]
    ]
    rows = [("time", "what happens")]
    rows += [(format_quantity(event.time, "s", 4), _safe(cause)) for event, cause in told[:MAX_EVENTS]]
    table(rows)
    if len(told) > MAX_EVENTS:
        say(f"  ... and {len(told) - MAX_EVENTS} more (all of them with --json)")
    if measures:
        say()
        table(
            [
                ("measure", "value"),
                *((name, format_quantity(q.value, q.unit or "%")) for name, q in measures.items()),
            ]
        )
    say()
    rows5 = [("part", "largest voltage", "current", "power", "mean power")]
    for part, extremes in run.extremes.items():
        gives = run.circuit.by_id[part].type.family == "supply"
        rows5.append(
            (
                part,
                format_quantity(extremes.voltage, "V"),
                format_quantity(extremes.current, "A"),
                format_quantity(extremes.power, "W"),
                format_quantity(-extremes.mean_power if gives else extremes.mean_power, "W"),
            )
        )
    table(rows5)
    suffered = damages(run)
    if suffered:
        say()
        table([("grade", "what passes a limit"), *((d.grade, d.finding.message) for d in suffered)])
        for grade in dict.fromkeys(d.grade for d in suffered):
            say(f"  {grade}: {GRADES[grade]}")
    for line in _first_moment(run):
        say(line)


def _first_moment(run: Run) -> list[str]:
    """Lines on currents that flow only in the moment of switching on, above all while capacitors fill."""
    from buildalong.engine import check_ratings
    from buildalong.quantity import format_quantity
    from buildalong.words import listed

    times, over = run.times, {}
    first = int((times < MOMENT).sum())
    if not 0 < first < len(times):
        return []
    for part in run.circuit.parts:
        columns = [run.pins.index((part.id, terminal.name)) for terminal in part.type.terminals]
        flow = abs(run.currents[:, columns]).max(axis=1)
        peak = float(flow[:first].max())
        if peak > SURGE * float(flow[first:].max()):
            over[part.id] = float(times[int((SURGE * flow >= peak).nonzero()[0][-1]) + 1])
    if not over:
        return []
    lasts = format_quantity(10.0 ** math.ceil(math.log10(max(*over.values(), 1e-6)) + 1e-9), "s")
    families = {run.circuit.by_id[name].type.family for name in over}
    fill = ", while capacitors fill" if families & {"capacitor", "electrolytic"} else ""
    strained = {name for finding in check_ratings(run) for name in finding.about}
    harmless = "" if strained & over.keys() else " and harms nothing"
    whose = f"The current of {listed(list(over))} peaks at the moment of switching on{fill}"
    return ["", f"  {whose};", f"  that lasts less than {lasts}{harmless}."]


def show_layout(compiled: Compiled) -> None:
    """Print which lead goes into which hole, and the wires."""
    placement = compiled.placement
    if placement is None:
        return
    layout = placement.layout
    say(f"board {layout.board.name}")
    say()
    rows = [("part", "holes")]
    for part in compiled.circuit.parts:
        if part.id in layout.holes:
            legs = zip(part.type.leg_names, layout.holes[part.id], strict=True)
            rows.append((part.id, ", ".join(f"{leg} in {hole}" for leg, hole in legs)))
    table(rows)
    say()
    if layout.wires:
        table(
            [("wire", "net", "colour"), *((f"{w.start} to {w.end}", w.net, w.colour) for w in layout.wires)]
        )
    proof = "proved to be the fewest" if placement.proved else f"at least {placement.lower_bound} are needed"
    say(f"{len(layout.wires)} wire{'s' if len(layout.wires) != 1 else ''} ({proof})")
