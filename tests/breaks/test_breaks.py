"""Each demo broken in ten ways: the right sentence stands at the right place."""

from __future__ import annotations

import tomllib
from collections import Counter
from pathlib import Path

import pytest

from buildalong.board import board, compare, equal, layout_from, read_back
from buildalong.finding import Severity, Unreadable
from buildalong.lesson import load
from demos import DEMOS, EXAMPLES

from ._break import LAYOUTS, broken, compiled, spot, where
from ._breaks import BREAKS, Break

FOLLOWING = {
    "steps-not-the-circuit",
    "strip-with-two-nets",
    "no-place",
    "not-simulated",
}
"""Findings that only repeat what the slip itself says."""


def test_there_are_ten_breaks_for_each_demo() -> None:
    """Ten breaks of each demo, no two by the same name."""
    assert Counter(fault.demo for fault in BREAKS) == dict.fromkeys(DEMOS, 10)
    assert len({(fault.demo, fault.name) for fault in BREAKS}) == 60


@pytest.mark.parametrize("demo", DEMOS)
def test_a_written_layout_makes_the_circuit(demo: str) -> None:
    """The unbroken layout reads back equal to the circuit, so each break is the only fault."""
    lesson = load(EXAMPLES / demo)
    table = tomllib.loads((LAYOUTS / f"{demo}.toml").read_text(encoding="utf-8"))["layout"]
    wires = table.pop("wires")
    layout, found = layout_from(board(lesson.board), lesson.circuit, table, wires)
    assert layout is not None
    assert found == []
    real = read_back(lesson.circuit.parts, layout)
    assert equal(lesson.circuit, real)
    assert compare(lesson.circuit, real, layout) == []


@pytest.mark.parametrize("fault", BREAKS, ids=[f"{b.demo}: {b.name}" for b in BREAKS])
def test_a_break_is_told(fault: Break, tmp_path: Path) -> None:
    """The sentence is an error, whole, at the place of the break, and is not followed by echoes."""
    folder = broken(fault, tmp_path)
    try:
        findings = compiled(folder).findings
    except Unreadable as refused:
        findings = refused.findings
    told = [(f.code, where(f, folder), f.message) for f in findings if f.severity >= Severity.ERROR]
    assert (fault.code, spot(folder, fault), fault.says) in told
    assert not FOLLOWING & {f.code for f in findings}
