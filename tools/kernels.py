"""Compile what is compiled on first use, each on a core of its own: ``python -m tools.kernels``.

The test run does so beside the checks of types, which leave a core free; else each of its workers would
compile all of it for itself.
"""

from __future__ import annotations

import importlib
from multiprocessing import get_context
from pathlib import Path

LESSON = Path(__file__).parents[1] / "examples" / "mailbox-flag"


def placer() -> None:
    """Compile the search for layouts, by one."""
    from buildalong.board import board
    from buildalong.build.place import place
    from buildalong.lesson import load

    place(load(LESSON).circuit, board("400"))


def others() -> None:
    """Compile the annealer of schematics, by one, and the engine, which is compiled when imported."""
    from buildalong.drawing.schematic import draw_layout
    from buildalong.lesson import load

    importlib.import_module("buildalong.engine._advance")
    draw_layout(load(LESSON).circuit)


if __name__ == "__main__":
    processes = [get_context("spawn").Process(target=work) for work in (placer, others)]
    for process in processes:
        process.start()
    for process in processes:
        process.join()
