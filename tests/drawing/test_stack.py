"""What is put down later lies over what lay there before, in every picture of a build (common practice)."""

from __future__ import annotations

import re

from buildalong.board import Layout
from buildalong.build import make_steps
from buildalong.drawing import board_picture
from drawing._demo import circuit_of, layout_of

NAME = "runway-lights"


def built() -> tuple[Layout, list[int]]:
    """The finished board of a build, and its wires from 0 on in the order of the steps."""
    steps = make_steps(circuit_of(NAME), layout_of(NAME))
    layout = layout_of(NAME).stacked(step.wires for step in steps)
    return layout, [index for step in steps for index in step.wires]


def drawn(layout: Layout) -> list[int]:
    """The wires from 0 on in the order in which a picture draws them, the lowest first."""
    stages: dict[str | int, int] = {index: index + 1 for index in range(len(layout.wires))}
    svg = board_picture(circuit_of(NAME), layout, muted=False, highlight_holes=False, stages=stages).svg
    found = [int(n) - 1 for n in re.findall(r"--n:(\d+)", svg)]
    return found[-len(layout.wires) :]  # before them come the dark holes of all wires


def test_the_finished_board_is_drawn_as_it_was_built() -> None:
    """Not in the order in which the wires are told, which is from the top down."""
    layout, order = built()
    assert sorted(order) == list(range(len(layout.wires)))
    assert drawn(layout) == order != sorted(order)
    assert drawn(layout_of(NAME)) == sorted(order)  # of which no build is known


def test_each_step_lays_its_wires_over_those_before() -> None:
    """The board after a step holds its wires in the same order as the finished one."""
    for step in make_steps(circuit_of(NAME), layout_of(NAME)):
        old = [wire.turn for wire in step.before.wires]
        new = [wire.turn for wire in step.after.wires if wire not in step.before.wires]
        assert all(turn > max(old, default=0) for turn in new)


def test_turns_say_nothing_of_the_layout() -> None:
    """Layouts are equal whatever their order of building."""
    assert built()[0] == layout_of(NAME)
