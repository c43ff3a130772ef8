"""A demo lesson on disk with one break in it, and where that break is."""

from __future__ import annotations

import shutil
from pathlib import Path

from buildalong.finding import Finding
from buildalong.lesson import Compiled, compile_lesson
from demos import EXAMPLES

from ._breaks import Break

LAYOUTS = Path(__file__).parent / "layouts"
FACTS, WORDS = "lesson.toml", "lesson.md"


def by_hand(demo: str) -> str:
    """The facts of a demo with its layout written out."""
    facts = (EXAMPLES / demo / FACTS).read_text(encoding="utf-8")
    return f"{facts}\n{(LAYOUTS / f'{demo}.toml').read_text(encoding='utf-8')}"


def broken(fault: Break, folder: Path) -> Path:
    """Write the demo with the break; give its folder."""
    copy = folder / fault.demo
    shutil.copytree(EXAMPLES / fault.demo, copy)
    target = copy / file_of(fault)
    if fault.kind == "board":
        target.write_text(by_hand(fault.demo), encoding="utf-8")
    text = target.read_text(encoding="utf-8")
    assert text.count(fault.old) == 1, f"'{fault.old}' is not there exactly once"
    target.write_text(text.replace(fault.old, fault.new), encoding="utf-8")
    return copy


def file_of(fault: Break) -> str:
    """The file that is broken."""
    return WORDS if fault.kind == "words" else FACTS


def compiled(folder: Path) -> Compiled:
    """Compile with as little work for the board as there is."""
    return compile_lesson(folder, seconds=0.05)


def spot(folder: Path, fault: Break) -> str:
    """File:line:column of the mark in ``at``, searched in the broken text."""
    text = (folder / file_of(fault)).read_text(encoding="utf-8")
    before, mark, after = fault.at.partition("¦")
    assert mark
    assert text.count(before + after) == 1, f"'{fault.at}' is not one place"
    lines = text[: text.index(before + after) + len(before)].split("\n")
    return f"{file_of(fault)}:{len(lines)}:{len(lines[-1]) + 1}"


def where(finding: Finding, folder: Path) -> str:
    """File:line:column of a finding, without the folder."""
    return str(finding.place).removeprefix(f"{folder.as_posix()}/")
