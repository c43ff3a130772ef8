"""The laboratories of the demos, each on its layout written out by hand."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path

from buildalong.board import Layout, board, layout_from
from buildalong.lesson import Lesson, load
from buildalong.mistakes import Lab, laboratory
from demos import EXAMPLES
from once import once

LAYOUTS = Path(__file__).parents[1] / "breaks" / "layouts"


@cache
def built(demo: str) -> tuple[Lesson, Layout]:
    """A demo and its board."""
    lesson = load(EXAMPLES / demo)
    hand = tomllib.loads((LAYOUTS / f"{demo}.toml").read_text(encoding="utf-8"))["layout"]
    wires = tuple(tuple(wire) for wire in hand.pop("wires", ()))
    holes = {name: tuple(value) for name, value in hand.items() if isinstance(value, list)}
    layout, _ = layout_from(board(lesson.board), lesson.circuit, holes, wires)
    assert layout is not None
    return lesson, layout


@cache
def lab(demo: str) -> Lab:
    """All mistakes of a demo."""
    lesson, layout = built(demo)
    return once(f"lab-{demo}", lambda: laboratory(lesson.circuit, layout, lesson.trials))
