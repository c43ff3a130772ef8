"""Small pictures held byte for byte, so that a change of the drawing is seen and looked at.

To renew them after a change that was meant, look at the new pictures, then::

    RENEW_SNAPSHOTS=1 pytest tests/drawing/test_snapshots.py

and commit the files of ``tests/drawing/snapshots``.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from buildalong.board import Layout, Wire, board
from buildalong.circuit import Circuit
from buildalong.drawing import Mark, Picture, board_picture, part_picture, waveforms

from ._demo import blink, circuit_of, layout_of, part

SNAPSHOTS = Path(__file__).parent / "snapshots"


def first_step() -> Picture:
    circuit, layout = circuit_of("mailbox-flag"), layout_of("mailbox-flag")
    two = Layout(layout.board, {p: layout.holes[p] for p in ("U1", "R1")}, layout.wires[:1])
    return board_picture(circuit, two, new_parts=("R1",), crop=(1, 12))


def shapes() -> Picture:
    parts = (part("led-red"), part("npn-bc547"), part("potentiometer", 1e4), part("slide-switch"))
    named = tuple(
        type(p)(name, p.type, p.nets, p.value)
        for p, name in zip(parts, ("DS1", "Q1", "R1", "S1"), strict=True)
    )
    holes = {
        "DS1": ("b3", "b4"),
        "Q1": ("h2", "h3", "h4"),
        "R1": ("b8", "d9", "b10"),
        "S1": ("h8", "h9", "h10"),
    }
    wires = (Wire("a12", "j12", "yellow", "flexible"), Wire("c14", "g16", "green", path=((2, 16),)))
    return board_picture(Circuit(named), Layout(board("170"), holes, wires))


PICTURES = {
    "board-step": first_step,
    "board-shapes": shapes,
    "part-resistor": lambda: part_picture(part("resistor", 330.0)),
    "part-led": lambda: part_picture(part("led-red")),
    "part-timer": lambda: part_picture(part("timer-555")),
    "waves": lambda: waveforms(blink(), title="Five blinks", marks=[Mark(0.4, "1", "The light goes out.")]),
}


@pytest.mark.parametrize("name", PICTURES)
def test_picture_is_unchanged(name: str) -> None:
    """The picture equals the one that was looked at and kept."""
    file = SNAPSHOTS / f"{name}.svg"
    svg = PICTURES[name]().svg
    if os.environ.get("RENEW_SNAPSHOTS"):
        SNAPSHOTS.mkdir(exist_ok=True)
        file.write_text(svg, encoding="utf-8")
    assert svg == file.read_text(encoding="utf-8")
