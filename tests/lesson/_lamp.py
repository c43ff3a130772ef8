"""Small lessons on disk, changed in one place by each test."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from buildalong.finding import Finding, Unreadable
from buildalong.lesson import Lesson, load

LAMP = """\
title  = "A lamp with a button"
board  = "170"
supply = "3 x AA"

[parts]
S1  = { part = "push-button", pins = ["PLUS", "HELD"] }
R1  = { part = "resistor", value = "150", pins = ["HELD", "LAMP"] }
DS1 = { part = "led-red", pins = { A = "LAMP", K = "0V" } }

[[trial]]
name  = "evening"
lasts = "6 s"
press = ["S1 at 1 s for 3 s"]

[[promise]]
that   = "on_time(DS1)"
is     = "3 s"
within = "2 %"
"""

WORDS = "A lamp that shines while its button S1 is held.\n"

Write = Callable[..., Path]


def unreadable(folder: Path) -> list[Finding]:
    """The findings with which a lesson is refused."""
    with pytest.raises(Unreadable) as caught:
        load(folder)
    return list(caught.value.findings)


def where(finding: Finding, folder: Path) -> str:
    """File:line:column of a finding, without the folder."""
    return str(finding.place).removeprefix(f"{folder.as_posix()}/")


def told(lesson: Lesson, folder: Path) -> list[tuple[str, str]]:
    """(code, file:line:column) of everything that reading found."""
    return [(finding.code, where(finding, folder)) for finding in lesson.findings]
