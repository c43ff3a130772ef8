"""A gentle layout on request: what slips would do is simulated first, and the layout is as right as ever."""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildalong.board import board
from buildalong.finding import Severity
from buildalong.guide import SEVERITY
from buildalong.lesson import compile_lesson, load
from buildalong.lesson._gentle import LIKELY, hurts_of
from demos import EXAMPLES


def points(name: str) -> float:
    """What a likely slip with this outcome counts."""
    return LIKELY * (SEVERITY[name][0] - SEVERITY["seen"][0]) / 100


def test_what_slips_would_do_is_known_without_a_layout() -> None:
    """A wire or supply lead between plus and 0 V shorts the supply; one over R2 is only seen."""
    lesson = load(EXAMPLES / "lighthouse")
    circuit = lesson.circuit
    hurts = hurts_of(circuit, board("400"), lesson.trials, None, lambda share, text: None)
    plus, ground = circuit.plus, circuit.ground
    assert hurts.of("", plus, ground) == hurts.of("", ground, plus) == pytest.approx(points("battery"))
    assert hurts.of(f"{circuit.supply.id} 0", plus, ground) == pytest.approx(points("battery"))
    one, other = circuit.by_id["R2"].nets
    assert hurts.of("", str(one), str(other)) == 0
    assert max([*hurts.wires.values(), *hurts.leads.values()]) <= points("burst")


def test_a_lesson_asks_for_it() -> None:
    """With gentle = true the board is made with what slips would do, and nothing is wrong with it."""
    lesson = load(EXAMPLES / "mailbox-flag")
    wanted = replace(lesson, layout=replace(lesson.layout, gentle=True))
    compiled = compile_lesson(wanted, want={"board"}, seconds=0.3)
    assert [f for f in compiled.findings if f.severity >= Severity.ERROR] == []
    usual = compile_lesson(lesson, want={"board"}, seconds=0.3)
    assert compiled.placement is not None
    assert usual.placement is not None
    assert compiled.placement.wire_count <= usual.placement.wire_count
