"""Schematics: of the demos and of the netlists with which the schematic is tested."""

from __future__ import annotations

import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from tools.gallery._desk import Desk
from tools.gallery._exhibit import Exhibit, printed_size

from buildalong.circuit import Circuit
from buildalong.drawing.schematic import moment_picture, picture, statistics
from buildalong.engine import moment, simulate
from buildalong.finding import Severity
from buildalong.lesson import Lesson, load

__all__ = ["moments", "netlists", "schematics"]

STANDARDS = {"iec": "IEC 60617", "ieee": "IEEE 315"}


def schematics(desk: Desk) -> Iterator[Exhibit]:
    """Each demo in both sets of symbols."""
    for demo in desk.choice.demos:
        for standard in STANDARDS:
            yield _schematic(desk, demo, desk.lesson(demo).circuit, standard)


def netlists(desk: Desk) -> Iterator[Exhibit]:
    """The netlists of the schematic's tests: tables of parts as in a lesson, a file each."""
    for file in sorted(desk.choice.netlists.glob("*.toml")):
        read = _read(file)
        wrong = [finding for finding in read.findings if finding.severity >= Severity.ERROR]
        if wrong:
            yield Exhibit(file.stem, "", None, (("netlist", file.stem), ("result", wrong[0].message)))
        else:
            yield _schematic(desk, file.stem, read.circuit, "iec")


def moments(desk: Desk) -> Iterator[Exhibit]:
    """Voltages and currents at one moment of each demo's first trial, on its schematic."""
    for demo in desk.choice.demos:
        lesson = desk.lesson(demo)
        desk.tell(f"{demo}: a moment")
        run = simulate(lesson.circuit, lesson.trials[0])
        at = round(0.55 * float(run.times[-1]), 2)
        point = moment(run, at)
        layout = desk.schematic(lesson.circuit, "iec")
        title = f"{lesson.title}, {at:g} s after switching on"
        drawn = moment_picture(lesson.circuit, layout, point.voltages, point.currents, title=title)
        yield Exhibit(f"{demo}, {at:g} s", _print_note(printed_size(drawn)), drawn)


def _schematic(desk: Desk, name: str, circuit: Circuit, standard: str) -> Exhibit:
    desk.tell(f"schematic of {name}, {STANDARDS[standard]}")
    began = time.process_time()
    layout = desk.schematic(circuit, standard)
    spent = time.process_time() - began
    drawn = picture(circuit, layout, standard)
    counted = statistics(layout)
    size = printed_size(drawn)
    facts = (
        ("circuit", name), ("symbols", STANDARDS[standard]), ("parts", str(len(circuit.parts))),
        ("crossings", str(counted.crossings)), ("bends", str(counted.bends)),
        ("smallest text on A4", f"{size:.1f} pt"), ("CPU time", f"{spent:.1f} s"),
    )  # fmt: skip
    caption = f"Crossings: {counted.crossings}, bends: {counted.bends}. {_print_note(size)}"
    return Exhibit(f"{name}, {STANDARDS[standard]}", caption, drawn, facts)


def _print_note(size: float) -> str:
    return f"Smallest text {size:.1f} pt on A4{'' if size > 8.95 else ': too small'}."


def _read(file: Path) -> Lesson:
    """A netlist, read as a lesson without words."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        facts = f'title = "{file.stem}"\n{file.read_text(encoding="utf-8")}'
        (folder / "lesson.toml").write_text(facts, encoding="utf-8")
        (folder / "lesson.md").write_text("", encoding="utf-8")
        return load(folder)
